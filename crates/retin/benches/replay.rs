//! The log replayed, at 1,000 and 10,000 entries.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use retin::time::replay;
use std::fmt::Write as _;
use std::hint::black_box;
use std::sync::Arc;

/// A job on eight strips of a hundred parts, with a log of so many entries.
fn sources(entries: usize) -> (Sources, FileId) {
    let mut text = String::from(
        "model a\nboard ch as ch1..ch8\n  copper double-sided plated\n  rail V24 24V\n  rail GND 0V\n  electrolytic\n    C1..C100 10uF 25V (+ V24, - GND)\njob 1\nlog\n  2026-11-03\n",
    );
    for index in 0..entries {
        let copy = index / 6 % 8 + 1;
        let part = index / 48 % 100 + 1;
        let entry = match index % 6 {
            0 => format!("removed ch{copy}.C{part}"),
            1 => format!("damaged ch{copy}.C{part}.- pad lifted"),
            2 => format!("repaired ch{copy}.C{part}.- pad rebuilt"),
            3 => format!("measured ch{copy}.C{part}.- to ch{copy}.GND 0.1ohm both sides"),
            4 => format!("fitted ch{copy}.C{part}"),
            _ => format!("inspected ch{copy} both sides"),
        };
        let _ = writeln!(text, "    {entry}");
    }
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text)));
    (sources, root)
}

fn log(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("replay");
    group.sample_size(20);
    for entries in [1_000, 10_000] {
        let (sources, root) = sources(entries);
        let case = Case::build(&sources, root);
        assert!(replay(&case).impossible.is_empty());
        group.throughput(Throughput::Elements(entries as u64));
        group.bench_function(BenchmarkId::new("entries", entries), |bench| {
            bench.iter(|| black_box(replay(&case).accidents.len()));
        });
    }
    group.finish();
}

criterion_group!(benches, log);
criterion_main!(benches);
