//! The forms for programs: what a reader may rely on.

#![allow(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on has failed it"
)]

mod bench;

use bench::Bench;
use serde_json::{Value, json};

/// One document with mistakes and a file that cannot be read.
fn document(form: &str) -> Value {
    let bench = Bench::with_mistakes();
    bench.write("jobs/latin.retin", b"job 1 \"\xfc\"\n");
    let (out, _) = bench.run(&["check", "--output", form], 2);
    serde_json::from_str(&out).unwrap()
}

#[test]
fn json_has_the_form_that_is_described() {
    let mut document = document("json");
    document["tool"]["version"] = json!("…");
    // Every new rule has counts here; two are enough to see their form.
    for checked in document["checked"].as_array_mut().unwrap() {
        let rules = checked["rules"].as_array_mut().unwrap();
        rules.retain(|rule| {
            ["value-mismatch", "unknown-name"].contains(&rule["rule"].as_str().unwrap())
        });
    }
    insta::assert_snapshot!(serde_json::to_string_pretty(&document).unwrap());
}

#[test]
fn every_field_that_is_printed_is_described() {
    let page = include_str!("../../../syntax/output.md");
    let mut fields = Vec::new();
    names(&document("json"), &mut fields);
    for field in fields {
        assert!(
            page.contains(&format!("`{field}`")),
            "`{field}` is not described in syntax/output.md"
        );
    }
}

fn names(value: &Value, fields: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, value) in members {
                fields.push(name.clone());
                names(value, fields);
            }
        }
        Value::Array(members) => members.iter().for_each(|member| names(member, fields)),
        _ => {}
    }
}

#[test]
fn json_places_lead_to_the_text_they_are_about() {
    let document = document("json");
    let about = |rule: &str| {
        let findings = document["findings"].as_array().unwrap();
        let at = &findings
            .iter()
            .find(|finding| finding["rule"] == rule)
            .unwrap()["at"];
        let text = match at["file"].as_str().unwrap() {
            "jobs/26-007.retin" => bench::JOB,
            "models/rx3.retin" => bench::MODEL,
            other => panic!("{other}"),
        };
        let byte = |end: &str| at[end]["byte"].as_u64().unwrap() as usize;
        text[byte("start")..byte("end")].to_owned()
    };
    assert_eq!(about("unknown-name"), "if.C33");
}

#[test]
fn sarif_has_its_form() {
    let mut document = document("sarif");
    let driver = &mut document["runs"][0]["tool"]["driver"];
    driver["version"] = json!("…");
    driver["rules"]
        .as_array_mut()
        .unwrap()
        .retain(|rule| rule["id"] == "unknown-name");
    driver["rules"][0]["help"] = json!("…");
    for result in document["runs"][0]["results"].as_array_mut().unwrap() {
        result["ruleIndex"] = json!("…");
    }
    insta::assert_snapshot!(serde_json::to_string_pretty(&document).unwrap());
}
