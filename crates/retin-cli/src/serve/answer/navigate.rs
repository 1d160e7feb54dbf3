//! From a name to where it is written.

use crate::serve::room::Here;
use retin::editor::navigate::{self, Target};
use tower_lsp::lsp_types::{Location, Position};

/// Where the name at a position is written down.
pub fn definition(here: &Here<'_, '_, '_>, at: Position) -> Vec<Location> {
    locations(here, navigate::definition(here.snapshot, here.place(at)))
}

/// What the named thing belongs to in the model sheet.
pub fn declaration(here: &Here<'_, '_, '_>, at: Position) -> Vec<Location> {
    locations(here, navigate::declaration(here.snapshot, here.place(at)))
}

/// Everywhere it is spoken of.
pub fn references(here: &Here<'_, '_, '_>, at: Position, with_declaration: bool) -> Vec<Location> {
    navigate::references(here.snapshot, here.place(at), with_declaration)
        .into_iter()
        .filter_map(|origin| here.location(origin))
        .collect()
}

fn locations(here: &Here<'_, '_, '_>, targets: Vec<Target>) -> Vec<Location> {
    targets
        .into_iter()
        .filter_map(|target| here.location(target.name))
        .collect()
}
