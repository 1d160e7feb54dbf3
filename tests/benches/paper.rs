//! Paper of one job in one process: the tick sheet and the maps of 200 and of 1,000
//! parts, as PDF and as HTML, with the time each takes and the most memory.
//!
//! Run it alone: `cargo bench -p retin-tests --bench paper`.

use retin::meaning::Case;
use retin::sheets::{CheckedJob, FileRevision, Make, Settings, find, page::PageSetting};
use retin::sources::{SourceFile, Sources};
use std::fmt::Write as _;
use std::sync::Arc;
use std::time::Instant;

/// A job with this many parts, each with a position, on boards of 100 parts.
fn job(parts: usize) -> String {
    let mut text = String::from("model m1 \"M-1 mixer\"\n  revision 1\n\n");
    for board in 0..parts.div_ceil(100) {
        let _ = writeln!(
            text,
            "board b{board} \"Board\"\n  size 160 x 100\n  rail V 15V\n  rail GND 0V\n  electrolytic radial 85°C"
        );
        for index in 0..(parts - board * 100).min(100) {
            let (x, y) = (8 + 15 * (index % 10), 6 + 9 * (index / 10));
            let _ = writeln!(
                text,
                "    C{index} {}uF 25V 6.3x11 p2.5 (+ V, - GND) at {x},{y} + east",
                [10, 22, 47, 100][index % 4]
            );
        }
        text.push('\n');
    }
    text.push_str("shelf main \"Drawers\"\n  electrolytic radial 105°C\n");
    for value in [10, 22, 47, 100] {
        let _ = writeln!(
            text,
            "    E-{value} {value}uF 35V 6.3x11 p2.5 life 2000h have 1000"
        );
    }
    text.push_str(
        "\njob 26-900 \"M-1 serial 1\"\n  model m1 revision 1\n\nplan\n  replace every electrolytic from main\n\
         \nsteps\n  strip remove every electrolytic\n  fill fit every electrolytic after strip\n",
    );
    text
}

/// The most memory the process has had, in MB, where the system tells it.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kilobytes / 1024)
}

fn main() {
    for parts in [200, 1_000] {
        let text = job(parts);
        let begin = Instant::now();
        let mut sources = Sources::new();
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
        let case = Case::build(&sources, root);
        let job = CheckedJob::of(&case, FileRevision::NotInGit).expect("the text holds a job");
        println!("{parts} parts: read and checked in {:?}", begin.elapsed());
        let (settings, setting) = (Settings::default(), PageSetting::default());
        let mut documents = Vec::new();
        for kind in ["ticks", "map"] {
            let Some(Make::One(make)) = find(kind).map(|sheet| sheet.make) else {
                panic!("{kind} is no sheet of one job");
            };
            let begin = Instant::now();
            documents.push((kind, make(&job, &settings).expect("nothing is asked for")));
            println!("  {kind}: made in {:?}", begin.elapsed());
        }
        let begin_all = Instant::now();
        for (kind, document) in &documents {
            let begin = Instant::now();
            let pdf = retin_paper::pdf(document, setting, &|_| None).expect("it can be set");
            println!(
                "  {kind}: {} pages of PDF in {:?}, {} kB",
                pdf.pages,
                begin.elapsed(),
                pdf.bytes.len() / 1024
            );
        }
        println!("  both as PDF in {:?}", begin_all.elapsed());
        for (kind, document) in &documents {
            let begin = Instant::now();
            let html = retin_paper::html(document, setting, &|_| None);
            println!(
                "  {kind}: HTML in {:?}, {} kB",
                begin.elapsed(),
                html.len() / 1024
            );
        }
        println!("  most memory so far: {:?} MB", peak());
    }
}
