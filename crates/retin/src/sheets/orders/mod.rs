//! The order list: what to buy for one job or several, what lies in the drawers
//! already, and what is still to be found.

mod csv;
mod why;

use super::choice::Choice;
use super::document::{Block, Cell, Column, Document, Group, Row, Table, Width, Words};
use super::head::head;
use super::settings::Settings;
use super::{CheckedJob, Refusal};
use crate::shop::{Found, JobNeeds, Line, OrderList, Reason, Share, Spares, job_needs, order_list};
use crate::typeset;
use crate::words::{counted, listed};
use retin_syntax::tables::Kind;
use retin_syntax::value::Decimal;

/// The title of the sheet.
pub const TITLE: &str = "Order list";

/// Makes the order list of one job or several.
///
/// # Errors
/// When something is wanted that a job does not have, or a job is there twice.
pub fn orders(jobs: &[CheckedJob<'_, '_>], settings: &Settings) -> Result<Document, Refusal> {
    let needs = needs(jobs, settings)?;
    let list = order_list(&needs, settings.spares);
    let jobs: Vec<&CheckedJob<'_, '_>> = jobs.iter().collect();
    let mut blocks = vec![Block::Paragraph(scope(&needs, settings))];
    let closed: Vec<String> = needs
        .iter()
        .filter(|job| job.is_closed)
        .map(|job| job.job.clone())
        .collect();
    if !closed.is_empty() {
        let went = format!(
            "Back with the owner, so that nothing is needed: {}.",
            listed(&closed)
        );
        blocks.push(Block::Paragraph(went.into()));
    }
    buy(&list, &mut blocks);
    in_drawers(&list, &mut blocks);
    to_find(&list, &mut blocks);
    Ok(Document {
        head: head(TITLE, &jobs),
        blocks,
        is_landscape: false,
    })
}

/// The order list as a table for a spreadsheet: UTF-8 text by RFC 4180, a line of
/// heads, then a line for each part that is bought, lies in a drawer or is to be
/// found.
///
/// Text that a spreadsheet would take for a formula has an apostrophe before it;
/// numbers stand as numbers.
///
/// # Errors
/// When something is wanted that a job does not have, or a job is there twice.
pub fn orders_csv(jobs: &[CheckedJob<'_, '_>], settings: &Settings) -> Result<String, Refusal> {
    let list = order_list(&needs(jobs, settings)?, settings.spares);
    csv::csv(&list).map_err(|error| Refusal {
        reason: format!("the table cannot be written: {error}"),
    })
}

/// What each job needs of what is wanted.
fn needs(jobs: &[CheckedJob<'_, '_>], settings: &Settings) -> Result<Vec<JobNeeds>, Refusal> {
    let mut all = Vec::with_capacity(jobs.len());
    let path = |job: &CheckedJob<'_, '_>| job.case.sources.file(job.case.root).path.clone();
    for (index, job) in jobs.iter().enumerate() {
        if jobs[..index].iter().any(|other| path(other) == path(job)) {
            return Err(Refusal {
                reason: format!(
                    "job {} is named twice, and its parts would be ordered twice",
                    job.job.number
                ),
            });
        }
        let choice = Choice::of(job, &settings.wanted)?;
        let takes = |place| choice.takes_place(job.case, place);
        all.extend(job_needs(job.case, &job.chosen, &takes));
    }
    Ok(all)
}

/// What was reckoned, and what was not.
fn scope(needs: &[JobNeeds], settings: &Settings) -> Words {
    let jobs: Vec<String> = needs.iter().map(|job| job.job.clone()).collect();
    let mut said = if jobs.len() == 1 {
        format!("Reckoned for job {} alone.", listed(&jobs))
    } else {
        format!("Reckoned for the jobs {} together.", listed(&jobs))
    };
    if !settings.wanted.is_everything() {
        said.push_str(&format!(
            " Only what is for {}.",
            settings.wanted.in_words()
        ));
    }
    said.push_str(" What other open jobs take from the same drawers is not in it. ");
    said.push_str(&match settings.spares {
        None => {
            "Spares are as many as the shelf asks for, else a tenth of the need and one at least."
                .to_owned()
        }
        Some(spares) if spares == Spares::NONE => "No spares.".to_owned(),
        Some(spares) if spares.share.is_zero() => {
            format!("Spares: {} of each part.", spares.at_least.normalize())
        }
        Some(spares) => format!(
            "Spares: {}{}% of each need, and one at least.",
            (spares.share * Decimal::ONE_HUNDRED).normalize(),
            typeset::NO_BREAK
        ),
    });
    said.into()
}

fn column(head: &str, width: Width, is_right: bool) -> Column {
    Column {
        head: head.to_owned(),
        width,
        is_right,
    }
}

/// Rows in groups by kind. Rows of one kind stand together already.
fn by_kind(rows: impl Iterator<Item = (Option<Kind>, Row)>) -> Vec<Group> {
    let mut groups: Vec<(Option<Kind>, Group)> = Vec::new();
    for (kind, row) in rows {
        match groups.last_mut().filter(|group| group.0 == kind) {
            Some((_, group)) => group.rows.push(row),
            None => groups.push((
                kind,
                Group {
                    heading: Some(kind_in_words(kind)),
                    rows: vec![row],
                    foot: None,
                },
            )),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

fn kind_in_words(kind: Option<Kind>) -> Words {
    // What the table says behind a semicolon is for those who write.
    let doc = |kind: Kind| {
        let doc = kind.row().doc;
        doc.split_once("; ").map_or(doc, |(before, _)| before)
    };
    match kind {
        Some(kind) if doc(kind).contains(kind.word()) => Words::strong(doc(kind)),
        Some(kind) => Words::strong(kind.word()).and(format!(", {}", doc(kind))),
        None => Words::strong("kind not said"),
    }
}

/// What each job needs of a part: "for 26-014: psu.C5..C8, 4".
fn shares(shares: &[Share], is_one_job: bool) -> Vec<Words> {
    let share = |share: &Share| -> Words {
        if is_one_job {
            format!("for {}", share.places).into()
        } else {
            format!("{} for {}: {}", share.count, share.job, share.places).into()
        }
    };
    shares.iter().map(share).collect()
}

fn number(number: Decimal) -> String {
    number.normalize().to_string()
}

/// How many are needed, with the spares.
fn need(line: &Line) -> Cell {
    let mut lines: Vec<Words> = vec![number(line.need).into()];
    if !line.spares.is_zero() {
        lines.push(format!("+{}{}", typeset::NO_BREAK, number(line.spares)).into());
    }
    Cell::Lines(lines)
}

/// How many there are, with those on their way.
fn there(line: &Line) -> Cell {
    let have = line.part.have.map_or("?".to_owned(), number);
    let mut lines: Vec<Words> = vec![have.into()];
    if !line.part.coming.is_zero() {
        let coming = format!("+{}{} coming", typeset::NO_BREAK, number(line.part.coming));
        lines.push(coming.into());
    }
    Cell::Lines(lines)
}

/// The part's name, with its maker and its drawer.
fn part(line: &Line) -> Cell {
    let mut lines = vec![Words::strong(line.part.name.clone())];
    lines.extend(line.part.maker.clone().map(Words::plain));
    let bin = line.part.bin.as_ref();
    lines.extend(bin.map(|bin| Words::plain(format!("bin {bin}"))));
    Cell::Lines(lines)
}

/// What it is, what it is for, and what is to be known before it is bought.
fn what(line: &Line, is_one_job: bool) -> Cell {
    let mut lines = Vec::new();
    if !line.part.what.set.is_empty() {
        lines.push(Words::plain(line.part.what.set.clone()));
    }
    lines.extend(shares(&line.shares, is_one_job));
    lines.extend(why::remarks(line).into_iter().map(Words::plain));
    Cell::Lines(lines)
}

fn buy(list: &OrderList, blocks: &mut Vec<Block>) {
    let is_one_job = list.jobs.len() == 1;
    let bought = || {
        list.lines
            .iter()
            .filter(|line| !line.purchase.quantity.is_zero())
    };
    blocks.push(Block::Heading {
        level: 1,
        text: "To buy".to_owned(),
    });
    if bought().next().is_none() {
        let nothing = if list.lines.is_empty() {
            "Nothing: no part is wanted from a shelf."
        } else {
            "Nothing: the drawers and what is on its way suffice."
        };
        blocks.push(Block::Paragraph(nothing.into()));
        return;
    }
    let row = |line: &Line| {
        let cost = line.purchase.cost;
        Row {
            cells: vec![
                Cell::Box { is_ticked: false },
                part(line),
                what(line, is_one_job),
                need(line),
                there(line),
                Words::strong(number(line.purchase.quantity)).into(),
                cost.map_or("no price".to_owned(), |cost| typeset::money(cost.each))
                    .into(),
                cost.map_or(String::new(), |cost| typeset::money(cost.sum))
                    .into(),
            ],
            is_done: false,
            ..Row::default()
        }
    };
    blocks.push(Block::Table(Table {
        columns: vec![
            column("", Width::Content, false),
            column("part", Width::Content, false),
            column("what it is, and for what", Width::Share(1.0), false),
            column("need", Width::Content, true),
            column("there", Width::Content, true),
            column("buy", Width::Content, true),
            column("each", Width::Content, true),
            column("sum", Width::Content, true),
        ],
        groups: by_kind(bought().map(|line| (line.part.kind, row(line)))),
    }));
    blocks.push(Block::Facts(totals(list)));
}

/// The totals, one for each currency, and what is not in them.
fn totals(list: &OrderList) -> Vec<(String, Words)> {
    let mut facts = Vec::new();
    let more = if list.unpriced > 0 { "more than " } else { "" };
    for total in &list.totals {
        facts.push((
            "total".to_owned(),
            Words::plain(more).and_strong(typeset::money(*total)),
        ));
    }
    if list.totals.is_empty() {
        facts.push(("total".to_owned(), "not known".into()));
    }
    if list.totals.len() > 1 {
        let apart = "sums in different currencies are not added to one another";
        facts.push(("currencies".to_owned(), apart.into()));
    }
    if list.unpriced > 0 {
        let names: Vec<String> = list
            .lines
            .iter()
            .filter(|line| !line.purchase.quantity.is_zero() && line.purchase.cost.is_none())
            .map(|line| line.part.name.clone())
            .collect();
        let what = format!("{}, in no total", listed(&names));
        facts.push(("without a price".to_owned(), what.into()));
    }
    if !list.to_find.is_empty() {
        let count = counted(list.to_find.len(), "sort of part", "sorts of part");
        let what = format!("{count} still to be found, in no total");
        facts.push(("not priced".to_owned(), what.into()));
    }
    facts
}

fn in_drawers(list: &OrderList, blocks: &mut Vec<Block>) {
    let is_one_job = list.jobs.len() == 1;
    let there_already = || {
        list.lines
            .iter()
            .filter(|line| line.purchase.quantity.is_zero())
    };
    if there_already().next().is_none() {
        return;
    }
    blocks.push(Block::Heading {
        level: 1,
        text: "Enough in the drawers".to_owned(),
    });
    let row = |line: &Line| Row {
        cells: vec![
            Cell::Box { is_ticked: false },
            part(line),
            what(line, is_one_job),
            need(line),
            there(line),
        ],
        is_done: false,
        ..Row::default()
    };
    blocks.push(Block::Table(Table {
        columns: vec![
            column("", Width::Content, false),
            column("part", Width::Content, false),
            column("what it is, and for what", Width::Share(1.0), false),
            column("need", Width::Content, true),
            column("there", Width::Content, true),
        ],
        groups: by_kind(there_already().map(|line| (line.part.kind, row(line)))),
    }));
}

fn to_find(list: &OrderList, blocks: &mut Vec<Block>) {
    if list.to_find.is_empty() {
        return;
    }
    let is_one_job = list.jobs.len() == 1;
    blocks.push(Block::Heading {
        level: 1,
        text: "To be found".to_owned(),
    });
    let row = |found: &Found| {
        let what = if found.what.set.is_empty() {
            Words::plain("nothing is said of it")
        } else {
            Words::strong(found.what.set.clone())
        };
        let mut lines = vec![what];
        lines.extend(shares(&found.shares, is_one_job));
        lines.extend(reason(&found.reason).into_iter().map(Words::plain));
        let count: u64 = found.shares.iter().map(|share| share.count).sum();
        Row {
            cells: vec![
                Cell::Box { is_ticked: false },
                Cell::Lines(lines),
                count.to_string().into(),
                Cell::Blank,
            ],
            is_done: false,
            ..Row::default()
        }
    };
    blocks.push(Block::Table(Table {
        columns: vec![
            column("", Width::Content, false),
            column("what it has to be, and for what", Width::Share(2.0), false),
            column("need", Width::Content, true),
            column("found where", Width::Share(1.0), false),
        ],
        groups: by_kind(list.to_find.iter().map(|found| (found.kind, row(found)))),
    }));
}

/// Why a part is on no shelf.
fn reason(reason: &Reason) -> Vec<String> {
    match reason {
        Reason::Described => vec!["described in the plan, on no shelf".to_owned()],
        Reason::Unknown => vec!["the plan names nothing that exists".to_owned()],
        Reason::NothingFits(nearest) if nearest.is_empty() => {
            vec!["the shelves have nothing near it".to_owned()]
        }
        Reason::NothingFits(nearest) => nearest
            .iter()
            .map(|entry| format!("does not fit: {entry}"))
            .collect(),
    }
}
