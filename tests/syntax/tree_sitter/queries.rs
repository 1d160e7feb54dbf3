//! What the queries may capture, and that they do.

use serde_json::Value;

/// The files of queries, from the top, and the names each may capture under.
pub const FILES: &[(&str, &[&str])] = &[
    ("syntax/tree-sitter/queries/highlights.scm", NEOVIM),
    ("syntax/tree-sitter/queries/folds.scm", &["fold"]),
    ("syntax/tree-sitter/queries/indents.scm", &["indent.begin"]),
    (
        "syntax/tree-sitter/queries/locals.scm",
        &["local.scope", "local.definition", "local.reference"],
    ),
    (
        "syntax/tree-sitter/queries/outline.scm",
        &["item", "name", "context"],
    ),
    ("editors/helix/queries/retin/highlights.scm", HELIX),
    ("editors/helix/queries/retin/indents.scm", &["indent"]),
];

/// Of the names that Neovim colours by (`:help treesitter-highlight-groups`).
const NEOVIM: &[&str] = &[
    "attribute",
    "comment",
    "constant",
    "constant.builtin",
    "keyword",
    "keyword.operator",
    "label",
    "markup.heading",
    "number",
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

/// Of the names that Helix colours by (its page on themes).
const HELIX: &[&str] = &[
    "attribute",
    "comment",
    "constant",
    "constant.builtin",
    "constant.numeric",
    "keyword",
    "keyword.operator",
    "label",
    "markup.heading",
    "punctuation.bracket",
    "punctuation.delimiter",
    "string",
    "string.special",
    "tag",
    "type",
    "type.builtin",
    "variable",
    "variable.other.member",
    "variable.parameter",
];

/// Every pattern of every file matches something, under a name that is known.
///
/// # Panics
/// Where one does not.
pub fn judge(answer: &Value) {
    for (file, known) in FILES {
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
