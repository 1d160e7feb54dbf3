//! Reserved words, told from the tables by the place they stand in.

use super::super::caret::Caret;
use super::super::heading_of;
use super::Block;
use retin_syntax::Token;
use retin_syntax::tables::properties::{ARGUMENTS, CHOICES, PROPERTIES, Place};
use retin_syntax::tables::{ClaimSource, Direction, Kind, LeadSet, kinds, verbs};
use retin_syntax::tree::HeadingKind;

/// What a reserved word means where it stands.
pub(super) fn at(caret: &Caret<'_>, token: Token) -> Option<Vec<Block>> {
    let word = token.reserved_text()?;
    let meaning = meaning(caret, token)?;
    let mut blocks = vec![Block::Title(word.to_owned()), Block::Text(meaning)];
    if let Some(kind) = Kind::of(token) {
        blocks.extend(of_kind(kind));
    }
    Some(blocks)
}

fn meaning(caret: &Caret<'_>, token: Token) -> Option<String> {
    let section = caret
        .line
        .and_then(|line| heading_of(caret.tree, line))
        .map(|heading| heading.1);
    let is_first = caret.before().is_empty();
    let verb = || {
        let plan = verbs::PLAN_VERBS.iter().map(|row| (row.token, row.doc));
        let step = verbs::STEP_VERBS.iter().map(|row| (row.0.token, row.0.doc));
        let past = verbs::STEP_VERBS.iter().map(|row| (row.1, row.0.doc));
        let only = verbs::LOG_ONLY.iter().copied();
        let found = match section {
            Some(HeadingKind::Plan) => plan.clone().find(|row| row.0 == token),
            Some(HeadingKind::Steps) => step.clone().find(|row| row.0 == token),
            Some(HeadingKind::Log) => past.chain(only).find(|row| row.0 == token),
            _ => None,
        };
        found.map(|row| row.1)
    };
    let source = || {
        ClaimSource::all()
            .find(|row| row.1 == token)
            .map(|row| row.2)
    };
    let family = || {
        let found = kinds::FAMILIES.iter().find(|family| family.token == token);
        found.map(|family| family.doc)
    };
    let choice = || CHOICES.iter().find(|row| row.0 == token).map(|row| row.2);
    let property = || {
        let place = section.and_then(place_of);
        let rows = || PROPERTIES.iter().filter(|row| row.token == Some(token));
        rows()
            .find(|row| place.is_some_and(|place| row.belongs_in(place)))
            .or_else(|| rows().next())
            .map(|row| row.doc)
    };
    let argument = || {
        let (property, _) = ARGUMENTS.iter().find(|row| row.1.contains(&token))?;
        let row = PROPERTIES.iter().find(|row| row.property == *property)?;
        Some(row.doc)
    };
    if let Some(direction) = Direction::of(token) {
        return Some(format!(
            "a lead lies {} as the component side is looked at with the drawing upright",
            direction.word()
        ));
    }
    if caret.indent() == 0
        && is_first
        && let Some(doc) = heading(token)
    {
        return Some(doc.to_owned());
    }
    let opening = if is_first { source() } else { None };
    verb()
        .or(opening)
        .or_else(|| Kind::of(token).map(|kind| kind.row().doc))
        .or_else(family)
        .or_else(choice)
        .or_else(property)
        .or_else(argument)
        .or_else(source)
        .or_else(|| heading(token))
        .or_else(|| joining(token))
        .map(str::to_owned)
}

/// The place whose properties lines of a section take.
pub(in crate::editor) fn place_of(section: HeadingKind) -> Option<Place> {
    Some(match section {
        HeadingKind::Model => Place::Model,
        HeadingKind::Board | HeadingKind::Wiring | HeadingKind::Found => Place::Part,
        HeadingKind::Shelf => Place::Shelf,
        HeadingKind::Packages => Place::Packages,
        HeadingKind::Devices => Place::Devices,
        HeadingKind::Job => Place::Job,
        HeadingKind::Plan => Place::Plan,
        HeadingKind::Steps => Place::Steps,
        HeadingKind::Targets => Place::Targets,
        HeadingKind::Log => Place::Log,
        _ => return None,
    })
}

fn of_kind(kind: Kind) -> Vec<Block> {
    let row = kind.row();
    let mut blocks = Vec::new();
    if let Some(dimension) = row.value {
        blocks.push(Block::Row("its value", dimension.with_article().to_owned()));
    }
    let leads = match row.leads {
        LeadSet::Numbered => "numbers".to_owned(),
        set => set.names().join(" "),
    };
    blocks.push(Block::Row("leads", leads));
    if row.ages {
        blocks.push(Block::Row(
            "ages",
            "a plan has to say what becomes of it".into(),
        ));
    }
    blocks
}

/// What a heading opens, for hover and completion.
pub(in crate::editor) fn heading(token: Token) -> Option<&'static str> {
    Some(match token {
        Token::Use => "reads another file",
        Token::Model => "a model sheet: what the factory built",
        Token::Board => "a printed board with its parts",
        Token::Wiring => "whatever holds parts and is no board: tag strips, chassis",
        Token::Link => "a cable, a plug or a row of wires between boards",
        Token::Shelf => "what the shop has, or can order",
        Token::Packages => "packages that the built-in library does not know",
        Token::Devices => "devices that the built-in library does not know",
        Token::Minutes => "how long the shop takes for a piece of work",
        Token::Job => "one unit on the bench",
        Token::Found => "what this unit was found to hold, where the model sheet says otherwise",
        Token::Plan => "what is to happen, in the imperative",
        Token::Steps => "in which order the work is done",
        Token::Targets => "the readings to expect",
        Token::Log => "what was done, in the past tense",
        _ => return None,
    })
}

/// The words that join two parts of a line.
fn joining(token: Token) -> Option<&'static str> {
    Some(match token {
        Token::Rail => "a net whose voltage is known",
        Token::Net => "a net, with a title",
        Token::As => "the names of a board's copies follow",
        Token::Joints => "how many joints the link has",
        Token::Section => "one of several parts in one body",
        Token::Go | Token::By => "`go by` and a source: whose claim the job goes by",
        Token::Changed => "which revision of the sheet brought a change, what it touched, and why",
        Token::Accept => "overrules one rule on the parts chosen, for a reason",
        Token::For => "the values an overruling was given for; written by the program",
        Token::Every => "every part of a kind",
        Token::Everything => "every part of the unit",
        Token::From => "a shelf to choose from",
        Token::With => "the part that goes in, or the means",
        Token::And => "a second part together with the first",
        Token::In | Token::Series | Token::Parallel => {
            "two parts together, in series or in parallel"
        }
        Token::On => "only the parts on these boards",
        Token::Except => "without these parts or boards",
        Token::After => "the steps that come first",
        Token::To => "the other end",
        Token::Caution => "what to beware of in this step",
        Token::Next | Token::Day => "`next day`: the log goes on after midnight",
        _ => return None,
    })
}
