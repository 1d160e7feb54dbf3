//! Paper: what stands on each kind of sheet, as data. One kind, one file.
//!
//! [`document`] says what a document is made of, [`drawing`] what a drawing is,
//! [`page`] how much room there is.

pub mod document;
pub mod drawing;
pub mod page;
