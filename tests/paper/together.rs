//! What must not be parted stands on one page: every kind of sheet of the shipped jobs,
//! as pdftotext of poppler reads it.

use crate::sheets::{asked, pdf_file, read_by_pdftotext, sheet_of_shipped, told};
use retin::sheets::document::Block;
use retin::sheets::settings::Paper;
use retin::sheets::{Document, Make, SHEETS, Settings, page::PageSetting};

/// The lines of every page between its head and its foot, without blanks.
fn pages(document: &Document, name: &str, setting: PageSetting) -> Vec<Vec<String>> {
    let text = read_by_pdftotext(&pdf_file(name, document, setting), &["-layout"]);
    let lines = |page: &str| -> Vec<String> {
        let lines = page.lines().map(bare).filter(|line| !line.is_empty());
        // The number of the page is the last line of the head.
        let below_head = lines.skip_while(|line| !is_number_of_page(line)).skip(1);
        below_head
            .take_while(|line| !line.starts_with("notchecked:"))
            .collect()
    };
    let pages = text.split('\u{c}').map(lines);
    pages.filter(|lines| !lines.is_empty()).collect()
}

fn is_number_of_page(line: &str) -> bool {
    let number = line.rsplit_once("page").map(|(_, number)| number);
    number
        .and_then(|number| number.split_once("of"))
        .is_some_and(|(page, count)| page.parse::<u32>().is_ok() && count.parse::<u32>().is_ok())
}

fn bare(text: &str) -> String {
    let is_seen = |sign: &char| !sign.is_whitespace() && *sign != '\u{200b}';
    text.chars().filter(is_seen).collect()
}

/// No page ends with a heading or a caution, and none begins with what belongs to a
/// table above it.
fn assert_together(document: &Document, what: &str, setting: PageSetting) {
    let file = format!("together-{}", what.replace([' ', ','], "-"));
    let pages = pages(document, &file, setting);
    let (mut lead, mut stays, mut led) = (Vec::new(), Vec::new(), Vec::new());
    for (index, block) in document.blocks.iter().enumerate() {
        match block {
            Block::Heading { level: 3.., text } => {
                lead.push(bare(text));
                stays.push(bare(text));
                if let Some(Block::List(items)) = document.blocks.get(index + 1) {
                    led.extend(items.first().map(|words| bare(&words.text())));
                }
            }
            Block::Heading { text, .. } => stays.push(bare(text)),
            Block::Caution(words) => stays.push(bare(&words.text())),
            _ => {}
        }
    }
    for (index, lines) in pages.iter().enumerate() {
        let (first, last) = (&lines[0], &lines[lines.len() - 1]);
        let number = index + 1;
        let is_parted = |text: &String| text.ends_with(last.as_str()) && last.len() > 8;
        assert!(
            index + 1 == pages.len() || !stays.iter().any(is_parted),
            "{what}: page {number} ends with {last}"
        );
        assert!(
            !lead.contains(first),
            "{what}: page {number} begins with {first}"
        );
        let item = first.trim_start_matches('•');
        assert!(
            !led.iter()
                .any(|led| item.len() > 8 && led.starts_with(item)),
            "{what}: page {number} begins with {item}"
        );
    }
}

fn look(paper: Paper, is_big: bool) {
    let (setting, settings) = asked(paper, is_big);
    for job in ["26-014", "26-019"] {
        let made = SHEETS
            .iter()
            .filter(|sheet| !matches!(sheet.make, Make::Two(_)));
        for sheet in made {
            let what = told(sheet.name, job, setting);
            let document = sheet_of_shipped(sheet.name, &format!("jobs/{job}.retin"), &settings);
            assert_together(&document, &what, setting);
        }
    }
}

#[test]
fn nothing_is_parted_on_a4() {
    look(Paper::A4, false);
}

#[test]
fn nothing_is_parted_on_a4_in_big_print() {
    look(Paper::A4, true);
}

#[test]
fn nothing_is_parted_on_letter() {
    look(Paper::Letter, false);
}

#[test]
fn nothing_is_parted_on_letter_in_big_print() {
    look(Paper::Letter, true);
}

#[test]
fn a_lead_stays_with_the_table_above_it() {
    for is_big in [false, true] {
        let setting = PageSetting {
            is_big,
            ..PageSetting::default()
        };
        let card = sheet_of_shipped("card", "jobs/26-014.retin", &Settings::default());
        for count in (1..30).step_by(2) {
            let mut document = card.clone();
            // Push the tables down line by line.
            let filler = (0..count).map(|_| Block::Paragraph("a line".into()));
            document.blocks.splice(0..0, filler);
            let what = format!(
                "card after {count} lines{}",
                if is_big { ", big" } else { "" }
            );
            assert_together(&document, &what, setting);
        }
    }
}
