//! The shape of the line that is being typed.

use crate::serve::room::Here;
use retin::editor::signature::signature;
use tower_lsp::lsp_types::{
    Documentation, ParameterInformation, ParameterLabel, Position, SignatureHelp,
    SignatureInformation,
};

/// Letters that ask for the shape.
pub const TRIGGERS: [&str; 2] = [" ", "("];

/// The shape of the line at a position.
pub fn answer(here: &Here<'_, '_, '_>, at: Position) -> Option<SignatureHelp> {
    let found = signature(here.snapshot, here.place(at))?;
    // The protocol counts along a label in UTF-16, whatever else was agreed.
    let units = |bytes: u32| found.label[..bytes as usize].encode_utf16().count() as u32;
    let parameters = found
        .parts
        .iter()
        .map(|(start, end)| ParameterInformation {
            label: ParameterLabel::LabelOffsets([units(*start), units(*end)]),
            documentation: None,
        })
        .collect();
    Some(SignatureHelp {
        signatures: vec![SignatureInformation {
            documentation: Some(Documentation::String(found.doc.to_owned())),
            parameters: Some(parameters),
            active_parameter: found.active,
            label: found.label,
        }],
        active_signature: Some(0),
        active_parameter: found.active,
    })
}
