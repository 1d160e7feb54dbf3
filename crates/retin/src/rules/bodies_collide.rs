//! New bodies that overlap their neighbours or hang over the board's edge.

use super::{Judge, Rule};
use crate::check::{OnBoard, Share};
use crate::finding::{Fault, Verdict};
use crate::meaning::{BoardId, Case, PartId, PlaceId};
use crate::outline::Outline;
use crate::replacement::Replacement;
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::tables::{PlanVerb, Property};
use retin_syntax::value::{Decimal, Dimension, Quantity};
use rust_decimal::prelude::ToPrimitive;
use rustc_hash::FxHashSet;
use std::cmp::Reverse;

pub(super) const RULE: Rule = Rule {
    name: "bodies-collide",
    at: Stage::Order,
    summary: "new bodies that overlap one another, an old neighbour or the board's edge, where positions are known",
    page: include_str!("bodies_collide.md"),
    judge: Judge::Board(judge),
};

/// Most neighbours a body is told to touch.
const MOST_NEIGHBOURS: usize = 3;

/// A body at its position, in micrometres: whole numbers compare fast and exactly.
struct Disc {
    part: PartId,
    /// The copies of the board on which this body is there.
    copies: Vec<u16>,
    x: i64,
    y: i64,
    radius: i64,
    /// Radius of the old body at the place.
    old_radius: Option<i64>,
    is_solder_side: bool,
    /// What the plan puts there; none where the old body stays.
    new: Option<NewBody>,
}

struct NewBody {
    called: String,
    origin: Origin,
}

impl Disc {
    fn left(&self) -> i64 {
        self.x.saturating_sub(self.radius)
    }

    fn right(&self) -> i64 {
        self.x.saturating_add(self.radius)
    }

    /// The part that is named first: a new one, of two new ones the one that
    /// grew more, of two that grew alike the first of the sheet.
    fn is_rather_to_blame_than(&self, other: &Disc) -> bool {
        let growth = |disc: &Disc| disc.radius - disc.old_radius.unwrap_or(disc.radius);
        let rank = |disc: &Disc| (disc.new.is_some(), growth(disc), Reverse(disc.part));
        rank(self) > rank(other)
    }

    /// How far two discs of these radii at these places overlap; none where they do not.
    fn overlap(&self, other: &Disc, radii: i64) -> Option<i64> {
        let (across, along) = (i128::from(self.x - other.x), i128::from(self.y - other.y));
        let squared = across * across + along * along;
        let radii = i128::from(radii);
        (squared < radii * radii).then(|| radii as i64 - squared.isqrt() as i64)
    }
}

/// Farthest position and largest body that are reckoned with, in mm.
const FARTHEST: i64 = 100_000;

fn micrometres(mm: Decimal) -> Option<i64> {
    // Nearly every length is written to the micrometre at most.
    if let (Ok(figures), Some(noughts)) =
        (i32::try_from(mm.mantissa()), 3_u32.checked_sub(mm.scale()))
    {
        let micrometres = i64::from(figures) * 10_i64.pow(noughts);
        return (micrometres.abs() <= FARTHEST * 1_000).then_some(micrometres);
    }
    (mm.abs() <= Decimal::from(FARTHEST))
        .then(|| (mm * Decimal::ONE_THOUSAND).to_i64())
        .flatten()
}

fn shown(micrometres: i64) -> Quantity {
    Quantity::new(
        Decimal::new(micrometres / 10, 2).normalize(),
        Dimension::Length,
    )
}

fn judge(on: &OnBoard<'_, '_, '_>, share: &mut Share) {
    let (case, board) = (on.case, on.board);
    if case.board(board).is_wiring {
        return;
    }
    let mut discs: Vec<Disc> = Vec::new();
    let mut replaced: FxHashSet<PlaceId> = FxHashSet::default();
    for replacement in on.new_parts() {
        let places: Vec<PlaceId> = replacement.places().collect();
        // Where nobody measured positions, that is one thing to do, not hundreds.
        if replaced.is_empty() && !has_positions(case, board) {
            let name = case.board(board).name;
            let lacks = format!("the positions of the parts on `{name}`, as in `at 30,40`");
            share.answer(&places[..1], Verdict::lacks(lacks));
            return;
        }
        replaced.extend(&places);
        match new_disc(replacement) {
            Ok(disc) => discs.push(disc),
            Err(fact) => share.answer(&places, Verdict::lacks(fact)),
        }
    }
    if !discs.is_empty() {
        discs.extend(old_discs(case, board, &replaced));
        one_board(case, board, discs, share);
    }
}

fn has_positions(case: &Case<'_>, board: BoardId) -> bool {
    let mut parts = case.board(board).parts.iter();
    parts.any(|part| case.part(*part).facts.has(Property::At))
}

/// The circle that a new body covers whichever way it is turned.
fn new_disc(replacement: &Replacement<'_, '_>) -> Result<Disc, &'static str> {
    let (old, new) = (&replacement.old, &replacement.new);
    let (x, y) = old_position(replacement.case, replacement.place)
        .ok_or("the place's position, `at 30,40`")?;
    if new.second.is_some() {
        return Err("the body of two parts together");
    }
    let body = new.facts.body().ok_or("the new part's body size")?;
    let style = new
        .facts
        .choice(Property::Style)
        .or_else(|| old.choice(Property::Style));
    let outline = Outline::of(body, style, new.facts.millimetres(Property::Pitch));
    let radius =
        micrometres(outline.least_circle()).ok_or("a body size within reach of arithmetic")? / 2;
    Ok(Disc {
        part: replacement.place.part,
        copies: replacement.copies.clone(),
        x,
        y,
        radius,
        old_radius: old_radius(replacement.case, replacement.place),
        is_solder_side: old.get(Property::Side).is_some(),
        new: Some(NewBody {
            called: new.called(),
            origin: new.origin,
        }),
    })
}

fn old_position(case: &Case<'_>, place: PlaceId) -> Option<(i64, i64)> {
    let (x, y) = case.part(place.part).facts.point(Property::At)?;
    Some((micrometres(x)?, micrometres(y)?))
}

fn old_radius(case: &Case<'_>, place: PlaceId) -> Option<i64> {
    let old = case.goes_by(place);
    let outline = Outline::of(
        old.body()?,
        old.choice(Property::Style),
        old.millimetres(Property::Pitch),
    );
    Some(micrometres(outline.least_circle())? / 2)
}

/// The bodies that stay on a board.
fn old_discs(case: &Case<'_>, board: BoardId, replaced: &FxHashSet<PlaceId>) -> Vec<Disc> {
    let mut discs = Vec::new();
    for &part in &case.board(board).parts {
        let read = case.part(part);
        if read.facts.has(Property::Unfitted) {
            continue;
        }
        let Some((x, y)) = old_position(case, PlaceId { part, copy: 0 }) else {
            continue;
        };
        let stays = |copy: &u16| {
            let place = PlaceId { part, copy: *copy };
            let is_gone = case.decision(place).is_some_and(|decision| {
                matches!(
                    case.plan_line(decision.line).verb,
                    PlanVerb::Remove | PlanVerb::Absent
                )
            });
            !is_gone && !replaced.contains(&place)
        };
        let copies: Vec<u16> = (0..case.board(board).copies.len() as u16)
            .filter(stays)
            .collect();
        let Some(first) = copies.first() else {
            continue;
        };
        if let Some(radius) = old_radius(case, PlaceId { part, copy: *first }) {
            let is_solder_side = read.facts.has(Property::Side);
            discs.push(Disc {
                part,
                copies,
                x,
                y,
                radius,
                old_radius: Some(radius),
                is_solder_side,
                new: None,
            });
        }
    }
    discs
}

/// Sweeps over a board from left to right: only bodies that share a strip are compared.
fn one_board(case: &Case<'_>, board: BoardId, mut discs: Vec<Disc>, share: &mut Share) {
    discs.sort_by_key(|disc| (disc.left(), disc.part, disc.copies.first().copied()));
    let mut touched = vec![0usize; discs.len()];
    let mut is_vague = vec![false; discs.len()];
    let mut pairs: Vec<(usize, usize, i64)> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for index in 0..discs.len() {
        let disc = &discs[index];
        open.retain(|other| discs[*other].right() > disc.left());
        for &other in &open {
            let neighbour = &discs[other];
            if disc.part == neighbour.part
                || disc.is_solder_side != neighbour.is_solder_side
                || (disc.new.is_none() && neighbour.new.is_none())
                || touched[index].max(touched[other]) >= MOST_NEIGHBOURS
            {
                continue;
            }
            let Some(overlap) = disc.overlap(neighbour, disc.radius + neighbour.radius) else {
                continue;
            };
            // Old bodies that overlap as much on paper mean that the positions are rough.
            let old = disc
                .old_radius
                .zip(neighbour.old_radius)
                .and_then(|(one, two)| disc.overlap(neighbour, one + two));
            if old.is_some_and(|old| old >= overlap) {
                is_vague[index] = true;
                is_vague[other] = true;
                continue;
            }
            if disc
                .copies
                .iter()
                .any(|copy| neighbour.copies.contains(copy))
            {
                touched[index] += 1;
                touched[other] += 1;
                pairs.push((index, other, overlap));
            }
        }
        open.push(index);
    }
    for (one, other, overlap) in pairs {
        let (one, other) = (&discs[one], &discs[other]);
        let (subject, neighbour) = if one.is_rather_to_blame_than(other) {
            (one, other)
        } else {
            (other, one)
        };
        collide(case, subject, neighbour, overlap, share);
    }
    let is_alone = discs.len() < 2;
    for (index, disc) in discs
        .iter()
        .enumerate()
        .filter(|(_, disc)| disc.new.is_some())
    {
        let places: Vec<PlaceId> = places(disc, |_| true);
        if is_off(case, board, disc) {
            let lacks = "a position that lies on its board";
            share.answer(&places, Verdict::lacks(lacks));
        } else if let Some(fault) = over_the_edge(case, board, disc) {
            share.answer(&places, Verdict::failed(fault));
        } else if is_vague[index] {
            share.answer(
                &places,
                Verdict::lacks("positions exact enough that the old bodies do not overlap"),
            );
        } else if touched[index] == 0 {
            let verdict = if is_alone {
                Verdict::lacks("a neighbour's position and body size")
            } else {
                Verdict::Passed
            };
            share.answer(&places, verdict);
        }
    }
}

fn places(disc: &Disc, wanted: impl Fn(&u16) -> bool) -> Vec<PlaceId> {
    disc.copies
        .iter()
        .filter(|copy| wanted(copy))
        .map(|copy| PlaceId {
            part: disc.part,
            copy: *copy,
        })
        .collect()
}

fn collide(case: &Case<'_>, subject: &Disc, neighbour: &Disc, overlap: i64, share: &mut Share) {
    let Some(new) = &subject.new else { return };
    let beside = case.part(neighbour.part);
    let what = neighbour.new.as_ref().map_or_else(
        || "which stays".to_owned(),
        |new| format!("which becomes {}", new.called),
    );
    let fault = Fault::new(
        new.origin,
        format!(
            "{} at {{place}} and its neighbour {}, {what}, overlap by {}",
            new.called,
            beside.name,
            shown(overlap)
        ),
        "one of them does not go in, or they stand askew and press on one another",
        "choose a narrower body for one of them",
    )
    .with(case.part(subject.part).line, "this place")
    .with(beside.line, "and its neighbour")
    .values(format!("{} by {}", beside.name, shown(overlap)));
    share.answer(
        &places(subject, |copy| neighbour.copies.contains(copy)),
        Verdict::failed(fault),
    );
}

/// Whether the middle of a body is written where its board is not.
fn is_off(case: &Case<'_>, board: BoardId, disc: &Disc) -> bool {
    let at = case.part(disc.part).facts.point(Property::At);
    at.is_some_and(|at| case.board(board).is_off(at))
}

/// A body that hangs over an edge that the old one kept within.
fn over_the_edge(case: &Case<'_>, board: BoardId, disc: &Disc) -> Option<Fault> {
    let (width, depth) = case.board(board).facts.point(Property::Size)?;
    let (width, depth) = (micrometres(width)?, micrometres(depth)?);
    let beyond = |radius: i64| {
        let sides = [
            radius - disc.x,
            disc.x + radius - width,
            radius - disc.y,
            disc.y + radius - depth,
        ];
        sides.into_iter().max().filter(|most| *most > 0)
    };
    let over = beyond(disc.radius)?;
    // Where the old body hung over as well, it was meant to.
    let old = disc.old_radius.and_then(beyond);
    if old.is_some_and(|old| old >= over) {
        return None;
    }
    let new = disc.new.as_ref()?;
    let mut fault = Fault::new(
        new.origin,
        format!(
            "{} at {{place}} hangs over the edge of its board by {}",
            new.called,
            shown(over)
        ),
        "the board does not slide into its guides or its case",
        "choose a narrower body",
    )
    .with(case.part(disc.part).line, "this place")
    .values(format!("edge by {}", shown(over)));
    if let Some(origin) = case.board(board).facts.origin(Property::Size) {
        fault = fault.with(origin, "the board's size");
    }
    Some(fault)
}

#[cfg(test)]
mod tests {
    use crate::check::check;
    use crate::meaning::Case;
    use crate::sources::{SourceFile, Sources};
    use std::sync::Arc;

    #[test]
    fn a_body_off_its_board_is_not_checked() {
        let text = "\
model a \"Receiver\"

board tuner \"Tuner board\"
  size 60 x 40
  electrolytic radial
    C1 10uF 25V 5x11 p2 room 12mm at 400,20
    C2 10uF 25V 5x11 p2 room 12mm at 20,20

shelf main \"Drawers\"
  electrolytic radial
    E-10 10uF 25V 5x11 p2

job 1 \"Receiver serial 5\"
  model a

plan
  replace tuner.C1, tuner.C2 with E-10
";
        let mut sources = Sources::new();
        let root = sources.add(Arc::new(SourceFile::new("job.retin".into(), text.into())));
        let report = check(&Case::build(&sources, root));
        let own = |tally: &&crate::check::Tally| tally.rule == super::RULE.name;
        let tally = report.tallies.iter().find(own).expect("the rule's tally");
        assert_eq!((tally.passed, tally.not_checked), (1, 1));
        assert_eq!(tally.missing[0].fact, "a position that lies on its board");
    }
}
