//! What is said beside a step that can hurt. *Common practice, no source.* The
//! codes of the place, and the people they allow, have the last word; none of
//! these sentences calls anything safe.

use crate::meaning::{Case, Job, PartId, Step};
use crate::stage::Stage;
use retin_syntax::tables::{Property, StepVerb};

/// For a step on what is connected to the mains.
pub const MAINS: &str = "mains kills: pull the plug and keep it in sight, empty what holds a charge, and work only as the local codes allow and by whom they allow";
/// For a step that empties capacitors.
pub const STORED_CHARGE: &str = "stored charge kills: discharge through a resistor, measure that the voltage is gone, wait, and measure again";
/// For a step under power.
pub const POWER: &str = "power can kill and burn: limit the current, keep one hand away and others out of reach, stand ready to switch off, and follow the local codes";
/// For a step with a solvent.
pub const SOLVENT: &str = "solvents burn and poison: open a window, keep them from the iron and from everything under power, and wear gloves";
/// For a step with hot solder.
pub const HOT_LEAD: &str = "old solder holds lead and hot solder burns: shield the eyes, draw the fumes off, and wash your hands before you eat";

/// The usual cautions for a step, most grave first.
pub fn cautions(case: &Case<'_>, step: &Step<'_>) -> Vec<&'static str> {
    let mut cautions = Vec::new();
    if step.verb == StepVerb::Discharge {
        cautions.push(STORED_CHARGE);
    }
    if is_under_power(step) {
        cautions.push(POWER);
    }
    if opens_mains(case, step) {
        cautions.push(MAINS);
    }
    if fits_chips(case, step) {
        cautions.push(CHIPS);
    }
    if step.verb == StepVerb::Clean && !step.with.is_empty() {
        cautions.push(SOLVENT);
    }
    if matches!(
        step.verb,
        StepVerb::Remove | StepVerb::Repair | StepVerb::Fit | StepVerb::Solder
    ) {
        cautions.push(HOT_LEAD);
    }
    cautions
}

/// Whether a step puts chips into sockets.
fn fits_chips(case: &Case<'_>, step: &Step<'_>) -> bool {
    let mut places = step.about.places.iter();
    step.verb == StepVerb::Fit && places.any(|place| case.is_socketed(*place))
}

/// Whether a step is done, or may be done, with the unit under power.
fn is_under_power(step: &Step<'_>) -> bool {
    let is_off = step.condition == Some(retin_syntax::Token::Unpowered);
    let is_powered = matches!(
        step.verb,
        StepVerb::Power | StepVerb::Adjust | StepVerb::Test
    );
    is_powered && !is_off
}

/// For parts that are ordered for the mains side.
pub const MAINS_PARTS: &str =
    "parts at the mains need the class and the approvals that the local codes ask for";
/// For a chip that goes into its socket after the unit had power.
pub const CHIPS: &str = "pull the plug and empty the supply before a chip goes in: stored charge kills, and spares no chip";
/// For a unit that goes back to its owner.
pub const HAND_OVER: &str = "mains kills: whether the unit may go back, and who has to test its earth and its insulation first, the local codes say";

/// The usual cautions for the work behind a gate, most grave first.
pub fn of_gate(case: &Case<'_>, job: &Job<'_>, stage: Stage) -> Vec<&'static str> {
    let mains = has_mains(case).then_some(MAINS);
    let cleans = |step: &Step<'_>| step.verb == StepVerb::Clean && !step.with.is_empty();
    let solvent = job.steps.iter().any(cleans).then_some(SOLVENT);
    let (own, others): (&[&'static str], [Option<&'static str>; 2]) = match stage {
        Stage::List => (&[], [None, None]),
        Stage::Order => (&[], [has_mains(case).then_some(MAINS_PARTS), None]),
        Stage::Strip => (&[STORED_CHARGE, HOT_LEAD], [mains, solvent]),
        Stage::Fit => (&[HOT_LEAD], [mains, solvent]),
        Stage::Power => (&[POWER], [mains, None]),
        Stage::Chips => (&[CHIPS], [mains, None]),
        Stage::Close => (&[], [has_mains(case).then_some(HAND_OVER), None]),
    };
    let graveness = |caution: &&'static str| match *caution {
        HOT_LEAD => 2,
        SOLVENT => 1,
        _ => 0,
    };
    let mut all: Vec<&'static str> = own
        .iter()
        .copied()
        .chain(others.into_iter().flatten())
        .collect();
    all.sort_by_key(graveness);
    all
}

/// Whether the unit is known to be connected to the mains.
pub fn has_mains(case: &Case<'_>) -> bool {
    let is_stated = case
        .model
        .as_ref()
        .is_some_and(|model| model.facts.has(Property::Mains));
    is_stated || (0..case.parts.len() as u32).any(|part| is_at_mains(case, PartId(part)))
}

fn is_at_mains(case: &Case<'_>, part: PartId) -> bool {
    let part = case.part(part);
    part.facts.has(Property::MainsPlace)
        || part
            .kind
            .is_some_and(|kind| kind.token() == retin_syntax::Token::MainsCapacitor)
}

/// Whether a step works on a place at the mains, or on a board that has one.
fn opens_mains(case: &Case<'_>, step: &Step<'_>) -> bool {
    let is_at_mains = |part| is_at_mains(case, part);
    let about = &step.about;
    let whole = about.boards.iter().copied().chain(
        about
            .links
            .iter()
            .flat_map(|link| case.link(*link).boards.iter().copied()),
    );
    about.places.iter().any(|place| is_at_mains(place.part))
        || whole.map(|(board, _)| board).any(|board| {
            case.board(board)
                .parts
                .iter()
                .any(|part| is_at_mains(*part))
        })
}
