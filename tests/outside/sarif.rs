//! The SARIF output against the published schema, and against another
//! program's reader.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

use retin_tests::{command, python};
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

const SCHEMA: &str = include_str!("sarif/sarif-2.1.0-rtm.5.json");

/// This edition of the schema has a bracket too many in the pattern of a field
/// that Retin does not write, so that it is no valid schema itself.
const SLIP: &str = "^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$";
const MENDED: &str = "^[a-zA-Z]{2}(-[a-zA-Z]{2})?$";

const JOB: &str = "\
use \"modèle µ.retin\"

job 1 \"Receiver serial 7\"
  model rx

shelf drawers \"Drawers\"
  electrolytic 105°C radial 20%
    E-100-25  100uF 25V  5x11 p2

plan
  replace if.C1 with E-100-25
  keep if.C22
";

const MODEL: &str = "\
model rx \"Receiver\"

board if \"µ strip\"
  rail V12  12V ±5%
  rail GND  0V
  electrolytic
    C1  10uF 25V  5x11 p2  (+ GND, - V12)
      silk + north
    C2  10uF 25V  5x11 p2  (+ V12, - GND)
";

/// A job with mistakes, whose files have names that a URI has to encode.
fn logs(forms: [&str; 2]) -> [Value; 2] {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("a job #1.retin"), JOB).unwrap();
    fs::write(folder.path().join("modèle µ.retin"), MODEL).unwrap();
    fs::write(folder.path().join("latin.retin"), b"\xfc").unwrap();
    forms.map(|form| {
        let output = command::retin(folder.path(), &["check", "--output", form]);
        assert_eq!(output.status.code(), Some(2), "{output:?}");
        serde_json::from_slice(&output.stdout).unwrap()
    })
}

/// What the published schema has against a log.
fn complaints(log: &Value) -> Vec<String> {
    let mended = SCHEMA.replace(SLIP, MENDED);
    assert_ne!(
        SCHEMA, mended,
        "the schema no longer has the slip that is mended here"
    );
    let schema: Value = serde_json::from_str(&mended).unwrap();
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap();
    validator
        .iter_errors(log)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

#[test]
fn the_log_is_valid_by_the_published_schema() {
    let [log, _] = logs(["sarif", "json"]);
    assert_eq!(complaints(&log), Vec::<String>::new());
    let results = log["runs"][0]["results"].as_array().unwrap();
    assert!(
        results.iter().any(|result| result["fixes"].is_array()),
        "no result with a fix was tried"
    );
    assert!(
        results
            .iter()
            .any(|result| result["relatedLocations"].is_array()),
        "nor one with a second place"
    );
    assert_eq!(
        log["runs"][0]["invocations"][0]["executionSuccessful"],
        false
    );
}

#[test]
fn the_schema_is_one_that_complains() {
    let [log, _] = logs(["sarif", "json"]);
    let spoil = |pointer: &str, value: Value| {
        let mut spoiled = log.clone();
        *spoiled.pointer_mut(pointer).unwrap() = value;
        complaints(&spoiled)
    };
    assert!(!spoil("/runs/0/results/0/level", "grave".into()).is_empty());
    assert!(
        !spoil(
            "/runs/0/results/0/locations/0/physicalLocation/region/startLine",
            0.into()
        )
        .is_empty()
    );
    assert!(!spoil("/runs/0/tool", Value::Null).is_empty());
}

/// Blanks, `#` and what is not ASCII are written as RFC 3986, section 2.1, says.
#[test]
fn paths_are_written_as_a_uri() {
    let [log, _] = logs(["sarif", "json"]);
    let mut uris: Vec<&str> = log["runs"][0]["results"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|result| {
            result
                .pointer("/locations/0/physicalLocation/artifactLocation/uri")?
                .as_str()
        })
        .collect();
    uris.sort_unstable();
    uris.dedup();
    assert_eq!(uris, ["a%20job%20%231.retin", "mod%C3%A8le%20%C2%B5.retin"]);
}

/// sarif-tools has its own notion of where the file, the line, the severity
/// and the rule of a result stand.
#[test]
fn another_reader_sees_the_same_findings() {
    const READER: &str = "
import datetime, json, sys, urllib.parse
from sarif.sarif_file import SarifFile
log = SarifFile('log.sarif', json.load(sys.stdin), datetime.datetime(2000, 1, 1))
for record in log.get_records():
    print(urllib.parse.unquote(record['Location']), record['Line'], record['Severity'], record['Code'], sep='|')
";
    let [sarif, json] = logs(["sarif", "json"]);
    let mut seen: Vec<String> = python::run(READER, &sarif.to_string())
        .lines()
        .map(str::to_owned)
        .collect();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let mut told: Vec<String> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| {
            let at = &finding["at"];
            let (file, line) = (text(&at["file"]), &at["start"]["line"]);
            format!(
                "{file}|{line}|{}|{}",
                text(&finding["severity"]),
                text(&finding["rule"])
            )
        })
        .collect();
    seen.sort();
    told.sort();
    assert!(told.len() > 2, "{told:?}");
    assert_eq!(seen, told);
}
