//! Has git join Retin files with this program.

use crate::replace::{create, replace};
use crate::terminal::complain;
use crate::{Status, git, read};
use std::env;
use std::io::{self, Write as _};
use std::path::Path;

/// The line of `.gitattributes` that gives Retin files to the driver.
const ATTRIBUTE: &str = "*.retin merge=retin";
const NAME: &str = "Retin, record by record";

/// Sets the repository of the current folder up, and says what was done.
///
/// # Errors
/// When there is no current folder or standard output cannot be written.
pub fn install() -> io::Result<Status> {
    let here = env::current_dir()?;
    match set_up(&here) {
        Ok(done) => {
            let mut out = io::stdout().lock();
            if done.is_empty() {
                writeln!(
                    out,
                    "nothing to do: git joins Retin files with this program already"
                )?;
            }
            for done in done {
                writeln!(out, "{done}")?;
            }
            Ok(Status::Fine)
        }
        Err(reason) => {
            complain(&format!("git cannot be set up: {reason}"));
            Ok(Status::Failed)
        }
    }
}

fn set_up(here: &Path) -> Result<Vec<String>, String> {
    let top = git::top(here)?;
    let program = env::current_exe()
        .map_err(|error| format!("this program does not know where it lies, {error}"))?;
    let program = program
        .to_str()
        .ok_or("the path of this program is no UTF-8 text")?;
    let driver = format!("{} merge %O %A %B %P", quoted(program));
    let mut done = Vec::new();
    for (key, value) in [("merge.retin.name", NAME), ("merge.retin.driver", &driver)] {
        let set = git::answer(&top, ["config", "--local", "--get", key])?;
        if set.as_deref() == Some(value) {
            continue;
        }
        let output = git::run(&top, ["config", "--local", "--replace-all", key, value])?;
        if !output.status.success() {
            return Err(format!("git refuses, {}", git::complaint(&output)));
        }
        if key == "merge.retin.driver" {
            done.push(format!("set {key} of this clone to: {value}"));
        }
    }
    done.extend(attribute(&top)?);
    Ok(done)
}

/// Adds the line to `.gitattributes`, unless the files are given to the driver already.
fn attribute(top: &Path) -> Result<Option<String>, String> {
    let asked = git::answer(top, ["check-attr", "merge", "--", "a.retin"])?;
    if asked.is_some_and(|answer| answer.ends_with(": merge: retin")) {
        return Ok(None);
    }
    let path = top.join(".gitattributes");
    let in_words = |reason: String| format!(".gitattributes: {reason}");
    if path.exists() {
        let mut text = read::text(&path).map_err(in_words)?;
        let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
        if !text.is_empty() && !text.ends_with('\n') {
            text.push_str(line_end);
        }
        text.push_str(ATTRIBUTE);
        text.push_str(line_end);
        replace(&path, &text).map_err(in_words)?;
    } else {
        create(&path, format!("{ATTRIBUTE}\n")).map_err(in_words)?;
    }
    Ok(Some(format!(
        "added `{ATTRIBUTE}` to .gitattributes; commit it, so that every clone has it"
    )))
}

/// A path as the shell that git runs takes it: in single quotes, with `/`
/// between folders, and `%` doubled, since git reads it as a sign of its own.
fn quoted(path: &str) -> String {
    let path = if cfg!(windows) {
        path.replace('\\', "/")
    } else {
        path.to_owned()
    };
    format!("'{}'", path.replace('\'', r"'\''").replace('%', "%%"))
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn a_path_stays_one_word() {
        assert_eq!(quoted("/opt/my tools/retin"), "'/opt/my tools/retin'");
        assert_eq!(quoted("/o'brien/50%/retin"), r"'/o'\''brien/50%%/retin'");
    }
}
