//! The order of work that every bench keeps, whether or not the steps say so:
//! what comes before what, and why. *Common practice, no source.*

use crate::meaning::{BoardCopy, BoardId, Case, NetId, PlaceId, Step};
use crate::time::minutes::places_worked_on;
use crate::time::working_order::{NewParts, heights};
use retin_syntax::tables::{Property, StepVerb};
use retin_syntax::token::Token;
use retin_syntax::value::Decimal;
use rustc_hash::FxHashSet;

/// What two steps have to have in common for one to come before the other.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ground {
    /// A place.
    Place,
    /// A copy of a board.
    Board,
    /// Nothing but the unit.
    Unit,
}

/// Which of several earlier steps a later one waits for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Which {
    /// All of them.
    All,
    /// The first one: pictures may be taken again later.
    First,
}

/// One thing that comes before another.
#[derive(Debug)]
pub struct Precedence {
    /// What comes first, as the beginning of a sentence: "pictures".
    pub earlier: &'static str,
    /// What waits for it: "the first cut".
    pub later: &'static str,
    /// Why, as the end of a sentence.
    pub because: &'static str,
    /// What both have to share.
    pub ground: Ground,
    /// Which of the earlier steps are waited for.
    pub which: Which,
    /// Whether a step is one that comes first.
    pub is_earlier: fn(&Work<'_, '_>) -> bool,
    /// Whether a step is one that waits.
    pub is_later: fn(&Work<'_, '_>) -> bool,
    /// Whether this one waits for that one, beyond the two tests before; none
    /// where these say it all.
    pub waits: Option<fn(&Work<'_, '_>, &Work<'_, '_>) -> bool>,
}

/// A step, and what the table asks of it.
#[derive(Debug)]
pub struct Work<'c, 'a> {
    /// The step.
    pub step: &'c Step<'a>,
    /// The places it works on, sorted.
    pub places: Vec<PlaceId>,
    /// The copies of boards it touches, sorted.
    pub boards: Vec<BoardCopy>,
    /// The least and the most height of what it fits, in mm, where every body is known.
    pub heights: Option<(Decimal, Decimal)>,
    is_supply: bool,
    has_other_boards: bool,
    joins_supply: bool,
    /// It closes a link between two boards, and not only one to the wiring.
    joins_boards: bool,
    is_batteries: bool,
    is_panel_parts: bool,
    is_socketed: bool,
    gets_sockets: bool,
    has_power_device: bool,
    /// The board it works on one copy of, where it has several.
    one_of: Option<BoardCopy>,
    /// The board it works on several copies of, and on nothing else.
    copies_of: Option<BoardId>,
}

impl<'c, 'a> Work<'c, 'a> {
    /// Looks at one step.
    pub fn of(
        case: &'c Case<'a>,
        new: &NewParts<'_, '_>,
        supplies: &FxHashSet<BoardId>,
        step: &'c Step<'a>,
    ) -> Self {
        let places = places_worked_on(case, step);
        let boards = step.about.touched(case);
        let all = |test: &dyn Fn(PlaceId) -> bool| {
            !places.is_empty() && places.iter().all(|place| test(*place))
        };
        let covered = |place: PlaceId, words: &[Token]| {
            case.part(place.part)
                .kind
                .is_some_and(|kind| words.iter().any(|word| kind.is_covered_by(*word)))
        };
        let is_printed = |copy: &&BoardCopy| !case.board(copy.0).is_wiring;
        let printed: Vec<BoardCopy> = boards.iter().filter(is_printed).copied().collect();
        let is_supply = |copy: &BoardCopy| supplies.contains(&copy.0);
        let joins_supply = step.about.links.iter().any(|link| {
            let ends = &case.link(*link).boards;
            let others = ends.iter().filter(is_printed);
            ends.iter().any(is_supply) && others.filter(|copy| !is_supply(copy)).count() > 0
        });
        let joins_boards = step.about.links.iter().any(|link| {
            let ends = &case.link(*link).boards;
            ends.iter().filter(is_printed).count() > 1
        });
        let many = |copy: &BoardCopy| case.board(copy.0).copies.len() > 1;
        let sibling_heights = (step.verb == StepVerb::Fit && !places.is_empty())
            .then(|| {
                places.iter().try_fold(None, |known, place| {
                    if is_left_for_later(case, *place) {
                        return None;
                    }
                    let (least, most) = heights(case, new, step.verb, *place)?;
                    let (low, high) = known.unwrap_or((least, most));
                    Some(Some((low.min(least), high.max(most))))
                })
            })
            .flatten()
            .flatten();
        Work {
            step,
            is_supply: !printed.is_empty() && printed.iter().all(is_supply),
            has_other_boards: printed.iter().any(|copy| !is_supply(copy)),
            joins_supply,
            joins_boards,
            is_batteries: all(&|place| covered(place, &[Token::Battery])),
            is_panel_parts: all(&|place| is_panel_part(case, place)),
            is_socketed: all(&|place| case.is_socketed(place)),
            gets_sockets: places
                .iter()
                .any(|place| case.gets_socket(*place) || covered(*place, &[Token::Socket])),
            has_power_device: places.iter().any(|place| is_power_device(case, *place)),
            one_of: match boards[..] {
                [copy] if many(&copy) => Some(copy),
                _ => None,
            },
            copies_of: match boards.first() {
                Some(first) if many(first) && boards.iter().all(|copy| copy.0 == first.0) => {
                    Some(first.0)
                }
                _ => None,
            },
            heights: sibling_heights,
            places,
            boards,
        }
    }

    fn does(&self, verbs: &[StepVerb]) -> bool {
        verbs.contains(&self.step.verb)
    }

    fn is(&self, condition: Token) -> bool {
        self.step.condition == Some(condition)
    }

    fn is_with(&self, means: &str) -> bool {
        self.step.with.contains(&means)
    }
}

/// Parts with a nut or screws at the panel.
fn is_panel_part(case: &Case<'_>, place: PlaceId) -> bool {
    case.part(place.part).kind.is_some_and(|kind| {
        matches!(
            kind.token(),
            Token::Pot | Token::Fader | Token::Switch | Token::Connector
        )
    })
}

/// What goes in after the soldered parts for a reason of its own, however low it
/// is: chips in sockets, fuses in holders, parts of the panel.
fn is_left_for_later(case: &Case<'_>, place: PlaceId) -> bool {
    let clips_in = case
        .part(place.part)
        .kind
        .is_some_and(|kind| matches!(kind.token(), Token::Fuse | Token::Valve | Token::Lamp));
    clips_in || case.is_socketed(place) || is_panel_part(case, place)
}

/// Packages with a tab or a can that lies against metal.
const POWER_PACKAGES: &[&str] = &["TO-220", "TO-126", "TO-3"];

fn is_power_device(case: &Case<'_>, place: PlaceId) -> bool {
    let old = case.goes_by(place);
    let of_type = || {
        let device = case.library.device(old.word(Property::Device)?)?;
        device.facts.word(Property::Package)
    };
    old.word(Property::Package)
        .or_else(of_type)
        .is_some_and(|package| POWER_PACKAGES.contains(&package))
}

/// Boards that hold the supply: a bridge rectifier, a reservoir or a regulator is on them.
pub fn supplies(case: &Case<'_>) -> FxHashSet<BoardId> {
    let is_of_supply = |part: &crate::meaning::Part<'_>| {
        part.facts.is(Property::Role, Token::Reservoir)
            || part.kind.is_some_and(|kind| {
                matches!(
                    kind.token(),
                    Token::Bridge | Token::Regulator | Token::NegativeRegulator
                )
            })
    };
    let parts = case.parts.iter();
    let boards = parts
        .filter(|part| is_of_supply(part))
        .map(|part| part.board);
    boards.collect()
}

/// The rails that are read before first power: those of the supply, or all where
/// no board is known to be the supply; each that links join once.
pub fn supply_rails(case: &Case<'_>) -> Vec<NetId> {
    let nets = &case.nets;
    let supplies = supplies(case);
    let is_of_supply = |board| supplies.is_empty() || supplies.contains(&board);
    let mut seen: FxHashSet<NetId> = FxHashSet::default();
    let is_read = |id: NetId| {
        nets.net(id)
            .rail
            .as_ref()
            .is_some_and(|rail| rail.facts.get(Property::AcVolts).is_none())
            && !case.is_ground(id)
    };
    nets.iter()
        .filter(|(id, net)| is_of_supply(net.board) && is_read(*id))
        .filter(|(id, _)| seen.insert(nets.common(*id)))
        .map(|(id, _)| id)
        .collect()
}

use StepVerb as V;

/// Everything that comes before something else. An earlier row goes before a
/// later one where the two would contradict each other.
pub const PRECEDENCES: &[Precedence] = &[
    Precedence {
        earlier: "emptying what holds a charge",
        later: "work with the hands in it",
        because: "a reservoir keeps its charge long after the plug is out",
        ground: Ground::Board,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Discharge]),
        is_later: |work| work.does(&[V::Remove, V::Clean, V::Repair, V::Fit, V::Solder]),
        waits: None,
    },
    Precedence {
        earlier: "taking pictures",
        later: "the first cut",
        because: "there is no second chance to see how it was",
        ground: Ground::Board,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Photograph]),
        is_later: |work| work.does(&[V::Remove]),
        waits: None,
    },
    Precedence {
        earlier: "taking out batteries and neutralising what leaked",
        later: "all other work on the board",
        because: "corrosion goes on while you work",
        ground: Ground::Board,
        which: Which::All,
        is_earlier: |work| {
            work.does(&[V::Remove]) && work.is_batteries
                || work.does(&[V::Clean]) && work.is_with("vinegar")
        },
        is_later: |work| {
            let is_other_removal = work.does(&[V::Remove]) && !work.is_batteries;
            let is_other_cleaning = work.does(&[V::Clean]) && !work.is_with("vinegar");
            is_other_removal
                || is_other_cleaning
                || work.does(&[V::Repair, V::Fit, V::Solder, V::Power, V::Adjust, V::Test])
        },
        waits: None,
    },
    Precedence {
        earlier: "taking the old part out",
        later: "fitting the new one",
        because: "its place has to be empty",
        ground: Ground::Place,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Remove]),
        is_later: |work| work.does(&[V::Fit]),
        waits: None,
    },
    Precedence {
        earlier: "cleaning",
        later: "fitting new parts",
        because: "residue under a new part stays there, and hides breaks",
        ground: Ground::Board,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Clean]),
        is_later: |work| work.does(&[V::Fit]),
        waits: None,
    },
    Precedence {
        earlier: "mending a pad or a trace",
        later: "fitting the part that covers it",
        because: "below the part nobody reaches it any more",
        ground: Ground::Place,
        which: Which::All,
        is_earlier: |work| work.does(&[V::Repair]),
        is_later: |work| work.does(&[V::Fit]),
        waits: None,
    },
    Precedence {
        earlier: "mending barrels and soldering the links on the board",
        later: "fitting sockets",
        because: "a socket's body hides the pads on top",
        ground: Ground::Board,
        which: Which::All,
        is_earlier: |work| {
            work.does(&[V::Repair]) || work.does(&[V::Solder]) && work.step.about.links.is_empty()
        },
        is_later: |work| work.does(&[V::Fit]) && work.gets_sockets,
        // Those that are soldered with the sockets themselves are no wire links.
        waits: Some(|earlier, later| {
            earlier.does(&[V::Repair]) || !share(&earlier.places, &later.places)
        }),
    },
    Precedence {
        earlier: "fitting low parts",
        later: "fitting tall ones",
        because: "the board lies flat only as long as nothing tall stands on it",
        ground: Ground::Board,
        which: Which::All,
        is_earlier: |work| work.heights.is_some(),
        is_later: |work| work.heights.is_some(),
        waits: Some(|earlier, later| match (earlier.heights, later.heights) {
            (Some((_, most)), Some((least, _))) => most < least,
            _ => false,
        }),
    },
    Precedence {
        earlier: "fitting controls and tightening their nuts",
        later: "soldering them",
        because: "a nut tightened afterwards strains the joints",
        ground: Ground::Place,
        which: Which::All,
        is_earlier: |work| work.does(&[V::Fit]) && work.is_panel_parts,
        is_later: |work| work.does(&[V::Solder]),
        waits: None,
    },
    Precedence {
        earlier: "measuring the insulators with the power off",
        later: "applying power",
        because: "the tab of a power device is live",
        ground: Ground::Board,
        which: Which::All,
        is_earlier: |work| {
            work.does(&[V::Measure]) && work.is(Token::Unpowered) && work.has_power_device
        },
        is_later: |work| work.does(&[V::Power]),
        waits: None,
    },
    Precedence {
        earlier: "setting bias trimmers to their minimum with the power off",
        later: "applying power",
        because: "the current of a wrong setting looks like a fault, and can cost the device",
        ground: Ground::Board,
        which: Which::All,
        is_earlier: |work| work.does(&[V::Adjust]) && work.is(Token::Unpowered),
        is_later: |work| work.does(&[V::Power]),
        waits: None,
    },
    Precedence {
        earlier: "powering the supply alone",
        later: "powering, testing or joining the other boards",
        because: "a fault of the supply then stays small",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Power]) && work.is_supply,
        is_later: |work| {
            work.does(&[V::Power, V::Test]) && work.has_other_boards
                || work.does(&[V::Solder]) && work.joins_supply
        },
        waits: None,
    },
    Precedence {
        earlier: "measuring the rails",
        later: "putting chips into their sockets",
        because: "no protection of a chip is cheaper than a rail that is right",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Measure]) && !work.step.about.nets.is_empty(),
        is_later: |work| work.does(&[V::Fit]) && work.is_socketed,
        waits: None,
    },
    Precedence {
        earlier: "powering the supply",
        later: "putting chips into their sockets",
        because: "no protection of a chip is cheaper than a rail that is right",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Power]) && work.is_supply,
        is_later: |work| work.does(&[V::Fit]) && work.is_socketed,
        waits: None,
    },
    Precedence {
        earlier: "powering the boards that are there once",
        later: "powering those that are there several times",
        because: "what changes can then be put down to one board",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| {
            work.does(&[V::Power]) && work.has_other_boards && work.copies_of.is_none()
        },
        is_later: |work| work.does(&[V::Power]) && work.copies_of.is_some(),
        waits: None,
    },
    Precedence {
        earlier: "measuring the rails",
        later: "adjusting",
        because: "each setting rests on the one before: rails, offset, bias, calibration",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Measure]) && !work.step.about.nets.is_empty(),
        is_later: |work| work.does(&[V::Adjust]) && !work.is(Token::Unpowered),
        waits: None,
    },
    Precedence {
        earlier: "applying power",
        later: "adjusting",
        because: "a setting is read while the circuit runs",
        ground: Ground::Board,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Power]),
        is_later: |work| work.does(&[V::Adjust]) && !work.is(Token::Unpowered),
        waits: None,
    },
    Precedence {
        earlier: "adjusting cold",
        later: "adjusting again when warm",
        because: "a setting drifts until the unit has soaked",
        ground: Ground::Place,
        which: Which::All,
        is_earlier: |work| work.does(&[V::Adjust]) && !work.is(Token::Warm),
        is_later: |work| work.does(&[V::Adjust]) && work.is(Token::Warm),
        waits: None,
    },
    Precedence {
        earlier: "testing one module and comparing it",
        later: "fitting its siblings",
        because: "a mistake is then made once, and not on every one of them",
        ground: Ground::Unit,
        which: Which::First,
        is_earlier: |work| work.does(&[V::Test, V::Measure]) && work.one_of.is_some(),
        is_later: |work| work.does(&[V::Fit]) && work.copies_of.is_some(),
        waits: Some(|earlier, later| {
            earlier.one_of.is_some_and(|(board, copy)| {
                later.copies_of == Some(board) && !later.boards.contains(&(board, copy))
            })
        }),
    },
    Precedence {
        earlier: "looking at a board, measuring or testing it",
        later: "closing the joints that link it to others",
        because: "linked boards can neither be turned over nor told apart",
        ground: Ground::Board,
        which: Which::First,
        is_earlier: |work| {
            work.does(&[V::Inspect, V::Measure, V::Test, V::Power])
                && work.step.about.links.is_empty()
        },
        is_later: |work| work.does(&[V::Solder]) && work.joins_boards,
        waits: None,
    },
];

/// Whether two sorted lists have something in common.
pub fn share<T: Ord>(one: &[T], other: &[T]) -> bool {
    let (few, many) = if one.len() < other.len() {
        (one, other)
    } else {
        (other, one)
    };
    few.iter().any(|item| many.binary_search(item).is_ok())
}
