//! The Retin job language as text.
//!
//! This crate knows how a file is spelled: its values, its tokens, its outline
//! and its canonical form. It does not know what a capacitor is for.

pub mod value;
