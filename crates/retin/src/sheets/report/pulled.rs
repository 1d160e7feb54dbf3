//! Old parts as they were read, beside the new ones.

use super::{Telling, kinds, paragraph, table};
use crate::meaning::{Facts, NewPart, PlaceId, Point, Says};
use crate::sheets::document::{Block, Cell, Width};
use crate::sheets::plot::{Axis, PlotRow, RowPlot, Sign, round_ticks};
use crate::time::Content;
use crate::typeset;
use crate::words::counted;
use retin_syntax::tables::{ClaimSource, Kind, Property};
use retin_syntax::value::{Decimal, Quantity, Tolerance};
use rust_decimal::prelude::ToPrimitive;

/// A part whose value was read: what it was made for, and what it showed.
struct Read {
    made_for: Quantity,
    reading: Quantity,
}

impl Read {
    /// What it showed, in per cent of what it was made for.
    fn percent(&self) -> Option<f64> {
        let share = self.reading.number.checked_div(self.made_for.number)?;
        share.checked_mul(Decimal::ONE_HUNDRED)?.to_f64()
    }

    /// Both in words.
    fn in_words(&self) -> String {
        let of = typeset::quantity(self.made_for);
        format!("{} of {of}", typeset::quantity(self.reading))
    }
}

/// A place of which a part was read.
struct Place {
    place: PlaceId,
    kind: Option<Kind>,
    old: Option<Read>,
    /// The limits of the old part, in per cent.
    limits: [Option<f64>; 2],
    /// Whether the old part was outside its limits.
    is_out: bool,
    new: Option<Read>,
}

pub(super) fn pulled(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    let places: Vec<Place> = telling
        .case
        .places()
        .filter_map(|place| read_at(telling, place))
        .collect();
    let old: Vec<&Place> = places.iter().filter(|place| place.old.is_some()).collect();
    if !old.is_empty() {
        let out: Vec<&&Place> = old.iter().filter(|place| place.is_out).collect();
        let of = counted(old.len(), "old part was", "old parts were");
        let verdict = match out.len() {
            0 => "none of them outside what it was made for".to_owned(),
            1 => "1 of them outside what it was made for".to_owned(),
            out => format!("{out} of them outside what they were made for"),
        };
        blocks.push(paragraph(format!("{of} measured, {verdict}.")));
        if !out.is_empty() {
            let rows = out.iter().filter_map(|place| row(telling, place)).collect();
            blocks.push(table(
                &[
                    ("where", Width::Content, false),
                    ("what", Width::Share(1.0), false),
                    ("made for", Width::Content, true),
                    ("read", Width::Content, true),
                    ("that is", Width::Content, true),
                ],
                rows,
            ));
        }
    }
    if !places.is_empty() {
        telling.plot(
            &plot(telling, &places),
            "Values as they were read, in per cent of what the part is made for. Broken lines: the limits of the old part",
            blocks,
        );
    }
}

fn row(telling: &Telling<'_, '_, '_>, place: &Place) -> Option<Vec<Cell>> {
    let old = place.old.as_ref()?;
    let percent = old.percent()?.round();
    Some(vec![
        telling.case.name_of(place.place).into(),
        kinds::one(place.kind).into(),
        typeset::quantity(old.made_for).into(),
        typeset::quantity(old.reading).into(),
        format!("{percent}{}%", typeset::NO_BREAK).into(),
    ])
}

fn read_at(telling: &Telling<'_, '_, '_>, place: PlaceId) -> Option<Place> {
    let case = telling.case;
    let goes_by = case.goes_by(place);
    let dimension = goes_by.kind?.row().value?;
    let of_part = |content: Content| {
        let readings = telling.replay.readings.iter().filter(move |reading| {
            let is_here = match reading.point {
                Point::Place(other) => other == place,
                _ => false,
            };
            is_here && reading.content == Some(content) && reading.reading.property.is_none()
        });
        let quantities = readings.filter_map(|reading| reading.reading.quantity());
        quantities.filter(move |quantity| quantity.dimension == dimension)
    };
    // What sat there as a meter found it before the log begins.
    let claimed = || {
        let claims = case.part(place.part).claims.iter();
        claims
            .filter(|claim| claim.source == ClaimSource::Meter && claim.copy == Some(place.copy))
            .find_map(|claim| match &claim.says {
                Says::Facts { facts, .. } => facts.quantity(Property::Value),
                _ => None,
            })
            .filter(|quantity| quantity.dimension == dimension)
    };
    // A part with a meter reading goes by what is printed on it, not by the reading.
    let printed = case.part(place.part).facts.quantity(Property::Value);
    let of = |made_for: Option<Quantity>, reading: Option<Quantity>| {
        let (made_for, reading) = (made_for?, reading?);
        (made_for.dimension == dimension && made_for.number > Decimal::ZERO)
            .then_some(Read { made_for, reading })
    };
    // What is read first after a part came out is that part; the new one may be
    // read later, before it goes in.
    let taken_out = of_part(Content::Empty)
        .next()
        .or_else(|| of_part(Content::Old).next_back());
    let old = of(printed, taken_out.or_else(claimed));
    let new = of(
        fitted_value(telling, place),
        of_part(Content::New).next_back(),
    );
    if old.is_none() && new.is_none() {
        return None;
    }
    let usual = || {
        let usual = goes_by.kind?.row().usual_tolerance?;
        Some(Tolerance::relative(usual.parse().ok()?))
    };
    let window = printed.and_then(|printed| {
        let tolerance = goes_by.tolerance().or_else(usual)?;
        Some((printed, tolerance.window(printed)?))
    });
    let percent = |end: Quantity| {
        let (printed, _) = window?;
        let share = end.number.checked_div(printed.number)?;
        share.checked_mul(Decimal::ONE_HUNDRED)?.to_f64()
    };
    let is_out = old.as_ref().is_some_and(|old| {
        window.is_some_and(|(_, (low, high))| {
            old.reading.number < low.number || old.reading.number > high.number
        })
    });
    Some(Place {
        place,
        kind: goes_by.kind,
        limits: window.map_or([None, None], |(_, (low, high))| {
            [percent(low), percent(high)]
        }),
        is_out,
        old,
        new,
    })
}

/// What the part that was put into a place is made for.
fn fitted_value(telling: &Telling<'_, '_, '_>, place: PlaceId) -> Option<Quantity> {
    let state = telling.replay.place(place);
    let value = |facts: &Facts<'_>| facts.quantity(Property::Value);
    let told = state
        .fitted
        .and_then(|entry| telling.job.fitted_with(entry))
        .map(|(with, _)| with.as_slice());
    match told {
        Some([NewPart::Entry { entry, .. }]) => value(&telling.case.entry(*entry).facts),
        Some([NewPart::Described { facts, .. }]) => value(facts),
        Some([_, ..]) => None,
        _ => telling.new.get(&place)?.new.value(),
    }
}

/// The axis ends a little above the greatest of what is usual; what lies beyond
/// has an arrow.
const END: f64 = 160.0;

fn plot(telling: &Telling<'_, '_, '_>, places: &[Place]) -> RowPlot {
    let percent = |read: &Option<Read>| read.as_ref().and_then(Read::percent);
    let rows = places
        .iter()
        .map(|place| {
            let marks = [
                (percent(&place.old), Sign::Square),
                (percent(&place.new), Sign::Disc),
            ];
            let figures: Vec<String> = [(&place.old, "old"), (&place.new, "new")]
                .into_iter()
                .filter_map(|(read, which)| Some(format!("{which} {}", read.as_ref()?.in_words())))
                .collect();
            PlotRow {
                name: telling.case.name_of(place.place),
                figures: figures.join(", "),
                marks: marks
                    .into_iter()
                    .filter_map(|(at, sign)| Some((at?, sign)))
                    .collect(),
                limits: place.limits,
            }
        })
        .collect();
    RowPlot {
        says: "A row for each part that was measured, with its reading in per cent of the value it is made for: an open square for the old part, a full circle for the new one.".to_owned(),
        legend: vec![(Sign::Square, "the old part"), (Sign::Disc, "the new part")],
        axis: Axis {
            label: "reading, % of what the part is made for".to_owned(),
            low: 0.0,
            high: END,
            ticks: round_ticks(0.0, END, 8)
                .into_iter()
                .map(|tick| (tick, tick.to_string()))
                .collect(),
        },
        rows,
    }
}
