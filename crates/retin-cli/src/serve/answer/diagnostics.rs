//! Findings, pushed or asked for.

use crate::serve::room::{Here, Room};
use retin::editor::diagnostics::{Diagnostic as Found, Tag, diagnostics};
use retin::finding::Severity;
use retin::sources::FileId;
use std::collections::BTreeMap;
use std::path::PathBuf;
use tower_lsp::lsp_types::{
    Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag, NumberOrString,
    Url,
};

/// The findings in one file, each with its place in the report.
pub fn of_file(here: &Here<'_, '_, '_>) -> Vec<(usize, Diagnostic)> {
    diagnostics(here.snapshot, here.file)
        .into_iter()
        .map(|found| (found.finding, diagnostic(here, found)))
        .collect()
}

/// What a root says of each of its files.
pub fn of_root(room: &Room<'_, '_>, index: usize) -> BTreeMap<PathBuf, Vec<Diagnostic>> {
    let root = &room.roots()[index];
    let mut said = BTreeMap::new();
    let mut with_findings: Vec<FileId> = room
        .snapshot(index)
        .report
        .findings
        .iter()
        .map(|finding| finding.fault.origin.file)
        .collect();
    with_findings.sort_unstable();
    with_findings.dedup();
    for file in with_findings {
        let all = of_file(&room.file(index, file));
        let all = all.into_iter().map(|(_, diagnostic)| diagnostic).collect();
        said.insert(root.path_of(file).to_owned(), all);
    }
    said
}

/// What all roots say of one document.
pub fn of_document(room: &Room<'_, '_>, uri: &Url) -> Vec<Diagnostic> {
    let path = room.desk.path_of(uri);
    let mut all: Vec<Diagnostic> = Vec::new();
    for (index, root) in room.roots().iter().enumerate() {
        let Some(file) = root.find(&path) else {
            continue;
        };
        if !room.speaks_for_itself(index) {
            continue;
        }
        for (_, diagnostic) in of_file(&room.file(index, file)) {
            if !all.contains(&diagnostic) {
                all.push(diagnostic);
            }
        }
    }
    all
}

fn diagnostic(here: &Here<'_, '_, '_>, found: Found) -> Diagnostic {
    let related: Vec<DiagnosticRelatedInformation> = found
        .related
        .into_iter()
        .filter_map(|(origin, message)| {
            Some(DiagnosticRelatedInformation {
                location: here.location(origin)?,
                message,
            })
        })
        .collect();
    let tags: Vec<DiagnosticTag> = found
        .tags
        .iter()
        .map(|tag| match tag {
            Tag::Unnecessary => DiagnosticTag::UNNECESSARY,
        })
        .collect();
    Diagnostic {
        range: here.range(found.origin.span),
        severity: Some(match found.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
            Severity::Note => DiagnosticSeverity::INFORMATION,
        }),
        code: Some(NumberOrString::String(found.rule.to_owned())),
        source: Some("retin".to_owned()),
        message: found.message,
        related_information: (!related.is_empty()).then_some(related),
        tags: (!tags.is_empty()).then_some(tags),
        ..Diagnostic::default()
    }
}
