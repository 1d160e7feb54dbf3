//! The HTML in a real browser: printed, and on a screen at twice the size.

use crate::sheets::{file, html_file, sheet_of};
use retin::sheets::{Settings, page::PageSetting};
use retin_tests::specimen::{MAPPED_JOB, document};
use std::path::Path;
use std::process::Command;

/// Runs Chromium without a window.
fn chromium(arguments: &[&str]) -> String {
    let profile = tempfile::tempdir().expect("a folder for the browser's profile");
    let output = Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--allow-file-access-from-files",
            "--no-pdf-header-footer",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .args(arguments)
        .output()
        .expect("chromium runs; sh tests/paper/install.sh installs it");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Prints a page as the browser does.
fn printed(name: &str, page: &Path) -> std::path::PathBuf {
    let path = file(&format!("{name}-printed.pdf"), b"");
    chromium(&[
        &format!("--print-to-pdf={}", path.display()),
        &format!("file://{}", page.display()),
    ]);
    path
}

/// Sizes of the pages of a PDF and its straight level lines, in millimetres.
const MEASURE: &str = r#"
import sys, pdfplumber
with pdfplumber.open(sys.stdin.read()) as pdf:
    for page in pdf.pages:
        print("page", round(page.width * 25.4 / 72, 1), round(page.height * 25.4 / 72, 1))
        for line in page.lines + page.curves + page.rects:
            print("wide", line["width"] * 25.4 / 72)
"#;

/// How many pages are of a size, in millimetres: the browser rounds it to a dot.
fn pages_of(found: &str, width: f64, height: f64) -> usize {
    let pages = found.lines().filter_map(|line| {
        let mut numbers = line
            .strip_prefix("page ")?
            .split(' ')
            .map(str::parse::<f64>);
        Some((numbers.next()?.ok()?, numbers.next()?.ok()?))
    });
    pages
        .filter(|page| (page.0 - width).abs() < 0.3 && (page.1 - height).abs() < 0.3)
        .count()
}

#[test]
fn a_printed_map_is_at_true_scale() {
    let map = sheet_of("map", MAPPED_JOB, &Settings::default());
    let page = html_file("browser-map", &map, PageSetting::default());
    let found = retin_tests::python::run(MEASURE, &printed("map", &page).to_string_lossy());
    let wides = found
        .lines()
        .filter_map(|line| line.strip_prefix("wide ")?.parse::<f64>().ok());
    let rules = wides.filter(|wide| (wide - 50.0).abs() < 0.05).count();
    assert!(rules >= 2, "no rule of 50 mm on both sides:\n{found}");
    assert!(pages_of(&found, 210.0, 297.0) > 0, "{found}");
}

#[test]
fn printing_gives_the_pages_their_size_and_their_number() {
    let mut document = document();
    let page = html_file("browser-specimen", &document, PageSetting::default());
    let found = retin_tests::python::run(MEASURE, &printed("specimen", &page).to_string_lossy());
    let pages = found
        .lines()
        .filter(|line| line.starts_with("page "))
        .count();
    assert_eq!(pages_of(&found, 210.0, 297.0), pages, "{found}");
    // The pages before the labels, their sheet, and the page after them.
    let pdf =
        retin_paper::pdf(&document, PageSetting::default(), &|_| None).expect("it can be set");
    assert!(
        pages.abs_diff(pdf.pages) <= 1,
        "{pages} pages printed, {} set",
        pdf.pages
    );
    document.is_landscape = true;
    document
        .blocks
        .retain(|block| !matches!(block, retin::sheets::document::Block::Labels(_)));
    let page = html_file("browser-side", &document, PageSetting::default());
    let found = retin_tests::python::run(MEASURE, &printed("side", &page).to_string_lossy());
    let pages = found
        .lines()
        .filter(|line| line.starts_with("page "))
        .count();
    assert_eq!(pages_of(&found, 297.0, 210.0), pages, "{found}");
}

#[test]
fn at_twice_the_size_nothing_has_to_be_pushed_aside() {
    let setting = PageSetting::default();
    let map = sheet_of("map", MAPPED_JOB, &Settings::default());
    for (name, document) in [("zoom-specimen", &document()), ("zoom-map", &map)] {
        let page = html_file(name, document, setting);
        // A window of 1280 dots at 200 % shows 640 of them. The script is the
        // test's: the page has none.
        let frame = format!(
            "<!DOCTYPE html><title>x</title><iframe src=\"file://{}\" width=\"640\" height=\"900\" \
             style=\"border:0\" onload=\"document.title = 'wide ' + \
             this.contentDocument.documentElement.scrollWidth + ' of ' + \
             this.contentDocument.documentElement.clientWidth\"></iframe>",
            page.display()
        );
        let frame = file(&format!("{name}-frame.html"), frame.as_bytes());
        let dom = chromium(&[
            "--virtual-time-budget=10000",
            "--dump-dom",
            &format!("file://{}", frame.display()),
        ]);
        let measured = dom
            .split("<title>")
            .nth(1)
            .and_then(|rest| rest.split("</title>").next())
            .unwrap_or_default();
        let numbers: Vec<u32> = measured
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        assert!(
            numbers.len() == 2 && numbers[1] > 300,
            "not measured: {measured}"
        );
        assert!(numbers[0] <= numbers[1], "{name}: {measured}");
    }
}
