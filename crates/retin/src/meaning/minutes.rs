//! How long the shop takes, where it says so itself.

use super::build::{Reader, Section};
use super::problem::ProblemKind;
use crate::sources::Origin;
use retin_syntax::tables::StepVerb;
use retin_syntax::token::Token;
use retin_syntax::tree::Record;
use retin_syntax::value::{Decimal, Dimension, Value};

/// How long one piece of work takes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pace {
    /// What is done.
    pub verb: StepVerb,
    /// To what: a kind or a family of parts, `socketed`, `board`, `rail` or `link`.
    pub subject: Token,
    /// How long for one, in seconds.
    pub seconds: Decimal,
    /// Whether the time is for each lead of the part, or each joint of the link.
    pub is_per_lead: bool,
    /// Where it is written; none for the built-in table.
    pub origin: Option<Origin>,
}

/// Reads a `minutes` section.
pub(super) fn minutes<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let file = section.file;
    for (_, line) in section.tree.children(section.id) {
        let Record::Pace {
            verb,
            subjects,
            time,
            per,
        } = &line.record
        else {
            continue;
        };
        let seconds = match reader.value(file, time.span) {
            Some(Value::Quantity(quantity)) if quantity.dimension == Dimension::Time => {
                quantity.number
            }
            Some(Value::Unreadable) | None => continue,
            Some(found) => {
                let kind = ProblemKind::WrongDimension {
                    what: "how long something takes".into(),
                    expected: "a time such as 40s".into(),
                    found: format!("{found} is {}", found.kind_in_words()),
                };
                reader.problem(file, time.span, kind);
                continue;
            }
        };
        for word in subjects {
            let origin = Origin {
                file,
                span: word.span,
            };
            if let Some(per) = per {
                let wanted = match word.token {
                    Token::Link => Some(Token::Joint),
                    Token::Board | Token::Rail => None,
                    _ => Some(Token::Lead),
                };
                if Some(per.token) != wanted {
                    let subject = reader.word(file, *word);
                    let kind = ProblemKind::Misplaced {
                        message: format!(
                            "a {subject} is not counted by the {}",
                            reader.word(file, *per)
                        ),
                        consequence: "the line gives no time, and the work is reckoned by the usual table",
                        help: "parts have leads and links have joints; the rest is counted by the piece".into(),
                    };
                    reader.problem(file, per.span, kind);
                    continue;
                }
            }
            let same = |pace: &&Pace| pace.verb == *verb && pace.subject == word.token;
            if let Some(first) = reader.case.minutes.iter().find(same) {
                let kind = ProblemKind::DuplicateName {
                    what: "line of minutes",
                    name: format!("{} {}", verb.word(), reader.word(file, *word)),
                    first: first.origin.unwrap_or(origin),
                };
                reader.problem(file, word.span, kind);
                continue;
            }
            reader.case.minutes.push(Pace {
                verb: *verb,
                subject: word.token,
                seconds,
                is_per_lead: per.is_some(),
                origin: Some(origin),
            });
        }
    }
}
