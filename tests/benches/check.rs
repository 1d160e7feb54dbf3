//! Text to verdict: lex, parse, resolve and check a generated job.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use retin::check::check;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use retin_tests::generate::workshop;
use std::hint::black_box;
use std::sync::Arc;

fn sources(parts: usize) -> (Sources, retin::sources::FileId) {
    let workshop = workshop(parts);
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), workshop.job)));
    sources.add(Arc::new(SourceFile::new(
        "model.retin".into(),
        workshop.model,
    )));
    sources.add(Arc::new(SourceFile::new(
        "shelf.retin".into(),
        workshop.shelf,
    )));
    (sources, root)
}

fn text_to_verdict(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("check");
    group.sample_size(20);
    for parts in [100, 1_000, 10_000] {
        group.throughput(Throughput::Elements(parts as u64));
        group.bench_with_input(BenchmarkId::new("whole", parts), &parts, |bench, &parts| {
            bench.iter(|| {
                let (sources, root) = sources(parts);
                let case = Case::build(&sources, root);
                black_box(check(&case).findings.len())
            });
        });
        let text = workshop(parts).model;
        group.bench_with_input(BenchmarkId::new("lex", parts), &text, |bench, text| {
            bench.iter(|| black_box(retin_syntax::lexer::lex(text).len()));
        });
        group.bench_with_input(BenchmarkId::new("parse", parts), &text, |bench, text| {
            bench.iter(|| black_box(retin_syntax::parse(text).lines.len()));
        });
        let (held, root) = sources(parts);
        group.bench_function(BenchmarkId::new("build", parts), |bench| {
            bench.iter(|| black_box(Case::build(&held, root).parts.len()));
        });
        let case = Case::build(&held, root);
        group.bench_function(BenchmarkId::new("judge", parts), |bench| {
            bench.iter(|| black_box(check(&case).findings.len()));
        });
    }
    group.finish();
}

criterion_group!(benches, text_to_verdict);
criterion_main!(benches);
