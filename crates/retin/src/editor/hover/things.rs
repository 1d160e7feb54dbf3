//! Nets, boards, shelves, entries, rules, steps, devices, files: what is known of each.

use super::super::Snapshot;
use super::super::index::mentions_of;
use super::super::mention::{Mention, Subject};
use super::Block;
use crate::meaning::{BoardId, EntryId, Facts, NetId, PartId, PlaceId, names};
use crate::potentials::{Basis, shown};
use crate::replacement::Chosen;
use crate::rules::RULES;
use crate::sources::{FileId, Origin};
use retin_syntax::Span;

/// Most names that are listed.
const MOST_NAMES: usize = 24;

/// Facts as they are written, the line's own and the group's.
pub(super) fn facts_in_words(snapshot: &Snapshot<'_>, facts: &Facts<'_>) -> String {
    let own: Vec<_> = facts.own.iter().map(|fact| fact.property).collect();
    let texts: Vec<&str> = facts
        .own
        .iter()
        .chain(
            facts
                .inherited
                .iter()
                .flat_map(|facts| facts.iter())
                .filter(|fact| !own.contains(&fact.property)),
        )
        .map(|fact| snapshot.of(fact.origin))
        .collect();
    texts.join(" ")
}

/// What is known of a net's potential, and how.
pub(super) fn potential(snapshot: &Snapshot<'_>, net: NetId) -> String {
    let case = snapshot.case;
    let known = match case.potentials.known(case, net) {
        Ok(known) => known,
        Err(why) => return format!("not known: {}", why.in_words(case)),
    };
    let how = match known.basis {
        Basis::Rail => "stated by the rail",
        Basis::Solved => "solved from the circuit",
    };
    if known.low == known.high {
        format!("{} V, {how}", shown(known.nominal))
    } else {
        format!(
            "{} V, {} to {} V, {how}",
            shown(known.nominal),
            shown(known.low),
            shown(known.high)
        )
    }
}

/// The line of text around a place, blanks at its ends left out.
fn line_of(snapshot: &Snapshot<'_>, origin: Origin) -> String {
    let text = snapshot.text(origin.file);
    let span = super::super::caret::physical(text, origin.span.start);
    span.of(text).trim().to_owned()
}

fn listed(mut names: Vec<String>) -> String {
    let count = names.len();
    names.truncate(MOST_NAMES);
    if count > MOST_NAMES {
        names.push(format!("and {} more", count - MOST_NAMES));
    }
    names.join(", ")
}

/// A name that stands for several things.
pub(super) fn several(snapshot: &Snapshot<'_>, mention: &Mention) -> Option<Vec<Block>> {
    let case = snapshot.case;
    let first = mention.subjects.first()?;
    let (what, names) = match first {
        Subject::Part(_) => {
            let names = mention.subjects.iter().filter_map(|subject| match subject {
                Subject::Part(part) => {
                    let value = case.part(*part).facts.own.first();
                    let value = value.map_or("", |fact| snapshot.of(fact.origin));
                    let name = format!("{}.{}", case.board_of(*part).name, case.part(*part).name);
                    Some(format!("{name} {value}").trim_end().to_owned())
                }
                _ => None,
            });
            ("parts", names.collect::<Vec<_>>())
        }
        Subject::Copy(..) | Subject::Board(_) => {
            let names = mention.subjects.iter().filter_map(|subject| match subject {
                Subject::Copy(board, copy) => {
                    case.board(*board).copies.get(*copy as usize).cloned()
                }
                Subject::Board(board) => Some(case.board(*board).name.to_owned()),
                _ => None,
            });
            let names: Vec<String> = names.collect();
            let text = names::compress(names.iter().map(String::as_str));
            let mut blocks = vec![Block::Title(format!("{} boards", names.len()))];
            blocks.push(Block::Text(text));
            return Some(blocks);
        }
        Subject::Net(_) => {
            let names = mention.subjects.iter().filter_map(|subject| match subject {
                Subject::Net(net) => {
                    let net = case.nets.net(*net);
                    Some(format!("{}.{}", case.board(net.board).name, net.name))
                }
                _ => None,
            });
            ("nets", names.collect())
        }
        _ => return None,
    };
    Some(vec![
        Block::Title(format!("{} {what}", names.len())),
        Block::Text(listed(names)),
    ])
}

pub(super) fn net(snapshot: &Snapshot<'_>, id: NetId) -> Vec<Block> {
    let case = snapshot.case;
    let net = case.nets.net(id);
    let what = if net.rail.is_some() { "rail" } else { "net" };
    let mut blocks = vec![Block::Title(format!(
        "{}.{} – {what}",
        case.board(net.board).name,
        net.name
    ))];
    if net.is_declared {
        blocks.push(Block::Code(line_of(snapshot, net.origin)));
    }
    blocks.push(Block::Row("potential", potential(snapshot, id)));
    let common = case.nets.common(id);
    let mut members = Vec::new();
    for (index, part) in case.parts.iter().enumerate() {
        for pin in &part.pins {
            if case.nets.common(pin.net) == common {
                let board = case.board_of(PartId(index as u32)).name;
                members.push(format!("{board}.{}.{}", part.name, pin.lead));
            }
        }
    }
    blocks.push(Block::Row("leads", members.len().to_string()));
    if !members.is_empty() {
        blocks.push(Block::Text(listed(members)));
    }
    let linked: Vec<String> = case
        .nets
        .iter()
        .filter(|(other, _)| *other != id && case.nets.common(*other) == common)
        .map(|(_, other)| format!("{}.{}", case.board(other.board).name, other.name))
        .collect();
    if !linked.is_empty() {
        blocks.push(Block::Row("linked with", listed(linked)));
    }
    blocks
}

pub(super) fn entry(snapshot: &Snapshot<'_>, id: EntryId) -> Vec<Block> {
    let case = snapshot.case;
    let entry = case.entry(id);
    let kind = entry.kind.map_or("", |kind| kind.word());
    let mut blocks = vec![
        Block::Title(
            format!("{} – {kind}", entry.name)
                .trim_end_matches(" – ")
                .to_owned(),
        ),
        Block::Text(facts_in_words(snapshot, &entry.facts)),
    ];
    blocks.push(Block::Row(
        "have",
        entry
            .have()
            .map_or("not written".into(), |have| have.to_string()),
    ));
    let prices: Vec<String> = entry
        .prices()
        .map(|price| format!("{} from {}", price.money, price.quantity))
        .collect();
    if !prices.is_empty() {
        blocks.push(Block::Row("price", prices.join(", ")));
    }
    let places: Vec<PlaceId> = snapshot
        .chosen()
        .iter()
        .filter_map(|chosen| match chosen {
            Chosen::New(new) if new.new.entry == Some(id) => Some(new),
            _ => None,
        })
        .flat_map(|new| new.places())
        .collect();
    let used = if places.is_empty() {
        "nowhere in this job".to_owned()
    } else {
        format!(
            "{} ({})",
            crate::check::subject(case, &places),
            places.len()
        )
    };
    blocks.push(Block::Row("goes in", used));
    blocks
}

pub(super) fn rule(index: usize) -> Option<Vec<Block>> {
    let rule = RULES.get(index)?;
    let mut blocks = vec![
        Block::Title(rule.name.to_owned()),
        Block::Text(rule.summary.to_owned()),
        Block::Row("an error", rule.at.phrase().to_owned()),
    ];
    let first: Vec<&str> = rule
        .page
        .lines()
        .skip_while(|line| line.starts_with('#') || line.is_empty())
        .take_while(|line| !line.is_empty() && !line.starts_with("```"))
        .collect();
    if !first.is_empty() {
        blocks.push(Block::Text(first.join(" ").replace('`', "")));
    }
    Some(blocks)
}

pub(super) fn step(snapshot: &Snapshot<'_>, index: usize) -> Option<Vec<Block>> {
    let step = snapshot.case.job.as_ref()?.steps.get(index)?;
    let mut blocks = vec![
        Block::Title(format!("step {}", step.name)),
        Block::Code(line_of(snapshot, step.origin)),
    ];
    if let Some((time, _)) = step.time {
        blocks.push(Block::Row("takes", time.to_string()));
    }
    let waiting: Vec<String> = mentions_of(snapshot, Subject::Step(index as u32))
        .into_iter()
        .filter(|mention| mention.role == super::super::mention::Role::Uses)
        .filter_map(|mention| {
            let line = line_of(snapshot, mention.origin);
            Some(line.split_whitespace().next()?.to_owned())
        })
        .collect();
    if !waiting.is_empty() {
        blocks.push(Block::Row("wait for it", waiting.join(", ")));
    }
    Some(blocks)
}

pub(super) fn board(snapshot: &Snapshot<'_>, subject: Subject) -> Option<Vec<Block>> {
    let case = snapshot.case;
    let (id, name) = match subject {
        Subject::Board(id) => (id, case.board(id).name),
        Subject::Copy(id, copy) => (id, case.board(id).copies.get(copy as usize)?.as_str()),
        _ => return None,
    };
    let board = case.board(id);
    let what = if board.is_wiring { "wiring" } else { "board" };
    let mut blocks = vec![Block::Title(format!("{name} – {what}"))];
    if !board.title.is_empty() {
        blocks.push(Block::Text(board.title.to_owned()));
    }
    if board.copies.len() > 1 {
        let copies = names::compress(board.copies.iter().map(String::as_str));
        blocks.push(Block::Row(
            "copies",
            format!("{} ({copies})", board.copies.len()),
        ));
    }
    let facts = facts_in_words(snapshot, &board.facts);
    if !facts.is_empty() {
        blocks.push(Block::Row("stated", facts));
    }
    blocks.push(Block::Row("parts", board.parts.len().to_string()));
    let mut kinds: Vec<(&str, usize)> = Vec::new();
    for part in &board.parts {
        let kind = case
            .part(*part)
            .kind
            .map_or("kind not known", |kind| kind.word());
        match kinds.iter_mut().find(|known| known.0 == kind) {
            Some(known) => known.1 += 1,
            None => kinds.push((kind, 1)),
        }
    }
    let kinds: Vec<String> = kinds
        .iter()
        .map(|(kind, count)| format!("{count} {kind}"))
        .collect();
    if !kinds.is_empty() {
        blocks.push(Block::Text(kinds.join(", ")));
    }
    Some(blocks)
}

pub(super) fn shelf(snapshot: &Snapshot<'_>, index: usize) -> Option<Vec<Block>> {
    let shelf = snapshot.case.shelves.get(index)?;
    Some(vec![
        Block::Title(format!("shelf {}", shelf.name)),
        Block::Code(line_of(snapshot, shelf.origin)),
        Block::Row("entries", shelf.entries.len().to_string()),
    ])
}

/// The facts of something the library knows; built-in ones stand in no file of
/// the snapshot, so values are printed, not cut from a text.
fn known_facts(facts: &Facts<'_>) -> Vec<Block> {
    use crate::meaning::FactValue;
    use retin_syntax::tables::properties::PROPERTIES;
    let texts: Vec<String> = facts
        .iter()
        .filter_map(|fact| {
            let rows = PROPERTIES
                .iter()
                .filter(|row| row.property == fact.property);
            let word = rows
                .filter_map(|row| row.token?.reserved_text())
                .next()
                .map(|word| format!("{word} "))
                .unwrap_or_default();
            let value = match &fact.value {
                FactValue::Value(value) => value.to_string(),
                FactValue::Word(word) => (*word).to_owned(),
                FactValue::Choice(token) => return token.reserved_text().map(str::to_owned),
                _ => return None,
            };
            Some(format!("{word}{value}"))
        })
        .collect();
    if texts.is_empty() {
        Vec::new()
    } else {
        vec![Block::Text(texts.join(", "))]
    }
}

pub(super) fn device(snapshot: &Snapshot<'_>, index: usize) -> Option<Vec<Block>> {
    let device = snapshot.case.library.devices().nth(index)?;
    let kind = device.kind.map_or("device", |kind| kind.word());
    let mut blocks = vec![Block::Title(format!("{} – {kind}", device.name))];
    blocks.extend(known_facts(&device.facts));
    if !device.pins.is_empty() {
        let pins: Vec<String> = device
            .pins
            .iter()
            .map(|(pin, function)| format!("{pin} {function}"))
            .collect();
        blocks.push(Block::Row("pins", pins.join(", ")));
    }
    Some(blocks)
}

pub(super) fn package(snapshot: &Snapshot<'_>, index: usize) -> Option<Vec<Block>> {
    let package = snapshot.case.library.packages().nth(index)?;
    let mut blocks = vec![Block::Title(format!("{} – package", package.name))];
    blocks.extend(known_facts(&package.facts));
    if !package.orders.is_empty() {
        blocks.push(Block::Row("sold as", package.orders.join(", ")));
    }
    Some(blocks)
}

pub(super) fn file(snapshot: &Snapshot<'_>, id: FileId) -> Vec<Block> {
    let file = snapshot.sources.file(id);
    let mut blocks = vec![Block::Title(file.path.clone())];
    let sections: Vec<String> = file
        .tree
        .sections()
        .filter(|(_, line)| {
            matches!(
                line.record,
                retin_syntax::tree::Record::Heading(retin_syntax::tree::Heading {
                    name: Some(_),
                    ..
                })
            )
        })
        .map(|(_, line)| line.span.of(&file.text).to_owned())
        .take(MOST_NAMES)
        .collect();
    if !sections.is_empty() {
        blocks.push(Block::Rows("holds", sections));
    }
    blocks
}

pub(super) fn model(snapshot: &Snapshot<'_>) -> Option<Vec<Block>> {
    let case = snapshot.case;
    let model = case.model.as_ref()?;
    let mut blocks = vec![Block::Title(format!("model {}", model.name))];
    if !model.title.is_empty() {
        blocks.push(Block::Text(model.title.to_owned()));
    }
    let facts = facts_in_words(snapshot, &model.facts);
    if !facts.is_empty() {
        blocks.push(Block::Row("stated", facts));
    }
    blocks.push(Block::Row("boards", case.boards.len().to_string()));
    blocks.push(Block::Row("places", case.places().count().to_string()));
    if let Some(last) = model.changes.last() {
        blocks.push(Block::Row(
            "last change",
            format!("revision {}: {}", last.revision, last.text),
        ));
    }
    Some(blocks)
}

pub(super) fn job(snapshot: &Snapshot<'_>) -> Option<Vec<Block>> {
    use crate::finding::Severity;
    let job = snapshot.case.job.as_ref()?;
    let mut blocks = vec![Block::Title(format!("job {}", job.number))];
    if !job.title.is_empty() {
        blocks.push(Block::Text(job.title.to_owned()));
    }
    blocks.push(Block::Row("stage", snapshot.report.stage.word().to_owned()));
    let count = |severity| snapshot.report.count(severity);
    blocks.push(Block::Row(
        "findings",
        format!(
            "{} errors, {} warnings, {} notes",
            count(Severity::Error),
            count(Severity::Warning),
            count(Severity::Note)
        ),
    ));
    let unchecked: u32 = snapshot
        .report
        .tallies
        .iter()
        .map(|tally| tally.not_checked)
        .sum();
    blocks.push(Block::Row("not checked", unchecked.to_string()));
    Some(blocks)
}

pub(super) fn zone(snapshot: &Snapshot<'_>, board: BoardId, index: usize) -> Option<Vec<Block>> {
    let board = snapshot.case.board(board);
    let (name, origin) = board.zones.get(index)?;
    Some(vec![
        Block::Title(format!("zone {name} of {}", board.name)),
        Block::Code(line_of(
            snapshot,
            Origin {
                file: origin.file,
                span: Span::new(origin.span.start, origin.span.end),
            },
        )),
    ])
}
