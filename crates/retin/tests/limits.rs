//! Limits on what files say together: the names of a range, and files in a chain.

use retin::check::check;
use retin::meaning::Case;
use retin::sources::{FileId, SourceFile, Sources};
use retin_syntax::limits::{RANGE_MEMBERS, USE_DEPTH};
use std::sync::Arc;

/// What is found, each with the file and the text it is found at.
fn found(sources: &Sources) -> Vec<(u32, String, &'static str, String)> {
    let case = Case::build(sources, FileId(0));
    let findings = check(&case).findings.into_iter();
    findings
        .map(|finding| {
            let origin = finding.fault.origin;
            (
                origin.file.0,
                sources.text(origin).to_owned(),
                finding.rule,
                finding.fault.fact,
            )
        })
        .collect()
}

fn of_one(text: String) -> Sources {
    let mut sources = Sources::new();
    sources.add(Arc::new(SourceFile::new("a.retin".into(), text)));
    sources
}

#[test]
fn a_range_may_stand_for_10000_names() {
    let board =
        |last: usize| format!("model a \"A\"\n\nboard psu\n  resistor\n    R1..R{last} 1kohm\n");
    let within = of_one(board(RANGE_MEMBERS));
    assert_eq!(found(&within), []);
    assert_eq!(Case::build(&within, FileId(0)).parts.len(), RANGE_MEMBERS);
    let told = |text: &str| {
        [(
            0,
            text.to_owned(),
            "out-of-place",
            format!("`{text}` stands for more than 10000 names"),
        )]
    };
    assert_eq!(found(&of_one(board(RANGE_MEMBERS + 1))), told("R1..R10001"));
    // Names beyond any number are counted no further.
    let beyond = "R1..R99999999999999999999";
    let text = board(1) + &format!("\njob 1 \"A serial 5\"\n  model a\n\nplan\n  keep {beyond}\n");
    assert_eq!(found(&of_one(text)), told(beyond));
}

/// A chain of files, each using the next.
fn chain(files: usize) -> Sources {
    let mut sources = Sources::new();
    for file in 0..files {
        let text = match file + 1 {
            next if next < files => format!("use \"{next}.retin\"\n"),
            _ => "board last\n  resistor\n    R1 1kohm\n".to_owned(),
        };
        sources.add(Arc::new(SourceFile::new(format!("{file}.retin"), text)));
    }
    sources
}

#[test]
fn a_chain_may_have_32_files() {
    let within = chain(USE_DEPTH);
    assert_eq!(found(&within), []);
    assert_eq!(Case::build(&within, FileId(0)).boards.len(), 1);
    let beyond = chain(USE_DEPTH + 1);
    assert_eq!(
        found(&beyond),
        [(
            USE_DEPTH as u32 - 1,
            "\"32.retin\"".into(),
            "cannot-use",
            "this is the end of a chain of 32 files that use one another, and no longer chain is read".into()
        )]
    );
    assert!(Case::build(&beyond, FileId(0)).boards.is_empty());
}

/// A file that another one uses and that could not be read is told at the `use` line,
/// with the reason and the place that whoever reads files gives.
#[test]
fn a_file_that_is_no_text_is_told_where_it_is_used() {
    let mut sources = of_one("use \"shelf.retin\"\n\njob 1 \"A serial 5\"\n".into());
    let reason = "it is not UTF-8 text: byte 17 (line 3) is 0xff; save it as UTF-8";
    sources.refuse("shelf.retin".into(), reason.into());
    assert_eq!(
        found(&sources),
        [(
            0,
            "\"shelf.retin\"".into(),
            "cannot-use",
            format!("the file `shelf.retin` cannot be read: {reason}")
        )]
    );
}
