//! Findings in the Static Analysis Results Interchange Format, SARIF 2.1.0, an
//! OASIS standard that code hosts and editors read. Paths are from the
//! workspace's root, which readers take `%SRCROOT%` for.

use super::found::{Found, Outcome, Spot};
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use retin::finding::Severity;
use retin::rules::{RULES, Rule};
use serde::Serialize;
use std::collections::BTreeMap;
use std::io::{self, Write};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
const VERSION: &str = "2.1.0";
const ROOT: &str = "%SRCROOT%";
/// Names the way in which [`fingerprint`] is made.
const FINGERPRINT: &str = "ruleFileSubjectValues/v1";
/// What is written as `%41` in a path; `/` parts folders.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'/')
    .remove(b'-')
    .remove(b'_')
    .remove(b'.')
    .remove(b'~');

#[derive(Serialize)]
struct Log<'o> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'o>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'o> {
    tool: Tool,
    invocations: [Invocation; 1],
    original_uri_base_ids: BTreeMap<&'static str, BaseLocation>,
    column_kind: &'static str,
    results: Vec<SarifResult<'o>>,
}

#[derive(Serialize)]
struct BaseLocation {
    description: Message,
}

#[derive(Serialize)]
struct Tool {
    driver: Driver,
}

#[derive(Serialize)]
struct Driver {
    name: &'static str,
    version: &'static str,
    rules: Vec<ReportingDescriptor>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ReportingDescriptor {
    id: &'static str,
    short_description: Message,
    full_description: Message,
    help: Message,
    default_configuration: Configuration,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Invocation {
    execution_successful: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    tool_execution_notifications: Vec<Notification>,
}

#[derive(Serialize)]
struct Notification {
    level: &'static str,
    message: Message,
}

#[derive(Serialize)]
struct Message {
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    markdown: Option<String>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct SarifResult<'o> {
    rule_id: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rule_index: Option<usize>,
    level: &'static str,
    message: Message,
    locations: [Location; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<Fix<'o>>,
    partial_fingerprints: BTreeMap<&'static str, String>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Message>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct PhysicalLocation {
    artifact_location: ArtifactLocation,
    region: Region,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ArtifactLocation {
    uri: String,
    uri_base_id: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: u32,
    start_column: u32,
    end_line: u32,
    end_column: u32,
    byte_offset: u32,
    byte_length: u32,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Fix<'o> {
    description: Message,
    artifact_changes: Vec<ArtifactChange<'o>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ArtifactChange<'o> {
    artifact_location: ArtifactLocation,
    replacements: Vec<Replacement<'o>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Replacement<'o> {
    deleted_region: Region,
    inserted_content: Content<'o>,
}

#[derive(Serialize)]
struct Content<'o> {
    text: &'o str,
}

/// Prints one log with one run.
///
/// # Errors
/// When the output cannot be written.
pub fn print(outcome: &Outcome, out: &mut impl Write) -> io::Result<()> {
    let base = BaseLocation {
        description: plain("the workspace: the folder that holds everything the jobs use"),
    };
    let log = Log {
        schema: SCHEMA,
        version: VERSION,
        runs: [Run {
            tool: Tool {
                driver: Driver {
                    name: "retin",
                    version: env!("CARGO_PKG_VERSION"),
                    rules: RULES.iter().map(descriptor).collect(),
                },
            },
            invocations: [invocation(outcome)],
            original_uri_base_ids: BTreeMap::from([(ROOT, base)]),
            column_kind: "unicodeCodePoints",
            results: outcome.found.iter().map(result).collect(),
        }],
    };
    serde_json::to_writer_pretty(&mut *out, &log)?;
    writeln!(out)
}

fn plain(text: impl Into<String>) -> Message {
    Message {
        text: text.into(),
        markdown: None,
    }
}

fn descriptor(rule: &Rule) -> ReportingDescriptor {
    ReportingDescriptor {
        id: rule.name,
        short_description: plain(sentence(rule.summary)),
        full_description: plain(format!(
            "{} An error {}.",
            sentence(rule.summary),
            rule.at.phrase()
        )),
        help: Message {
            text: rule.page.into(),
            markdown: Some(rule.page.into()),
        },
        default_configuration: Configuration { level: "error" },
    }
}

fn invocation(outcome: &Outcome) -> Invocation {
    Invocation {
        execution_successful: outcome.unreadable.is_empty(),
        tool_execution_notifications: outcome
            .unreadable
            .iter()
            .map(|unreadable| Notification {
                level: "error",
                message: plain(format!(
                    "{} cannot be read: {}",
                    unreadable.path, unreadable.reason
                )),
            })
            .collect(),
    }
}

fn result(found: &Found) -> SarifResult<'_> {
    SarifResult {
        rule_id: found.rule,
        rule_index: RULES.iter().position(|rule| rule.name == found.rule),
        level: match found.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        },
        message: plain(
            [&found.fact, &found.consequence, &found.remedy]
                .map(|part| sentence(part))
                .join(" ")
                .trim_end(),
        ),
        locations: [location(&found.at, None)],
        related_locations: found
            .related
            .iter()
            .map(|(spot, text)| location(spot, Some(text)))
            .collect(),
        fixes: found.fix.iter().map(fix).collect(),
        partial_fingerprints: BTreeMap::from([(FINGERPRINT, fingerprint(found))]),
    }
}

/// What stays the same while lines are moved about in a file.
fn fingerprint(found: &Found) -> String {
    let values = found
        .values
        .as_deref()
        .unwrap_or_else(|| found.at.span.of(&found.at.text.text));
    format!(
        "{}:{}:{}:{values}",
        found.rule, found.at.text.path, found.subject
    )
}

fn fix(fix: &super::found::Fix) -> Fix<'_> {
    let mut changes: Vec<ArtifactChange<'_>> = Vec::new();
    for (spot, text) in &fix.edits {
        let replacement = Replacement {
            deleted_region: region(spot),
            inserted_content: Content { text },
        };
        let artifact = artifact(spot);
        match changes
            .iter_mut()
            .find(|change| change.artifact_location.uri == artifact.uri)
        {
            Some(change) => change.replacements.push(replacement),
            None => {
                changes.push(ArtifactChange {
                    artifact_location: artifact,
                    replacements: vec![replacement],
                });
            }
        }
    }
    Fix {
        description: plain(sentence(&fix.title)),
        artifact_changes: changes,
    }
}

fn location(spot: &Spot, text: Option<&String>) -> Location {
    Location {
        physical_location: PhysicalLocation {
            artifact_location: artifact(spot),
            region: region(spot),
        },
        message: text.map(|text| plain(sentence(text))),
    }
}

fn artifact(spot: &Spot) -> ArtifactLocation {
    ArtifactLocation {
        uri: utf8_percent_encode(&spot.text.path, ENCODED).to_string(),
        uri_base_id: ROOT,
    }
}

fn region(spot: &Spot) -> Region {
    let (start, end) = (
        spot.text.position(spot.span.start),
        spot.text.position(spot.span.end),
    );
    Region {
        start_line: start.line,
        start_column: start.column,
        end_line: end.line,
        end_column: end.column,
        byte_offset: start.byte,
        byte_length: end.byte - start.byte,
    }
}

/// A sentence with its full stop.
fn sentence(text: &str) -> String {
    if text.is_empty() || text.ends_with(['.', '?', '!']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}
