//! What may be written at the caret.
//!
//! The place in the outline decides which lines may stand there, and the words
//! before the caret which word may come next. A line that is being typed can
//! seldom be read, so nothing here looks at its record: its tokens are enough.

mod below;
mod facts;
mod headings;
mod job;
mod log;
mod names;
mod plan;
mod snippet;
mod units;

pub use snippet::{Piece, Snippet};

use super::caret::Caret;
use super::{Position, Snapshot, heading_of};
use crate::meaning::BoardId;
use crate::sources::Origin;
use retin_syntax::tables::Kind;
use retin_syntax::tables::properties::Place;
use retin_syntax::tree::{HeadingKind, LineId, Record};
use retin_syntax::value::{Date, TimeOfDay};
use retin_syntax::{Span, Token};
use rustc_hash::FxHashSet;

/// Something that may be written at the caret.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Completion {
    /// What is shown, and what typing is compared with.
    pub label: String,
    /// What sort of thing it is.
    pub what: What,
    /// A few words beside the label.
    pub detail: String,
    /// More about it, as plain text; why a part fits.
    pub doc: String,
    /// What it replaces: the word that is being typed, or its last segment.
    pub replaces: Origin,
    /// What is written there.
    pub insert: Insert,
    /// Its place in the list, first 0.
    pub rank: u32,
}

/// What sort of thing a completion is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum What {
    /// A reserved word.
    Keyword,
    /// A heading with its first lines.
    Section,
    /// A kind or a family of parts.
    Kind,
    /// A property.
    Property,
    /// A unit.
    Unit,
    /// A part of the model.
    Part,
    /// A board or a copy of one.
    Board,
    /// A net, or a lead.
    Net,
    /// A shelf or an entry of one.
    Shelf,
    /// A rule.
    Rule,
    /// A step.
    Step,
    /// Anything else with a name.
    Name,
}

/// What a completion writes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Insert {
    /// A text.
    Text(String),
    /// A text with places to fill in.
    Snippet(Snippet),
}

/// What may be written at the caret, likeliest first; nothing in comments, in
/// prose and in text in quotes.
pub fn completion(snapshot: &Snapshot<'_>, position: Position) -> Vec<Completion> {
    completion_at(snapshot, position, None)
}

/// The same, and in the log the day and the time, as the caller's clock has them.
pub fn completion_at(
    snapshot: &Snapshot<'_>,
    position: Position,
    now: Option<(Date, TimeOfDay)>,
) -> Vec<Completion> {
    let caret = Caret::at(snapshot, position);
    if caret.is_in_prose() || is_in_text(&caret) {
        return Vec::new();
    }
    let mut list = List {
        snapshot,
        caret,
        now,
        found: Vec::new(),
        known: FxHashSet::default(),
    };
    list.fill();
    let mut found = list.found;
    for (rank, completion) in found.iter_mut().enumerate() {
        completion.rank = rank as u32;
    }
    found
}

fn is_in_text(caret: &Caret<'_>) -> bool {
    caret.lexemes().iter().any(|(token, span)| match token {
        Token::Text => span.start < caret.offset && caret.offset < span.end,
        Token::OpenText => span.start < caret.offset,
        _ => false,
    })
}

/// The list while it is made.
struct List<'s, 'a> {
    snapshot: &'s Snapshot<'a>,
    caret: Caret<'a>,
    now: Option<(Date, TimeOfDay)>,
    found: Vec<Completion>,
    /// What is in the list already.
    known: FxHashSet<(What, String)>,
}

impl<'a> List<'_, 'a> {
    /// Which lines may stand here, and which word of such a line comes next.
    fn fill(&mut self) {
        let Some(parent) = self.caret.parent() else {
            if self.caret.indent() == 0 {
                self.headings();
            }
            return;
        };
        let Some((heading, section)) = heading_of(self.caret.tree, parent) else {
            return;
        };
        match &self.caret.tree.line(parent).record {
            Record::Heading(_) => self.below_heading(heading, section),
            Record::Group { kind, .. } => {
                let kind = Kind::of(kind.token);
                self.part_line(section, kind);
            }
            Record::Part { kind, .. } => {
                let kind = kind
                    .and_then(|word| Kind::of(word.token))
                    .or_else(|| self.kind_of_group(parent));
                self.below_part(section, parent, kind);
            }
            Record::Accept { .. } => self.words(&[(Token::For, "the values it was given for")]),
            Record::Step { .. } => self.words(&[(Token::Caution, "what to beware of")]),
            Record::Day { .. } => self.log_entry(),
            Record::Broken if section == HeadingKind::Log => self.log_entry(),
            Record::Broken => self.part_line(section, None),
            _ => {}
        }
    }

    fn kind_of_group(&self, part: LineId) -> Option<Kind> {
        let group = self.caret.tree.line(part).parent?;
        match &self.caret.tree.line(group).record {
            Record::Group { kind, .. } => Kind::of(kind.token),
            _ => None,
        }
    }

    /// The board whose section the caret stands in.
    fn board(&self) -> Option<BoardId> {
        let (heading, _) = heading_of(self.caret.tree, self.caret.parent()?)?;
        let Record::Heading(heading) = &self.caret.tree.line(heading).record else {
            return None;
        };
        let name = heading.name?.text(self.caret.text);
        Some(self.snapshot.case.board_named(name)?.0)
    }

    /// The last token before the word that is being typed.
    fn last(&self) -> Option<Token> {
        self.caret.before().last().map(|lexeme| lexeme.0)
    }

    fn is_first(&self) -> bool {
        self.caret.before().is_empty()
    }

    fn has(&self, token: Token) -> bool {
        self.caret.before().iter().any(|lexeme| lexeme.0 == token)
    }

    /// The last of these words before the caret, and how many tokens stand behind it.
    fn slot(&self, words: &[Token]) -> Option<(Token, usize)> {
        let before = self.caret.before();
        let at = before
            .iter()
            .rposition(|lexeme| words.contains(&lexeme.0))?;
        Some((before[at].0, before.len() - at - 1))
    }

    fn typed(&self) -> &'a str {
        self.caret.typed().of(self.caret.text)
    }

    fn add(&mut self, what: What, label: impl Into<String>, detail: impl Into<String>) {
        let label = label.into();
        self.put(Completion {
            insert: Insert::Text(label.clone()),
            label,
            what,
            detail: detail.into(),
            doc: String::new(),
            replaces: self.caret.origin(self.caret.typed()),
            rank: 0,
        });
    }

    /// A name of something; one that would be read otherwise is put in quotes.
    fn add_name(&mut self, what: What, name: &str, detail: impl Into<String>) {
        let is_plain = matches!(
            retin_syntax::lexer::lex(name).as_slice(),
            [(Token::Word | Token::Number, span)] if span.len() as usize == name.len()
        );
        let text = if is_plain {
            name.to_owned()
        } else {
            format!("\"{name}\"")
        };
        self.put(Completion {
            label: name.to_owned(),
            what,
            detail: detail.into(),
            doc: String::new(),
            replaces: self.caret.origin(self.caret.typed()),
            insert: Insert::Text(text),
            rank: 0,
        });
    }

    fn put(&mut self, completion: Completion) {
        if self
            .known
            .insert((completion.what, completion.label.clone()))
        {
            self.found.push(completion);
        }
    }

    fn words(&mut self, words: &[(Token, &str)]) {
        if !self.is_first() {
            return;
        }
        for (token, doc) in words {
            self.add(What::Keyword, token.reserved_text().unwrap_or(""), *doc);
        }
    }

    fn word(&mut self, token: Token, doc: &str) {
        self.add(What::Keyword, token.reserved_text().unwrap_or(""), doc);
    }
}

/// The place whose properties an entry of a section takes.
fn entry_place(section: HeadingKind) -> Place {
    match section {
        HeadingKind::Shelf => Place::Shelf,
        HeadingKind::Devices => Place::Devices,
        HeadingKind::Packages => Place::Packages,
        _ => Place::Part,
    }
}

/// The part of a span behind its last single dot.
fn last_segment(text: &str, span: Span) -> (String, Span) {
    let word = span.of(text);
    let mut at = word.len();
    let bytes = word.as_bytes();
    while at > 0 {
        at -= 1;
        let is_dot = bytes[at] == b'.';
        let is_pair = (at > 0 && bytes[at - 1] == b'.') || bytes.get(at + 1) == Some(&b'.');
        if is_dot && !is_pair && at > 0 {
            let start = span.start + at as u32 + 1;
            return (word[..at].to_owned(), Span::new(start, span.end));
        }
    }
    (String::new(), span)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::{Insert, completion};

    /// The labels, each with its detail.
    fn list(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            completion(snapshot, position)
                .into_iter()
                .map(|found| format!("{} | {}", found.label, found.detail))
                .collect()
        })
    }

    fn labels(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            completion(snapshot, position)
                .into_iter()
                .map(|found| found.label)
                .collect()
        })
    }

    #[test]
    fn headings_that_a_file_may_still_hold_stand_at_the_margin() {
        let of = labels("$0");
        assert!(of.contains(&"job".to_owned()) && of.contains(&"model".to_owned()));
        let of = labels(&mixer("\ntargets", "\n$0\ntargets"));
        assert!(!of.contains(&"job".to_owned()), "{of:?}");
        assert!(of.contains(&"shelf".to_owned()), "{of:?}");
        assert_eq!(labels("# a comment $0"), Vec::<String>::new());
        assert_eq!(labels("  $0"), Vec::<String>::new());
    }

    #[test]
    fn settings_that_are_missing_are_offered() {
        let of = labels(&mixer("  life       10000h\n", "  $0\n"));
        assert!(of.contains(&"owner".to_owned()) && of.contains(&"life".to_owned()));
        assert!(!of.contains(&"inside".to_owned()), "{of:?}");
        let of = labels(&mixer("  headroom   38mm\n", "  $0\n"));
        assert!(of.contains(&"built".to_owned()) && of.contains(&"changed".to_owned()));
        assert!(!of.contains(&"revision".to_owned()));
    }

    #[test]
    fn below_a_board_stand_kinds_rails_and_settings() {
        let of = labels(&mixer("  resistor ±5%\n", "  $0\n  resistor ±5%\n"));
        for word in ["rail", "net", "zone", "copper", "electrolytic", "film"] {
            assert!(of.contains(&word.to_owned()), "{word}: {of:?}");
        }
        assert_eq!(labels(&mixer("link J2", "link $0J2")), Vec::<String>::new());
    }

    #[test]
    fn properties_that_a_part_lacks_are_those_of_its_kind() {
        let of = labels(&mixer("C2   100uF 35V   8x12 p3.5", "C2   100uF 35V $0"));
        assert!(of.contains(&"low-impedance".to_owned()), "{of:?}");
        assert!(of.contains(&"coupling".to_owned()));
        assert!(!of.contains(&"linear".to_owned()), "{of:?}");
        assert!(!of.contains(&"splined".to_owned()));
        let of = labels("board b\n  pot\n    VR1 10kohm $0\n");
        assert!(of.contains(&"linear".to_owned()) && of.contains(&"shaft".to_owned()));
        assert!(!of.contains(&"reservoir".to_owned()));
    }

    #[test]
    fn units_follow_a_number() {
        assert_eq!(
            labels("board b\n  electrolytic\n    C1 100$0\n")[..4],
            ["uF", "pF", "nF", "F"]
        );
        let of = labels("board b\n  resistor\n    R1 4.7$0\n");
        assert_eq!(of[0], "kohm");
        let of = labels("job 1\n  inside 50$0\n");
        assert_eq!(of, ["°C"]);
        let of = labels("board b\n  rail V24 24$0\n");
        assert_eq!(of[0], "V");
    }

    #[test]
    fn brackets_hold_leads_and_then_nets() {
        assert_eq!(
            labels(&mixer(
                "(+ V24, - GND)\n  resistor",
                "(+ V24, $0)\n  resistor"
            )),
            ["-"]
        );
        let of = labels(&mixer(
            "(+ V24, - GND)\n  resistor",
            "(+ $0, - GND)\n  resistor",
        ));
        assert_eq!(of, ["RAW", "V24", "GND", "MID"]);
        assert_eq!(labels("board b\n  npn\n    Q1 ($0"), ["E", "B", "C"]);
    }

    #[test]
    fn a_plan_line_is_completed_word_by_word() {
        let of = labels(&mixer("  keep       every film\n", "  $0\n"));
        assert_eq!(of[..2], ["replace", "add"]);
        assert!(of.contains(&"accept".to_owned()));
        let of = labels(&mixer("  keep       every film\n", "  keep $0\n"));
        assert!(of.contains(&"every".to_owned()) && of.contains(&"psu".to_owned()));
        let of = labels(&mixer("  keep       every film\n", "  keep every $0\n"));
        assert!(of.contains(&"electrolytic".to_owned()) && of.contains(&"capacitor".to_owned()));
        let of = labels(&mixer("  keep       every film\n", "  keep psu.$0\n"));
        assert_eq!(of[..5], ["C1", "C2", "R1", "R2", "R3"]);
        let of = labels(&mixer(
            "  keep       every film\n",
            "  keep every film on $0\n",
        ));
        assert_eq!(of[..3], ["psu", "channel", "ch1"]);
        let of = labels(&mixer(
            "  keep       every film\n",
            "  keep every film $0\n",
        ));
        assert!(of.contains(&"on".to_owned()) && of.contains(&"except".to_owned()));
    }

    #[test]
    fn parts_of_the_shelf_that_fit_come_first_and_say_why() {
        let fixture = mixer("  keep       every film\n", "  replace psu.C2 with $0\n");
        insta::assert_snapshot!("shelf_parts", list(&fixture).join("\n"));
        let fixture = mixer(
            "  keep       every film\n",
            "  replace ch1..ch8.C1 with E-$0\n",
        );
        assert_eq!(labels(&fixture)[0], "E-10-50");
        let fixture = mixer("  keep       every film\n", "  replace psu.C2 from $0\n");
        assert_eq!(labels(&fixture), ["main"]);
    }

    #[test]
    fn rules_that_are_broken_come_first_after_accept() {
        let of = labels(&mixer("  keep       every film\n", "  accept $0\n"));
        assert!(of.len() > 20);
        assert!(of.contains(&"polarity-reversed".to_owned()));
    }

    #[test]
    fn what_was_found_has_a_source() {
        let of = |line: &str| labels(&mixer("  psu.C2  meter 61uF\n", line));
        let found = of("  psu.C2 $0\n");
        assert!(found.contains(&"meter".to_owned()) && found.contains(&"go by".to_owned()));
        assert_eq!(of("  psu.C2 go by $0\n")[..2], ["schematic", "list"]);
        assert_eq!(of("  psu.C2 beep $0\n")[..2], ["+", "-"]);
    }

    #[test]
    fn steps_follow_steps() {
        let fixture = mixer("   after strip\n", "   after $0\n");
        assert_eq!(labels(&fixture), ["strip"]);
        let fixture = mixer("  fill       fit every", "  fill       $0 every");
        assert!(labels(&fixture).contains(&"photograph".to_owned()));
    }

    #[test]
    fn the_log_offers_verbs_and_what_is_not_done_yet_first() {
        let entry = "    09:40  measured   psu.C1  1840uF\n";
        let of = labels(&mixer(entry, "    09:40  $0\n"));
        assert!(of.contains(&"removed".to_owned()) && of.contains(&"returned".to_owned()));
        let of = labels(&mixer(entry, "    09:40  removed $0\n"));
        let at = |name: &str| of.iter().position(|label| label == name);
        assert!(at("psu.C2") < at("psu.C1"), "{of:?}");
        let of = labels(&mixer(entry, "    09:40  fitted psu.C1 with $0\n"));
        assert_eq!(of[0], "E-2200-50");
        let of = labels(&mixer("  2026-11-03\n", "  $0\n"));
        assert_eq!(of, ["next day"]);
    }

    #[test]
    fn what_is_replaced_is_the_segment_that_is_typed() {
        let fixture = mixer("  keep       every film\n", "  keep psu.R$0\n");
        at(&fixture, |snapshot, position| {
            let found = completion(snapshot, position);
            let part = found.iter().find(|found| found.label == "R3").unwrap();
            assert_eq!(snapshot.of(part.replaces), "R");
            assert_eq!(part.insert, Insert::Text("R3".into()));
        });
    }

    #[test]
    fn nothing_is_offered_in_prose_text_and_broken_places() {
        for fixture in [
            "job 1 \"ti$0tle\"",
            "job 1 \"open $0",
            "board b\n  film\n    C1 1uF\n      | pro$0se",
            "job 1 # re$0mark",
            "\u{feff}  µ$0",
        ] {
            assert_eq!(labels(fixture), Vec::<String>::new(), "{fixture:?}");
        }
    }
}
