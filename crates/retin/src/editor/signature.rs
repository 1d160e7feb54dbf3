//! The shape of the line at the caret, with the part that comes next marked.

use super::caret::Caret;
use super::{Position, Snapshot, heading_of};
use retin_syntax::Token;
use retin_syntax::tables::properties::{PROPERTIES, takes};
use retin_syntax::tables::{ClaimSource, kinds};
use retin_syntax::tree::{HeadingKind, Record};

/// The shape of a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Signature {
    /// The whole shape.
    pub label: String,
    /// Its parts, as byte offsets into the label.
    pub parts: Vec<(u32, u32)>,
    /// The part at the caret.
    pub active: Option<u32>,
    /// What the line says.
    pub doc: &'static str,
}

/// A part of a line's shape.
#[derive(Clone, Copy)]
struct Piece {
    text: &'static str,
    /// The word that opens it; none for one that is known by its place.
    opens: Option<Token>,
}

struct Form {
    doc: &'static str,
    pieces: &'static [Piece],
}

const fn at(text: &'static str) -> Piece {
    Piece { text, opens: None }
}

const fn after(token: Token, text: &'static str) -> Piece {
    Piece {
        text,
        opens: Some(token),
    }
}

const LEADS: Piece = after(Token::Open, "(LEAD NET, …)");
const BECAUSE: Piece = after(Token::Because, "because \"REASON\"");

const USE: Form = Form {
    doc: "reads another file; the path is written from this one",
    pieces: &[at("use"), at("\"PATH\"")],
};
const NAMED: Form = Form {
    doc: "a heading: a name, and a title in quotes",
    pieces: &[at("HEADING"), at("NAME"), at("\"TITLE\"")],
};
const BOARD: Form = Form {
    doc: "a board or wiring, with a name for each copy",
    pieces: &[
        at("board"),
        at("NAME"),
        at("\"TITLE\""),
        after(Token::As, "as COPIES"),
    ],
};
const LINK: Form = Form {
    doc: "a cable, a plug or a row of wires between boards",
    pieces: &[at("link"), at("NAME"), at("\"TITLE\""), at("COUNT joints")],
};
const RAIL: Form = Form {
    doc: "a net whose voltage is known",
    pieces: &[
        at("rail"),
        at("NAME"),
        at("VOLTS ±TOLERANCE"),
        after(Token::Ripple, "ripple VOLTS"),
    ],
};
const NET: Form = Form {
    doc: "a net, with a title",
    pieces: &[at("net"), at("NAME"), at("\"TITLE\"")],
};
const ZONE: Form = Form {
    doc: "a rectangle, from its lower left to its upper right corner in mm",
    pieces: &[
        at("zone"),
        at("NAME"),
        at("X,Y"),
        after(Token::To, "to X,Y"),
    ],
};
const CHANGED: Form = Form {
    doc: "what a revision of the sheet changed",
    pieces: &[at("changed"), at("REVISION"), at("PARTS"), at("\"WHY\"")],
};
const SETTING: Form = Form {
    doc: "a property of the heading above",
    pieces: &[at("PROPERTY"), at("VALUE")],
};
const GROUP: Form = Form {
    doc: "a kind, and what all its parts share",
    pieces: &[at("KIND"), at("PROPERTIES")],
};
const PART: Form = Form {
    doc: "a part: order is free behind the names; `+ east` says which way a lead lies",
    pieces: &[
        at("NAMES"),
        at("KIND VALUE RATINGS BODY"),
        LEADS,
        after(Token::Zone, "zone NAME"),
        after(Token::At, "at X,Y"),
    ],
};
const ENTRY_OF_SHELF: Form = Form {
    doc: "an entry: what a part is, how many there are, what it costs",
    pieces: &[
        at("NAMES"),
        at("KIND VALUE RATINGS BODY"),
        after(Token::Have, "have COUNT"),
        after(Token::At, "COUNT at PRICE"),
        after(Token::Bin, "bin DRAWER"),
    ],
};
const DEVICE: Form = Form {
    doc: "a device or a package, with the source of its facts",
    pieces: &[
        at("NAMES"),
        at("KIND PROPERTIES"),
        after(Token::Source, "source \"TEXT\""),
        after(Token::Open, "(PIN FUNCTION, …)"),
    ],
};
const CLAIM: Form = Form {
    doc: "what a source says of the part above",
    pieces: &[at("SOURCE"), at("VALUES, or LEAD DIRECTION"), LEADS],
};
const BEEP: Form = Form {
    doc: "a lead, or the lead that lies in a direction, that sounds to a net",
    pieces: &[at("beep"), at("LEAD or DIRECTION"), at("NET")],
};
const METER: Form = Form {
    doc: "a reading: a value, or a voltage from the red probe to the black one",
    pieces: &[
        at("meter"),
        at("VALUE or FROM"),
        after(Token::To, "to TO VOLTS"),
    ],
};
const GO_BY: Form = Form {
    doc: "whose claim the job goes by",
    pieces: &[at("go"), at("by"), at("SOURCE")],
};
const SECTION: Form = Form {
    doc: "one of several parts in one body",
    pieces: &[at("section"), at("LETTER"), at("VALUES"), LEADS],
};
const EXCEPTION: Form = Form {
    doc: "copies of the board that differ",
    pieces: &[at("on"), at("COPIES"), at("VALUES"), BECAUSE],
};
const JOIN: Form = Form {
    doc: "nets that the link joins",
    pieces: &[at("NETS"), after(Token::To, "to NETS")],
};
const SURVEY: Form = Form {
    doc: "what this unit was found to hold",
    pieces: &[at("PARTS"), at("SOURCE"), at("VALUES"), LEADS],
};
const PLAN: Form = Form {
    doc: "what is to happen with which parts",
    pieces: &[
        at("VERB"),
        at("PARTS"),
        after(Token::On, "on BOARDS"),
        after(Token::Except, "except PARTS"),
        after(Token::From, "from SHELF"),
        after(Token::With, "with PART"),
        after(Token::And, "and PART"),
        after(Token::In, "in series or parallel"),
        LEADS,
        BECAUSE,
    ],
};
const ACCEPT: Form = Form {
    doc: "overrules one rule on the parts chosen",
    pieces: &[
        at("accept"),
        at("RULE"),
        after(Token::On, "on PARTS"),
        after(Token::Except, "except PARTS"),
        BECAUSE,
    ],
};
const FOR: Form = Form {
    doc: "the values the overruling was given for",
    pieces: &[at("for"), at("NEW"), after(Token::In, "in place of OLD")],
};
const STEP: Form = Form {
    doc: "a step of the work",
    pieces: &[
        at("NAME"),
        at("VERB"),
        at("PARTS"),
        after(Token::On, "on BOARDS"),
        after(Token::Except, "except PARTS"),
        after(Token::With, "with MEANS"),
        after(Token::After, "after STEPS"),
        at("TIME"),
        BECAUSE,
    ],
};
const PACE: Form = Form {
    doc: "how long the shop takes for one thing",
    pieces: &[
        at("VERB"),
        at("KINDS"),
        at("TIME"),
        after(Token::Per, "per lead"),
    ],
};
const CAUTION: Form = Form {
    doc: "what to beware of in the step above",
    pieces: &[at("caution"), at("\"TEXT\"")],
};
const TARGET: Form = Form {
    doc: "a reading to expect",
    pieces: &[
        at("POINT"),
        after(Token::To, "to POINT"),
        at("VALUE"),
        after(Token::Above, "above LIMIT"),
        after(Token::Below, "below LIMIT"),
        after(Token::Expect, "expect solved"),
        at("unpowered, cold or warm"),
    ],
};
const DAY: Form = Form {
    doc: "a day of the log",
    pieces: &[at("DATE or next day")],
};
const ENTRY: Form = Form {
    doc: "what was done",
    pieces: &[
        at("TIME"),
        at("VERB"),
        at("PARTS"),
        after(Token::Except, "except PARTS"),
        at("READINGS"),
        after(Token::With, "with PART or MEANS"),
        after(Token::To, "to POINT READING"),
        after(Token::By, "by INITIALS"),
    ],
};

/// The shape of the line at the caret; nothing in comments, prose and on lines
/// of which nothing is known yet.
pub fn signature(snapshot: &Snapshot<'_>, position: Position) -> Option<Signature> {
    let caret = Caret::at(snapshot, position);
    if caret.is_in_prose() {
        return None;
    }
    let (form, first_is_word) = form(&caret)?;
    let mut label = String::new();
    let mut parts = Vec::with_capacity(form.pieces.len());
    for (index, piece) in form.pieces.iter().enumerate() {
        if !label.is_empty() {
            label.push(' ');
        }
        let start = label.len() as u32;
        match (index, first_is_word) {
            // The word itself says more than what stands for it.
            (0, Some(word)) => label.push_str(word),
            _ => label.push_str(piece.text),
        }
        parts.push((start, label.len() as u32));
    }
    let doc = property_doc(&caret).unwrap_or(form.doc);
    Some(Signature {
        label,
        parts,
        active: active(&caret, form),
        doc,
    })
}

/// Which part of the shape the word at the caret belongs to.
fn active(caret: &Caret<'_>, form: &Form) -> Option<u32> {
    let before = caret.before();
    let mut place: usize = 0;
    let mut open: Option<usize> = None;
    let mut is_in_brackets = false;
    for lexeme in before {
        let opened = form
            .pieces
            .iter()
            .position(|piece| piece.opens == Some(lexeme.0));
        match (opened, lexeme.0) {
            (Some(piece), _) => {
                is_in_brackets = lexeme.0 == Token::Open;
                open = Some(piece);
            }
            (None, Token::Close) if is_in_brackets => {
                is_in_brackets = false;
                open = None;
            }
            // A comma goes on with what stands before it.
            (None, Token::Comma) => place = place.saturating_sub(1),
            (None, Token::Unit) => {}
            (None, _) if open.is_none() => place += 1,
            (None, _) => {}
        }
    }
    if let Some(open) = open {
        return Some(open as u32);
    }
    let by_place: Vec<usize> = (0..form.pieces.len())
        .filter(|index| form.pieces[*index].opens.is_none())
        .collect();
    let last = by_place.len().checked_sub(1)?;
    by_place.get(place.min(last)).map(|index| *index as u32)
}

/// What the property that the caret stands behind says.
fn property_doc(caret: &Caret<'_>) -> Option<&'static str> {
    let parent = caret.parent()?;
    let (_, section) = heading_of(caret.tree, parent)?;
    let place = super::hover::place_of(section)?;
    let last = caret.before().last()?;
    let row = takes(last.0, place).or_else(|| {
        let is_board = matches!(section, HeadingKind::Board | HeadingKind::Wiring);
        is_board
            .then(|| takes(last.0, retin_syntax::tables::Place::Board))
            .flatten()
    })?;
    let known = PROPERTIES
        .iter()
        .find(|known| known.property == row.property)?;
    Some(if known.token == row.token {
        known.doc
    } else {
        row.doc
    })
}

/// The shape of the line, and its first word where that names the shape.
fn form(caret: &Caret<'_>) -> Option<(&'static Form, Option<&'static str>)> {
    let first = caret
        .lexemes()
        .first()
        .map(|lexeme| lexeme.0)
        .filter(|token| !matches!(token, Token::Comment | Token::Prose));
    let word = first.and_then(Token::reserved_text);
    let Some(parent) = caret.parent() else {
        return match first? {
            Token::Use => Some((&USE, word)),
            Token::Board | Token::Wiring => Some((&BOARD, word)),
            Token::Link => Some((&LINK, word)),
            Token::Model | Token::Shelf | Token::Packages | Token::Devices | Token::Job => {
                Some((&NAMED, word))
            }
            _ => None,
        };
    };
    let (_, section) = heading_of(caret.tree, parent)?;
    match &caret.tree.line(parent).record {
        Record::Heading(_) => below_heading(section, first, word),
        Record::Group { .. } => Some((entry_form(section), None)),
        Record::Part { .. } if !matches!(section, HeadingKind::Board | HeadingKind::Wiring) => {
            Some((&SETTING, word))
        }
        Record::Part { .. } => Some(match first {
            Some(Token::Beep) => (&BEEP, word),
            Some(Token::Meter) => (&METER, word),
            Some(Token::Go) => (&GO_BY, word),
            Some(Token::Section) => (&SECTION, word),
            Some(Token::On) => (&EXCEPTION, word),
            Some(token) if ClaimSource::of(token).is_some() => (&CLAIM, word),
            _ => (&CLAIM, None),
        }),
        Record::Accept { .. } => Some((&FOR, None)),
        Record::Step { .. } => Some((&CAUTION, None)),
        Record::Day { .. } => Some((&ENTRY, None)),
        Record::Broken if section == HeadingKind::Log => Some((&ENTRY, None)),
        Record::Broken => Some((entry_form(section), None)),
        _ => None,
    }
}

fn below_heading(
    section: HeadingKind,
    first: Option<Token>,
    word: Option<&'static str>,
) -> Option<(&'static Form, Option<&'static str>)> {
    Some(match section {
        HeadingKind::Model if first == Some(Token::Changed) => (&CHANGED, word),
        HeadingKind::Model | HeadingKind::Job => (&SETTING, word),
        HeadingKind::Board | HeadingKind::Wiring => match first {
            Some(Token::Rail) => (&RAIL, word),
            Some(Token::Net) => (&NET, word),
            Some(Token::Zone) => (&ZONE, word),
            Some(token) if kinds::is_kind(token) => (&GROUP, word),
            Some(token) if takes(token, retin_syntax::tables::Place::Board).is_some() => {
                (&SETTING, word)
            }
            Some(_) => (&PART, None),
            None => return None,
        },
        HeadingKind::Shelf | HeadingKind::Devices | HeadingKind::Packages => match first {
            Some(token) if kinds::is_kind(token) => (&GROUP, word),
            _ => (entry_form(section), None),
        },
        HeadingKind::Minutes => (&PACE, None),
        HeadingKind::Link => (&JOIN, None),
        HeadingKind::Found => (&SURVEY, None),
        HeadingKind::Plan if first == Some(Token::Accept) => (&ACCEPT, word),
        HeadingKind::Plan => (&PLAN, word),
        HeadingKind::Steps => (&STEP, None),
        HeadingKind::Targets => (&TARGET, None),
        HeadingKind::Log => (&DAY, None),
    })
}

fn entry_form(section: HeadingKind) -> &'static Form {
    match section {
        HeadingKind::Shelf => &ENTRY_OF_SHELF,
        HeadingKind::Devices | HeadingKind::Packages => &DEVICE,
        _ => &PART,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::signature;

    /// The shape with the part at the caret between angle brackets.
    fn shape(fixture: &str) -> String {
        at(fixture, |snapshot, position| {
            let Some(found) = signature(snapshot, position) else {
                return "nothing".into();
            };
            let mut label = found.label;
            if let Some((start, end)) = found
                .active
                .and_then(|active| found.parts.get(active as usize))
            {
                label.insert(*end as usize, '>');
                label.insert(*start as usize, '<');
            }
            label
        })
    }

    #[test]
    fn a_plan_line_marks_what_comes_next() {
        let plan = |line: &str| shape(&mixer("  keep       every film\n", line));
        assert!(plan("  $0\n").starts_with("<VERB> PARTS"));
        assert!(plan("  replace $0\n").contains("replace <PARTS> on"));
        assert!(plan("  replace every film $0\n").contains("<PARTS>"));
        assert!(plan("  replace psu.C1 with $0\n").contains("<with PART>"));
        assert!(plan("  replace psu.C1 with E-1 because $0\n").contains("<because \"REASON\">"));
    }

    #[test]
    fn brackets_open_and_close() {
        let part = |line: &str| shape(&mixer("C2   100uF 35V   8x12 p3.5  (+ V24, - GND)", line));
        assert!(part("C2 100uF (+ $0").contains("<(LEAD NET, …)>"));
        assert!(part("C2 100uF (+ V24) $0").contains("<KIND VALUE RATINGS BODY>"));
        assert!(part("$0C2 100uF").contains("<NAMES>"));
    }

    #[test]
    fn logs_rails_and_headings_have_their_shapes() {
        let entry = "    09:40  measured   psu.C1  1840uF\n";
        assert!(shape(&mixer(entry, "    09:40 measured $0\n")).contains("<PARTS>"));
        assert_eq!(
            shape("board b\n  rail µ $0"),
            "rail NAME <VOLTS ±TOLERANCE> ripple VOLTS"
        );
        assert_eq!(
            shape("board b \"t\" as $0"),
            "board NAME \"TITLE\" <as COPIES>"
        );
    }

    #[test]
    fn comments_blanks_and_the_margin_have_none() {
        for fixture in ["$0", "# µ $0", "job 1\n  | pro$0se", "nonsense $0"] {
            assert_eq!(shape(fixture), "nothing", "{fixture:?}");
        }
    }
}
