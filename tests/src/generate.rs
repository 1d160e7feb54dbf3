//! Whole jobs of any size, made up by rule: the same size always gives the same text.
//!
//! The units are invented; nothing in them is a fact about real equipment.

use std::fmt::Write as _;
use std::path::Path;
use std::{fs, io};

/// The three files of a job.
#[derive(Clone, Debug)]
pub struct Workshop {
    /// The model sheet.
    pub model: String,
    /// The shelf.
    pub shelf: String,
    /// The job, which uses `model.retin` and `shelf.retin`.
    pub job: String,
}

/// Parts on one generated board.
pub const PARTS_A_BOARD: usize = 100;

const CAPACITORS: &[(&str, &str, &str)] = &[
    ("10uF 35V", "5x11 p2", "10"),
    ("22uF 35V", "5x11 p2", "22"),
    ("47uF 35V", "6.3x11 p2.5", "47"),
    ("100uF 35V", "8x12 p3.5", "100"),
    ("220uF 35V", "10x16 p5", "220"),
];

const FILMS: &[&str] = &[
    "10nF 100V 5%",
    "22nF 100V 5%",
    "47nF 100V 5%",
    "100nF 100V 5%",
];

const RESISTORS: &[&str] = &[
    "1kohm 0.25W 5%",
    "4.7kohm 0.25W 5%",
    "10kohm 0.25W 5%",
    "47kohm 0.25W 5%",
    "100kohm 0.25W 5%",
];

/// A sound job on a unit of about this many parts: nothing in it is to be found.
pub fn workshop(parts: usize) -> Workshop {
    let mut model = String::from(
        "model unit \"Test unit\"\n  revision  1\n  mains     230V 50Hz\n  headroom  40mm\n",
    );
    boards(&mut model, parts);
    let job = format!("use \"model.retin\"\nuse \"shelf.retin\"\n\n{}", job_text());
    Workshop {
        model,
        shelf: shelf(),
        job,
    }
}

/// A sound job of about this many parts that holds its model in its own file.
pub fn single_file(parts: usize, number: usize) -> String {
    let mut text = String::from(
        "use \"shelf.retin\"\n\nmodel unit \"Test unit\"\n  revision  1\n  headroom  40mm\n",
    );
    boards(&mut text, parts);
    let _ = write!(
        text,
        "\n{}",
        job_text().replacen("26-001", &format!("26-{number:04}"), 1)
    );
    text
}

/// Writes a workshop of sound jobs of about so many parts each, and their shelf.
///
/// # Errors
/// When the folder cannot be made, or a file in it not written.
pub fn write_folder(folder: &Path, jobs: usize, parts: usize) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    fs::write(folder.join("shelf.retin"), shelf())?;
    for number in 1..=jobs {
        let path = folder.join(format!("26-{number:04}.retin"));
        fs::write(path, single_file(parts, number))?;
    }
    Ok(())
}

/// The shelf that every generated job takes its parts from.
pub fn shelf() -> String {
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

fn boards(text: &mut String, parts: usize) {
    let mut left = parts;
    let mut board = 1;
    while left > 0 {
        let here = left.min(PARTS_A_BOARD);
        let _ = write!(
            text,
            "\nboard b{board} \"Board {board}\"\n  copper  double-sided plated\n  size    300 x 200\n  rail    V24  24V ±5%\n  rail    -24  -24V ±5%\n  rail    GND  0V\n"
        );
        let electrolytics = here * 2 / 5;
        let films = here / 5;
        let resistors = here - electrolytics - films;
        text.push_str("\n  electrolytic 85°C radial 20%\n");
        for index in 0..electrolytics {
            let (value, body, _) = CAPACITORS[index % CAPACITORS.len()];
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
            let value = FILMS[index % FILMS.len()];
            let _ = writeln!(
                text,
                "    C{}  {value}  p5  (1 n{index}, 2 GND)",
                201 + index
            );
        }
        text.push_str("\n  resistor\n");
        for index in 0..resistors {
            let value = RESISTORS[index % RESISTORS.len()];
            let _ = writeln!(
                text,
                "    R{}  {value}  (1 n{index}, 2 n{})",
                index + 1,
                index + 1
            );
        }
        left -= here;
        board += 1;
    }
}

fn job_text() -> String {
    "job 26-001 \"Test unit serial 1\"\n  model    unit revision 1\n  arrived  2026-10-02\n\nplan\n  replace  every electrolytic  from main\n  keep     every film, resistor\n".to_owned()
}
