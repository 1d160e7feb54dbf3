//! Every edit that a finding offers is made: the finding is gone then, and the
//! text reads at least as well as before.

#[path = "support/examples.rs"]
mod examples;

use examples::examples;
use retin::check::check;
use retin::finding::Finding;
use retin::meaning::Case;
use retin::rules::RULES;
use retin::sources::{SourceFile, Sources};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::sync::Arc;

/// What is found in a text, with the number of lines that cannot be read.
fn found(text: &str) -> (Vec<Finding>, usize) {
    let mut sources = Sources::new();
    let file = Arc::new(SourceFile::new("fixed.retin".into(), text.into()));
    let unread = file.tree.errors.len();
    let root = sources.add(file);
    (check(&Case::build(&sources, root)).findings, unread)
}

/// The text with the edits of one finding made.
fn mended(text: &str, finding: &Finding) -> Option<String> {
    let mut edits: Vec<_> = finding.fault.fix.as_ref()?.edits.iter().collect();
    edits.sort_by_key(|edit| std::cmp::Reverse(edit.origin.span));
    let mut mended = text.to_owned();
    for edit in edits {
        mended.replace_range(edit.origin.span.range(), &edit.text);
    }
    Some(mended)
}

/// Every text that rules are tested with: pages, cases, and the files to be refused.
fn texts() -> Vec<(String, String)> {
    let mut texts: Vec<(String, String)> = RULES
        .iter()
        .flat_map(|rule| {
            let examples = examples(rule.page).into_iter();
            examples.map(move |(mark, text)| (format!("{} ({mark})", rule.name), text))
        })
        .collect();
    for folder in ["tests/cases", "../../syntax/corpus/reject"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in fs::read_dir(&folder).expect("the folder of cases") {
            let path = entry.expect("an entry of the folder").path();
            let text = fs::read_to_string(&path).expect("a case that can be read");
            texts.push((path.display().to_string(), text));
        }
    }
    texts
}

#[test]
fn every_edit_mends_what_it_is_offered_for() {
    let mut wrong = String::new();
    let mut tried = 0;
    for (name, text) in texts() {
        let (findings, unread) = found(&text);
        for finding in &findings {
            let Some(mended) = mended(&text, finding) else {
                continue;
            };
            tried += 1;
            let (after, unread_after) = found(&mended);
            let is_same = |other: &&Finding| {
                other.rule == finding.rule && other.fault.fact == finding.fault.fact
            };
            let count = |all: &[Finding]| all.iter().filter(is_same).count();
            if count(&after) >= count(&findings) {
                let _ = writeln!(
                    wrong,
                    "{name}: {} stays: {}",
                    finding.rule, finding.fault.fact
                );
            }
            if unread_after > unread {
                let _ = writeln!(
                    wrong,
                    "{name}: {} leaves a line that cannot be read",
                    finding.rule
                );
            }
        }
    }
    assert!(tried > 20, "only {tried} edits were offered");
    assert!(wrong.is_empty(), "\n{wrong}");
}
