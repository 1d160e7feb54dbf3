use super::{Look, text};
use crate::sheets::document::{
    Block, Cell, Column, Document, Group, Head, Label, LabelCut, Labels, NamedBox, Row, Table,
    Width, Words,
};
use crate::sheets::drawing::Drawing;
use proptest::prelude::*;

fn column(head: &str, is_right: bool) -> Column {
    Column {
        head: head.to_owned(),
        width: Width::Content,
        is_right,
    }
}

fn row(is_done: bool, place: &str, value: &str, count: &str) -> Row {
    let boxes = ["ch1", "ch2", "ch10"].map(|name| NamedBox {
        name: name.to_owned(),
        is_ticked: is_done,
    });
    Row {
        cells: vec![
            Cell::Box { is_ticked: is_done },
            place.into(),
            value.into(),
            count.into(),
            Cell::Boxes(boxes.to_vec()),
            Cell::Blank,
        ],
        is_done,
        below: if count == "12" {
            let copy = |copy| NamedBox {
                name: format!("unit{copy}"),
                is_ticked: false,
            };
            (1..=16).map(copy).collect()
        } else {
            Vec::new()
        },
    }
}

fn everything() -> Document {
    let table = Table {
        columns: vec![
            column("", false),
            column("place", false),
            column("what it is", false),
            column("count", true),
            column("copies", false),
            column("got", false),
        ],
        groups: vec![
            Group {
                heading: Some(Words::strong("10µF 50V").and("  drawer A3")),
                rows: vec![
                    row(true, "psu.C4", "an electrolytic of the first printing", "1"),
                    row(false, "psu.Überspannungsableiter", "電解コンデンサ", "12"),
                ],
                foot: Some(Words::plain("left: 7")),
            },
            Group {
                heading: Some(Words::strong("קבל 22µF")),
                rows: vec![row(false, "psu.קבל", "±20\u{a0}%", "3")],
                foot: Some(Words::plain("left: 1")),
            },
        ],
    };
    Document {
        head: Head {
            title: "Trial sheet".into(),
            job: "26-014".into(),
            unit: "A unit".into(),
            serial: Some("7".into()),
            model_revision: Some("4".into()),
            file_revision: "not in git".into(),
            not_checked: 12,
            errors: 2,
        },
        blocks: vec![
            Block::Heading {
                level: 1,
                text: "First".into(),
            },
            Block::Paragraph("A paragraph that is longer than the line that it stands on, so that it is broken between words".into()),
            Block::Caution("stored charge kills: discharge through a resistor, measure, wait, and measure again".into()),
            Block::List(vec!["one".into(), "two → three".into()]),
            Block::Facts(vec![
                ("owner".into(), "Theatre".into()),
                ("complaint".into(), "hum on all strips, and a relay that drops out".into()),
            ]),
            Block::Heading {
                level: 2,
                text: "A table".into(),
            },
            Block::Table(table),
            Block::Drawing {
                drawing: Drawing {
                    width: 10.0,
                    height: 10.0,
                    shapes: Vec::new(),
                    says: "The board psu from the component side.".into(),
                },
                caption: Some("drawn at true scale".into()),
            },
            Block::Photo {
                path: "photos/26-014/psu.jpg".into(),
                caption: "before".into(),
            },
            Block::NewPage,
            Block::WriteIn {
                heads: vec!["time".into(), "what happened".into()],
                lines: 2,
            },
            Block::Labels(Labels {
                cut: LabelCut {
                    columns: 3,
                    rows: 8,
                    width: 63.5,
                    height: 33.9,
                    left: 7.0,
                    top: 13.0,
                    gap_across: 2.5,
                    gap_down: 0.0,
                },
                used: 0,
                labels: vec![Label {
                    title: "10uF 50V".into(),
                    lines: vec!["26-014".into(), "C1..C4".into()],
                }],
            }),
        ],
        is_landscape: false,
    }
}

#[test]
fn every_block_as_text() {
    insta::assert_snapshot!(text(
        &everything(),
        Look {
            width: 76,
            is_plain: false
        }
    ));
}

#[test]
fn every_block_in_plain_signs() {
    insta::assert_snapshot!(text(
        &everything(),
        Look {
            width: 76,
            is_plain: true
        }
    ));
}

#[test]
fn every_block_on_a_narrow_terminal() {
    insta::assert_snapshot!(text(
        &everything(),
        Look {
            width: 44,
            is_plain: true
        }
    ));
}

proptest! {
    /// Whatever the words, every one of them is there and no line is too long.
    #[test]
    fn nothing_is_cut(words in proptest::collection::vec("\\PC{0,40}", 1..8), width in 32usize..120) {
        let cells: Vec<Cell> = words.iter().map(|word| Cell::from(word.as_str())).collect();
        let document = Document {
            head: Head::default(),
            blocks: vec![Block::Table(Table {
                columns: words.iter().map(|_| column("", false)).collect(),
                groups: vec![Group { heading: None, rows: vec![Row { cells, is_done: false, ..Row::default() }], foot: None }],
            })],
            is_landscape: false,
        };
        let set = text(&document, Look { width, is_plain: false });
        for line in set.lines() {
            prop_assert!(super::width(line) <= width, "{line}");
        }
        let signs = |text: &str| {
            let mut signs: Vec<char> = text.chars().filter(|sign| !sign.is_whitespace()).collect();
            signs.sort_unstable();
            signs
        };
        let (_, below) = set.split_once("──\n").unwrap_or(("", &set));
        let asked: String = words.iter().map(|word| super::shown(word, false)).collect();
        prop_assert_eq!(signs(below), signs(&asked));
    }
}
