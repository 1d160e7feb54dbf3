//! Counts above lines.

use crate::serve::room::Here;
use retin::editor::lens::{Says, gate_state, lenses};
use retin::stage::Stage;
use serde_json::{Value, json};
use tower_lsp::lsp_types::{CodeLens, Command, Url};

/// The command of an editor that lists places; it takes an address, a position
/// and the places.
const SHOW: &str = "retin.show";

/// What is said above the lines of a document. How a gate stands is said when
/// the editor shows the line.
pub fn answer(here: &Here<'_, '_, '_>, lists_places: bool) -> Vec<CodeLens> {
    if !here.room.desk.settings.lenses {
        return Vec::new();
    }
    let uri = here.room.desk.uri_of(here.root.path_of(here.file));
    lenses(here.snapshot, here.file)
        .into_iter()
        .filter_map(|lens| {
            let range = here.range(lens.origin.span);
            let uri = uri.as_ref()?;
            let places: Vec<_> = lens
                .shows
                .into_iter()
                .filter_map(|origin| here.location(origin))
                .collect();
            let (command, data) = match lens.says {
                Says::Text(title) if lists_places && !places.is_empty() => {
                    let command = Command {
                        title,
                        command: SHOW.to_owned(),
                        arguments: Some(vec![json!(uri), json!(range.start), json!(places)]),
                    };
                    (Some(command), None)
                }
                Says::Text(title) => (Some(text(title)), None),
                Says::Gate(stage) => (None, Some(json!({ "uri": uri, "gate": stage.word() }))),
            };
            Some(CodeLens {
                range,
                command,
                data,
            })
        })
        .collect()
}

/// A text that does nothing when it is touched.
pub fn text(title: String) -> Command {
    Command {
        title,
        command: String::new(),
        arguments: None,
    }
}

/// The document and the gate that a lens still has to tell of.
pub fn unresolved(lens: &CodeLens) -> Option<(Url, Stage)> {
    let data = lens.data.as_ref()?;
    let word = |name| data.get(name).and_then(Value::as_str);
    Some((Url::parse(word("uri")?).ok()?, Stage::named(word("gate")?)?))
}

/// How a gate stands.
pub fn gate(here: &Here<'_, '_, '_>, stage: Stage) -> Option<String> {
    gate_state(here.snapshot, stage)
}
