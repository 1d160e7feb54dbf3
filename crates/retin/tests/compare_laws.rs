//! Laws of comparing, on the shipped jobs with digits changed at random.

use proptest::prelude::*;
use proptest::sample::Index;
use retin::compare::{Change, compare};
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use std::sync::Arc;

const FILES: &[(&str, &str)] = &[
    (
        "jobs/26-014.retin",
        include_str!("../../../examples/jobs/26-014.retin"),
    ),
    (
        "jobs/26-019.retin",
        include_str!("../../../examples/jobs/26-019.retin"),
    ),
    (
        "jobs/surplus.retin",
        include_str!("../../../examples/jobs/surplus.retin"),
    ),
    (
        "models/sm8.retin",
        include_str!("../../../examples/models/sm8.retin"),
    ),
    ("shelf.retin", include_str!("../../../examples/shelf.retin")),
    ("house.retin", include_str!("../../../examples/house.retin")),
];

/// A job with all it uses, each file as `written` gives it.
fn sources(job: &str, written: impl Fn(&str, &str) -> String) -> Sources {
    let mut sources = Sources::new();
    let file = |path: &str| {
        let text = FILES
            .iter()
            .find(|file| file.0 == path)
            .expect("a shipped file")
            .1;
        Arc::new(SourceFile::new(path.to_owned(), written(path, text)))
    };
    sources.add(file(job));
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(file(&path));
    }
    sources
}

fn differences(old: &Sources, new: &Sources) -> Vec<Change> {
    compare(&Case::build(old, FileId(0)), &Case::build(new, FileId(0)))
}

#[test]
fn a_job_differs_from_itself_in_nothing_however_it_is_laid_out() {
    for job in ["jobs/26-014.retin", "jobs/26-019.retin"] {
        let plain = sources(job, |_, text| text.to_owned());
        assert_eq!(differences(&plain, &plain), []);
        let squeezed = sources(job, |_, text| {
            let lines = text.lines().map(|line| {
                let indent = line.len() - line.trim_start().len();
                let words: Vec<&str> = line.split_whitespace().collect();
                // Prose goes on to the end of its line.
                let remark = if words.first().is_some_and(|word| word.starts_with('|')) {
                    ""
                } else {
                    "  # said"
                };
                format!("{}{}{remark}\n\n", "  ".repeat(indent), words.join(" "))
            });
            lines.collect()
        });
        assert_eq!(differences(&plain, &squeezed), []);
        let formatted = sources(job, |_, text| retin_syntax::format(text).text);
        assert_eq!(differences(&squeezed, &formatted), []);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn exchanging_the_sides_exchanges_what_they_say(
        edits in proptest::collection::vec((any::<Index>(), any::<Index>(), 0..10_u8), 1..5),
    ) {
        let old = sources("jobs/26-014.retin", |_, text| text.to_owned());
        let new = sources("jobs/26-014.retin", |path, text| {
            let mut text = text.to_owned();
            for (file, at, digit) in &edits {
                if FILES[file.index(FILES.len())].0 == path {
                    let digits: Vec<usize> = text
                        .char_indices()
                        .filter(|(_, sign)| sign.is_ascii_digit())
                        .map(|(at, _)| at)
                        .collect();
                    let at = digits[at.index(digits.len())];
                    text.replace_range(at..=at, &digit.to_string());
                }
            }
            text
        });
        // An entry's verb and what a change is called belong to the new side.
        let sides = |changes: Vec<Change>, is_mirrored: bool| {
            let mut sides: Vec<_> = changes
                .into_iter()
                .map(|change| {
                    let (old, new) = if is_mirrored {
                        (change.new, change.old)
                    } else {
                        (change.old, change.new)
                    };
                    (change.topic, old.map(|side| side.text), new.map(|side| side.text))
                })
                .collect();
            sides.sort();
            sides
        };
        let there = sides(differences(&old, &new), false);
        let back = sides(differences(&new, &old), true);
        prop_assert_eq!(there, back);
        let formatted = sources("jobs/26-014.retin", |path, _| {
            let text = &new.file(new.find(path).expect("the same files")).text;
            retin_syntax::format(text).text
        });
        prop_assert_eq!(differences(&new, &formatted), []);
    }
}
