//! Mistakes planted into a sound job, one at a time: is each one found, at its
//! line, and by how many findings?
//!
//! The job is made by `retin_tests::whole_job`. `report.md` beside this file holds
//! what was counted, kind by kind; the test fails where it no longer holds, and
//! `UPDATE=1 cargo test -p retin-tests --test mutator` writes it anew.

mod job;
mod log;
mod paper;
mod parts;
mod report;
mod work;

use job::{Edit, Lines, without_log};
use retin_tests::whole_job::{Seeded, whole_job};
use std::collections::BTreeMap;

/// The seeds of the jobs that mistakes are planted into.
const SEEDS: [u64; 4] = [1, 2, 3, 4];

/// How many mistakes of each kind are planted, where there is room for them.
const OF_EACH: usize = 20;

/// Every place at which a mistake of one kind can be made, each with its changes.
type Sites = fn(&Lines) -> Vec<Vec<Edit>>;

/// A kind of mistake.
struct Kind {
    /// What the technician did wrong.
    name: &'static str,
    /// The rules of which one has to tell it; none where the files do not show it.
    rules: &'static [&'static str],
    /// Where it can be made.
    sites: Sites,
}

/// What became of the mistakes of one kind.
#[derive(Default)]
struct Count {
    planted: usize,
    detected: usize,
    on_the_line: usize,
    /// Those that name the line beside another.
    beside: usize,
    only_asked: usize,
    further: usize,
    most_further: usize,
    by: BTreeMap<&'static str, usize>,
    /// What was planted where nothing was told, or not there.
    astray: Vec<String>,
}

/// When a mistake is made: what is planned wrongly is judged before the work, for
/// once a part is in, it is judged as it was fitted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum When {
    Planning,
    Done,
}

fn kinds() -> Vec<(When, &'static Kind)> {
    let of = |when, kinds: &'static [Kind]| kinds.iter().map(move |kind| (when, kind));
    of(When::Done, paper::KINDS)
        .chain(of(When::Planning, parts::KINDS))
        .chain(of(When::Done, work::KINDS))
        .collect()
}

/// Twenty of the sites, each with the job it is in, chosen by the kind's place in the list.
fn chosen<'l>(
    (when, kind): (When, &Kind),
    number: usize,
    jobs: &'l [Lines],
) -> Vec<(&'l Lines, Vec<Edit>)> {
    let mut sites: Vec<(&Lines, Vec<Edit>)> = Vec::new();
    for lines in jobs {
        for mut edits in (kind.sites)(lines) {
            if when == When::Planning {
                edits.extend(without_log(lines));
            }
            sites.push((lines, edits));
        }
    }
    let mut seeded = Seeded::new(number as u64);
    let mut chosen = Vec::new();
    while chosen.len() < OF_EACH && !sites.is_empty() {
        chosen.push(sites.swap_remove(seeded.below(sites.len())));
    }
    chosen
}

fn count((when, kind): (When, &Kind), number: usize, jobs: &[Lines]) -> Count {
    let mut count = Count::default();
    for (lines, edits) in chosen((when, kind), number, jobs) {
        let mutant = lines.change(&edits);
        let findings = lines.found(&mutant);
        count.planted += 1;
        let told: Vec<_> = findings
            .iter()
            .filter(|finding| kind.rules.contains(&finding.rule))
            .collect();
        let on_the_line = told
            .iter()
            .find(|finding| mutant.planted.contains(&finding.at));
        let further = findings.len() - usize::from(!told.is_empty());
        count.further += further;
        count.most_further = count.most_further.max(further);
        let beside = told.iter().find(|finding| {
            let mut places = finding.beside.iter();
            places.any(|at| mutant.planted.contains(at))
        });
        if on_the_line.or(beside).is_none() {
            count
                .astray
                .push(report::astray(lines, &edits, &mutant, &findings));
        }
        if let Some(finding) = on_the_line.or(beside).or(told.first()) {
            count.detected += 1;
            count.on_the_line += usize::from(on_the_line.is_some());
            count.beside += usize::from(on_the_line.is_none() && beside.is_some());
            count.only_asked += usize::from(told.iter().all(|finding| finding.is_question));
            *count.by.entry(finding.rule).or_default() += 1;
        }
    }
    count
}

/// Counts every kind, on two threads.
fn counts(jobs: &[Lines]) -> Vec<(&'static Kind, Count)> {
    let kinds: Vec<(usize, (When, &Kind))> = kinds().into_iter().enumerate().collect();
    let half = |odd: usize| {
        let mine: Vec<_> = kinds
            .iter()
            .filter(|(number, _)| number % 2 == odd)
            .collect();
        mine.into_iter()
            .map(|(number, kind)| (*number, kind.1, count(*kind, *number, jobs)))
            .collect::<Vec<_>>()
    };
    let mut all = std::thread::scope(|scope| {
        let odd = scope.spawn(|| half(1));
        let mut all = half(0);
        all.extend(odd.join().expect("the second half was counted"));
        all
    });
    all.sort_by_key(|(number, ..)| *number);
    all.into_iter()
        .map(|(_, kind, count)| (kind, count))
        .collect()
}

#[test]
fn nothing_is_found_in_sound_jobs() {
    for seed in 1..=12 {
        let lines = Lines::of(&whole_job(seed));
        let findings = lines.found(&lines.change(&[]));
        assert!(findings.is_empty(), "seed {seed}: {findings:#?}");
        let planned = lines.found(&lines.change(&without_log(&lines)));
        assert!(planned.is_empty(), "seed {seed}, planned: {planned:#?}");
    }
}

#[test]
fn every_planted_mistake_is_found_at_its_line() {
    let jobs: Vec<Lines> = SEEDS
        .iter()
        .map(|seed| Lines::of(&whole_job(*seed)))
        .collect();
    let counts = counts(&jobs);
    report::hold(&counts);
    let mut wrong = String::new();
    for (kind, count) in &counts {
        assert!(count.planted > 0, "{}: no place to plant it", kind.name);
        let pointed = count.on_the_line + count.beside;
        if !kind.rules.is_empty() && pointed < count.planted {
            wrong.push_str(&report::told(kind, count));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
