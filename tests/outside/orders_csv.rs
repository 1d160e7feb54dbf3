//! The order list's table for a spreadsheet, read back by another program: the
//! `csv` module of Python's library, which knows nothing of this one.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

use retin::meaning::Case;
use retin::sheets::orders::orders_csv;
use retin::sheets::{CheckedJob, FileRevision, Settings};
use retin::sources::{SourceFile, Sources};
use retin_tests::python;
use serde_json::Value;
use std::sync::Arc;

/// Names that a spreadsheet would run, break a line at, or end a cell at.
const JOB: &str = "\
model a \"Receiver\"

board b \"Board\"
  electrolytic
    =C1, @C2 10uF 25V
    +C3      47uF 25V
    C4       47uF 25V

shelf s \"Shelf; with, signs\"
  electrolytic
    =HYPERLINK 10uF 25V maker \"@SUM(1,2)\" have 0 12 at 0.125 EUR
    +E-47      47uF 25V maker \"-2+3; ＝1\"  have 0 1 at 30 JPY bin =A1

job \"=1+1\" \"Receiver\"
  model a

plan
  replace b.=C1, b.@C2 with =HYPERLINK
  replace b.+C3 with +E-47
  replace b.C4 with device \"=cmd|' /C calc'!A0\" 47uF 35V
";

/// Prints the rows of the table as JSON.
const READER: &str = "
import csv, io, json, sys
rows = list(csv.DictReader(io.StringIO(sys.stdin.buffer.read().decode('utf-8'), newline=''), strict=True))
print(json.dumps(rows))
";

fn rows() -> Vec<serde_json::Map<String, Value>> {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), JOB.into())));
    let case = Case::build(&sources, root);
    assert_eq!(case.problems, []);
    let job = CheckedJob::of(&case, FileRevision::NotInGit).unwrap();
    let table = orders_csv(&[job], &Settings::default()).unwrap();
    let rows: Value = serde_json::from_str(&python::run(READER, &table)).unwrap();
    let rows = rows.as_array().unwrap().clone();
    rows.into_iter()
        .map(|row| row.as_object().unwrap().clone())
        .collect()
}

/// CWE-1236: a cell that begins with `=`, `+`, `-` or `@` is run as a formula; tab
/// and line end before it, as reported from the OWASP page on the same.
#[test]
fn no_cell_begins_as_a_formula() {
    let rows = rows();
    assert_eq!(rows.len(), 3);
    for (head, cell) in rows.iter().flatten() {
        // Rows of another length would have no head, or cells that are none.
        let cell = cell.as_str().unwrap();
        assert!(!head.is_empty());
        let signs = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];
        assert!(!cell.trim_start().starts_with(signs), "{head}: {cell:?}");
    }
}

#[test]
fn numbers_are_numbers_and_words_are_whole() {
    let rows = rows();
    let of = |row: usize, head: &str| rows[row][head].as_str().unwrap().to_owned();
    let number = |row: usize, head: &str| of(row, head).parse::<f64>().unwrap();
    assert_eq!(of(0, "part"), "'=HYPERLINK");
    assert_eq!(of(0, "maker"), "'@SUM(1,2)");
    assert_eq!(number(0, "need"), 2.0);
    assert_eq!(number(0, "buy"), 12.0);
    assert_eq!(number(0, "each"), 0.125);
    assert_eq!(number(0, "sum"), 1.5);
    assert_eq!(of(0, "currency"), "EUR");
    assert_eq!(of(1, "part"), "'+E-47");
    assert_eq!(number(1, "sum"), 60.0);
    assert!(of(2, "what").contains("=cmd|' /C calc'!A0"));
    assert_eq!(number(2, "need"), 1.0);
}
