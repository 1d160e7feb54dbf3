//! Puts the words into the places that a file keeps for them.
//!
//! A file marks a place in a comment, in one of two ways:
//!
//! - `generated next: kinds` — in the next line, what stands in the first group
//!   that captures nothing, `(?:…)` or Vim's `%(…)`, becomes the words of that
//!   class with `|` between them;
//! - `generated: kinds` up to `end of generated` — the lines between become the
//!   words, as the kind of file lists words: Vim's with what the marker says
//!   after `as`, Lisp's in quotes, XML's as items.

use super::classes::Class;

/// The widest line of a list.
const WIDTH: usize = 80;

/// The file with every list made anew.
///
/// # Panics
/// Where a mark names no class or a list is not closed.
pub fn rewritten(text: &str, extension: &str, classes: &[Class]) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut source = text.lines();
    while let Some(line) = source.next() {
        lines.push(line.to_owned());
        if let Some(names) = marked(line, "generated next: ") {
            let target = source.next().expect("a line follows the mark");
            lines.push(alternation(target, &words(names, classes)));
        } else if let Some(rest) = marked(line, "generated: ") {
            let (names, prefix) = rest.split_once(" as ").unwrap_or((rest, ""));
            lines.extend(list(
                &words(names, classes),
                extension,
                prefix,
                indent(line),
            ));
            let closing = source
                .find(|line| line.contains("end of generated"))
                .expect("the place for words is closed");
            lines.push(closing.to_owned());
        }
    }
    lines.join("\n") + "\n"
}

/// What stands behind a mark, without the end of the comment it stands in.
fn marked<'l>(line: &'l str, mark: &str) -> Option<&'l str> {
    let rest = &line[line.find(mark)? + mark.len()..];
    let end = ["-->", "\"", "*/"]
        .iter()
        .filter_map(|closing| rest.find(closing))
        .min()
        .unwrap_or(rest.len());
    Some(rest[..end].trim())
}

fn words(names: &str, classes: &[Class]) -> Vec<String> {
    names
        .split(", ")
        .flat_map(|name| {
            let class = classes
                .iter()
                .find(|class| class.name == name)
                .unwrap_or_else(|| panic!("no class of words is called {name}"));
            class.words.iter().cloned()
        })
        .collect()
}

fn alternation(line: &str, words: &[String]) -> String {
    let start = ["(?:", "%("]
        .iter()
        .filter_map(|open| Some(line.find(open)? + open.len()))
        .min()
        .expect("the line has a group");
    let end = start + line[start..].find(')').expect("the group is closed");
    format!("{}{}{}", &line[..start], words.join("|"), &line[end..])
}

fn indent(line: &str) -> &str {
    &line[..line.len() - line.trim_start().len()]
}

fn list(words: &[String], extension: &str, prefix: &str, indent: &str) -> Vec<String> {
    match extension {
        "xml" => words
            .iter()
            .map(|word| format!("{indent}<item>{word}</item>"))
            .collect(),
        "el" => filled(words.iter().map(|word| format!("\"{word}\"")), indent),
        "vim" => filled(words.iter().cloned(), &format!("{indent}{prefix} ")),
        other => panic!("no list of words is known for .{other} files"),
    }
}

/// The words on lines that each begin with `prefix`.
fn filled(words: impl Iterator<Item = String>, prefix: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= WIDTH => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(format!("{prefix}{word}")),
        }
    }
    lines
}
