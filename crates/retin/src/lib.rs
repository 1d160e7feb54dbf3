//! The pure core of Retin: it takes text and returns values.
//!
//! [`sources`] holds the files, [`meaning`] what they say, [`rules`] what is
//! right and wrong with that. Nothing here reads a disk, a clock or a network.

pub mod check;
pub mod circuit;
pub mod compare;
pub mod editor;
pub mod finding;
pub mod library;
pub mod meaning;
pub mod merge;
pub(crate) mod moves;
pub mod operating_point;
pub mod outline;
pub mod physics;
pub mod polarity;
pub mod potentials;
pub mod replacement;
pub mod rules;
pub mod session;
pub mod sheets;
pub mod shop;
pub mod sources;
pub mod stage;
pub mod swaps;
pub mod time;
pub mod typeset;
mod words;
