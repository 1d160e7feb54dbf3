//! The units and the edits of `tests/benches/serve.py`, line for line.

use std::fmt::Write as _;

/// The layouts by name: which of the files is edited.
pub const LAYOUTS: [&str; 3] = ["model", "job", "single"];

const CAPACITORS: [(&str, &str, &str); 5] = [
    ("10uF 35V", "5x11 p2", "10"),
    ("22uF 35V", "5x11 p2", "22"),
    ("47uF 35V", "6.3x11 p2.5", "47"),
    ("100uF 35V", "8x12 p3.5", "100"),
    ("220uF 35V", "10x16 p5", "220"),
];
const FILMS: [&str; 4] = [
    "10nF 100V 5%",
    "22nF 100V 5%",
    "47nF 100V 5%",
    "100nF 100V 5%",
];
const RESISTORS: [&str; 5] = ["1kohm", "4.7kohm", "10kohm", "47kohm", "100kohm"];
const PARTS_A_BOARD: usize = 100;

/// Files by path, the job first, and which of them is edited.
pub struct Unit {
    pub files: Vec<(&'static str, String)>,
    pub edited: usize,
}

pub fn unit(layout: &str, parts: usize) -> Unit {
    let uses = "use \"model.retin\"\nuse \"shelf.retin\"\n\n";
    let head = "model unit \"Test unit\"\n  revision  1\n  mains     230V 50Hz\n  headroom  40mm\n";
    let all: Vec<String> = sizes(parts)
        .map(|(number, size)| board(number, size))
        .collect();
    let (model, own) = all.split_at(if layout == "single" { 1 } else { all.len() });
    Unit {
        files: vec![
            (
                "job.retin",
                format!("{uses}{}\n{}", own.concat(), job(parts)),
            ),
            ("model.retin", format!("{head}{}", model.concat())),
            ("shelf.retin", shelf()),
        ],
        edited: usize::from(layout == "model"),
    }
}

fn sizes(parts: usize) -> impl Iterator<Item = (usize, usize)> {
    let boards = parts.div_ceil(PARTS_A_BOARD);
    (1..=boards).map(move |number| {
        let before = (number - 1) * PARTS_A_BOARD;
        (number, PARTS_A_BOARD.min(parts - before))
    })
}

fn board(number: usize, parts: usize) -> String {
    let mut text = format!(
        "\nboard b{number} \"Board {number}\"\n  copper  double-sided plated\n  size    300 x 200\n  rail    V24  24V ±5%\n  rail    -24  -24V ±5%\n  rail    GND  0V\n\n  electrolytic 85°C radial 20%\n"
    );
    let (electrolytics, films) = (parts * 2 / 5, parts / 5);
    for index in 0..electrolytics {
        let (value, body, _) = CAPACITORS[index % 5];
        let nets = if index % 3 == 2 {
            "(+ GND, - -24)"
        } else {
            "(+ V24, - GND)"
        };
        let (x, y) = (10 + 14 * (index % 20), 10 + 14 * (index / 20));
        let _ = writeln!(
            text,
            "    C{}  {value}  {body}  {nets}  at {x},{y}",
            index + 1
        );
    }
    text.push_str("\n  film\n");
    for index in 0..films {
        let _ = writeln!(
            text,
            "    C{}  {}  p5  (1 n{index}, 2 GND)",
            201 + index,
            FILMS[index % 4]
        );
    }
    text.push_str("\n  resistor\n");
    for index in 0..parts - electrolytics - films {
        let value = RESISTORS[index % 5];
        let _ = writeln!(
            text,
            "    R{}  {value} 0.25W 5%  (1 n{index}, 2 n{})",
            index + 1,
            index + 1
        );
    }
    text
}

fn shelf() -> String {
    let mut text = String::from("shelf main \"Drawers\"\n  electrolytic 105°C radial 20%\n");
    for (value, body, name) in CAPACITORS {
        let value = value.replace("35V", "50V");
        let _ = writeln!(
            text,
            "    E-{name}-50  {value}  {body}  life 5000h  have 100000  1 at 0.20 EUR, 100 at 0.11 EUR"
        );
    }
    text
}

fn job(parts: usize) -> String {
    let mut text = String::from(
        "job 26-001 \"Test unit serial 1\"\n  model    unit revision 1\n  arrived  2026-10-02\n\nplan\n  replace  every electrolytic  from main\n  keep     every film, resistor\n\nsteps\n  photos   photograph everything\n  strip    remove every electrolytic            after photos\n  fill     fit every electrolytic               after strip\n  look     inspect every board                  after fill\n\ntargets\n",
    );
    let boards: Vec<usize> = sizes(parts).map(|(number, _)| number).collect();
    for number in boards.iter().take(20) {
        let _ = writeln!(text, "  b{number}.V24  24V ±5%");
    }
    text.push_str("\nlog\n  2026-10-05\n    09:00  photographed  everything\n");
    for (day, number) in boards.iter().take(10).enumerate() {
        let _ = writeln!(text, "  2026-10-{:02}", 6 + day);
        for index in 0..40 {
            let clock = format!("{:02}:{:02}", 9 + index / 10, index % 10 * 5);
            if index % 8 == 0 {
                let _ = writeln!(
                    text,
                    "    {clock}  noted     \"board b{number}, reading {index}\""
                );
            } else {
                let (value, ..) = CAPACITORS[(index - 1) % 5];
                let value = value.split(' ').next().unwrap_or(value);
                let _ = writeln!(text, "    {clock}  measured  b{number}.C{index}  {value}");
            }
        }
    }
    text
}

/// What an edit of a part's or an entry's line does.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Sort {
    /// A digit of the last number of the line: a value, a position or a net.
    Value,
    Comment,
    Name,
    Blank,
}

/// A replacement in the edited file.
pub struct Edit {
    pub sort: Sort,
    pub start: u32,
    pub end: u32,
    pub text: String,
}

/// The edits of one line, each taken back by the next but for the comment's letters.
pub fn edits(text: &str, choice: usize) -> Vec<Edit> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if ["    C", "    R", "    0", "    1"]
            .iter()
            .any(|begins| line.starts_with(begins))
        {
            lines.push((start, line.trim_end_matches('\n')));
        }
        start += line.len();
    }
    let (start, line) = lines[choice % lines.len()];
    let digit = start
        + line
            .rfind(|letter: char| letter.is_ascii_digit())
            .unwrap_or(0);
    let (name, end) = (start + 5, start + line.len());
    let edit = |sort, start: usize, end: usize, text: &str| Edit {
        sort,
        start: start as u32,
        end: end as u32,
        text: text.to_owned(),
    };
    let mut all = vec![
        edit(Sort::Value, digit, digit, "1"),
        edit(Sort::Value, digit, digit + 1, ""),
    ];
    for (index, letter) in "  # ok".char_indices() {
        all.push(edit(
            Sort::Comment,
            end + index,
            end + index,
            &letter.to_string(),
        ));
    }
    all.push(edit(Sort::Comment, end, end + 6, ""));
    all.push(edit(Sort::Name, name, name, "9"));
    all.push(edit(Sort::Name, name, name + 1, ""));
    all.push(edit(Sort::Blank, end, end, "\n    "));
    all.push(edit(Sort::Blank, end, end + 5, ""));
    all
}
