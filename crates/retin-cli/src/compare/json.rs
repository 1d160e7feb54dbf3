//! The differences for programs; described in syntax/output.md.

use crate::check::found::{Spot, Text};
use crate::check::json::{Range, range};
use crate::version::Version;
use retin::compare::{self, Change};
use serde::Serialize;
use std::io::{self, Write};
use std::sync::Arc;

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Document<'c> {
    form: &'static str,
    version: u32,
    tool: Tool,
    old: &'c str,
    new: &'c str,
    only_layout_differs: bool,
    changes: Vec<Difference<'c>>,
}

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct Difference<'c> {
    topic: &'static str,
    board: Option<&'c str>,
    subject: String,
    aspect: &'c str,
    sentence: String,
    old: Option<Side<'c>>,
    new: Option<Side<'c>>,
}

#[derive(Serialize)]
struct Side<'c> {
    text: &'c str,
    at: Range,
}

/// Prints one object.
pub fn print(
    changes: &[Change],
    [old, new]: [&Version; 2],
    only_layout_differs: bool,
    out: &mut impl Write,
) -> io::Result<()> {
    let document = Document {
        form: "retin-compare",
        version: 1,
        tool: Tool {
            name: env!("CARGO_BIN_NAME"),
            version: env!("CARGO_PKG_VERSION"),
        },
        old: &old.name,
        new: &new.name,
        only_layout_differs,
        changes: changes
            .iter()
            .map(|change| Difference {
                topic: change.topic.word(),
                board: change.board.as_deref(),
                subject: change.subject(),
                aspect: &change.aspect,
                sentence: change.sentence(),
                old: change.old.as_ref().map(|side| side_of(side, old)),
                new: change.new.as_ref().map(|side| side_of(side, new)),
            })
            .collect(),
    };
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn side_of<'c>(side: &'c compare::Side, version: &Version) -> Side<'c> {
    let spot = Spot {
        text: Arc::new(Text::of(version.sources.file(side.origin.file))),
        span: side.origin.span,
    };
    Side {
        text: &side.text,
        at: range(&spot, &|path| version.name_of(path)),
    }
}
