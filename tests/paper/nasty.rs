//! Jobs that are hard to set: no word leaves its page, and none lies on another, as
//! pdftotext of poppler reads where each word stands.

use crate::sheets::{asked, pdf_file, read_by_pdftotext, sheet_of, told};
use retin::sheets::settings::Paper;
use retin::sheets::{SHEETS, page::PageSetting};
use retin_tests::nasty::jobs;
use std::path::Path;

/// One point in millimetres.
const POINT: f64 = 25.4 / 72.0;

/// A word where it stands, in millimetres from the upper left corner of its page.
struct Word {
    page: usize,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    text: String,
}

impl std::fmt::Display for Word {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Word {
            page,
            left,
            right,
            top,
            bottom,
            text,
        } = self;
        write!(
            formatter,
            "`{text}` on page {page}, {left:.1} to {right:.1} mm across and {top:.1} to {bottom:.1} mm down,"
        )
    }
}

/// The extent of the pages in millimetres, and every word.
fn words(path: &Path) -> (f64, f64, Vec<Word>) {
    let read = read_by_pdftotext(path, &["-bbox"]);
    let number = |line: &str, name: &str| -> f64 {
        let from = line.find(&format!("{name}=\"")).expect("it is told") + name.len() + 2;
        let number = line[from..].split('"').next().expect("it ends");
        number.parse::<f64>().expect("it is a number") * POINT
    };
    let (mut page, mut extent, mut words) = (0, (0.0, 0.0), Vec::new());
    for line in read.lines() {
        if line.contains("<page ") {
            page += 1;
            extent = (number(line, "width"), number(line, "height"));
        } else if line.contains("<word ") {
            let text = line.split('>').nth(1).unwrap_or("");
            words.push(Word {
                page,
                left: number(line, "xMin"),
                right: number(line, "xMax"),
                top: number(line, "yMin"),
                bottom: number(line, "yMax"),
                text: text.split('<').next().unwrap_or("").to_owned(),
            });
        }
    }
    (extent.0, extent.1, words)
}

/// How much of two words lies on one another, as a share of the smaller one. The room
/// above and below the letters of a line is not counted.
fn overlap(one: &Word, other: &Word) -> f64 {
    let core = |word: &Word| {
        let spare = (word.bottom - word.top) * 0.22;
        (word.top + spare, word.bottom - spare)
    };
    let ((top, bottom), (other_top, other_bottom)) = (core(one), core(other));
    let across = one.right.min(other.right) - one.left.max(other.left);
    let down = bottom.min(other_bottom) - top.max(other_top);
    let area = |word: &Word, (top, bottom): (f64, f64)| (word.right - word.left) * (bottom - top);
    let smaller = area(one, core(one)).min(area(other, core(other)));
    across.max(0.0) * down.max(0.0) / smaller.max(f64::MIN_POSITIVE)
}

fn look(paper: Paper, is_big: bool) {
    let (setting, settings) = asked(paper, is_big);
    for (name, text) in jobs() {
        for sheet in SHEETS {
            let what = told(sheet.name, name, setting);
            let document = sheet_of(sheet.name, &text, &settings);
            let file = format!("nasty-{}", what.replace([' ', ','], "-"));
            let (width, height, words) = words(&pdf_file(&file, &document, setting));
            // Labels go to the edges of their sheet, as far as a printer prints.
            let (left, right) = if sheet.name == "labels" {
                (4.0, 4.0)
            } else {
                (PageSetting::LEFT, PageSetting::RIGHT)
            };
            assert!(!words.is_empty(), "{what} is empty");
            for word in &words {
                assert!(
                    word.left >= left - 0.3 && word.right <= width - right + 0.3,
                    "{what}: {word} leaves its page of {width} mm"
                );
                assert!(
                    word.top >= 3.5 && word.bottom <= height - 3.5,
                    "{what}: {word} leaves its page of {height} mm"
                );
            }
            for (index, one) in words.iter().enumerate() {
                let rest = words[index + 1..].iter();
                for other in rest.take_while(|other| other.page == one.page) {
                    let overlap = overlap(one, other);
                    assert!(overlap < 0.1, "{what}: {one} lies on {other}");
                }
            }
        }
    }
}

#[test]
fn every_word_stands_on_its_page_and_on_no_other() {
    look(Paper::A4, false);
}

#[test]
fn every_word_in_big_print_stands_on_its_page_and_on_no_other() {
    look(Paper::Letter, true);
}
