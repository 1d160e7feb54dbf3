//! Where the time of an edit goes, in the layouts and by the edits of
//! `tests/benches/serve.py`: the whole once more by its phases, and what a session
//! does instead, with how far each edit reached.
//!
//! `cargo bench -p retin --bench edit` prints microseconds, the median and, behind
//! it, what one edit in a hundred exceeds. `-- 'job 1000'` names one unit, `-- job`
//! one layout, and `--session` leaves out the whole.

#![allow(clippy::disallowed_types, reason = "a benchmark reads the clock")]

mod layouts;

use layouts::{Edit, LAYOUTS, Sort, Unit, edits, unit};
use retin::check::check_chosen;
use retin::editor::Snapshot;
use retin::editor::diagnostics::diagnostics;
use retin::meaning::{Case, KeptWords};
use retin::replacement::replacements;
use retin::session::{Done, Session};
use retin::sources::{FileId, SourceFile, Sources};
use std::collections::BTreeMap;
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

fn main() {
    // `cargo test --benches` only asks whether it runs at all.
    let is_bench = std::env::args().any(|argument| argument == "--bench");
    let only = std::env::args().skip(1).find(|name| !name.starts_with('-'));
    let only_session = std::env::args().any(|argument| argument == "--session");
    let (sizes, lines) = if is_bench {
        (&[1_000, 10_000][..], 24)
    } else {
        (&[200][..], 1)
    };
    for &parts in sizes {
        for layout in LAYOUTS {
            let name = format!("{layout} {parts}");
            if only
                .as_ref()
                .is_none_or(|only| *only == name || only == layout)
            {
                println!("\n{layout}, {parts} parts");
                if !only_session {
                    whole(layout, parts, lines);
                }
                session(layout, parts, lines * 4);
            }
        }
    }
}

/// The files of a unit, one of which is edited.
struct Desk {
    files: Vec<Arc<SourceFile>>,
    edited: usize,
}

impl Desk {
    fn of(unit: Unit) -> Desk {
        let read = |(path, text): (&str, String)| Arc::new(SourceFile::new(path.to_owned(), text));
        Desk {
            files: unit.files.into_iter().map(read).collect(),
            edited: unit.edited,
        }
    }

    fn text(&self) -> &str {
        &self.files[self.edited].text
    }

    fn edit(&mut self, edit: &Edit) {
        let file = Arc::unwrap_or_clone(std::mem::take(&mut self.files[self.edited]));
        self.files[self.edited] = Arc::new(file.edited(edit.start..edit.end, &edit.text));
    }

    fn sources(&self) -> Sources {
        let mut sources = Sources::new();
        for file in &self.files {
            sources.add(file.clone());
        }
        sources
    }
}

/// How long each phase took at each edit.
#[derive(Default)]
struct Times {
    rows: BTreeMap<(usize, &'static str), Vec<Duration>>,
}

impl Times {
    fn time<T>(&mut self, at: usize, phase: &'static str, work: impl FnOnce() -> T) -> T {
        let begun = Instant::now();
        let result = work();
        self.note(at, phase, begun.elapsed());
        result
    }

    fn note(&mut self, at: usize, phase: &'static str, took: Duration) {
        self.rows.entry((at, phase)).or_default().push(took);
    }

    fn show(&mut self) {
        for ((_, phase), times) in &mut self.rows {
            times.sort_unstable();
            let micros = |share: usize| {
                times[(times.len() * share / 100).min(times.len() - 1)].as_nanos() as f64 / 1e3
            };
            println!("  {phase:<22} {:>9.1} {:>9.1}", micros(50), micros(99));
        }
    }
}

/// The lines to edit, in no order.
fn choices(count: usize) -> impl Iterator<Item = usize> {
    (0..count).map(|index| (index * 7919 + 13) * 104_729 % 99_991)
}

/// Everything once more after each edit.
fn whole(layout: &str, parts: usize, lines: usize) {
    let mut desk = Desk::of(unit(layout, parts));
    let mut times = Times::default();
    for choice in choices(lines.div_ceil(if parts > 1_000 { 8 } else { 1 })) {
        for edit in edits(desk.text(), choice) {
            times.time(0, "outline", || desk.edit(&edit));
            let begun = Instant::now();
            let sources = desk.sources();
            let case = times.time(1, "build", || Case::build(&sources, FileId(0)));
            let chosen = times.time(2, "choose", || replacements(&case));
            let report = times.time(3, "judge", || check_chosen(&case, None, &chosen));
            let snapshot = Snapshot::with_chosen(&case, &report, chosen);
            times.time(4, "tell", || {
                for file in snapshot.files() {
                    black_box(diagnostics(&snapshot, file));
                }
            });
            times.note(5, of(edit.sort), begun.elapsed());
        }
    }
    times.show();
}

/// The same by a session.
fn session(layout: &str, parts: usize, lines: usize) {
    let mut desk = Desk::of(unit(layout, parts));
    let kept = KeptWords::new();
    let mut session = Session::new(desk.sources(), FileId(0), None, &kept);
    let mut times = Times::default();
    let mut reached: BTreeMap<(Sort, String), usize> = BTreeMap::new();
    for choice in choices(lines) {
        for edit in edits(desk.text(), choice) {
            session.let_go();
            let begun = Instant::now();
            desk.edit(&edit);
            session.update(desk.sources(), FileId(0), None, &kept);
            let snapshot = session.snapshot();
            for file in snapshot.files() {
                black_box(diagnostics(&snapshot, file));
            }
            times.note(0, of(edit.sort), begun.elapsed());
            times.note(1, "every edit", begun.elapsed());
            *reached
                .entry((edit.sort, reach(session.done())))
                .or_default() += 1;
        }
    }
    println!("  in a session, {} words kept", kept.len());
    times.show();
    for ((sort, reach), count) in reached {
        println!("  {count:>5} x {:<20} {reach}", of(sort));
    }
}

fn reach(done: Done) -> String {
    match done {
        Done::Nothing => "nothing".into(),
        Done::Followed => "what is known followed".into(),
        Done::InPart {
            parts_read,
            entries_read,
            boards_judged,
        } => {
            let some = if entries_read > 1 { "some" } else { "few" };
            let parts = match parts_read {
                0 => "no part",
                1 => "one part",
                _ => "a board",
            };
            format!("{parts}, {some} entries read, {boards_judged} judged")
        }
        Done::Whole => "everything".into(),
    }
}

/// A name for what was edited.
fn of(sort: Sort) -> &'static str {
    match sort {
        Sort::Value => "edit of a value",
        Sort::Comment => "edit of a comment",
        Sort::Name => "edit of a name",
        Sort::Blank => "edit of a line end",
    }
}
