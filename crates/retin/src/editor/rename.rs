//! A new name for a part, a net, a board, a zone, a shelf, an entry or a step,
//! in every file that speaks of it.

use super::caret::Caret;
use super::mention::{self, Mention, Role, Subject};
use super::{Position, Snapshot};
use crate::finding::{Edit, Fix};
use crate::meaning::BoardId;
use crate::sources::Origin;
use retin_syntax::Token;
use retin_syntax::lexer::lex;

/// Why a name cannot be changed, as a sentence without its full stop.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal(pub String);

/// The name that would be changed at the caret.
///
/// # Errors
/// When nothing there has a name that can be changed.
pub fn prepare(snapshot: &Snapshot<'_>, position: Position) -> Result<Origin, Refusal> {
    let (mention, subject) = named(snapshot, position)?;
    uses(snapshot, subject)?;
    Ok(mention.origin)
}

/// The edits that give what is named at the caret a new name.
///
/// # Errors
/// When nothing there has a name that can be changed, when a range counts the
/// name, when the new name cannot be written where the old one stands, or when
/// something else has it already.
pub fn rename(snapshot: &Snapshot<'_>, position: Position, name: &str) -> Result<Fix, Refusal> {
    let (mention, subject) = named(snapshot, position)?;
    let uses = uses(snapshot, subject)?;
    let old = snapshot.of(mention.origin);
    is_writable(subject, name)?;
    is_free(snapshot, subject, name)?;
    is_clear(snapshot, subject, &uses, name)?;
    Ok(Fix {
        title: format!("rename `{old}` to `{name}`"),
        edits: uses
            .into_iter()
            .map(|mention| Edit {
                origin: mention.origin,
                text: name.to_owned(),
            })
            .collect(),
    })
}

fn refuse<T>(why: impl Into<String>) -> Result<T, Refusal> {
    Err(Refusal(why.into()))
}

fn named(snapshot: &Snapshot<'_>, position: Position) -> Result<(Mention, Subject), Refusal> {
    let caret = Caret::at(snapshot, position);
    let Some(mention) = mention::at(snapshot, &caret).filter(|_| !caret.is_in_prose()) else {
        return refuse("nothing here has a name that can be changed");
    };
    if mention.is_range {
        return refuse(format!(
            "`{}` counts several names; change the name where it stands alone",
            snapshot.of(mention.origin)
        ));
    }
    let [subject] = mention.subjects[..] else {
        return refuse(format!(
            "`{}` is the name of parts on more than one board; write it with its board first",
            snapshot.of(mention.origin)
        ));
    };
    match subject {
        Subject::Part(_)
        | Subject::Net(_)
        | Subject::Board(_)
        | Subject::Zone(..)
        | Subject::Shelf(_)
        | Subject::Entry(_)
        | Subject::Step(_) => Ok((mention, subject)),
        Subject::Copy(..) => refuse("the copies of a board are named together, behind `as`"),
        Subject::File(_) => refuse("a file is renamed on the disk, not in its text"),
        Subject::Rule(_) => refuse("the names of rules belong to the program"),
        Subject::Model | Subject::Job => {
            refuse("the number of a job and the name of a model stand in other jobs too")
        }
        Subject::Device(_) | Subject::Package(_) => {
            refuse("the names of devices and packages are their makers'")
        }
    }
}

/// Every mention of a subject, if each is its name alone.
fn uses<'s>(snapshot: &'s Snapshot<'_>, subject: Subject) -> Result<Vec<&'s Mention>, Refusal> {
    let mut uses = Vec::new();
    for mention in snapshot.index().of_subject(subject) {
        if mention.is_range {
            let file = snapshot.sources.file(mention.origin.file);
            let before = &file.text.as_bytes()[..mention.origin.span.start as usize];
            let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
            return refuse(format!(
                "the range `{}` in {} at line {line} counts this name; write the names out there first",
                snapshot.of(mention.origin),
                file.path,
            ));
        }
        // A section's name is written behind its part's; both are its mentions.
        if !matches!(subject, Subject::Part(_)) || mention.subjects.len() == 1 {
            uses.push(mention);
        } else {
            return refuse(format!(
                "`{}` stands for several parts in one place; write them out there first",
                snapshot.of(mention.origin)
            ));
        }
    }
    Ok(uses)
}

/// Whether the name can stand wherever such a name is written, without quotes.
fn is_writable(subject: Subject, name: &str) -> Result<(), Refusal> {
    if name.is_empty() {
        return refuse("a name cannot be empty");
    }
    if name.contains("..") {
        return refuse(format!("`{name}` would be read as a range"));
    }
    let is_dotted = name.contains('.');
    if is_dotted && !matches!(subject, Subject::Net(_) | Subject::Entry(_)) {
        return refuse(format!(
            "`{name}` holds a dot, which parts the name of a board from that of a part"
        ));
    }
    let lexemes = lex(name);
    let [(token, span)] = lexemes[..] else {
        return refuse(format!(
            "`{name}` is not one word; a name holds no blanks, commas, brackets or quotes"
        ));
    };
    let is_whole = span.start == 0 && span.len() as usize == name.len();
    let may_be_a_number = matches!(subject, Subject::Net(_));
    match token {
        Token::Word if is_whole => Ok(()),
        Token::Number if is_whole && may_be_a_number => Ok(()),
        Token::Number => refuse(format!("`{name}` would be read as a value")),
        Token::Comment | Token::Prose => {
            refuse(format!("`{name}` would be read as a comment or as prose"))
        }
        token if token.reserved_text().is_some() => refuse(format!(
            "`{name}` means something to the language; choose another name"
        )),
        _ => refuse(format!(
            "`{name}` is not one word; a name holds no blanks, commas, brackets or quotes"
        )),
    }
}

/// Whether nothing else has the name.
fn is_free(snapshot: &Snapshot<'_>, subject: Subject, name: &str) -> Result<(), Refusal> {
    let case = snapshot.case;
    let taken = match subject {
        Subject::Part(part) => {
            let part = case.part(part);
            let full = match part.name.rsplit_once('.') {
                Some((whole, _)) => format!("{whole}.{name}"),
                None => name.to_owned(),
            };
            case.part_named(part.board, &full)
                .map(|_| format!("{} has a part `{full}`", case.board(part.board).name))
        }
        Subject::Net(net) => {
            let board = case.nets.net(net).board;
            case.nets.find(board, name).map(|_| {
                format!(
                    "{} has a net `{name}`, and the two would become one",
                    case.board(board).name
                )
            })
        }
        Subject::Board(_) => case
            .board_named(name)
            .map(|_| format!("there is a board `{name}`")),
        Subject::Zone(board, _) => {
            let zones = &case.board(board).zones;
            let is_taken = zones.iter().any(|zone| zone.0 == name);
            is_taken.then(|| format!("the board has a zone `{name}`"))
        }
        Subject::Shelf(_) => {
            let is_taken = case.shelves.iter().any(|shelf| shelf.name == name);
            is_taken.then(|| format!("there is a shelf `{name}`"))
        }
        Subject::Entry(_) => case
            .entry_named(name)
            .map(|_| format!("a shelf has an entry `{name}`")),
        Subject::Step(_) => {
            let mut steps = case.job.iter().flat_map(|job| &job.steps);
            let is_taken = steps.any(|step| step.name == name);
            is_taken.then(|| format!("there is a step `{name}`"))
        }
        _ => None,
    };
    match taken {
        Some(taken) => refuse(format!("{taken} already")),
        None => Ok(()),
    }
}

/// Whether the new name stays clear where it is written without its board.
fn is_clear(
    snapshot: &Snapshot<'_>,
    subject: Subject,
    uses: &[&Mention],
    name: &str,
) -> Result<(), Refusal> {
    let Subject::Part(part) = subject else {
        return Ok(());
    };
    let case = snapshot.case;
    let home = case.part(part).board;
    let other = (0..case.boards.len() as u32)
        .map(BoardId)
        .find(|board| *board != home && case.part_named(*board, name).is_some());
    let Some(other) = other else { return Ok(()) };
    let is_bare = |mention: &&&Mention| {
        let before = &snapshot.text(mention.origin.file)[..mention.origin.span.start as usize];
        mention.role == Role::Uses && !before.ends_with('.')
    };
    match uses.iter().find(is_bare) {
        Some(bare) => refuse(format!(
            "{} has a `{name}` too, and `{}` is written without its board in {}",
            case.board(other).name,
            snapshot.of(bare.origin),
            snapshot.sources.file(bare.origin.file).path
        )),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{applied, at, mixer, with};
    use super::{Refusal, prepare, rename};

    fn renamed(fixture: &str, name: &str) -> Result<String, String> {
        at(fixture, |snapshot, position| {
            rename(snapshot, position, name)
                .map(|fix| applied(snapshot, &fix.edits))
                .map_err(|Refusal(why)| why)
        })
    }

    #[test]
    fn a_part_gets_its_new_name_in_every_file_and_means_the_same() {
        let fixture = mixer("removed    psu.C1", "removed    psu.C$01");
        let text = renamed(&fixture, "C101").unwrap();
        assert_eq!(text.matches("C101").count(), 4, "{text}");
        let findings = |text: &str| with(text, |snapshot, _| snapshot.report.findings.len());
        assert_eq!(findings(&text), findings(super::super::fixture::MIXER));
    }

    #[test]
    fn nets_boards_entries_and_steps_are_renamed() {
        let text = renamed(&mixer("2 MID)", "2 M$0ID)"), "+12").unwrap();
        assert_eq!(text.matches("+12").count(), 2);
        let text = renamed(&mixer("board psu", "board ps$0u"), "feed").unwrap();
        assert!(!text.contains("psu"), "{text}");
        let text = renamed(&mixer("E-2200-50\n", "E-$02200-50\n"), "E-BIG").unwrap();
        assert_eq!(text.matches("E-BIG").count(), 2);
        let text = renamed(&mixer("after strip", "after str$0ip"), "out").unwrap();
        assert_eq!(
            text.matches("out ").count() + text.matches("out\n").count(),
            2
        );
    }

    #[test]
    fn what_cannot_be_renamed_says_why() {
        let part = mixer("removed    psu.C1", "removed    psu.C$01");
        let why = |fixture: &str, name: &str| renamed(fixture, name).unwrap_err();
        let all = [
            why(&part, "C2"),
            why(&part, "at"),
            why(&part, "10uF"),
            why(&part, "C 1"),
            why(&part, "C1..C3"),
            why(&part, "a.b"),
            why(&part, ""),
            why(&part, "#C1"),
            why(
                &mixer("ch1..ch8.C1  because", "c$0h1..ch8.C1  because"),
                "x",
            ),
            why(&mixer("use \"model", "use \"mo$0del"), "x"),
            why("# µ $0", "x"),
            why("$0", "x"),
            why(
                "board b\n  film\n    C1..C3 1uF\n    C$04 1uF\n\njob 1\n\nplan\n  keep C1..C4\n",
                "C9",
            ),
        ];
        insta::assert_snapshot!(all.join("\n"));
    }

    #[test]
    fn the_name_alone_is_what_changes() {
        at(
            &mixer("psu.V24    24V", "psu.V$024    24V"),
            |snapshot, position| {
                assert_eq!(
                    prepare(snapshot, position).map(|origin| snapshot.of(origin)),
                    Ok("V24")
                );
            },
        );
    }
}
