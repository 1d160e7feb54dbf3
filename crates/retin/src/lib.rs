//! The pure core of Retin: it takes text and returns values.

pub mod circuit;
