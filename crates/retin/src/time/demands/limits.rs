//! What a reading of a net may be.

use super::Ask;
use crate::meaning::{NetId, Window};
use crate::sources::Origin;
use retin_syntax::value::{Dimension, Quantity};

/// What a reading of a net against ground may be, and where that is written: by its target, else
/// by its rail's line where that is allowed to say so.
pub(super) fn limits_at(
    ask: &Ask<'_, '_>,
    net: NetId,
    dimension: Dimension,
    by_rail: bool,
) -> Option<(Window, Origin)> {
    let nets = &ask.case.nets;
    let is_of = |limit: &Quantity| limit.dimension == dimension;
    let by_target = ask.job.targets.iter().find_map(|target| {
        let is_here = target
            .net
            .is_some_and(|of_target| nets.common(of_target) == nets.common(net));
        let window = target.window().filter(|window| {
            let limits = [window.low, window.high];
            limits.iter().flatten().all(is_of)
        });
        let is_here = is_here && target.is_against_ground(ask.case);
        Some((window.filter(|_| is_here)?, target.origin))
    });
    by_target.or_else(|| {
        let known = ask.case.potentials.of(ask.case, net).filter(|_| by_rail)?;
        let quantity = |number| Some(Quantity::new(number, dimension));
        let window = Window {
            low: quantity(known.low),
            high: quantity(known.high),
        };
        Some((window, known.origin))
    })
}
