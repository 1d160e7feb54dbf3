//! What the text leaves to be worked out, written between its words: solved
//! potentials, inherited values, how many parts a selector chooses.

use super::mention::{self, Mention, Role, Subject};
use super::{Position, Snapshot};
use crate::meaning::{Case, PartId, PlaceId};
use crate::potentials::{Basis, shown};
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tables::Property;
use retin_syntax::tree::{LineId, Record, SelectorChoice};
use retin_syntax::value::Quantity;

/// A hint between two words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hint {
    /// Behind which byte it stands.
    pub position: Position,
    /// What it says; a few words.
    pub label: String,
    /// What it is about, in a sentence.
    pub doc: &'static str,
}

/// The hints of the lines that a range of a file touches, in order.
pub fn inlay(snapshot: &Snapshot<'_>, file: FileId, range: Span) -> Vec<Hint> {
    let tree = snapshot.tree(file);
    let first = tree
        .lines
        .partition_point(|line| line.span.end < range.start);
    let count = tree.lines[first..].partition_point(|line| line.span.start <= range.end);
    let mut hints = Vec::new();
    for at in first..first + count {
        let id = LineId(at as u32);
        let mut line = Line {
            snapshot,
            file,
            found: &mut hints,
        };
        line.hints(id);
    }
    hints.sort_by_key(|hint| hint.position);
    hints
}

struct Line<'s, 'a, 'f> {
    snapshot: &'s Snapshot<'a>,
    file: FileId,
    found: &'f mut Vec<Hint>,
}

impl Line<'_, '_, '_> {
    fn add(&mut self, offset: u32, label: String, doc: &'static str) {
        self.found.push(Hint {
            position: Position::new(self.file, offset),
            label,
            doc,
        });
    }

    fn hints(&mut self, id: LineId) {
        let snapshot = self.snapshot;
        let case = snapshot.case;
        let tree = snapshot.tree(self.file);
        let record = &tree.line(id).record;
        let selector = match record {
            Record::Plan(line) => Some(&line.selector),
            Record::Accept { selector, .. } => Some(selector),
            Record::Step { selector, .. } => selector.as_ref(),
            _ => None,
        };
        if let Some(selector) = selector
            && chooses_many(&selector.choice)
        {
            let origin = Origin {
                file: self.file,
                span: selector.span,
            };
            let read = case
                .plan
                .iter()
                .map(|line| &line.selector)
                .chain(
                    case.acceptances
                        .iter()
                        .map(|acceptance| &acceptance.selector),
                )
                .find(|known| known.origin == origin);
            let count = match read {
                Some(read) => read.places.len(),
                None => super::choose::places(case, snapshot.text(self.file), selector).len(),
            };
            self.add(
                selector.span.end,
                counted(count),
                "how many parts the selector chooses",
            );
        }
        let mentions = mention::on_line(snapshot, self.file, id);
        for mention in &mentions {
            self.of_mention(mention, record);
        }
        if let Record::Part { names, pins, .. } = record {
            let parts: Vec<PartId> = mentions
                .iter()
                .filter(|mention| mention.role == Role::Declares)
                .flat_map(|mention| &mention.subjects)
                .filter_map(|subject| match subject {
                    Subject::Part(part) => Some(*part),
                    _ => None,
                })
                .collect();
            if let (Some(part), Some(last)) = (parts.first(), names.last())
                && let Some(value) = inherited(case, *part)
            {
                self.add(last.span.end, value, "taken from the group");
            }
            for pin in pins {
                self.solved(&mentions, pin.net.span);
            }
        }
    }

    /// The solved potential of a net in brackets.
    fn solved(&mut self, mentions: &[Mention], net: Span) {
        let case = self.snapshot.case;
        let found = mentions
            .iter()
            .find_map(|mention| match mention.subjects[..] {
                [Subject::Net(id)]
                    if net.start <= mention.origin.span.start
                        && mention.origin.span.end <= net.end =>
                {
                    Some(id)
                }
                _ => None,
            });
        if let Some(id) = found
            && let Some(known) = case.potentials.of(case, id)
            && known.basis == Basis::Solved
        {
            self.add(
                net.end,
                format!("{} V", shown(known.nominal)),
                "the potential against ground, solved from the circuit",
            );
        }
    }

    fn of_mention(&mut self, mention: &Mention, record: &Record) {
        let case = self.snapshot.case;
        let end = mention.origin.span.end;
        match mention.subjects.first() {
            Some(Subject::Part(_)) if mention.is_range => {
                let boards = mention.copies.as_ref().map_or(1, Vec::len).max(1);
                self.add(
                    end,
                    counted(mention.subjects.len() * boards),
                    "how many parts the range stands for",
                );
            }
            // The value where only a name is written.
            Some(Subject::Part(part))
                if mention.role == Role::Uses
                    && mention.subjects.len() == 1
                    && matches!(record, Record::Entry { .. } | Record::Survey { .. }) =>
            {
                let copy = mention.copies.as_ref().and_then(|copies| copies.first());
                let place = PlaceId {
                    part: *part,
                    copy: copy.copied().unwrap_or(0),
                };
                let is_alone = mention
                    .copies
                    .as_ref()
                    .is_none_or(|copies| copies.len() == 1);
                if is_alone && let Some(value) = value(case, place) {
                    self.add(end, value.to_string(), "the value that the job goes by");
                }
            }
            Some(Subject::Net(net))
                if mention.subjects.len() == 1
                    && mention.role == Role::Uses
                    && matches!(record, Record::Target { .. }) =>
            {
                if let Some(known) = case.potentials.of(case, *net)
                    && known.basis == Basis::Solved
                {
                    self.add(
                        end,
                        format!("{} V", shown(known.nominal)),
                        "the potential against ground, solved from the circuit",
                    );
                }
            }
            _ => {}
        }
    }
}

fn chooses_many(choice: &SelectorChoice) -> bool {
    !matches!(choice, SelectorChoice::Names(_))
}

fn counted(count: usize) -> String {
    if count == 1 {
        "1 part".into()
    } else {
        format!("{count} parts")
    }
}

fn value(case: &Case<'_>, place: PlaceId) -> Option<Quantity> {
    case.goes_by(place).quantity(Property::Value)
}

/// The value of a part whose own line does not write it.
fn inherited(case: &Case<'_>, part: PartId) -> Option<String> {
    let facts = &case.part(part).facts;
    let is_own = facts
        .own
        .iter()
        .any(|fact| fact.property == Property::Value);
    (!is_own)
        .then(|| facts.quantity(Property::Value))?
        .map(|value| value.to_string())
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, mixer, with};
    use super::inlay;
    use crate::sources::FileId;
    use retin_syntax::Span;

    /// The file with its hints in their places.
    fn shown(fixture: &str, file: u32) -> String {
        with(fixture, |snapshot, _| {
            let mut text = snapshot.text(FileId(file)).to_owned();
            let all = Span::new(0, text.len() as u32);
            for hint in inlay(snapshot, FileId(file), all).iter().rev() {
                text.insert_str(hint.position.offset as usize, &format!("[{}]", hint.label));
            }
            text
        })
    }

    #[test]
    fn selectors_values_and_solved_nets_are_told() {
        insta::assert_snapshot!("job", shown(MIXER, 0));
        insta::assert_snapshot!("model", shown(MIXER, 1));
    }

    #[test]
    fn ranges_and_inherited_values_are_told() {
        let text = shown(
            "board b as b1..b3\n  film 1µF\n    C1..C4\n\njob 1\n\nplan\n  keep b1..b2.C1..C3\n  keep every film except C9 ( \n",
            0,
        );
        assert!(text.contains("C1..C4[4 parts][1uF]"), "{text}");
        assert!(text.contains("b1..b2.C1..C3[6 parts]"), "{text}");
    }

    #[test]
    fn a_range_of_the_file_gives_its_own_hints_only() {
        let fixture = mixer("plan\n", "plan\n");
        with(&fixture, |snapshot, _| {
            let start = snapshot.text(FileId(0)).find("steps").unwrap() as u32;
            let range = Span::new(start, start + 40);
            let found = inlay(snapshot, FileId(0), range);
            assert!(found.iter().all(|hint| hint.position.offset >= start));
            assert_eq!(found.len(), 1);
        });
    }

    #[test]
    fn nothing_is_told_of_nothing() {
        for text in ["", "# µ", "plan\n  keep ((("] {
            assert_eq!(shown(text, 0), text);
        }
    }
}
