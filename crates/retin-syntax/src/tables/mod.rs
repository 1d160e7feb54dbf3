//! What each reserved word is for: one table for kinds, one for properties,
//! one for the words of plans, steps and the log.
//!
//! The parser, the formatter, completion, hover and the reference read these
//! rows, so a new kind or property is one row here and a line in
//! [`crate::token`].

pub mod accidents;
pub mod directions;
pub mod kinds;
pub mod properties;
pub mod repairs;
pub mod sources;
pub mod verbs;

pub use accidents::{Accident, AccidentRow, Proof, Struck};
pub use directions::Direction;
pub use kinds::{Family, Kind, KindRow, LeadSet};
pub use properties::{Place, Property, PropertyRow, Takes};
pub use repairs::{Repair, RepairRow};
pub use sources::ClaimSource;
pub use verbs::{LogVerb, PlanVerb, StepVerb, Stop, VerbRow};
