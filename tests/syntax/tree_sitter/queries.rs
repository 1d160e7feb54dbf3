//! What the queries may capture, and that they do.

use serde_json::Value;

/// The files of queries.
pub const FILES: &[&str] = &[
    "highlights.scm",
    "folds.scm",
    "indents.scm",
    "locals.scm",
    "outline.scm",
];

/// The names that editors colour by; Neovim and Helix both know each of them,
/// or the part before its dot.
const HIGHLIGHTS: &[&str] = &[
    "attribute",
    "comment",
    "constant",
    "constant.builtin",
    "keyword",
    "keyword.operator",
    "label",
    "markup.heading",
    "number",
    "operator",
    "property",
    "punctuation.bracket",
    "punctuation.delimiter",
    "string",
    "string.special",
    "tag",
    "type",
    "type.builtin",
    "variable",
    "variable.parameter",
];

/// The names of each other file.
const OTHERS: &[(&str, &[&str])] = &[
    ("folds.scm", &["fold"]),
    ("indents.scm", &["indent.begin", "indent"]),
    (
        "locals.scm",
        &["local.scope", "local.definition", "local.reference"],
    ),
    ("outline.scm", &["item", "name", "context"]),
];

/// Every pattern of every file matches something, under a name that is known.
///
/// # Panics
/// Where one does not.
pub fn judge(answer: &Value) {
    for file in FILES {
        let known = OTHERS
            .iter()
            .find(|row| row.0 == *file)
            .map_or(HIGHLIGHTS, |row| row.1);
        let captures = answer[*file]["captures"]
            .as_object()
            .unwrap_or_else(|| panic!("{file} is not answered for"));
        assert!(!captures.is_empty(), "{file} captures nothing");
        for (name, texts) in captures {
            assert!(
                known.contains(&name.as_str()),
                "{file}: @{name} is not known"
            );
            assert!(
                texts.as_array().is_some_and(|texts| !texts.is_empty()),
                "{file}: @{name} matches nothing in the examples"
            );
        }
        let patterns = answer[*file]["patterns"].as_array().expect("a list");
        for (index, times) in patterns.iter().enumerate() {
            assert_ne!(
                times.as_u64(),
                Some(0),
                "{file}: pattern {index} matches nothing"
            );
        }
    }
}
