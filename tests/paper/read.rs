//! What other programs read in the PDF: lengths by pdfplumber, text by pypdf and
//! by pdftotext of poppler.

use crate::sheets::{pdf_file, read_by_pdftotext, sheet_of};
use retin::sheets::{Settings, page::PageSetting};
use retin_tests::specimen::{HOSTILE, MAPPED_JOB, SIGNS, document};
use std::path::Path;

/// Every straight level line of a PDF, with its length in millimetres.
const LINES: &str = r#"
import sys, pdfplumber
path = sys.stdin.read()
with pdfplumber.open(path) as pdf:
    for number, page in enumerate(pdf.pages, 1):
        for line in page.lines + page.curves:
            points = [point for point in line.get("pts", [])]
            if len(points) == 2 and abs(points[0][1] - points[1][1]) < 1e-3:
                print(number, "line", abs(points[0][0] - points[1][0]) * 25.4 / 72)
        for edge in page.rects + page.curves:
            print(number, "box", edge["width"] * 25.4 / 72, edge["height"] * 25.4 / 72)
"#;

/// The text of every page, by pypdf.
const TEXT: &str = r#"
import sys, pypdf
reader = pypdf.PdfReader(sys.stdin.read())
for page in reader.pages:
    print(page.extract_text())
    print("\f")
catalog = reader.trailer["/Root"]
print("title:", reader.metadata.title)
print("language:", catalog.get("/Lang"))
print("tagged:", bool(catalog.get("/MarkInfo", {}).get("/Marked")))
print("created:", reader.metadata.creation_date)
"#;

fn python(program: &str, path: &Path) -> String {
    retin_tests::python::run(program, &path.to_string_lossy())
}

/// A text without its blanks: readers part and join words as they like.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|sign| {
            !sign.is_whitespace()
                && !matches!(sign, '\u{200b}' | '\u{200e}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
        })
        .collect()
}

#[test]
fn a_map_is_at_true_scale() {
    for (name, setting) in [
        ("map-a4", PageSetting::default()),
        (
            "map-letter",
            PageSetting {
                paper: retin::sheets::settings::Paper::Letter,
                is_big: true,
            },
        ),
    ] {
        let settings = Settings {
            paper: setting.paper,
            is_big: setting.is_big,
            ..Settings::default()
        };
        let map = sheet_of("map", MAPPED_JOB, &settings);
        let lines = python(LINES, &pdf_file(name, &map, setting));
        let numbers = |word: &str| -> Vec<Vec<f64>> {
            lines
                .lines()
                .filter_map(|line| {
                    let mut words = line.split(' ');
                    words.next()?;
                    (words.next()? == word)
                        .then(|| words.filter_map(|word| word.parse().ok()).collect())
                })
                .collect()
        };
        let rules = numbers("line");
        let is = |found: f64, wanted: f64| (found - wanted).abs() < 0.005;
        assert!(
            rules.iter().filter(|line| is(line[0], 50.0)).count() >= 2,
            "no rule of 50 mm on both sides:\n{lines}"
        );
        let boards = numbers("box");
        assert!(
            boards
                .iter()
                .filter(|line| is(line[0], 110.0) && is(line[1], 75.0))
                .count()
                >= 2,
            "no board of 110 x 75 mm on both sides:\n{lines}"
        );
    }
}

#[test]
fn text_comes_out_as_it_is_written() {
    let path = pdf_file("specimen", &document(), PageSetting::default());
    let (by_pypdf, by_poppler) = (
        bare(&python(TEXT, &path)),
        bare(&read_by_pdftotext(&path, &[])),
    );
    for text in HOSTILE {
        assert!(by_pypdf.contains(&bare(text)), "pypdf does not read {text}");
        assert!(
            by_poppler.contains(&bare(text)),
            "pdftotext does not read {text}"
        );
    }
    for text in SIGNS {
        assert!(
            by_poppler.contains(&bare(text)),
            "pdftotext does not read {text}"
        );
    }
}

#[test]
fn every_page_carries_what_it_must() {
    let document = document();
    let path = pdf_file("carries", &document, PageSetting::default());
    let text = python(TEXT, &path);
    let pages: Vec<&str> = text.split('\u{c}').collect();
    let (about, pages) = pages.split_last().expect("there is a page");
    let count = pages.len();
    for (index, page) in pages.iter().enumerate() {
        let page = bare(page);
        // Sheets of labels are cut to the edge.
        if !page.contains("notchecked") {
            assert!(
                page.contains("pieces"),
                "page {} carries no foot",
                index + 1
            );
            continue;
        }
        for must in [
            "Specimen·26-777".to_owned(),
            bare("Aldine & Thorp T-2 <b>tone</b> generator"),
            "serial0042·modelrevision3".into(),
            format!("page{}of{count}", index + 1),
            "notchecked:12".into(),
            "mistakesopen:3".into(),
            "4f9e27aof2026-09-17".into(),
        ] {
            assert!(
                page.contains(&must),
                "page {} lacks {must}:\n{page}",
                index + 1
            );
        }
    }
    for must in [
        "title: Specimen · 26-777",
        "language: en",
        "tagged: True",
        "created: None",
    ] {
        assert!(about.contains(must), "no {must} in {about}");
    }
}

#[test]
fn the_heads_of_a_table_stand_on_every_page_of_it() {
    let path = pdf_file("heads", &document(), PageSetting::default());
    let text = read_by_pdftotext(&path, &[]);
    for page in text.split('\u{c}').filter(|page| page.contains("psu.C")) {
        for head in ["where", "old → new", "way round"] {
            assert!(page.contains(head), "no {head} on\n{page}");
        }
    }
}

#[test]
fn no_foot_and_no_heading_stands_alone() {
    for count in (1..40).step_by(3) {
        let mut document = document();
        // Push the table down line by line.
        let filler = (0..count).map(|_| retin::sheets::document::Block::Paragraph("a line".into()));
        document.blocks.splice(0..0, filler);
        let path = pdf_file("kept", &document, PageSetting::default());
        for page in read_by_pdftotext(&path, &[]).split('\u{c}') {
            for (line, heading) in page
                .lines()
                .filter(|line| line.starts_with("left: "))
                .map(|line| (line, "a foot"))
            {
                assert!(
                    page.contains("psu.C"),
                    "{heading} {line} stands alone after {count} lines"
                );
            }
            if page.contains("µF 63\u{a0}V\n") || page.contains("100 µF 25 V") {
                assert!(
                    page.contains("psu.C"),
                    "a heading stands alone after {count} lines:\n{page}"
                );
            }
        }
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let setting = PageSetting::default();
    let set = || retin_paper::pdf(&document(), setting, &|_| None).expect("it can be set");
    assert_eq!(set(), set());
    let html = || retin_paper::html(&document(), setting, &|_| None);
    assert_eq!(html(), html());
}
