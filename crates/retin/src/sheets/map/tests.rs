use super::labels::{APART, Ground, Label, Stands, Wants, place};
use super::places::{OnBoard, Placed, Shape as Body, Way};
use super::view::{Looked, View, view};
use super::*;
use crate::meaning::Case;
use crate::sheets::FileRevision;
use crate::sheets::drawing::{Drawing, Point, Shape};
use crate::sheets::settings::{Paper, Wanted};
use crate::sources::{SourceFile, Sources};
use geometry::{Area, at, crosses};
use proptest::prelude::*;
use std::fmt::Write as _;
use std::sync::Arc;

/// The map of a job in one text.
fn map_of(text: &str, settings: &Settings) -> Document {
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text.into())));
    let case = Case::build(&sources, root);
    let job = CheckedJob::of(&case, FileRevision::NotInGit).expect("the text holds a job");
    map(&job, settings).expect("nothing is asked for that is not there")
}

fn set_as_text(document: &Document) -> String {
    let look = crate::sheets::text::Look {
        width: 80,
        is_plain: false,
    };
    crate::sheets::text::text(document, look)
}

fn drawings(document: &Document) -> Vec<(&Drawing, String)> {
    let drawn = document.blocks.iter().filter_map(|block| match block {
        Block::Drawing { drawing, caption } => Some((
            drawing,
            caption.as_ref().map_or_else(String::new, Words::text),
        )),
        _ => None,
    });
    drawn.collect()
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let texts = drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some(text.as_str()),
        _ => None,
    });
    texts.collect()
}

const HEAD: &str = "model m1 \"M-1 meter\"\n  revision 1\n\n";
const JOB: &str = "\njob 26-501 \"M-1 serial 7\"\n  model m1 revision 1\n";

#[test]
fn a_part_off_its_board_is_listed() {
    let text = format!(
        "{HEAD}board b1 \"One\"\n  size 60 x 40\n  film\n    C1 10nF 63V at 20,20\n    C2 22nF 63V at 200,20\n{JOB}"
    );
    let text = set_as_text(&map_of(&text, &Settings::default()));
    let listed = text.lines().find(|line| line.contains("C2"));
    assert!(
        listed.is_some_and(|line| line.contains("off the board, at 200,20")),
        "{text}"
    );
}

/// As many parts on so small a board that hardly a name has room.
fn crowded(count: usize) -> String {
    let mut text = format!(
        "{HEAD}board b1 \"Crowded\"\n  size 60 x 40\n  rail V 12V\n  rail GND 0V\n  electrolytic radial\n"
    );
    for index in 0..count {
        let (x, y) = (
            1.5 + (index % 25) as f64 * 2.375,
            1.25 + (index / 25) as f64 * 2.5,
        );
        let _ = writeln!(
            text,
            "    C{} {}uF 16V 2.2x5 p1 (+ V, - GND) at {x},{y} + {}",
            index + 1,
            1 + index % 90,
            if index % 2 == 0 { "east" } else { "north" }
        );
    }
    text + JOB
}

/// What must hold of the labels of any view.
fn assert_readable(labels: &[Label], wants: &[Wants], ground: &Ground) {
    for (index, label) in labels.iter().enumerate() {
        let name = &wants[label.of].name;
        assert!(ground.whole.holds(&label.room), "{name} leaves the page");
        for other in &labels[index + 1..] {
            assert!(
                !label.room.meets(&other.room),
                "{name} and {} lie on one another",
                wants[other.of].name
            );
            let is_beside = |label: &Label| label.stands != Stands::Inside;
            let aside = APART * ground.size - 1e-6;
            let wide = Rectangle {
                left: label.room.left - aside,
                right: label.room.right + aside,
                ..label.room
            };
            assert!(
                !(is_beside(label) && is_beside(other) && wide.meets(&other.room)),
                "{name} runs into {}",
                wants[other.of].name
            );
            if let (Some(one), Some(two)) = (label.leader, other.leader) {
                assert!(
                    !crosses(one, two),
                    "the lines of {name} and {} cross",
                    wants[other.of].name
                );
            }
        }
        for want in wants {
            for mark in &want.marks {
                assert!(
                    !mark.meets(&label.room),
                    "{name} covers a mark of {}",
                    want.name
                );
            }
        }
        for area in &ground.taken {
            assert!(!area.meets(&label.room), "{name} covers what is taken");
        }
        match label.stands {
            Stands::Inside => assert!(
                wants[label.of].body.holds(&label.room),
                "{name} leaves its body"
            ),
            // What it lies over are outlines of bodies, and nothing else.
            Stands::Over => assert!(ground.may_lie_over, "{name} lies over a body"),
            Stands::Beside | Stands::CalledOut => {
                for want in wants {
                    assert!(
                        !want.body.meets(&label.room),
                        "{name} covers the body of {}",
                        want.name
                    );
                }
            }
        }
        if let Some((from, to)) = label.leader {
            for other in labels.iter().filter(|other| other.of != label.of) {
                assert!(
                    !Area::Rectangle(other.room).is_crossed(from, to),
                    "the line of {name} strikes {}",
                    wants[other.of].name
                );
            }
        }
    }
}

proptest! {
    #[test]
    fn labels_never_cover_what_is_to_be_read(
        parts in prop::collection::vec(
            (0.0..120.0_f64, 0.0..80.0_f64, 0.8..12.0_f64, "[CRQU][1-9][0-9]{0,2}", "[1-9][0-9]{0,3}[nuk]F?", any::<bool>()),
            0..60,
        ),
        size in 2.0..4.5_f64,
        may_lie_over in any::<bool>(),
    ) {
        let wants: Vec<Wants> = parts.iter().map(|(x, y, radius, name, value, is_round)| {
            let middle = at(40.0 + x, 15.0 + y);
            let body = if *is_round {
                Area::Disc { middle, radius: *radius }
            } else {
                Area::Rectangle(Rectangle::around(middle, radius * 3.0, *radius))
            };
            Wants {
                name: name.clone(),
                value: value.clone(),
                body,
                marks: vec![Area::Disc { middle: at(middle.x + radius / 2.0, middle.y), radius: 0.8 }],
                is_named: true,
            }
        }).collect();
        let ground = Ground {
            may_lie_over,
            whole: Rectangle { left: 0.0, top: 0.0, right: 200.0, bottom: 110.0 },
            board: Rectangle { left: 40.0, top: 15.0, right: 160.0, bottom: 95.0 },
            taken: vec![Area::Disc { middle: at(45.0, 20.0), radius: 3.0 }],
            size,
        };
        let (labels, left) = place(&wants, &ground);
        prop_assert_eq!(labels.len() + left.len(), wants.len());
        assert_readable(&labels, &wants, &ground);
        prop_assert_eq!(place(&wants, &ground), (labels, left));
    }
}

#[test]
fn every_one_of_four_hundred_parts_is_named_on_some_sheet() {
    let document = map_of(&crowded(400), &Settings::default());
    let drawings = drawings(&document);
    let named: std::collections::BTreeSet<&str> = drawings
        .iter()
        .filter(|(_, caption)| caption.contains("component side"))
        .flat_map(|(drawing, _)| texts(drawing))
        .collect();
    for index in 1..=400 {
        let name = format!("C{index}");
        assert!(named.contains(name.as_str()), "{name} is named nowhere");
    }
    // They come out from the other side.
    let behind = drawings
        .iter()
        .filter(|(_, caption)| caption.contains("solder side"));
    let behind: std::collections::BTreeSet<&str> =
        behind.flat_map(|(drawing, _)| texts(drawing)).collect();
    assert!(named.is_subset(&behind));
    assert!(drawings[0].1.contains("1:1"), "{}", drawings[0].1);
    let room = PageSetting::default().room(document.is_landscape);
    for (drawing, caption) in drawings {
        let lines = lines_of(&caption, true, CAPTION_LETTERS, room.width) as f64;
        let around = HEADING + HEADING_LINE + CAPTION + CAPTION_LINE * lines;
        assert!(drawing.width <= room.width + 1e-9, "{caption} is too wide");
        assert!(
            drawing.height <= room.height - around + 1e-9,
            "{caption} is too high"
        );
    }
}

#[test]
fn a_board_that_fits_on_a_page_on_its_side_is_not_cut() {
    let text = format!(
        "{HEAD}board b1 \"Power supply\"\n  size 160 x 100\n  electrolytic radial\n    C1 100uF 25V 8x12 p3.5 at 80,50 + east\n{JOB}"
    );
    for paper in [Paper::A4, Paper::Letter] {
        for is_big in [false, true] {
            let settings = Settings {
                paper,
                is_big,
                ..Settings::default()
            };
            let document = map_of(&text, &settings);
            assert!(document.is_landscape, "{paper:?}, big: {is_big}");
            let drawings = drawings(&document);
            let sides = drawings.iter().filter(|(_, caption)| !caption.is_empty());
            assert_eq!(sides.count(), 2, "{paper:?}, big: {is_big}");
        }
    }
}

#[test]
fn a_sheet_that_shows_only_parts_of_another_is_left_out() {
    // Two rows, whole on the upper piece of the board; the lower row is on both.
    let mut text = format!("{HEAD}board b1 \"Master\"\n  size 160 x 200\n  electrolytic radial\n");
    for (index, y) in [(1, 180), (2, 100)] {
        let _ = writeln!(text, "    C{index} 100uF 25V 8x12 p3.5 at 80,{y} + east");
    }
    let sheets = |text: &str| {
        let settings = Settings {
            is_big: true,
            ..Settings::default()
        };
        let document = map_of(text, &settings);
        let drawings = drawings(&document);
        let of_front = drawings
            .iter()
            .filter(|(_, caption)| caption.contains("component side"));
        of_front.count()
    };
    assert_eq!(sheets(&format!("{text}{JOB}")), 1);
    let farther = "    C3 100uF 25V 8x12 p3.5 at 80,20 + east\n";
    assert_eq!(sheets(&format!("{text}{farther}{JOB}")), 2);
}

#[test]
fn parts_whose_bodies_lie_on_one_another_are_named_all_the_same() {
    let mut text = format!("{HEAD}board b1 \"One\"\n  size 60 x 40\n  electrolytic radial\n");
    for index in 0..60 {
        let (x, y) = (6 + 5 * (index % 10), 5 + 6 * (index / 10));
        let _ = writeln!(
            text,
            "    C{} 100uF 25V 8x12 p3.5 at {x},{y} + east",
            index + 1
        );
    }
    let document = map_of(&(text + JOB), &Settings::default());
    let drawings = drawings(&document);
    let named: Vec<&str> = drawings.iter().flat_map(|it| texts(it.0)).collect();
    for index in 1..=60 {
        let name = format!("C{index}");
        assert!(named.contains(&name.as_str()), "{name} is named nowhere");
    }
}

#[test]
fn a_unit_without_boards_is_told_so() {
    let document = map_of(JOB, &Settings::default());
    let told = "There is no part to show.";
    assert!(document.blocks.contains(&Block::Paragraph(told.into())));
}

#[test]
fn the_solder_side_is_mirrored_and_its_letters_are_not() {
    let text = format!(
        "{HEAD}board b1 \"One\"\n  size 60 x 40\n  rail V 12V\n  rail GND 0V\n  C1 electrolytic 10uF 25V radial 5x11 p2 (+ V, - GND) at 10,30 + east\n    beep - GND\n{JOB}"
    );
    let document = map_of(&text, &Settings::default());
    let drawings = drawings(&document);
    let plus_of = |drawing: &Drawing| {
        let black = drawing.shapes.iter().find_map(|shape| match shape {
            Shape::Circle {
                middle,
                radius,
                look,
            } if *radius > 0.5
                && matches!(look.fill, crate::sheets::drawing::Fill::Grey(grey) if grey == 0.0) =>
            {
                Some(*middle)
            }
            _ => None,
        });
        black.expect("plus is marked")
    };
    let board_of = |drawing: &Drawing| match drawing.shapes[0] {
        Shape::Rectangle { corner, width, .. } => (corner, width),
        _ => panic!("the board comes first"),
    };
    let (front, back) = (drawings[0].0, drawings[1].0);
    let (corner, width) = board_of(front);
    assert_eq!(width, 60.0);
    // Plus lies to the east of the middle at 10 mm from the left, 10 mm from above.
    let plus = plus_of(front);
    assert!((plus.x - corner.x - 11.0).abs() < 1e-9 && (plus.y - corner.y - 10.0).abs() < 1e-9);
    let (corner, _) = board_of(back);
    let plus = plus_of(back);
    assert!((plus.x - corner.x - 49.0).abs() < 1e-9, "{plus:?}");
    assert!(texts(back).contains(&"C1"));
    assert!(drawings[1].1.contains("mirrored"));
}

#[test]
fn what_is_not_known_is_said() {
    let text = format!(
        "{HEAD}board b1 \"One\"\n  size 60 x 40\n  zone A 0,0 to 30,40\n  C1 electrolytic 10uF 25V radial 5x11 p2 at 10,30\n  C2 electrolytic 47uF 25V radial 5x11 p2 at 40,30 + north\n  C3 electrolytic 22uF 25V radial 5x11 p2 zone A\n  R1, R2, R3 resistor 10kohm\n{JOB}"
    );
    let document = map_of(&text, &Settings::default());
    let drawn = drawings(&document);
    let front = texts(drawn[0].0);
    assert!(
        front.contains(&"?") && front.contains(&"zone A"),
        "{front:?}"
    );
    let text = set_as_text(&document);
    for said in [
        "C3",
        "22",
        "way round not known",
        "R1..R3",
        "zone A",
        "no zone",
    ] {
        assert!(text.contains(said), "{said} is not in\n{text}");
    }
}

#[test]
fn copies_that_are_alike_are_drawn_once() {
    let text = format!(
        "{HEAD}board ch \"Strip\" as ch1..ch16\n  size 60 x 40\n  R1 resistor 10kohm at 10,10\n{JOB}"
    );
    let document = map_of(&text, &Settings::default());
    let heading = document.blocks.iter().find_map(|block| match block {
        Block::Heading { text, .. } => Some(text.as_str()),
        _ => None,
    });
    assert_eq!(heading, Some("ch1..ch16: Strip"));
    let sides: Vec<String> = drawings(&document)
        .into_iter()
        .map(|drawn| drawn.1)
        .collect();
    assert_eq!(
        sides
            .iter()
            .filter(|caption| caption.contains("component side"))
            .count(),
        1
    );
}

#[test]
fn a_board_larger_than_a_page_is_cut_into_sheets() {
    let mut text = format!("{HEAD}board b1 \"Long\"\n  size 500 x 300\n");
    for index in 0..50 {
        let _ = writeln!(
            text,
            "  C{index} film 100nF 7x3x6 p5 at {},{}",
            10 * index + 5,
            6 * index + 3
        );
    }
    let document = map_of(&(text + JOB), &Settings::default());
    let drawings = drawings(&document);
    let front: Vec<_> = drawings
        .iter()
        .filter(|drawn| drawn.1.contains("component side"))
        .collect();
    assert!(front.len() >= 4, "{}", front.len());
    let room = PageSetting::default().room(document.is_landscape);
    for (drawing, caption) in &front {
        assert!(drawing.width <= room.width + 1e-9, "{caption}");
        assert!(caption.contains("sheet"));
    }
    for index in 0..50 {
        let name = format!("C{index}");
        assert!(
            front
                .iter()
                .any(|drawn| texts(drawn.0).contains(&name.as_str())),
            "{name}"
        );
    }
}

#[test]
fn every_scaled_sheet_carries_its_rule() {
    let document = map_of(&crowded(30), &Settings::default());
    for (drawing, caption) in drawings(&document)
        .iter()
        .filter(|drawn| drawn.1.contains(":1"))
    {
        let has_rule = drawing.shapes.iter().any(|shape| match shape {
            Shape::Path { points, .. } => {
                points.len() == 2
                    && points[0].y == points[1].y
                    && (points[1].x - points[0].x - 50.0).abs() < 1e-9
            }
            _ => false,
        });
        assert!(has_rule, "{caption}");
    }
}

#[test]
fn an_empty_unit_gives_a_sheet() {
    let document = map_of(&format!("{HEAD}{JOB}"), &Settings::default());
    assert!(drawings(&document).is_empty());
}

#[test]
fn what_is_not_asked_for_has_no_name() {
    let settings = Settings {
        wanted: Wanted {
            kinds: vec!["film".into()],
            ..Wanted::default()
        },
        ..Settings::default()
    };
    let text = format!(
        "{HEAD}board b1 \"One\"\n  size 60 x 40\n  C1 film 10nF 7x3x6 p5 at 10,30\n  R1 resistor 10kohm at 40,30\n{JOB}"
    );
    let document = map_of(&text, &settings);
    let drawings = drawings(&document);
    let front = texts(drawings[0].0);
    assert!(front.contains(&"C1") && !front.contains(&"R1"), "{front:?}");
}

/// The view of parts made by hand, at true scale on an upright page.
fn view_of(placed: Vec<Placed>) -> View {
    let board = OnBoard {
        size: Some((100.0, 80.0)),
        zones: Vec::new(),
        placed,
        unplaced: Vec::new(),
        damage: Vec::new(),
    };
    let look = Looked {
        may_lie_over: false,
        is_solder_side: false,
        scale: 1.0,
        cut: board.field(),
        is_tile: false,
        letters: 2.75,
    };
    view(&board, look, PageSetting::default().room(false), "")
}

#[test]
fn a_large_body_holds_its_name_and_a_small_one_has_it_beside() {
    let part = |name: &str, middle: Point, radius: f64| Placed {
        name: name.into(),
        value: "4700uF".into(),
        middle,
        body: Body::Round(radius),
        pads: Vec::new(),
        way: Way::Clear,
        is_solder_side: false,
        is_wanted: true,
        is_marked: false,
        is_empty: false,
        is_not_checked: false,
    };
    let view = view_of(vec![
        part("C1", at(30.0, 40.0), 11.0),
        part("C2", at(70.0, 40.0), 2.5),
    ]);
    let stands: Vec<Stands> = view.labels.iter().map(|label| label.stands).collect();
    assert_eq!(stands, [Stands::Inside, Stands::Beside]);
}
