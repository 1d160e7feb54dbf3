//! The checks. One rule is one file here and its page beside it: the code, what
//! it says, and the example that trips it, which the tests run.
//!
//! To add one, write `rules/the_fault.rs` and `rules/the_fault.md` after a
//! neighbour, and add a line to [`RULES`].

use crate::check::{Answers, Choices, JudgeProblem, JudgeReplacement, OnBoard, Share, Use};
use crate::finding::Verdict;
use crate::meaning::{Acceptance, Case, Job, PlaceId};
use crate::stage::Stage;
use crate::time::order::Order;
use std::sync::LazyLock;

mod accept_stale;
mod accept_unused;
pub(crate) mod accident_open;
mod arrived_differs;
mod barrel_not_proven;
mod because_missing;
mod beyond_use;
mod bodies_collide;
mod body_does_not_fit;
mod both_leads_on_one_net;
mod cannot_read;
mod cannot_use;
mod claims_disagree;
mod copies_differ;
mod doubtful_source;
mod duplicate_name;
mod empty_place_filled;
mod impossible_entry;
mod impossible_value;
mod joint_not_inspected;
mod left_over;
pub mod limits;
mod matched_group;
mod not_dealt_with;
mod not_photographed;
mod nothing_fits;
pub(crate) mod out_of_limits;
mod out_of_place;
mod over_approval;
mod pin_order;
mod planned_twice;
pub mod polar_where_bipolar;
mod polarity_reversed;
mod rails_conflict;
mod rails_unproven;
mod reading_missing;
mod revision_moved;
mod safety_class;
mod shelf_short;
mod slower_part;
mod solvent_on_new;
mod step_too_early;
mod steps_in_a_circle;
mod stressed_part_reused;
mod supply_range;
mod too_hot;
mod unclear_value;
mod unknown_name;
pub(crate) mod value_mismatch;
mod values_swapped;
mod volts_too_low;
mod wrong_dimension;
mod wrong_kind;

/// A check.
#[derive(Debug)]
pub struct Rule {
    /// Its name in trade words; it states the fault, not the remedy.
    pub name: &'static str,
    /// The stage from which a fault is an error; before that it is a warning.
    pub at: Stage,
    /// What it judges, in one line.
    pub summary: &'static str,
    /// Its page: why it matters, an example, what to do, where its numbers come from.
    pub page: &'static str,
    /// How it judges.
    pub judge: Judge,
}

/// What a rule looks at.
#[derive(Clone, Copy, Debug)]
pub enum Judge {
    /// Each thing that could not be made sense of.
    Problem(JudgeProblem),
    /// The whole case at once.
    Case(fn(&Case<'_>, &mut Answers<'_, '_>)),
    /// Each board for itself.
    Board(JudgeBoard),
    /// Each board for itself, and then what no board has to itself.
    BoardAndUnit(JudgeBoard, JudgeChoice),
    /// Each place of the unit.
    Place(fn(&Case<'_>, PlaceId) -> Verdict),
    /// Each new part in its place, but for those of a kind that cannot be
    /// compared with the old one: that is one mistake, told once.
    Replacement(JudgeReplacement),
    /// Each new part in its place, of whatever kind.
    AnyReplacement(JudgeReplacement),
    /// All new parts together, with the places for which none was found.
    Choice(JudgeChoice),
    /// The steps of the job, put in order.
    Steps(fn(&Case<'_>, &Job<'_>, &Order, &mut Answers<'_, '_>)),
    /// Each `accept` line, with what became of it.
    Acceptance(fn(&Case<'_>, &Acceptance<'_>, &Use) -> Verdict),
}

/// A rule that looks at one board, as [`OnBoard`] shows it.
type JudgeBoard = fn(&OnBoard<'_, '_, '_>, &mut Share);
/// A rule that looks at new parts together.
type JudgeChoice = fn(&Case<'_>, &Choices<'_, '_, '_>, &mut Answers<'_, '_>);

impl Judge {
    /// Whether what it says of a board holds as long as the board, and what is done
    /// to it, stay as they are. It may look at nothing of another board but for what
    /// is known of potentials.
    pub(crate) fn is_on_boards(&self) -> bool {
        match self {
            Judge::Board(_)
            | Judge::BoardAndUnit(..)
            | Judge::Place(_)
            | Judge::Replacement(_)
            | Judge::AnyReplacement(_) => true,
            Judge::Problem(_)
            | Judge::Case(_)
            | Judge::Choice(_)
            | Judge::Steps(_)
            | Judge::Acceptance(_) => false,
        }
    }
}

/// Every rule, in the order of the catalogue.
pub const RULES: &[Rule] = &[
    // Paper against paper.
    cannot_read::RULE,
    cannot_use::RULE,
    unknown_name::RULE,
    duplicate_name::RULE,
    wrong_dimension::RULE,
    unclear_value::RULE,
    out_of_place::RULE,
    impossible_value::RULE,
    both_leads_on_one_net::RULE,
    rails_conflict::RULE,
    claims_disagree::RULE,
    not_dealt_with::RULE,
    planned_twice::RULE,
    copies_differ::RULE,
    empty_place_filled::RULE,
    revision_moved::RULE,
    because_missing::RULE,
    over_approval::RULE,
    // New part against old place.
    nothing_fits::RULE,
    wrong_kind::RULE,
    value_mismatch::RULE,
    values_swapped::RULE,
    volts_too_low::RULE,
    polarity_reversed::RULE,
    polar_where_bipolar::RULE,
    pin_order::RULE,
    supply_range::RULE,
    slower_part::RULE,
    body_does_not_fit::RULE,
    bodies_collide::RULE,
    too_hot::RULE,
    safety_class::RULE,
    matched_group::RULE,
    doubtful_source::RULE,
    arrived_differs::RULE,
    shelf_short::RULE,
    // Work against time.
    steps_in_a_circle::RULE,
    step_too_early::RULE,
    impossible_entry::RULE,
    solvent_on_new::RULE,
    accident_open::RULE,
    stressed_part_reused::RULE,
    joint_not_inspected::RULE,
    barrel_not_proven::RULE,
    left_over::RULE,
    rails_unproven::RULE,
    out_of_limits::RULE,
    not_photographed::RULE,
    reading_missing::RULE,
    // Judged last: they look at what the others silenced.
    accept_unused::RULE,
    accept_stale::RULE,
];

/// The rules on new parts, in the order of the list: name, and how each judges.
pub(crate) fn of_replacements() -> &'static [(&'static str, JudgeReplacement)] {
    static JUDGES: LazyLock<Vec<(&'static str, JudgeReplacement)>> = LazyLock::new(|| {
        let judges = RULES.iter().filter_map(|rule| match rule.judge {
            Judge::Replacement(judge) | Judge::AnyReplacement(judge) => Some((rule.name, judge)),
            _ => None,
        });
        judges.collect()
    });
    &JUDGES
}

/// The rule of this name.
pub fn find(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.name == name)
}
