//! Findings, pushed or asked for.

use crate::serve::room::{Here, Room};
use retin::editor::diagnostics::{Diagnostic as Found, Tag, diagnostics};
use retin::finding::Severity;
use retin::sources::FileId;
use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use tower_lsp::lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    DocumentDiagnosticReport, DocumentDiagnosticReportKind, DocumentDiagnosticReportResult,
    FullDocumentDiagnosticReport, NumberOrString, RelatedFullDocumentDiagnosticReport,
    RelatedUnchangedDocumentDiagnosticReport, UnchangedDocumentDiagnosticReport, Url,
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

/// What is found in a document, for an editor that asks; where it takes that,
/// with what is found in the files it uses that are not open.
pub fn report(
    room: &Room<'_, '_>,
    uri: &Url,
    known: Option<&str>,
    takes_related: bool,
) -> DocumentDiagnosticReportResult {
    let path = room.desk.path_of(uri);
    let full = of_path(room, &path);
    let related_documents = takes_related.then(|| related(room, &path));
    let report = match full.result_id.as_deref() {
        Some(id) if known == Some(id) => {
            DocumentDiagnosticReport::Unchanged(RelatedUnchangedDocumentDiagnosticReport {
                related_documents,
                unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                    result_id: id.to_owned(),
                },
            })
        }
        _ => DocumentDiagnosticReport::Full(RelatedFullDocumentDiagnosticReport {
            related_documents,
            full_document_diagnostic_report: full,
        }),
    };
    DocumentDiagnosticReportResult::Report(report)
}

/// What is found in a file, known by what it says.
fn of_path(room: &Room<'_, '_>, path: &Path) -> FullDocumentDiagnosticReport {
    let items = of_document(room, path);
    let mut hasher = DefaultHasher::new();
    format!("{items:?}").hash(&mut hasher);
    FullDocumentDiagnosticReport {
        result_id: Some(format!("{:x}", hasher.finish())),
        items,
    }
}

/// What is found in the files that a document uses; an open one is asked for by itself.
fn related(room: &Room<'_, '_>, path: &Path) -> HashMap<Url, DocumentDiagnosticReportKind> {
    let root = room.roots().iter().find(|root| root.path == path);
    root.into_iter()
        .flat_map(|root| root.paths())
        .filter(|used| used.as_path() != path && room.desk.document(used).is_none())
        .filter_map(|used| {
            let report = DocumentDiagnosticReportKind::Full(of_path(room, used));
            Some((room.desk.uri_of(used)?, report))
        })
        .collect()
}

/// What all roots say of one document.
fn of_document(room: &Room<'_, '_>, path: &Path) -> Vec<Diagnostic> {
    let mut all: Vec<Diagnostic> = Vec::new();
    for (index, root) in room.roots().iter().enumerate() {
        let Some(file) = root.find(path) else {
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
            Tag::Deprecated => DiagnosticTag::DEPRECATED,
        })
        .collect();
    let pages = here.room.desk.pages.as_ref();
    let page = pages.and_then(|pages| pages.of(found.rule));
    Diagnostic {
        range: here.range(found.origin.span),
        severity: Some(match found.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
            Severity::Note => DiagnosticSeverity::INFORMATION,
        }),
        code: Some(NumberOrString::String(found.rule.to_owned())),
        code_description: page.map(|href| CodeDescription { href }),
        source: Some("retin".to_owned()),
        message: found.message,
        related_information: (!related.is_empty()).then_some(related),
        tags: (!tags.is_empty()).then_some(tags),
        ..Diagnostic::default()
    }
}
