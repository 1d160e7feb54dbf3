//! Requests of an editor on a generated job of 1,000 parts.

use criterion::{Criterion, criterion_group, criterion_main};
use retin::check::check;
use retin::editor::completion::completion;
use retin::editor::hover::hover;
use retin::editor::{Position, Snapshot, format, inlay, lens, navigate, symbols, tokens};
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use retin_syntax::Span;
use retin_tests::generate::workshop;
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

const PARTS: usize = 1_000;

fn sources() -> (Sources, FileId) {
    let mut workshop = workshop(PARTS);
    workshop.job.push_str("  replace  b3.C7  with \n");
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), workshop.job)));
    for (path, text) in [
        ("model.retin", workshop.model),
        ("shelf.retin", workshop.shelf),
    ] {
        sources.add(Arc::new(SourceFile::new(path.into(), text)));
    }
    (sources, root)
}

/// Offsets spread evenly over every file.
fn offsets(snapshot: &Snapshot<'_>) -> Vec<Position> {
    let in_file = |file: FileId| {
        let length = snapshot.text(file).len();
        (0..length)
            .step_by((length / 300).max(1))
            .map(move |offset| Position::new(file, offset as u32))
    };
    snapshot.files().flat_map(in_file).collect()
}

/// Prints how long the slowest hundredth takes.
fn slowest(name: &str, places: &[Position], ask: impl Fn(Position)) {
    let mut times: Vec<Duration> = places
        .iter()
        .map(|place| {
            let start = Instant::now();
            ask(*place);
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    let at = |share: usize| times[(times.len() * share / 100).min(times.len() - 1)];
    println!(
        "{name}: p50 {:?}, p99 {:?}, longest {:?}, over {} places",
        at(50),
        at(99),
        at(100),
        times.len()
    );
}

fn requests(criterion: &mut Criterion) {
    let (sources, root) = sources();
    let case = Case::build(&sources, root);
    let report = check(&case);
    let snapshot = Snapshot::new(&case, &report);
    let places = offsets(&snapshot);
    // The first request of all pays for the index, as after every edit.
    let start = Instant::now();
    snapshot.index();
    println!("index: {:?}", start.elapsed());
    slowest("hover", &places, |place| {
        black_box(hover(&snapshot, place));
    });
    slowest("completion", &places, |place| {
        black_box(completion(&snapshot, place));
    });

    let mut group = criterion.benchmark_group("editor");
    group.sample_size(20);
    let model = FileId(1);
    let text = snapshot.text(model);
    let part = Position::new(model, text.find("C7  ").unwrap_or(0) as u32);
    let with = Position::new(root, snapshot.text(root).len() as u32 - 1);
    let range = Span::new(0, 4_000);
    group.bench_function("hover a part", |bench| {
        bench.iter(|| black_box(hover(&snapshot, part)));
    });
    group.bench_function("complete a part of the shelf", |bench| {
        bench.iter(|| black_box(completion(&snapshot, with)));
    });
    group.bench_function("references", |bench| {
        bench.iter(|| black_box(navigate::references(&snapshot, part, true)));
    });
    group.bench_function("index", |bench| {
        bench.iter(|| {
            let fresh = Snapshot::new(&case, &report);
            black_box(fresh.index().in_file(model).len())
        });
    });
    group.bench_function("tokens, whole", |bench| {
        bench.iter(|| black_box(tokens::tokens(&snapshot, model, None).len()));
    });
    group.bench_function("tokens, a screen", |bench| {
        bench.iter(|| black_box(tokens::tokens(&snapshot, model, Some(range)).len()));
    });
    group.bench_function("inlay, a screen", |bench| {
        bench.iter(|| black_box(inlay::inlay(&snapshot, model, range).len()));
    });
    group.bench_function("lenses", |bench| {
        bench.iter(|| black_box(lens::lenses(&snapshot, model).len()));
    });
    group.bench_function("outline", |bench| {
        bench.iter(|| black_box(symbols::outline(&snapshot, model).len()));
    });
    group.bench_function("format", |bench| {
        bench.iter(|| black_box(format::document(&snapshot, model).len()));
    });
    group.finish();
}

criterion_group!(benches, requests);
criterion_main!(benches);
