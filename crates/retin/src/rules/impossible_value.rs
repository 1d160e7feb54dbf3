//! A value that no part of its kind has.

use super::{Judge, Rule, beyond_use, limits};
use crate::check::{Answers, Choices, OnBoard, Share};
use crate::finding::{Edit, Fault, Fix, Verdict};
use crate::meaning::{Board, BoardId, Case, Facts, Part, PartId, PlaceId, Says};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{self, Body, Decimal, Dimension, Quantity, Series, Tolerance, Value};
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;
use std::sync::LazyLock;

pub(super) const RULE: Rule = Rule {
    name: "impossible-value",
    at: Stage::List,
    summary: "a value that no part of its kind has, or that looks like a slip of the prefix; a position off its board",
    page: include_str!("impossible_value.md"),
    judge: Judge::BoardAndUnit(judge, of_shelves),
};

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let case = on.case;
    let board = case.board(on.board);
    let slips = slips_beside_neighbours(case, on.board);
    let mut all: Vec<PlaceId> = Vec::new();
    for &id in &board.parts {
        let part = case.part(id);
        let copies = 0..board.copies.len() as u16;
        all.clear();
        all.extend(copies.map(|copy| PlaceId { part: id, copy }));
        let verdict = verdict(part.kind, &part.facts, "{place}")
            .map(|verdict| match (verdict, slips.get(&id)) {
                (Verdict::Passed, Some(neighbour)) => beside(case, part, case.part(*neighbour)),
                (verdict, _) => verdict,
            })
            .unwrap_or(Verdict::NotApplicable);
        share.answer(&all, verdict);
        if let Some(fault) = off_the_board(board, part) {
            share.answer(&all, Verdict::failed(fault));
        }
        for exception in &part.exceptions {
            let places: Vec<PlaceId> = exception
                .copies
                .iter()
                .map(|copy| PlaceId {
                    part: id,
                    copy: *copy,
                })
                .collect();
            if let Some(verdict) = verdict_of(part.kind, &exception.facts) {
                share.answer(&places, verdict);
            }
        }
        for claim in &part.claims {
            let Says::Facts { facts, kind, .. } = &claim.says else {
                continue;
            };
            if let Some(verdict) = verdict_of(kind.or(part.kind), facts) {
                let places: Vec<PlaceId> = match claim.copy {
                    Some(copy) => vec![PlaceId { part: id, copy }],
                    None => all.clone(),
                };
                share.answer(&places, verdict);
            }
        }
    }
    for (id, _) in case.nets.on(on.board) {
        if let Some(fault) = beyond_use::of_rail(case, id) {
            share.answer(&[], Verdict::failed(fault));
        }
    }
}

/// A position that its board's size does not hold.
fn off_the_board(board: &Board<'_>, part: &Part<'_>) -> Option<Fault> {
    let (x, y) = part
        .facts
        .point(Property::At)
        .filter(|at| board.is_off(*at))?;
    let (width, depth) = board.facts.point(Property::Size)?;
    let [x, y, width, depth] = [x, y, width, depth].map(|mm| mm.normalize());
    let fault = Fault::new(
        part.facts.origin(Property::At)?,
        format!(
            "{{place is}} at {x},{y}, and its board `{}` is {width} by {depth} mm",
            board.name
        ),
        "the map of the board cannot show it, and whether a new body has room there is not checked",
        "measure it again, in mm from the board's lower left corner, and mend the position or the board's size",
    );
    Some(
        fault
            .with(board.facts.origin(Property::Size)?, "the board's size")
            .values(format!("{x},{y} on {width} x {depth}"))
            .question(),
    )
}

fn of_shelves(case: &Case<'_>, _: &Choices<'_, '_, '_>, answers: &mut Answers<'_, '_>) {
    for entry in &case.entries {
        if let Some(verdict) = verdict(entry.kind, &entry.facts, &entry.name) {
            answers.answer(&[], verdict);
        }
    }
}

fn verdict_of(kind: Option<Kind>, facts: &Facts<'_>) -> Option<Verdict> {
    verdict(kind, facts, "{place}")
}

/// Judges one statement; none where it states nothing to judge.
fn verdict(kind: Option<Kind>, facts: &Facts<'_>, who: &str) -> Option<Verdict> {
    let kind = kind?;
    if let Some(fault) = beyond_use::of_part(kind, facts, who) {
        return Some(Verdict::failed(fault));
    }
    let is_capacitor = kind.is_covered_by(Token::Capacitor);
    let value = stated(facts, Property::Value)
        .filter(|(quantity, _)| kind.row().value == Some(quantity.dimension));
    let volts = stated(facts, Property::Volts).filter(|_| is_capacitor);
    if let Some((value, origin)) = value
        && let Some(span) = SPANS.iter().find(|span| span.kind == kind.token())
        && !span.holds(value)
    {
        return Some(Verdict::failed(outside(kind, who, value, origin, span)));
    }
    if let Some((volts, origin)) = volts
        && !RATED.holds(volts)
    {
        return Some(Verdict::failed(
            Fault::new(
                origin,
                format!(
                    "{who} is rated {volts}, and capacitors are rated from {} to {}",
                    RATED.low, RATED.high
                ),
                "every check of its voltage would go by a slip of the pen",
                "read the marking again, and mend the rating",
            )
            .values(volts.to_string()),
        ));
    }
    let (value, origin) = match (value, volts) {
        (Some(value), _) => value,
        (None, Some(_)) => return Some(Verdict::Passed),
        (None, None) => return None,
    };
    if kind.token() == Token::Resistor
        && value.number > Decimal::ZERO
        && value.number < limits::LEAST_USUAL_RESISTANCE
    {
        return Some(Verdict::failed(milli_for_mega(who, value, origin)));
    }
    if let Some(near) = misread_figure(kind, value, facts.tolerance()) {
        return Some(Verdict::failed(
            Fault::new(
                origin,
                format!("{who} is {value} at a tolerance for which no such value is made; the nearest one is {near}"),
                "if a figure was misread, the new part would be off by as much",
                format!("read the marking again; if `{near}` is meant, write that"),
            )
            .values(value.to_string())
            .fix(write(near, origin))
            .question(),
        ));
    }
    Some(Verdict::Passed)
}

fn stated(facts: &Facts<'_>, property: Property) -> Option<(Quantity, Origin)> {
    Some((facts.quantity(property)?, facts.origin(property)?))
}

fn write(quantity: Quantity, origin: Origin) -> Fix {
    Fix {
        title: format!("write `{quantity}`"),
        edits: vec![Edit {
            origin,
            text: quantity.to_string(),
        }],
    }
}

/// A span of values with its ends read.
struct Span {
    kind: Token,
    low: Quantity,
    high: Quantity,
}

impl Span {
    fn holds(&self, quantity: Quantity) -> bool {
        let size = quantity.number.abs();
        self.low.dimension != quantity.dimension
            || (self.low.number <= size && size <= self.high.number)
    }
}

static SPANS: LazyLock<Vec<Span>> = LazyLock::new(|| {
    let read = |(kind, low, high): &(Token, &str, &str)| {
        Some(Span {
            kind: *kind,
            low: quantity(low)?,
            high: quantity(high)?,
        })
    };
    limits::VALUES_MADE.iter().filter_map(read).collect()
});

static RATED: LazyLock<Span> = LazyLock::new(|| {
    let (low, high) = limits::RATED_VOLTAGES_MADE;
    let volts = |text| quantity(text).unwrap_or(Quantity::new(Decimal::ZERO, Dimension::Voltage));
    Span {
        kind: Token::Capacitor,
        low: volts(low),
        high: volts(high),
    }
});

fn quantity(text: &str) -> Option<Quantity> {
    match value::read(text) {
        Ok(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}

fn outside(kind: Kind, who: &str, value: Quantity, origin: Origin, span: &Span) -> Fault {
    let meant = prefix_slip(value, span);
    let remedy = match meant {
        Some(meant) => format!("read the marking again; if `{meant}` is meant, write that"),
        None => "read the marking again, and mend the value or the kind".into(),
    };
    let fault = Fault::new(
        origin,
        format!(
            "{who} is {} of {value}, and these are made from {} to {}",
            kind.with_article(),
            span.low,
            span.high
        ),
        "a part ordered by this value does not exist, or is not the one that belongs there",
        remedy,
    )
    .values(value.to_string());
    match meant {
        Some(meant) => fault.fix(write(meant, origin)),
        None => fault,
    }
}

/// The value with the prefix that was likeliest meant, where it lies within the span.
fn prefix_slip(value: Quantity, span: &Span) -> Option<Quantity> {
    let steps: [i32; 4] = match (value.number > span.high.number, value.printed_unit()) {
        // A whole farad is a microfarad without its prefix.
        (true, "F") => [-6, -3, -9, -12],
        (true, _) => [-3, -6, -9, -12],
        (false, _) => [3, 6, 9, 12],
    };
    steps.into_iter().find_map(|step| {
        let factor = Decimal::from(10_u64.pow(step.unsigned_abs()));
        let number = if step < 0 {
            value.number.checked_div(factor)?
        } else {
            value.number.checked_mul(factor)?
        };
        let meant = Quantity::new(number.normalize(), value.dimension);
        span.holds(meant).then_some(meant)
    })
}

fn milli_for_mega(who: &str, value: Quantity, origin: Origin) -> Fault {
    let mega = value
        .checked_mul(Decimal::from(1_000_000_000))
        .map(|mega| Quantity::new(mega.number.normalize(), mega.dimension));
    let fault = Fault::new(
        origin,
        format!("{who} is a resistor of {value}, less than a finger's length of wire"),
        "if mega was meant and milli is written, the value is wrong by nine noughts",
        mega.map_or_else(
            || "read the marking again".into(),
            |mega| format!("if `{mega}` is meant, write that"),
        ),
    )
    .values(value.to_string())
    .question();
    match mega {
        Some(mega) => fault.fix(write(mega, origin)),
        None => fault,
    }
}

/// The nearest preferred value, where the one written is very likely misread:
/// three or more figures that are in no series, on a part of a coarse tolerance.
/// Two figures and round ones were always made (8, 25, 50, 125, 250).
fn misread_figure(kind: Kind, value: Quantity, tolerance: Option<Tolerance>) -> Option<Quantity> {
    let is_series_kind = kind.is_covered_by(Token::Capacitor) || kind.token() == Token::Resistor;
    let Some(Tolerance::Relative { minus, plus }) = tolerance else {
        return None;
    };
    if !is_series_kind
        || value.number <= Decimal::ZERO
        || minus.min(plus) < limits::COARSE_TOLERANCE
    {
        return None;
    }
    let number = value.number.normalize();
    if number.mantissa() < 100 {
        return None;
    }
    let figures = number.mantissa().to_string();
    let figures = figures.trim_end_matches('0');
    if figures.len() < 3 || figures.ends_with('5') || Series::coarsest_with(value).is_some() {
        return None;
    }
    Series::E24.nearest(value)
}

/// What makes two parts of a board the same article but for their value.
type Article = (Kind, Decimal, Body, Option<Decimal>);

/// Parts a thousand times off the value of two or more neighbours that are of
/// the same kind, rating and size, with one of these neighbours.
fn slips_beside_neighbours(case: &Case<'_>, board: BoardId) -> FxHashMap<PartId, PartId> {
    let parts = || {
        case.board(board)
            .parts
            .iter()
            .map(|id| (*id, case.part(*id)))
    };
    // Where the values of a board span no such factor, there is nothing to look for.
    let mut spans: FxHashMap<Kind, (Decimal, Decimal)> = FxHashMap::default();
    for (_, part) in parts() {
        if let (Some(kind), Some(value)) = (part.kind, part.facts.quantity(Property::Value)) {
            let number = value.number;
            let span = spans.entry(kind).or_insert((number, number));
            *span = (span.0.min(number), span.1.max(number));
        }
    }
    let is_wide = |part: &Part<'_>| {
        let span = part.kind.and_then(|kind| spans.get(&kind));
        span.is_some_and(|(least, most)| {
            let far = least.checked_mul(Decimal::ONE_THOUSAND);
            far.is_none_or(|far| far <= *most)
        })
    };
    let mut articles: FxHashMap<Article, Vec<(PartId, Decimal)>> = FxHashMap::default();
    for (id, part) in parts().filter(|(_, part)| is_wide(part)) {
        if let Some((article, value)) = article(part) {
            articles.entry(article).or_default().push((id, value));
        }
    }
    let mut slips = FxHashMap::default();
    for parts in articles.into_values().filter(|parts| parts.len() > 2) {
        let mut by_value: BTreeMap<Decimal, Vec<PartId>> = BTreeMap::new();
        for (id, value) in parts {
            by_value.entry(value).or_default().push(id);
        }
        for (value, alone) in &by_value {
            let [id] = alone.as_slice() else { continue };
            let above = value.checked_mul(Decimal::ONE_THOUSAND);
            let below = value.checked_div(Decimal::ONE_THOUSAND);
            let mut neighbours: Vec<PartId> = [above, below]
                .into_iter()
                .flatten()
                .filter_map(|value| by_value.get(&value.normalize()))
                .flatten()
                .copied()
                .collect();
            neighbours.sort_unstable();
            if let [first, _, ..] = neighbours[..] {
                slips.insert(*id, first);
            }
        }
    }
    slips
}

/// A capacitor's article, where rating and body are known. Ceramics of one body
/// span a factor of a thousand and more.
fn article(part: &Part<'_>) -> Option<(Article, Decimal)> {
    let kind = part
        .kind
        .filter(|kind| kind.is_covered_by(Token::Capacitor) && kind.token() != Token::Ceramic)?;
    let volts = part.facts.quantity(Property::Volts)?;
    let body = part.facts.body()?;
    let value = part.facts.quantity(Property::Value)?;
    let pitch = part.facts.millimetres(Property::Pitch);
    Some((
        (
            kind,
            volts.number.normalize(),
            body,
            pitch.map(|pitch| pitch.normalize()),
        ),
        value.number.normalize(),
    ))
}

fn beside(case: &Case<'_>, part: &Part<'_>, neighbour: &Part<'_>) -> Verdict {
    let (Some((value, origin)), Some((theirs, their_origin))) = (
        stated(&part.facts, Property::Value),
        stated(&neighbour.facts, Property::Value),
    ) else {
        return Verdict::Passed;
    };
    let board = case.board(part.board).name;
    Verdict::failed(
        Fault::new(
            origin,
            format!("{{place is}} {value}, and the neighbours on `{board}` with the same rating and size are {theirs}"),
            "that is a factor of a thousand, which one size of body does not span",
            format!("read the marking again; if `{theirs}` is meant, write that"),
        )
        .with(their_origin, "a neighbour of the same size")
        .values(value.to_string())
        .fix(write(theirs, origin))
        .question(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_span_reads_and_is_of_its_kinds_dimension() {
        assert_eq!(SPANS.len(), limits::VALUES_MADE.len());
        for span in SPANS.iter() {
            let kind = Kind::of(span.kind).expect("a kind");
            assert_eq!(
                kind.row().value,
                Some(span.low.dimension),
                "{}",
                kind.word()
            );
            assert_eq!(
                kind.row().value,
                Some(span.high.dimension),
                "{}",
                kind.word()
            );
            assert!(span.low.number < span.high.number, "{}", kind.word());
        }
        for kind in Kind::all().filter(|kind| kind.row().value.is_some()) {
            assert!(
                SPANS.iter().any(|span| span.kind == kind.token()),
                "{} has no span",
                kind.word()
            );
        }
        assert!(RATED.low.number < RATED.high.number);
    }

    #[test]
    fn traditional_values_are_in_order() {
        for text in [
            "8uF", "16uF", "25uF", "32uF", "40uF", "50uF", "250uF", "500uF", "64uF", "125uF",
            "1250uF", "5000uF",
        ] {
            let kind = Kind::of(Token::Electrolytic).expect("a kind");
            let value = quantity(text).expect("a quantity");
            let tolerance = Tolerance::relative(Decimal::new(2, 1));
            assert_eq!(misread_figure(kind, value, Some(tolerance)), None, "{text}");
        }
    }
}
