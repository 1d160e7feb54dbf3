//! A document with one of everything that may stand on paper, and a job whose map
//! has one of everything: for the tests of how they are set.

use retin::sheets::document::{
    Block, Cell, Column, Document, Group, Head, Label, LabelCut, Labels, NamedBox, Row, Table,
    Width, Words,
};
use retin::sheets::drawing::{Anchor, Drawing, Fill, Look, Point, Shape};

/// Texts that would do harm if they were ever read as markup, and texts that are
/// hard to set: each must come out as it is.
pub const HOSTILE: &[&str] = &[
    "<script>alert(1)</script>",
    "#eval(\"1+1\")",
    "$x^2$ and *bold* and _thin_",
    "]]> --> </style></svg></table>",
    "&amp; &lt; &#65;",
    "\"quoted\" 'quoted' `code` \\n \\",
    "{{ 1 }} ${x} %s @import url(x)",
    "=1+1",
];

/// Texts in signs beyond plain English.
pub const SIGNS: &[&str] = &[
    "Wärmeleitpaste über Kühlkörper, çà et là, Łódź, Ærø",
    "4.7\u{a0}kΩ ±5\u{a0}% → 47\u{a0}µF, −15\u{a0}V ≤ 0\u{a0}°C",
    "שלום עולם",
];

/// A document with one of everything.
#[must_use]
pub fn document() -> Document {
    let mut blocks = vec![
        heading(1, "One of everything"),
        Block::Caution(
            Words::plain("The reservoir holds its charge for minutes: ")
                .and_strong("measure first"),
        ),
        Block::Facts(vec![
            ("owner".into(), "Theatre at Orrin Ferry".into()),
            ("complaint".into(), "hum on all strips".into()),
        ]),
        heading(2, "Signs"),
        Block::List(
            HOSTILE
                .iter()
                .chain(SIGNS)
                .map(|text| (*text).into())
                .collect(),
        ),
        Block::Table(table()),
        Block::Photo {
            path: "photos/psu.jpg".into(),
            caption: "the supply before".into(),
        },
        heading(2, "Accidents, to be typed in later"),
        Block::WriteIn {
            heads: vec!["time".into(), "where".into(), "what happened".into()],
            lines: 4,
        },
        Block::Drawing {
            drawing: drawing(),
            caption: Some("A rule of 50\u{a0}mm.".into()),
        },
        Block::Labels(labels()),
    ];
    blocks.push(heading(2, "After the labels"));
    blocks.push(Block::Paragraph("The end.".into()));
    Document {
        head: head(),
        blocks,
        is_landscape: false,
    }
}

/// What every page carries.
#[must_use]
pub fn head() -> Head {
    Head {
        title: "Specimen".into(),
        job: "26-777".into(),
        unit: "Aldine & Thorp T-2 <b>tone</b> generator".into(),
        serial: Some("0042".into()),
        model_revision: Some("3".into()),
        file_revision: "4f9e27a of 2026-09-17".into(),
        not_checked: 12,
        errors: 3,
    }
}

fn heading(level: u8, text: &str) -> Block {
    Block::Heading {
        level,
        text: text.into(),
    }
}

fn table() -> Table {
    let column = |head: &str, width, is_right| Column {
        head: head.into(),
        width,
        is_right,
    };
    let row = |index: usize, is_done: bool| Row {
        cells: vec![
            Cell::Box { is_ticked: is_done },
            Cell::Words(Words::strong(format!("psu.C{index}"))),
            "47\u{a0}µF 63\u{a0}V → 47\u{a0}µF 100\u{a0}V".into(),
            Cell::Lines(vec![
                Words::strong("+\u{a0}").and("plus toward rail P48, east"),
                "RESERVOIR-CAPACITOR-POSITION-A17".into(),
            ]),
            Cell::Boxes(
                (1..=4)
                    .map(|copy| NamedBox {
                        name: format!("ch{copy}"),
                        is_ticked: copy < 3,
                    })
                    .collect(),
            ),
            Cell::Blank,
            "1.72".into(),
        ],
        is_done,
        below: if index.is_multiple_of(4) {
            let copy = |copy| NamedBox {
                name: format!("unit{copy}"),
                is_ticked: is_done,
            };
            (1..=16).map(copy).collect()
        } else {
            Vec::new()
        },
    };
    let group = |name: &str, from: usize, count: usize| Group {
        heading: Some(name.into()),
        rows: (from..from + count)
            .map(|index| row(index, index % 3 == 0))
            .collect(),
        foot: Some(format!("left: {count}").into()),
    };
    Table {
        columns: vec![
            column("", Width::Millimetres(7.0), false),
            column("where", Width::Content, false),
            column("old → new", Width::Share(1.0), false),
            column("way round", Width::Share(1.4), false),
            column("copies", Width::Content, false),
            column("got", Width::Millimetres(12.0), false),
            column("EUR", Width::Content, true),
        ],
        groups: vec![
            group("47\u{a0}µF 63\u{a0}V", 1, 1),
            group("47\u{a0}µF 16\u{a0}V", 10, 3),
            group("100\u{a0}µF 25\u{a0}V", 20, 40),
        ],
    }
}

fn drawing() -> Drawing {
    let at = |x, y| Point { x, y };
    let text = |x, anchor, is_upright, text: &str| Shape::Text {
        at: at(x, 30.0),
        size: 2.75,
        anchor,
        is_strong: false,
        is_upright,
        text: text.into(),
    };
    Drawing {
        width: 80.0,
        height: 42.0,
        shapes: vec![
            Shape::Rectangle {
                corner: at(10.0, 2.0),
                width: 60.0,
                height: 34.0,
                radius: 2.0,
                look: Look::line(0.5),
            },
            Shape::Circle {
                middle: at(25.0, 14.0),
                radius: 5.0,
                look: Look::dashes(0.25),
            },
            Shape::Circle {
                middle: at(45.0, 14.0),
                radius: 5.0,
                look: Look {
                    line: Some(0.3),
                    is_dashed: false,
                    fill: Fill::Grey(0.85),
                },
            },
            Shape::Path {
                points: vec![at(10.0, 40.0), at(60.0, 40.0)],
                closed: false,
                look: Look::line(0.2),
            },
            text(12.0, Anchor::Start, false, "start </svg>"),
            text(40.0, Anchor::Middle, false, "middle"),
            text(68.0, Anchor::End, false, "end"),
            text(8.0, Anchor::Start, true, "upright"),
        ],
        says: "a rule of 50 mm below a frame".into(),
    }
}

fn labels() -> Labels {
    let label = |title: &str| Label {
        title: title.into(),
        lines: vec![
            "26-777 psu".into(),
            "C1..C4, C7 and a long list of references that has to be broken".into(),
            "12 pieces".into(),
        ],
    };
    Labels {
        cut: LabelCut {
            columns: 3,
            rows: 7,
            width: 63.5,
            height: 38.1,
            left: 7.2,
            top: 15.1,
            gap_across: 2.5,
            gap_down: 0.0,
        },
        used: 1,
        labels: vec![
            label("47\u{a0}µF 100\u{a0}V"),
            label("RESERVOIR-CAPACITOR-A17"),
            label("10\u{a0}kΩ"),
        ],
    }
}

/// A job whose map has one of everything.
pub const MAPPED_JOB: &str = r#"model t2 "Aldine & Thorp T-2 tone generator"
  revision 3

board psu "Supply"
  copper single-sided
  size 110 x 75
  rail V24 24V
  rail V12 12V
  rail GND 0V
  zone A 0,0 to 55,75
  zone B 55,0 to 110,75
  electrolytic radial
    C1 2200uF 40V 22x35 p10  (+ V24, - GND) at 18,55 + north
      beep - GND
    C2  100uF 35V  8x12 p3.5 (+ V24, - GND) at 40,60 + east
      silk + east
    C3   47uF 25V 6.3x11 p2.5                at 50,60
    C4   10uF 25V  5x11 p2   (+ V12, - GND) at 40,45 + south
      found + north
    C5   22uF 25V  5x11 p2   (+ V12, - GND) zone B
  film
    C6 100nF 63V 7.2x2.5x6.5 p5 at 60,45
  resistor axial
    R1 4.7kohm 2.5x6.5 p10 at 75,60
    R2 10kohm
  diode DO-41
    D1 1N4004 2.7x5.2 p10 (A GND, K V24) at 75,48 K east
  npn TO-92
    Q1 2N3904 at 90,55 E west
  opamp DIP-8
    U1 NE5532 at 90,30 1 north-west
  electrolytic
    C7 220uF 25V 10x16 p5 unfitted at 65,25

shelf main "Drawers"
  electrolytic radial 105°C
    E-100-50 100uF 50V 8x12 p3.5 have 9
    E-10-50 10uF 50V 5x11 p2 have 9

job 26-777 "T-2 serial 0042"
  model t2 revision 3

plan
  replace psu.C2 with E-100-50
  replace psu.C4 with E-10-50

log
  2026-09-15
    09:00  removed psu.C2, psu.C4
    09:10  damaged psu.C2.+ pad lifted
    09:20  damaged psu.C4.- pad lifted
    09:40  repaired psu.C2.+ wire 0.5mm to psu.C1.+
    09:41  measured psu.C2.+ to psu.C1.+ 0.1ohm
"#;
