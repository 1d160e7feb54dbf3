//! What an editor can do at the caret, each as edits.
//!
//! One sort of action is one file and one line in [`ACTIONS`].

mod clock;
mod fixes;
mod overrule;
mod proof;
mod qualify;
mod shelf;
mod spelling;
mod step;
mod turn;

use super::caret::Caret;
use super::{Position, Snapshot};
use crate::finding::{Edit, Fix};
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tree::{HeadingKind, Record};
use retin_syntax::value::{Date, TimeOfDay};

/// What sort of change an action makes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Sort {
    /// It mends a finding.
    Mends,
    /// It writes something that is missing.
    Writes,
    /// It says the same otherwise, or something else.
    Rewrites,
}

/// A change that may be made at the caret.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Action {
    /// What it does, and the edits.
    pub fix: Fix,
    /// What sort of change it is.
    pub sort: Sort,
    /// The finding it mends, as a place in the report's list.
    pub finding: Option<usize>,
    /// Whether it is the likeliest one for what it mends.
    pub is_preferred: bool,
}

/// What actions are asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// The file.
    pub file: FileId,
    /// What is selected; empty where there is only a caret.
    pub span: Span,
    /// The date and the time of day, as the caller's clock has them; without
    /// them nothing is stamped.
    pub now: Option<(Date, TimeOfDay)>,
}

/// Every sort of action.
const ACTIONS: &[fn(&At<'_, '_>, &mut Vec<Action>)] = &[
    fixes::fixes,
    turn::turn,
    shelf::take,
    step::missing,
    proof::prove,
    overrule::overrule,
    overrule::reason,
    qualify::qualify,
    spelling::canonical,
    clock::stamp,
];

/// What may be done where the caret is, what mends a finding first.
pub fn actions(snapshot: &Snapshot<'_>, asked: Asked) -> Vec<Action> {
    let at = At {
        snapshot,
        caret: Caret::at(snapshot, Position::new(asked.file, asked.span.start)),
        span: asked.span,
        now: asked.now,
    };
    let mut found = Vec::new();
    for action in ACTIONS {
        action(&at, &mut found);
    }
    found.sort_by_key(|action| action.sort);
    found
}

/// The place actions are asked for.
struct At<'s, 'a> {
    snapshot: &'s Snapshot<'a>,
    caret: Caret<'a>,
    span: Span,
    now: Option<(Date, TimeOfDay)>,
}

impl<'a> At<'_, 'a> {
    /// The record of the caret's line.
    fn record(&self) -> Option<&'a Record> {
        Some(&self.caret.tree.line(self.caret.line?).record)
    }

    /// An edit in the caret's file.
    fn edit(&self, span: Span, text: impl Into<String>) -> Edit {
        Edit {
            origin: self.caret.origin(span),
            text: text.into(),
        }
    }

    /// Whether an origin lies at what is selected.
    fn touches(&self, origin: Origin) -> bool {
        origin.file == self.caret.file
            && origin.span.start <= self.span.end.max(self.caret.offset)
            && self.caret.offset <= origin.span.end
    }

    /// The end that lines of the file have.
    fn line_end(&self, file: FileId) -> &'static str {
        let text = self.snapshot.text(file);
        match text.find('\n') {
            Some(at) if text[..at].ends_with('\r') => "\r\n",
            _ => "\n",
        }
    }

    /// An edit that writes lines at the end of a section of the root file, which
    /// is opened behind what stands there where it has none.
    fn at_end_of(&self, section: HeadingKind, heading: &str, lines: &[String]) -> Edit {
        let file = self.snapshot.case.root;
        let text = self.snapshot.text(file);
        let tree = self.snapshot.tree(file);
        let end = self.line_end(file);
        let found = tree.sections().find(
            |(_, line)| matches!(&line.record, Record::Heading(heading) if heading.kind == section),
        );
        let (offset, mut out) = match found {
            Some((_, line)) => {
                let last = tree.lines[line.end as usize - 1].span;
                (super::caret::physical(text, last.start).end, String::new())
            }
            None => {
                let blanks = text.trim_end().len();
                (blanks as u32, format!("{end}{end}{heading}"))
            }
        };
        for line in lines {
            out.push_str(end);
            out.push_str(line);
        }
        if found.is_none() && offset as usize == text.len() {
            out.push_str(end);
        }
        Edit {
            origin: Origin {
                file,
                span: Span::new(offset, offset),
            },
            text: out,
        }
    }
}

fn write(title: impl Into<String>, sort: Sort, edits: Vec<Edit>) -> Action {
    Action {
        fix: Fix {
            title: title.into(),
            edits,
        },
        sort,
        finding: None,
        is_preferred: false,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{applied, at, mixer};
    use super::{Asked, actions};
    use crate::finding::Edit;
    use retin_syntax::Span;
    use retin_syntax::value::{Date, TimeOfDay, Value, read};

    fn now() -> (Date, TimeOfDay) {
        match (read("2026-11-04"), read("14:05")) {
            (Ok(Value::Date(date)), Ok(Value::Time(time))) => (date, time),
            other => panic!("{other:?}"),
        }
    }

    /// The titles of the actions at the caret.
    fn titles(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            let asked = Asked {
                file: position.file,
                span: Span::new(position.offset, position.offset),
                now: Some(now()),
            };
            actions(snapshot, asked)
                .into_iter()
                .map(|action| action.fix.title)
                .collect()
        })
    }

    /// The lines that the action with this title changes or adds.
    fn changed(fixture: &str, title: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            let asked = Asked {
                file: position.file,
                span: Span::new(position.offset, position.offset),
                now: Some(now()),
            };
            let found = actions(snapshot, asked);
            let action = found
                .iter()
                .find(|action| action.fix.title.starts_with(title))
                .unwrap_or_else(|| panic!("no `{title}` in {found:#?}"));
            let before = applied(snapshot, &[] as &[Edit]);
            let after = applied(snapshot, &action.fix.edits);
            let known: Vec<&str> = before.lines().collect();
            after
                .lines()
                .filter(|line| !known.contains(line))
                .map(str::to_owned)
                .collect()
        })
    }

    #[test]
    fn findings_at_the_caret_are_mended() {
        let fixture = mixer("with E-2200-50\n", "with E-22$000-5\n");
        assert_eq!(
            changed(&fixture, "write `E-2200-50`"),
            ["  replace    psu.C1                  with E-2200-50"]
        );
    }

    #[test]
    fn a_mark_is_turned_round() {
        let fixture = mixer("silk       + east", "silk       + ea$0st");
        assert_eq!(
            changed(&fixture, "turn it round"),
            ["      silk       + west"]
        );
        let fixture = mixer("(+ RAW, - GND)", "(+ RA$0W, - GND)");
        assert_eq!(
            changed(&fixture, "turn it round"),
            ["    C1  2200uF 40V  22x40 p10   (+ GND, - RAW)  zone A"]
        );
        let fixture = mixer("psu.C2  meter 61uF", "psu.C2  (+ V2$04, - GND)");
        assert_eq!(
            changed(&fixture, "turn it round"),
            ["  psu.C2  (+ GND, - V24)"]
        );
    }

    #[test]
    fn parts_of_the_shelf_are_taken() {
        let fixture = mixer(
            "  keep       every film\n",
            "  replace psu.C2 fr$0om main\n",
        );
        assert_eq!(
            changed(&fixture, "take E-100-50"),
            ["  replace psu.C2 with E-100-50"]
        );
        let fixture = mixer(
            "  keep       every film\n",
            "  replace ch1..ch8.C1 $0with E-100-50\n",
        );
        assert_eq!(
            changed(&fixture, "take E-10-50"),
            ["  replace ch1..ch8.C1 with E-10-50"]
        );
    }

    #[test]
    fn steps_that_are_missing_are_written() {
        let fixture = mixer("   after strip\n", "   after wa$0sh\n");
        assert_eq!(
            changed(&fixture, "write the step `wash`"),
            ["  wash       inspect everything"]
        );
        let fixture = mixer("steps\n", "st$0eps\n");
        assert!(
            titles(&fixture)
                .iter()
                .any(|title| title.contains("`look`")),
            "{:?}",
            titles(&fixture)
        );
    }

    #[test]
    fn a_repair_gets_its_proof() {
        let fixture = mixer(
            "    09:40  measured   psu.C1  1840uF\n",
            "    09:40  repair$0ed   psu.C1.-  wire 0.5mm to psu.C2.-\n",
        );
        assert_eq!(
            changed(&fixture, "write the proof"),
            ["    14:05  measured   psu.C1.- to psu.C2.-  ?"]
        );
    }

    #[test]
    fn a_rule_is_overruled_in_writing() {
        let fixture = mixer("with E-2200-50\n", "with E-100$0-50\n");
        insta::assert_snapshot!(changed(&fixture, "overrule").join("\n"));
    }

    #[test]
    fn a_reason_that_is_missing_is_asked_for() {
        let fixture = mixer("  keep       every film\n", "  leave psu.C$02 # µ\n");
        assert_eq!(
            changed(&fixture, "write the reason"),
            ["  leave psu.C2  because \"\" # µ"]
        );
    }

    #[test]
    fn a_name_gets_its_board() {
        let fixture = mixer("removed    psu.C1", "removed    C$01");
        assert_eq!(
            changed(&fixture, "write `psu.C1`"),
            ["    09:10  removed    psu.C1"]
        );
        assert_eq!(
            changed(&fixture, "write `channel.C1`"),
            ["    09:10  removed    channel.C1"]
        );
    }

    #[test]
    fn a_value_gets_its_one_spelling() {
        let fixture = mixer("C1   10uF 25V", "C1   0.01$0mF 25V");
        assert!(changed(&fixture, "write `10uF`")[0].contains("C1   10uF 25V"));
        assert!(titles(&mixer("C1   10uF 25V", "C1   10$0uF 25V")).is_empty());
    }

    #[test]
    fn the_log_is_stamped_with_the_time_given() {
        let entry = "    09:40  measured   psu.C1  1840uF\n";
        let fixture = mixer(entry, "    $0measured   psu.C1  1840uF\n");
        assert_eq!(
            changed(&fixture, "stamp"),
            ["  2026-11-04", "    14:05  measured   psu.C1  1840uF"]
        );
        let fixture = mixer("  2026-11-03\n", "  2026-11-04\n")
            .replace(entry, "    ?  mea$0sured psu.C1 1840uF\n");
        assert_eq!(
            changed(&fixture, "stamp"),
            ["    14:05  measured psu.C1 1840uF"]
        );
    }

    #[test]
    fn odd_places_offer_nothing() {
        for fixture in [
            "$0",
            "# µ $0",
            "plan\n  keep ((( $0\n",
            "log\n  $0\n",
            "job 1\n$0",
        ] {
            assert_eq!(titles(fixture), Vec::<String>::new(), "{fixture:?}");
        }
    }
}
