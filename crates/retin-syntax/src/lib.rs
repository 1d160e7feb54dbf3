//! The Retin job language as text.
//!
//! This crate knows how a file is spelled: its values, its tokens, its outline
//! and its canonical form. It does not know what a capacitor is for.

pub mod format;
pub mod lexer;
pub mod limits;
pub mod parser;
pub mod span;
pub mod tables;
pub mod token;
pub mod tree;
pub mod value;

pub use format::format;
pub use parser::parse;
pub use span::Span;
pub use token::Token;
pub use tree::Tree;
