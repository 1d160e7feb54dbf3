//! What was not done, and what was not checked.

use super::{Telling, heading, kinds, paragraph};
use crate::check::subject;
use crate::meaning::PlaceId;
use crate::rules;
use crate::sheets::document::{Block, Words};
use crate::time::left::How;
use crate::time::progress::Left;
use retin_syntax::tables::PlanVerb;

pub(super) fn not_done(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "What was not done"));
    let before = blocks.len();
    list("Still to do", still_to_do(telling), blocks);
    list(
        "Left as they were, by the plan",
        left_alone(telling),
        blocks,
    );
    if blocks.len() == before {
        blocks.push(paragraph("Nothing that was planned is left."));
    }
    blocks.push(heading(1, "What was not checked"));
    let before = blocks.len();
    list(
        "For want of a fact, these mistakes could not be looked for",
        unchecked(telling),
        blocks,
    );
    list(
        "Judged in order in spite of the check",
        accepted(telling),
        blocks,
    );
    if blocks.len() == before {
        let tallies = &telling.checked.report.tallies;
        let is_any = tallies.iter().any(|tally| tally.passed + tally.failed > 0);
        blocks.push(paragraph(if is_any {
            "Every check of the program that has something to look at could be made."
        } else {
            "Nothing was checked: the job's file holds too little yet."
        }));
    }
}

fn list(lead: &str, items: Vec<Words>, blocks: &mut Vec<Block>) {
    if !items.is_empty() {
        blocks.push(paragraph(format!("{lead}:")));
        blocks.push(Block::List(items));
    }
}

/// What is left at parts: "not put in yet".
fn left_in_words(left: Left) -> &'static str {
    match left {
        Left::Replace => "not replaced yet",
        Left::Remove => "not taken out yet",
        Left::Fit => "taken out, and the new part not in yet",
        Left::Chip => "not back in the socket",
        Left::TakenOut => "taken out and not put back, and the plan says nothing of it",
        Left::Inspect => "new joints not looked at yet",
    }
}

fn still_to_do(telling: &Telling<'_, '_, '_>) -> Vec<Words> {
    let Some(left) = &telling.left else {
        return Vec::new();
    };
    let case = telling.case;
    let mut items = Vec::new();
    for board in &left.boards {
        for (what, parts) in &board.left {
            let places: Vec<PlaceId> = parts
                .iter()
                .flat_map(|part| {
                    board.copies.iter().map(|copy| PlaceId {
                        part: *part,
                        copy: copy.1,
                    })
                })
                .collect();
            let name = subject(case, &places);
            items.push(Words::strong(name).and(format!(": {}", left_in_words(*what))));
        }
    }
    let steps: Vec<&str> = left
        .steps
        .iter()
        .filter(|step| step.how != How::Done)
        .map(|step| telling.job.steps[step.step].name)
        .collect();
    if !steps.is_empty() {
        items.push(format!("steps not finished: {}", steps.join(", ")).into());
    }
    for accident in &left.accidents {
        let record = &telling.replay.accidents[*accident];
        items.push(format!("accident {} is not proven to be repaired", record.number).into());
    }
    let unread: Vec<String> = left
        .readings
        .iter()
        .map(|wanted| wanted.in_words(telling.job))
        .collect();
    if !unread.is_empty() {
        items.push(format!("not read: {}", unread.join("; ")).into());
    }
    items
}

fn left_alone(telling: &Telling<'_, '_, '_>) -> Vec<Words> {
    let case = telling.case;
    let mut items = Vec::new();
    let mut kept = Vec::new();
    for (index, line) in case.plan.iter().enumerate() {
        let places: Vec<PlaceId> = case
            .decisions
            .iter()
            .filter(|decision| decision.line.0 as usize == index)
            .map(|decision| decision.place)
            .collect();
        if places.is_empty() {
            continue;
        }
        let because = line
            .because
            .map_or(String::new(), |because| format!(": {because}"));
        let name = Words::strong(subject(case, &places));
        match line.verb {
            PlanVerb::Keep if line.because.is_none() => {
                kept.extend(places.iter().map(|place| case.goes_by(*place).kind));
            }
            PlanVerb::Keep => items.push(name.and(format!(", kept{because}"))),
            PlanVerb::Leave => items.push(name.and(format!(", not dealt with{because}"))),
            PlanVerb::Remove => items.push(name.and(format!(", taken out for good{because}"))),
            PlanVerb::Replace | PlanVerb::Add | PlanVerb::Absent | PlanVerb::Socket => {}
        }
    }
    if !kept.is_empty() {
        items.push(format!("kept: {}", kinds::counted(kept.into_iter())).into());
    }
    items
}

/// What the check could not look for, with how often and the fact that is missing.
fn unchecked(telling: &Telling<'_, '_, '_>) -> Vec<Words> {
    let mut tallies: Vec<_> = telling
        .checked
        .report
        .tallies
        .iter()
        .filter(|tally| tally.not_checked > 0)
        .collect();
    tallies.sort_by_key(|tally| std::cmp::Reverse(tally.not_checked));
    tallies
        .into_iter()
        .map(|tally| {
            let what = rules::find(tally.rule).map_or(tally.rule, |rule| rule.summary);
            let times = match tally.not_checked {
                1 => "once".to_owned(),
                times => format!("{times} times"),
            };
            Words::plain(format!("{what} ({times})"))
        })
        .collect()
}

fn accepted(telling: &Telling<'_, '_, '_>) -> Vec<Words> {
    let case = telling.case;
    case.acceptances
        .iter()
        .map(|acceptance| {
            let what = rules::find(acceptance.rule).map_or(acceptance.rule, |rule| rule.summary);
            let places = subject(case, &acceptance.selector.places);
            let because = acceptance.because.unwrap_or("no reason is written down");
            Words::strong(places).and(format!(": {what}; in order because “{because}”"))
        })
        .collect()
}
