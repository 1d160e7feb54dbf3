//! The documents that are looked at, and where they are put.

use retin::meaning::Case;
use retin::sheets::settings::Paper;
use retin::sheets::{CheckedJob, Document, FileRevision, Settings, find};
use retin::sheets::{Make, page::PageSetting};
use retin::sources::{SourceFile, Sources};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

/// A sheet of one job that is written in one text.
pub fn sheet_of(kind: &str, text: &str, settings: &Settings) -> Document {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text.into())));
    made(kind, &Case::build(&sources, root), settings)
}

/// A sheet of a shipped job, by its path from the folder of the examples.
pub fn sheet_of_shipped(kind: &str, path: &str, settings: &Settings) -> Document {
    let read = |path: &str| {
        let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples");
        let text = std::fs::read_to_string(examples.join(path)).expect("an example can be read");
        Arc::new(SourceFile::new(path.to_owned(), text))
    };
    let mut sources = Sources::new();
    let root = sources.add(read(path));
    while let Some(path) = sources.wanted().map(str::to_owned) {
        sources.add(read(&path));
    }
    made(kind, &Case::build(&sources, root), settings)
}

fn made(kind: &str, case: &Case<'_>, settings: &Settings) -> Document {
    let job = CheckedJob::of(case, FileRevision::NotInGit).expect("the text holds a job");
    let sheet = find(kind).expect("the kind of sheet is known");
    let made = match sheet.make {
        Make::One(make) => make(&job, settings),
        Make::Several(make) => make(&[job], settings),
        Make::Two(make) => make([&job, &job], settings),
    };
    made.expect("nothing is asked for that is not there")
}

/// A document as a PDF file.
pub fn pdf_file(name: &str, document: &Document, setting: PageSetting) -> PathBuf {
    let pdf = retin_paper::pdf(document, setting, &|_| None).expect("every document can be set");
    file(&format!("{name}.pdf"), &pdf.bytes)
}

/// A document as an HTML file.
pub fn html_file(name: &str, document: &Document, setting: PageSetting) -> PathBuf {
    let html = retin_paper::html(document, setting, &|_| None);
    file(&format!("{name}.html"), html.as_bytes())
}

/// A file of these bytes.
pub fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("paper");
    std::fs::create_dir_all(&folder).expect("the folder of the tests can be written");
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("the folder of the tests can be written");
    path
}

/// What pdftotext of poppler reads from a file, asked in its own words.
pub fn read_by_pdftotext(path: &Path, options: &[&str]) -> String {
    let output = Command::new("pdftotext")
        .args(options)
        .args(["-enc", "UTF-8"])
        .arg(path)
        .arg("-")
        .output()
        .expect("pdftotext runs; sh tests/paper/install.sh installs it");
    assert!(output.status.success());
    String::from_utf8(output.stdout).expect("it was asked for UTF-8")
}

/// A kind of page as the pages and the sheets are asked for it.
pub fn asked(paper: Paper, is_big: bool) -> (PageSetting, Settings) {
    let settings = Settings {
        paper,
        is_big,
        ..Settings::default()
    };
    (PageSetting { paper, is_big }, settings)
}

/// What is looked at, in words.
pub fn told(sheet: &str, job: &str, setting: PageSetting) -> String {
    let big = if setting.is_big { ", big" } else { "" };
    format!("{sheet} of {job}, {}{big}", setting.paper.name())
}
