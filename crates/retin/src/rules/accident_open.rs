//! Accidents without a repair, and repairs without a proof.

use super::{Judge, Rule, limits};
use crate::check::Answers;
use crate::finding::{Fault, Verdict};
use crate::meaning::{Case, Point};
use crate::stage::Stage;
use crate::time::accidents::board_of;
use crate::time::{AccidentRecord, Content, Status};
use retin_syntax::tables::{Accident, Proof};
use retin_syntax::value::{Dimension, Quantity};

pub(super) const RULE: Rule = Rule {
    name: "accident-open",
    at: Stage::Power,
    summary: "an accident of the log that is not repaired, or whose repair nothing proves",
    page: include_str!("accident_open.md"),
    judge: Judge::Case(judge),
};

fn judge(case: &Case<'_>, answers: &mut Answers<'_, '_>) {
    for record in &case.replay.accidents {
        let verdict = one(case, answers, record);
        let places: Vec<_> = record.place().into_iter().collect();
        answers.answer(&places, verdict);
    }
}

fn one(case: &Case<'_>, answers: &Answers<'_, '_>, record: &AccidentRecord<'_>) -> Verdict {
    if record.status() == Status::Proven {
        return Verdict::Passed;
    }
    let Some(entry) = case.job.as_ref().and_then(|job| job.told(record.entry)) else {
        return Verdict::NotApplicable;
    };
    let board = record.point.and_then(|point| board_of(case, point));
    let is_reached = match board {
        Some(board) => answers.has_reached(Stage::Power, board),
        None => answers.stage() >= Stage::Power,
    };
    // A repair comes before the part that covers it.
    let is_covered = record.place().is_some_and(|place| {
        let state = case.replay.place(place);
        let is_back = state.content == Content::New && state.fitted > Some(record.entry);
        is_back && !record.is_of_part(place)
    });
    if !is_reached && !is_covered {
        return Verdict::lacks(match record.status() {
            Status::Open => format!("the repair of accident {}", record.number),
            _ => format!(
                "the proof that the repair of accident {} holds",
                record.number
            ),
        });
    }
    let number = record.number;
    let what = record
        .accident
        .map_or("an accident of an unknown sort", |accident| {
            accident.row().words
        });
    let at = point_in_words(case, record.point);
    let consequence = consequence(record.accident);
    let Some(mended) = record.mended else {
        return Verdict::failed(Fault::new(
            entry.origin,
            format!("accident {number}, {what}{at}, was never repaired"),
            consequence,
            remedy(record),
        ));
    };
    let how = mended.how.map_or("", |how| how.row().words);
    let how = if how.is_empty() {
        String::new()
    } else {
        format!(" ({how})")
    };
    let sides = if record.is_plated { " both sides" } else { "" };
    let measure = match (record.point, mended.to.or(record.to)) {
        (Some(from), Some(to)) => format!(
            "measure it and write `measured {} to {} 0.1ohm{sides}`, with what the meter shows",
            case.name_of_point(from),
            case.name_of_point(to)
        ),
        _ => format!(
            "measure from there to the next part on that net, and write `measured … to … 0.1ohm{sides}`, with what the meter shows"
        ),
    };
    let (shown, remedy) = match record.asks_for() {
        Proof::EndToEnd => {
            let shown = match (record.too_high, record.one_side) {
                (Some((_, ohms)), _) => format!(
                    "the reading from end to end is {ohms}, where a sound connection reads below {}",
                    Quantity::new(limits::CONTINUITY, Dimension::Resistance)
                ),
                (None, Some(_)) => "the reading shows one side only of a plated hole".to_owned(),
                (None, None) => "no reading shows that it holds".to_owned(),
            };
            (shown, measure)
        }
        Proof::Apart => (
            "nothing shows that the two are apart".to_owned(),
            "measure between the two points, or look with a lens and write `inspected`".to_owned(),
        ),
        Proof::Look => (
            "nobody looked at it since".to_owned(),
            "look at it with a lens and write `inspected`".to_owned(),
        ),
        Proof::AnotherPart | Proof::Reading => (
            "the same part is still in".to_owned(),
            "put another part in, and write `removed` and `fitted`".to_owned(),
        ),
    };
    let mut fault = Fault::new(
        entry.origin,
        format!("accident {number}, {what}{at}, was repaired{how}, and {shown}"),
        consequence,
        remedy,
    );
    let job = case.job.as_ref();
    let told = |index: usize| job.and_then(|job| job.told(index));
    if let Some(repair) = told(mended.entry) {
        fault = fault.with(repair.origin, "repaired here");
    }
    let reading = record.too_high.map(|read| read.0).or(record.one_side);
    if let Some(reading) = reading.and_then(told) {
        fault = fault.with(reading.origin, "read here");
    }
    Verdict::failed(fault)
}

/// ` at ch3.C41.-`
fn point_in_words(case: &Case<'_>, point: Option<Point<'_>>) -> String {
    point.map_or_else(String::new, |point| {
        format!(" at {}", case.name_of_point(point))
    })
}

fn consequence(accident: Option<Accident>) -> &'static str {
    match accident.map(|accident| accident.row().proof) {
        Some(Proof::EndToEnd) => {
            "the connection is open or holds by chance: the stage is dead, or comes and goes with warmth"
        }
        Some(Proof::Apart) => "two nets are joined that have to stay apart, and power finds it",
        Some(Proof::AnotherPart) => {
            "under power the part heats, vents or shorts, and takes its rail with it"
        }
        Some(Proof::Reading) => "the part may be cracked inside and fail once it is warm",
        Some(Proof::Look) | None => "it would get worse under power, out of sight",
    }
}

fn remedy(record: &AccidentRecord<'_>) -> String {
    use retin_syntax::tables::repairs::REPAIRS;
    let ways: Vec<String> = record
        .accident
        .map(|accident| {
            REPAIRS
                .iter()
                .filter(|row| row.mends.contains(&accident))
                .map(|row| {
                    if row.words == "wire" {
                        "`wire 0.5mm to …`".to_owned()
                    } else {
                        format!("`{}`", row.words)
                    }
                })
                .collect()
        })
        .unwrap_or_default();
    if ways.is_empty() {
        "repair it and write `repaired`, with how".into()
    } else {
        format!(
            "repair it and write `repaired`, with how: {}",
            ways.join(", ")
        )
    }
}
