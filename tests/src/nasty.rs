//! Jobs that are hard to set on paper, each in one text: made up by rule.

use std::fmt::Write as _;

/// A part's value, body and pitch, by its number.
const VALUES: [&str; 4] = [
    "10uF 25V 5x11 p2",
    "22uF 25V 5x11 p2",
    "47uF 25V 6.3x11 p2.5",
    "100uF 25V 8x12 p3.5",
];

const SHELF: &str = "\nshelf main \"Drawers\"\n  electrolytic 105°C radial ±20%\n\
    \x20   E-10   10uF 50V 5x11 p2     life 2000h have 900 1 at 0.10 EUR, 50 at 0.07 EUR bin A1\n\
    \x20   E-22   22uF 50V 5x11 p2     life 2000h have 20  1 at 0.10 EUR, 50 at 0.07 EUR bin A2\n\
    \x20   ELECTROLYTICCAPACITOR47UF50V 47uF 50V 6.3x11 p2.5 life 2000h have 900 1 at 0.10 EUR bin A3\n\
    \x20   E-100 100uF 50V 8x12 p3.5   life 2000h have 4   1 at 0.16 EUR, 100 at 0.09 EUR\n";

const WORK: &str = "\nplan\n  replace every electrolytic from main\n\nsteps\n\
    \x20 photos photograph everything\n  strip remove every electrolytic after photos\n\
    \x20 wash clean every board with isopropanol after strip\n  fill fit every electrolytic after wash\n\
    \x20 look inspect every board after fill\n  first power every board with lamp after look\n";

/// Every one of them, by its name.
#[must_use]
pub fn jobs() -> Vec<(&'static str, String)> {
    vec![
        ("crowded", crowded()),
        ("long names", long_names()),
        ("other writings", other_writings()),
        (
            "nothing known",
            "job 26-904 \"Nothing known yet\"\n".to_owned(),
        ),
        ("one part", one_part()),
        ("no positions", no_positions()),
        ("sixteen copies", sixteen_copies()),
    ]
}

fn model(board: &str) -> String {
    format!(
        "model m1 \"M-1 signal generator\"\n  revision 1\n\nboard {board}\n  copper double-sided plated\n"
    )
}

fn job(number: &str, title: &str) -> String {
    format!(
        "{SHELF}\njob {number} \"{title}\"\n  model m1 revision 1\n  arrived 2026-10-02\n{WORK}"
    )
}

/// 400 parts on 60 mm by 40 mm, with bodies that lie on one another.
fn crowded() -> String {
    let mut text = model("dense \"Dense board\"");
    text.push_str(
        "  size 60 x 40\n  rail V24 24V ±5%\n  rail GND 0V\n  electrolytic 85°C radial\n",
    );
    for index in 0..400 {
        let (x, y) = (f64::from(index % 20) * 3.0 + 1.5, index / 20 * 2 + 1);
        let value = VALUES[index as usize % 4];
        let way = ["north", "east", "south", "west"][index as usize / 3 % 4];
        let _ = writeln!(
            text,
            "    C{} {value} (+ V24, - GND) at {x},{y} + {way}",
            index + 1
        );
    }
    text + &job("26-901", "M-1 serial 1")
}

/// Names of thirty letters, for parts, boards, rails and the shelf.
fn long_names() -> String {
    let mut text = model(
        "oscillatorandmodulatorboard12 \"Oscillator and modulator board of the third series\"",
    );
    text.push_str("  size 120 x 90\n  rail POSITIVERAILOFTHEOUTPUTSTAGE1 24V ±5%\n  rail GND 0V\n  electrolytic 85°C radial\n");
    for index in 0..24 {
        let (x, y) = (10 + 20 * (index % 6), 10 + 20 * (index / 6));
        let _ = writeln!(
            text,
            "    CAPACITORWITHALONGNAMENUMBER{:02} {} (+ POSITIVERAILOFTHEOUTPUTSTAGE1, - GND) at {x},{y} + east",
            index + 1,
            VALUES[index % 4]
        );
    }
    text + &job("26-902-LONGJOBNUMBER", "M-1 serial 000000000000000000231")
        + "\ntargets\n  oscillatorandmodulatorboard12.POSITIVERAILOFTHEOUTPUTSTAGE1 24V ±5%\n\nlog\n  2026-10-05\n\
           \x20   09:00 photographed oscillatorandmodulatorboard12\n\
           \x20   09:40 damaged oscillatorandmodulatorboard12.CAPACITORWITHALONGNAMENUMBER01.+ pad lifted\n"
}

/// Writings that run from right to left, and letters with accents.
fn other_writings() -> String {
    let mut text = model("psu \"لوحة الطاقة — Netzteil größer\"");
    text.push_str(
        "  size 100 x 60\n  rail V24 24V ±5%\n  rail GND 0V\n  electrolytic 85°C radial\n",
    );
    for index in 0..6 {
        let _ = writeln!(
            text,
            "    C{} {} (+ V24, - GND) at {},20 + north\n      | הערה: מתחמם — très chaud",
            index + 1,
            VALUES[index % 4],
            10 + 15 * index
        );
    }
    text + &job("26-903", "מיקסר serial ٠٢٣١")
        + "\nlog\n  2026-10-05\n    09:00 photographed psu\n    09:30 noted \"הערה בעברית\"\n    09:40 damaged psu.C1.+ pad lifted\n"
}

fn one_part() -> String {
    model("b \"B\"")
        + "  size 30 x 20\n  rail V 5V\n  rail GND 0V\n  C1 electrolytic 10uF 16V radial 5x11 p2 85°C (+ V, - GND) at 15,10 + east\n"
        + &job("26-905", "M-1 serial 3")
}

/// Boards of which few positions are known, or none, or no size.
fn no_positions() -> String {
    let mut text = model("b \"B\"");
    text.push_str("  size 100 x 80\n  rail V 5V\n  rail GND 0V\n  zone A 0,0 to 50,80\n  zone B 50,0 to 100,80\n  electrolytic 85°C radial\n");
    for index in 0..60 {
        let zone = ["zone A", "zone B", ""][index % 3];
        let at = format!("at {},{}", 8 + 9 * (index % 10), 10 + 12 * (index / 10));
        let at = if index % 5 == 0 { &at } else { "" };
        let _ = writeln!(
            text,
            "    C{} {} (+ V, - GND) {zone} {at}",
            index + 1,
            VALUES[index % 4]
        );
    }
    text.push_str(
        "board nosize \"No size at all\"\n  rail V 5V\n  rail GND 0V\n  electrolytic 85°C radial\n",
    );
    for index in 0..12 {
        let _ = writeln!(
            text,
            "    C{} {} (+ V, - GND)",
            index + 1,
            VALUES[index % 4]
        );
    }
    text + &job("26-906", "M-1 serial 4")
}

fn sixteen_copies() -> String {
    let mut text = model("strip \"Strip\" as ch1..ch16");
    text.push_str("  size 60 x 200\n  rail V 15V\n  rail GND 0V\n  electrolytic 85°C radial\n");
    for index in 0..14 {
        let (x, y) = (15 + 30 * (index % 2), 10 + 12 * index);
        let _ = writeln!(
            text,
            "    C{} {} (+ V, - GND) at {x},{y} + north",
            index + 1,
            VALUES[index % 4]
        );
    }
    text + &job("26-907", "M-1 serial 9")
        + "\ntargets\n  ch1..ch16.V 15V ±5%\n\nlog\n  2026-10-05\n    09:00 photographed strip\n\
           \x20   09:30 removed ch1..ch5 C1..C14\n    09:40 damaged ch3.C3.- barrel torn\n"
}
