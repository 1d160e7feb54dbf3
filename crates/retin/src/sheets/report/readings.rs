//! Readings before and after the work, with their limits, and two plots of them.

use super::{Telling, heading, paragraph, table};
use crate::meaning::{Act, Point, Target, Window};
use crate::rules::out_of_limits::{limits_of, readings_of};
use crate::sheets::document::{Block, Cell, Width, Words};
use crate::sheets::plot::{Axis, PlotRow, RowPlot, Sign, round_ticks};
use crate::time::readings_wanted::What;
use crate::typeset;
use retin_syntax::Token;
use retin_syntax::tables::Property;
use retin_syntax::value::{Decimal, Quantity};
use rust_decimal::prelude::ToPrimitive;

/// What was read of one point.
struct Told {
    name: String,
    limits: Option<Window>,
    /// The last reading before the first new part went in.
    before: Option<Quantity>,
    /// The last one since, of those not said to be warm.
    cold: Option<Quantity>,
    /// The last one since that is said to be warm.
    warm: Option<Quantity>,
}

impl Told {
    fn verdict(&self) -> Words {
        let Some(limits) = self.limits else {
            return Words::plain("no limits stated");
        };
        let after = [self.cold, self.warm];
        let mut held = after.iter().flatten().map(|reading| limits.holds(*reading));
        if after.iter().all(Option::is_none) {
            Words::plain("not read since")
        } else if held.any(|held| held != Some(true)) {
            Words::strong("outside")
        } else {
            Words::plain("within")
        }
    }
}

pub(super) fn readings(telling: &Telling<'_, '_, '_>, blocks: &mut Vec<Block>) {
    blocks.push(heading(1, "Readings before and after"));
    let told = all(telling);
    let missing = telling.left.as_ref().map_or(&[][..], |left| &left.readings);
    if told.is_empty() && missing.is_empty() {
        blocks.push(paragraph("None are asked for."));
        return;
    }
    let set = |reading: Option<Quantity>| reading.map_or(String::new(), typeset::quantity);
    let mut rows: Vec<Vec<Cell>> = told
        .iter()
        .map(|told| {
            let limits = told.limits.as_ref().map_or(String::new(), typeset::window);
            vec![
                told.name.clone().into(),
                limits.into(),
                set(told.before).into(),
                set(told.cold).into(),
                set(told.warm).into(),
                told.verdict().into(),
            ]
        })
        .collect();
    for wanted in missing {
        let target = &telling.job.targets[wanted.target];
        let limits = match wanted.what {
            What::Value => limits_of(telling.case, target),
            What::Ripple => target.ripple().map(below),
        };
        let mut row: Vec<Cell> = vec![
            wanted.in_words(telling.job).into(),
            limits
                .as_ref()
                .map_or(String::new(), typeset::window)
                .into(),
        ];
        row.extend([(); 3].map(|()| Cell::from("")));
        row.push(Words::strong("not read").into());
        rows.push(row);
    }
    blocks.push(table(
        &[
            ("point", Width::Share(1.0), false),
            ("limits", Width::Content, false),
            ("before", Width::Content, true),
            ("after, cold", Width::Content, true),
            ("after, warm", Width::Content, true),
            ("", Width::Content, false),
        ],
        rows,
    ));
    let within = within_limits(&told);
    if !within.rows.is_empty() {
        telling.plot(&within, "Readings within their limits", blocks);
    }
    let drift = drift(&told);
    if !drift.rows.is_empty() {
        telling.plot(&drift, "How readings moved as the unit warmed up", blocks);
    }
}

fn below(limit: Quantity) -> Window {
    Window {
        low: None,
        high: Some(limit),
    }
}

/// Every point that was read, in the order of the targets; the ripple on it is a
/// row of its own.
fn all(telling: &Telling<'_, '_, '_>) -> Vec<Told> {
    let mut all = Vec::new();
    for target in &telling.job.targets {
        for &point in &target.points {
            let limits = limits_of(telling.case, target);
            all.extend(read(telling, target, point, false, limits));
            let ripple = target.ripple().map(below);
            all.extend(ripple.and_then(|limit| read(telling, target, point, true, Some(limit))));
        }
    }
    all
}

/// What was read of one point; none where nothing was.
fn read<'a>(
    telling: &Telling<'_, '_, 'a>,
    target: &Target<'a>,
    point: Point<'a>,
    is_ripple: bool,
    limits: Option<Window>,
) -> Option<Told> {
    let first_new = telling
        .job
        .happened()
        .find(|(_, entry)| matches!(entry.act, Act::Fitted { .. }))
        .map_or(usize::MAX, |(index, _)| index);
    let mut told = Told {
        name: name(telling, target, point, is_ripple),
        limits,
        before: None,
        cold: None,
        warm: None,
    };
    for reading in readings_of(telling.case, target, point) {
        let property = reading.reading.property;
        let is_of_sort = if is_ripple {
            property == Some(Property::Ripple)
        } else {
            matches!(property, None | Some(Property::Resistance))
        };
        let Some(quantity) = reading.reading.quantity().filter(|_| is_of_sort) else {
            continue;
        };
        let slot = if reading.entry < first_new {
            &mut told.before
        } else if reading.reading.condition == Some(Token::Warm) {
            &mut told.warm
        } else {
            &mut told.cold
        };
        *slot = Some(quantity);
    }
    let is_read = told.before.or(told.cold).or(told.warm).is_some();
    is_read.then_some(told)
}

fn name(
    telling: &Telling<'_, '_, '_>,
    target: &Target<'_>,
    point: Point<'_>,
    is_ripple: bool,
) -> String {
    let ripple = if is_ripple { "ripple of " } else { "" };
    let against = target
        .to
        .map_or(String::new(), |(to, _)| format!(" to {to}"));
    format!("{ripple}{}{against}", telling.case.name_of_point(point))
}

/// Where a reading lies between two limits: -1 at the lower, 1 at the upper one.
fn between(reading: Quantity, low: Quantity, high: Quantity) -> Option<f64> {
    let middle = low
        .number
        .checked_add(high.number)?
        .checked_div(Decimal::TWO)?;
    let half = high
        .number
        .checked_sub(low.number)?
        .checked_div(Decimal::TWO)?;
    reading
        .number
        .checked_sub(middle)?
        .checked_div(half)?
        .to_f64()
}

fn figures(told: &Told, limits: &str) -> String {
    let mut figures: Vec<String> = Vec::new();
    for (reading, when) in [
        (told.before, "before"),
        (told.cold, "cold"),
        (told.warm, "warm"),
    ] {
        if let Some(reading) = reading {
            figures.push(format!("{} {when}", typeset::quantity(reading)));
        }
    }
    if limits.is_empty() {
        figures.join(", ")
    } else {
        format!("{} ({limits})", figures.join(", "))
    }
}

const LEGEND: &[(Sign, &str)] = &[
    (Sign::Square, "before"),
    (Sign::Ring, "after, cold"),
    (Sign::Disc, "after, warm"),
];

fn within_limits(all: &[Told]) -> RowPlot {
    let row = |told: &Told| {
        let window = told.limits?;
        let (low, high) = (window.low?, window.high?);
        let marks: Vec<(f64, Sign)> = [
            (told.before, Sign::Square),
            (told.cold, Sign::Ring),
            (told.warm, Sign::Disc),
        ]
        .into_iter()
        .filter_map(|(reading, sign)| Some((between(reading?, low, high)?, sign)))
        .collect();
        (!marks.is_empty()).then(|| PlotRow {
            name: told.name.clone(),
            figures: figures(told, &typeset::window(&window)),
            marks,
            limits: [Some(-1.0), Some(1.0)],
        })
    };
    RowPlot {
        says: "A row for each reading that has a lower and an upper limit, with broken lines at both: an open square for the reading before the work, an open circle for the one after it, cold, and a full circle for the one after it, warm.".to_owned(),
        legend: LEGEND.to_vec(),
        axis: Axis {
            label: "where the reading lies between its two limits".to_owned(),
            low: -1.6,
            high: 1.6,
            ticks: vec![
                (-1.0, "lower limit".to_owned()),
                (0.0, "middle".to_owned()),
                (1.0, "upper limit".to_owned()),
            ],
        },
        rows: all.iter().filter_map(row).collect(),
    }
}

fn drift(all: &[Told]) -> RowPlot {
    let of_cold = |cold: Quantity, other: Quantity| {
        let share = other
            .number
            .checked_sub(cold.number)?
            .checked_div(cold.number.abs())?;
        share.checked_mul(Decimal::ONE_HUNDRED)?.to_f64()
    };
    let mut most: f64 = 0.5;
    let mut rows = Vec::new();
    for told in all {
        let (Some(cold), Some(warm)) = (told.cold, told.warm) else {
            continue;
        };
        let Some(drift) = of_cold(cold, warm) else {
            continue;
        };
        most = most.max(drift.abs());
        let limit = |end: Option<Quantity>| of_cold(cold, end?);
        let limits = told.limits.map_or([None, None], |window| {
            [limit(window.low), limit(window.high)]
        });
        let sign = if drift > 0.0 { "+" } else { "" };
        rows.push(PlotRow {
            name: told.name.clone(),
            figures: format!(
                "{} cold, {} warm: {sign}{drift:.1}{}%",
                typeset::quantity(cold),
                typeset::quantity(warm),
                typeset::NO_BREAK
            ),
            marks: vec![(0.0, Sign::Ring), (drift, Sign::Disc)],
            limits,
        });
    }
    // A limit far off would squeeze the drift; one that lies outside is left out.
    let end = 1.3 * most;
    for row in &mut rows {
        for limit in &mut row.limits {
            *limit = limit.filter(|limit| limit.abs() <= end);
        }
    }
    RowPlot {
        says: "A row for each reading taken cold and warm: an open circle for the cold one and a full circle for how far the warm one is from it, in per cent, with a broken line at each limit that is near.".to_owned(),
        legend: LEGEND[1..].to_vec(),
        axis: Axis {
            label: "change from cold to warm, % of the cold reading; broken lines: limits".to_owned(),
            low: -end,
            high: end,
            ticks: round_ticks(-end, end, 8)
                .into_iter()
                .map(|tick| {
                    let shown = format!("{tick:.2}");
                    let shown = shown.trim_end_matches('0').trim_end_matches('.');
                    (tick, if shown == "-0" { "0".to_owned() } else { shown.to_owned() })
                })
                .collect(),
        },
        rows,
    }
}
