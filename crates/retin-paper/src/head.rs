//! What every page carries, in words.

use retin::sheets::document::Head;

/// The first line of the head: what it is and of which job.
pub(crate) fn title(head: &Head) -> String {
    joined([head.title.as_str(), head.job.as_str()])
}

/// The lines below it: the unit, its serial number and its model's revision.
pub(crate) fn lines(head: &Head) -> Vec<String> {
    let serial = head
        .serial
        .as_ref()
        .map(|serial| format!("serial {serial}"));
    let revision = head
        .model_revision
        .as_ref()
        .map(|revision| format!("model revision {revision}"));
    [
        head.unit.clone(),
        joined([
            serial.as_deref().unwrap_or_default(),
            revision.as_deref().unwrap_or_default(),
        ]),
    ]
    .into_iter()
    .filter(|line| !line.is_empty())
    .collect()
}

/// How much could not be checked.
pub(crate) fn not_checked(head: &Head) -> String {
    format!("not checked: {}", head.not_checked)
}

/// How many mistakes are open, where there are any.
pub(crate) fn errors(head: &Head) -> Option<String> {
    (head.errors > 0).then(|| format!("mistakes open: {}", head.errors))
}

fn joined(parts: [&str; 2]) -> String {
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    parts.join(" · ")
}
