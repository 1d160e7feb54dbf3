//! What each word of a file is, for colouring it.

use super::hover::facts_of;
use super::mention::{self, Role, Subject};
use super::{Snapshot, heading_of};
use crate::sources::FileId;
use retin_syntax::tables::properties::{PROPERTIES, Property};
use retin_syntax::tables::{ClaimSource, Direction, PlanVerb, StepVerb, kinds, verbs};
use retin_syntax::tree::{Claim, HeadingKind, Lexeme, LineId, Record};
use retin_syntax::{Span, Token, value};

/// What a word is.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Class {
    /// The word of a heading.
    Heading,
    /// A word that joins the parts of a line.
    Keyword,
    /// A verb of a plan, a step or the log.
    Verb,
    /// A kind or a family of parts.
    Kind,
    /// A property, or a word that is the value of one.
    Property,
    /// Who says so.
    Source,
    /// A value with its unit.
    Value,
    /// Text in quotes.
    Text,
    /// A comment.
    Comment,
    /// Prose.
    Prose,
    /// A part.
    Part,
    /// A board, or a copy of one.
    Board,
    /// A net.
    Net,
    /// A lead, or a direction it lies in.
    Lead,
    /// A shelf or an entry of one.
    Shelf,
    /// A rule.
    Rule,
    /// A step.
    Step,
    /// A device or a package.
    Device,
    /// Any other name.
    Name,
}

impl Class {
    /// Every class, in the order of their numbers.
    pub const ALL: [Class; 19] = [
        Class::Heading,
        Class::Keyword,
        Class::Verb,
        Class::Kind,
        Class::Property,
        Class::Source,
        Class::Value,
        Class::Text,
        Class::Comment,
        Class::Prose,
        Class::Part,
        Class::Board,
        Class::Net,
        Class::Lead,
        Class::Shelf,
        Class::Rule,
        Class::Step,
        Class::Device,
        Class::Name,
    ];
}

/// A word, or a segment of one, with what it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Coloured {
    /// Where it stands; never over the end of a line.
    pub span: Span,
    /// What it is.
    pub class: Class,
    /// Whether the word brings a name in.
    pub declares: bool,
}

/// What changed from one list to another: `removed` from `start` on are replaced
/// by `inserted`.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change<T> {
    /// How many at the start are the same.
    pub start: usize,
    /// How many are no longer there.
    pub removed: usize,
    /// What stands there instead.
    pub inserted: Vec<T>,
}

/// The words of a file, or of the lines that a range touches, in order; none
/// overlaps another.
pub fn tokens(snapshot: &Snapshot<'_>, file: FileId, range: Option<Span>) -> Vec<Coloured> {
    let tree = snapshot.tree(file);
    let text = snapshot.text(file);
    let range = range.unwrap_or(Span::new(0, text.len() as u32));
    let first = tree
        .lexemes
        .partition_point(|lexeme| lexeme.1.end < range.start);
    let count = tree.lexemes[first..].partition_point(|lexeme| lexeme.1.start <= range.end);
    let mut painter = Painter {
        snapshot,
        file,
        text,
        line: None,
        out: Vec::with_capacity(count),
    };
    let mut at = first;
    while at < first + count {
        let (token, span) = tree.lexemes[at];
        match token {
            Token::Newline => {}
            Token::Comment => painter.put(span, Class::Comment, false),
            Token::Prose => painter.put(span, Class::Prose, false),
            _ => {
                let next = tree.lexemes.get(at + 1);
                let whole = match (token, next) {
                    (Token::Number, Some((Token::Unit, unit))) => {
                        at += 1;
                        span.to(*unit)
                    }
                    _ => span,
                };
                painter.word(token, whole);
            }
        }
        at += 1;
    }
    painter.out
}

/// What changed between two lists, as one run; none where they are the same.
pub fn delta<T: PartialEq + Clone>(old: &[T], new: &[T]) -> Option<Change<T>> {
    let start = old
        .iter()
        .zip(new)
        .take_while(|(old, new)| old == new)
        .count();
    let (old, new) = (&old[start..], &new[start..]);
    if old.is_empty() && new.is_empty() {
        return None;
    }
    let end = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take_while(|(old, new)| old == new)
        .count();
    Some(Change {
        start,
        removed: old.len() - end,
        inserted: new[..new.len() - end].to_vec(),
    })
}

/// What is known of the line that words are taken from.
struct LineOf {
    id: LineId,
    span: Span,
    section: Option<HeadingKind>,
    /// Spans with a class, in order.
    named: Vec<Coloured>,
    /// Brackets that hold leads and nets.
    brackets: Vec<Span>,
}

struct Painter<'s, 'a> {
    snapshot: &'s Snapshot<'a>,
    file: FileId,
    text: &'a str,
    line: Option<LineOf>,
    out: Vec<Coloured>,
}

impl Painter<'_, '_> {
    fn put(&mut self, span: Span, class: Class, declares: bool) {
        let is_behind = self
            .out
            .last()
            .is_none_or(|last| last.span.end <= span.start);
        if is_behind && !span.is_empty() {
            self.out.push(Coloured {
                span,
                class,
                declares,
            });
        }
    }

    fn word(&mut self, token: Token, span: Span) {
        self.enter(span);
        let named: Vec<Coloured> = self.line.as_ref().map_or_else(Vec::new, |line| {
            line.named
                .iter()
                .filter(|named| span.start <= named.span.start && named.span.end <= span.end)
                .copied()
                .collect()
        });
        if named.is_empty() {
            if let Some(class) = self.class(token, span) {
                self.put(span, class, false);
            }
            return;
        }
        let mut end = span.start;
        for coloured in named {
            self.put(coloured.span, coloured.class, coloured.declares);
            end = coloured.span.end.max(end);
        }
        // A lead behind the last name: `psu.C1.-`.
        if end + 1 < span.end && self.text.as_bytes().get(end as usize) == Some(&b'.') {
            self.put(Span::new(end + 1, span.end), Class::Lead, false);
        }
    }

    /// Looks at the line of a word, unless it is the one looked at already.
    fn enter(&mut self, span: Span) {
        let holds = |line: &LineOf| line.span.start <= span.start && span.end <= line.span.end;
        if self.line.as_ref().is_some_and(holds) {
            return;
        }
        let tree = self.snapshot.tree(self.file);
        let next = tree
            .lines
            .partition_point(|line| line.span.start <= span.start);
        self.line = next
            .checked_sub(1)
            .map(|at| LineId(at as u32))
            .filter(|id| span.end <= tree.line(*id).span.end)
            .map(|id| {
                let line = tree.line(id);
                let lexemes = &tree.lexemes[line.lexemes.0 as usize..line.lexemes.1 as usize];
                LineOf {
                    id,
                    span: line.span,
                    section: heading_of(tree, id).map(|heading| heading.1),
                    named: mention::on_line(self.snapshot, self.file, id)
                        .into_iter()
                        .filter_map(|mention| {
                            Some(Coloured {
                                span: mention.origin.span,
                                class: class_of(mention.subjects.first()?)?,
                                declares: mention.role == Role::Declares,
                            })
                        })
                        .collect(),
                    brackets: brackets(lexemes),
                }
            });
    }

    fn class(&self, token: Token, span: Span) -> Option<Class> {
        let line = self.line.as_ref();
        let record = line.map(|line| &self.snapshot.tree(self.file).line(line.id).record);
        let is_first = line.is_some_and(|line| line.span.start == span.start);
        let section = line.and_then(|line| line.section);
        if line.is_some_and(|line| {
            line.brackets
                .iter()
                .any(|bracket| bracket.start < span.start && span.end < bracket.end)
        }) && token.is_wordlike()
        {
            return Some(Class::Lead);
        }
        match token {
            Token::Number | Token::Unit => return Some(Class::Value),
            Token::Text | Token::OpenText => return Some(Class::Text),
            Token::Word => {
                return Some(record.map_or(Class::Name, |record| self.bare(record, span)));
            }
            _ => {}
        }
        token.reserved_text()?;
        if is_first && matches!(record, Some(Record::Heading(_) | Record::Use { .. })) {
            return Some(Class::Heading);
        }
        // The name of a part or a step may be spelled like a reserved word.
        if is_first && matches!(record, Some(Record::Part { .. } | Record::Step { .. })) {
            return Some(Class::Name);
        }
        let is_verb = match section {
            Some(HeadingKind::Plan) => is_first && PlanVerb::of(token).is_some(),
            Some(HeadingKind::Steps) => StepVerb::of(token).is_some(),
            Some(HeadingKind::Log) => verbs::is_log_verb(token),
            _ => false,
        };
        if is_verb || (is_first && token == Token::Accept) {
            return Some(Class::Verb);
        }
        if Direction::of(token).is_some() {
            return Some(Class::Lead);
        }
        if matches!(
            record,
            Some(
                Record::Claim { .. }
                    | Record::Survey { .. }
                    | Record::GoBy { .. }
                    | Record::SurveyGoBy { .. }
            )
        ) && ClaimSource::of(token).is_some()
        {
            return Some(Class::Source);
        }
        if kinds::is_kind(token) || kinds::is_family(token) {
            return Some(Class::Kind);
        }
        let is_property = Property::of_choice(token).is_some()
            || PROPERTIES.iter().any(|row| row.token == Some(token));
        // `on`, `at` and their like join; in a setting they are its name.
        let joins = matches!(
            token,
            Token::On | Token::At | Token::By | Token::Because | Token::Above | Token::Below
        );
        Some(if is_property && !joins {
            Class::Property
        } else {
            Class::Keyword
        })
    }
}

impl Painter<'_, '_> {
    /// A word that is no name known and not reserved: a lead, or a value whose
    /// spelling begins with a letter, `p10`.
    fn bare(&self, record: &Record, span: Span) -> Class {
        let is_lead = match record {
            Record::Claim { claim, .. } | Record::Survey { claim, .. } => match claim {
                Claim::Sounds { lead, .. } => lead.span == span,
                Claim::Reads { from, to, .. } => from.span == span || to.span == span,
                Claim::Facts { .. } => false,
            },
            _ => false,
        };
        let facts = facts_of(record);
        let fact = facts
            .into_iter()
            .find(|fact| fact.span.start <= span.start && span.end <= fact.span.end);
        match fact {
            _ if is_lead => Class::Lead,
            Some(fact) if fact.property == Some(Property::Orientation) => Class::Lead,
            Some(_) if value::read(span.of(self.text)).is_ok() => Class::Value,
            _ => Class::Name,
        }
    }
}

fn class_of(subject: &Subject) -> Option<Class> {
    Some(match subject {
        Subject::Part(_) => Class::Part,
        Subject::Board(_) | Subject::Copy(..) => Class::Board,
        Subject::Net(_) => Class::Net,
        Subject::Shelf(_) | Subject::Entry(_) => Class::Shelf,
        Subject::Rule(_) => Class::Rule,
        Subject::Step(_) => Class::Step,
        Subject::Device(_) | Subject::Package(_) => Class::Device,
        Subject::Zone(..) | Subject::Model | Subject::Job => Class::Name,
        Subject::File(_) => return None,
    })
}

fn brackets(lexemes: &[Lexeme]) -> Vec<Span> {
    let mut found = Vec::new();
    let mut open = None;
    for (token, span) in lexemes {
        match token {
            Token::Open => open = Some(*span),
            Token::Close => found.extend(open.take().map(|open: Span| open.to(*span))),
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::{Change, Class, delta, tokens};
    use crate::sources::FileId;
    use proptest::prelude::*;
    use retin_syntax::Span;

    fn painted(text: &str, file: u32) -> String {
        with(text, |snapshot, _| {
            tokens(snapshot, FileId(file), None)
                .iter()
                .map(|found| {
                    let mark = if found.declares { "!" } else { "" };
                    let text = found.span.of(snapshot.text(FileId(file)));
                    format!("{text} {:?}{mark}", found.class)
                })
                .collect::<Vec<_>>()
                .join("\n")
        })
    }

    #[test]
    fn every_word_has_its_class() {
        insta::assert_snapshot!("job", painted(MIXER, 0));
        insta::assert_snapshot!("model", painted(MIXER, 1));
    }

    #[test]
    fn odd_texts_are_painted_without_overlap() {
        for text in [
            "",
            "\u{feff}board b",
            "# µ",
            "plan\n  keep (( psu.C1.-.- )) \"open",
            "10 µF",
        ] {
            with(text, |snapshot, _| {
                let found = tokens(snapshot, FileId(0), None);
                for pair in found.windows(2) {
                    assert!(pair[0].span.end <= pair[1].span.start, "{text:?}");
                }
            });
        }
    }

    #[test]
    fn a_range_gives_what_the_whole_gives_there() {
        with(MIXER, |snapshot, _| {
            let text = snapshot.text(FileId(1));
            let all = tokens(snapshot, FileId(1), None);
            for start in (0..text.len() as u32).step_by(37) {
                let range = Span::new(start, (start + 90).min(text.len() as u32));
                for found in tokens(snapshot, FileId(1), Some(range)) {
                    let same = all.contains(&found);
                    // A range may begin between a number and its unit.
                    assert!(same || found.class == Class::Value, "{found:?}");
                }
            }
        });
    }

    #[test]
    fn a_delta_names_one_run() {
        assert_eq!(delta(&[1, 2, 3], &[1, 2, 3]), None);
        assert_eq!(
            delta(&[1, 2, 3], &[1, 9, 8, 3]),
            Some(Change {
                start: 1,
                removed: 1,
                inserted: vec![9, 8]
            })
        );
    }

    proptest! {
        #[test]
        fn applying_a_delta_gives_the_new_list(
            old in prop::collection::vec(0u8..4, 0..20),
            new in prop::collection::vec(0u8..4, 0..20),
        ) {
            let mut applied = old.clone();
            if let Some(change) = delta(&old, &new) {
                applied.splice(change.start..change.start + change.removed, change.inserted);
            }
            prop_assert_eq!(applied, new);
        }
    }
}
