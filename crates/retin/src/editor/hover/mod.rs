//! What is known of the thing under the caret.

mod keyword;
mod markdown;
mod part;
mod things;
mod value;

pub(super) use keyword::{heading as heading_doc, place_of};
pub use markdown::markdown;
pub(super) use value::facts_of;

use super::caret::Caret;
use super::mention::{self, Mention, Subject};
use super::{Position, Snapshot};
use crate::meaning::PlaceId;
use crate::sources::Origin;
use retin_syntax::{Span, Token};

/// What is known of a word, ready to be shown.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Hover {
    /// The word.
    pub origin: Origin,
    /// What is known, most telling first. All texts are plain.
    pub blocks: Vec<Block>,
}

/// A piece of a [`Hover`].
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Block {
    /// What it is.
    Title(String),
    /// A sentence or two.
    Text(String),
    /// Something said under a heading of one or two words.
    Row(&'static str, String),
    /// Several of these.
    Rows(&'static str, Vec<String>),
    /// A line of a file, as written.
    Code(String),
}

/// What is known of the thing under the caret; nothing in comments, in prose and
/// between words.
pub fn hover(snapshot: &Snapshot<'_>, position: Position) -> Option<Hover> {
    let caret = Caret::at(snapshot, position);
    if caret.is_in_prose() {
        return None;
    }
    if let Some(mention) = mention::at(snapshot, &caret)
        && let Some(blocks) = of_mention(snapshot, &mention)
    {
        return Some(Hover {
            origin: mention.origin,
            blocks,
        });
    }
    if let Some((origin, blocks)) = value::at(snapshot, &caret) {
        return Some(Hover { origin, blocks });
    }
    let (token, span) = caret.lexeme()?;
    if let Some(blocks) = keyword::at(&caret, token) {
        return Some(Hover {
            origin: caret.origin(span),
            blocks,
        });
    }
    lead(snapshot, &caret, span)
}

fn of_mention(snapshot: &Snapshot<'_>, mention: &Mention) -> Option<Vec<Block>> {
    let [subject] = mention.subjects[..] else {
        return things::several(snapshot, mention);
    };
    let index = |at: u32| at as usize;
    Some(match subject {
        Subject::Part(part) => {
            let copy = mention
                .copies
                .as_ref()
                .and_then(|copies| copies.first().copied())
                .unwrap_or(0);
            part::blocks(snapshot, PlaceId { part, copy }, mention)
        }
        Subject::Net(net) => things::net(snapshot, net),
        Subject::Entry(entry) => things::entry(snapshot, entry),
        Subject::Rule(rule) => things::rule(index(rule))?,
        Subject::Step(step) => things::step(snapshot, index(step))?,
        Subject::Board(_) | Subject::Copy(..) => things::board(snapshot, subject)?,
        Subject::Shelf(shelf) => things::shelf(snapshot, index(shelf))?,
        Subject::Device(device) => things::device(snapshot, index(device))?,
        Subject::Package(package) => things::package(snapshot, index(package))?,
        Subject::File(file) => things::file(snapshot, file),
        Subject::Model => things::model(snapshot)?,
        Subject::Job => things::job(snapshot)?,
        Subject::Zone(board, zone) => things::zone(snapshot, board, index(zone))?,
    })
}

/// A lead behind a part's name, `psu.C1.-`, or in brackets: the part it belongs to.
fn lead(snapshot: &Snapshot<'_>, caret: &Caret<'_>, word: Span) -> Option<Hover> {
    let mentions = mention::on_line(snapshot, caret.file, caret.line?);
    let is_in_brackets = caret
        .before()
        .iter()
        .rfind(|lexeme| matches!(lexeme.0, Token::Open | Token::Close))
        .is_some_and(|lexeme| lexeme.0 == Token::Open);
    let part = mentions
        .iter()
        .rev()
        .find_map(|mention| match mention.subjects[..] {
            [Subject::Part(part)] if is_in_brackets || word.touches(mention.origin.span.start) => {
                Some((
                    part,
                    mention
                        .copies
                        .as_ref()
                        .and_then(|copies| copies.first().copied()),
                ))
            }
            _ => None,
        })?;
    let text = word.of(caret.text);
    let part_of = snapshot.case.part(part.0);
    let pin = part_of
        .pins
        .iter()
        .find(|pin| text == pin.lead || text.ends_with(&format!(".{}", pin.lead)))?;
    let place = PlaceId {
        part: part.0,
        copy: part.1.unwrap_or(0),
    };
    let mut blocks = vec![Block::Title(format!(
        "lead {} of {}",
        pin.lead,
        snapshot.case.name_of(place)
    ))];
    blocks.push(Block::Row(
        "net",
        snapshot.case.nets.net(pin.net).name.to_owned(),
    ));
    blocks.push(Block::Row("volts", things::potential(snapshot, pin.net)));
    Some(Hover {
        origin: caret.origin(word),
        blocks,
    })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::{hover, markdown};

    fn shown(fixture: &str) -> String {
        at(fixture, |snapshot, position| {
            hover(snapshot, position).map_or_else(|| "nothing".to_owned(), |hover| markdown(&hover))
        })
    }

    #[test]
    fn a_part_tells_what_it_was_and_what_replaces_it() {
        insta::assert_snapshot!(
            "part",
            shown(&mixer("removed    psu.C1", "removed    psu.C$01"))
        );
        insta::assert_snapshot!(
            "part_kept",
            shown(&mixer("R3      10kohm", "R$03      10kohm"))
        );
        insta::assert_snapshot!(
            "part_range",
            shown(&mixer("ch1..ch8.C1  because", "ch1..ch8.C$01  because"))
        );
    }

    #[test]
    fn a_value_tells_its_codes_and_neighbours() {
        insta::assert_snapshot!(
            "value_resistor",
            shown(&mixer("R3      10kohm", "R3      4$07k"))
        );
        insta::assert_snapshot!(
            "value_capacitor",
            shown(&mixer("100nF 63V", "0.1 µF$0 63V"))
        );
        insta::assert_snapshot!(
            "value_odd",
            shown(&mixer("R3      10kohm", "R3      1$01.3kohm"))
        );
        insta::assert_snapshot!(
            "value_tolerance",
            shown(&mixer("resistor ±5%", "resistor ±5$0%"))
        );
    }

    #[test]
    fn nets_entries_rules_steps_and_words_have_theirs() {
        insta::assert_snapshot!("net", shown(&mixer("2 MID)", "2 MI$0D)")));
        insta::assert_snapshot!("entry", shown(&mixer("E-10-50  ", "E-1$00-50  ")));
        insta::assert_snapshot!("rule", shown(&mixer("value-mismatch", "value-mis$0match")));
        insta::assert_snapshot!("step", shown(&mixer("after strip", "after str$0ip")));
        insta::assert_snapshot!("keyword", shown(&mixer("coupling", "coup$0ling")));
        insta::assert_snapshot!(
            "kind",
            shown(&mixer(
                "replace    every electrolytic",
                "replace    every elec$0trolytic"
            ))
        );
        insta::assert_snapshot!("board", shown(&mixer("board channel", "board cha$0nnel")));
        insta::assert_snapshot!("lead", shown(&mixer("(+ RAW, - GND)", "(+$0 RAW, - GND)")));
    }

    #[test]
    fn nothing_is_known_of_comments_blanks_and_broken_lines() {
        for fixture in [
            "$0",
            "# a µ comm$0ent\n",
            "plan\n\n$0\n",
            "plan\n  keep ((( $0",
            "job 1\n  | pro$0se\n",
            "\u{feff}$0",
        ] {
            assert_eq!(shown(fixture), "nothing", "{fixture:?}");
        }
    }

    #[test]
    fn text_of_the_job_is_escaped() {
        let text = shown(&mixer(
            "board channel \"Channel strip\"",
            "board chan$0nel \"<b>*strip*</b> [x](y)\"",
        ));
        assert!(
            text.contains("\\<b\\>\\*strip\\*\\</b\\> \\[x\\]\\(y\\)"),
            "{text}"
        );
    }
}
