//! `retin compare`: what differs between two revisions, or two units.

mod json;
mod text;

use crate::Status;
use crate::output::Output;
use crate::terminal::{Color, complain};
use crate::version::{self, Version};
use retin::compare::compare;
use retin::meaning::Case;
use std::env;
use std::io::{self, BufWriter, Write as _};
use std::path::PathBuf;

/// Say what differs between two files, or two revisions of one.
///
/// Each side is a file, or REVISION:PATH: the file as git keeps it at that
/// revision, with every file that it uses as it was then. The path begins at
/// the top of the repository; `./` in front makes it begin at the current
/// folder. Two jobs of different units compare as well.
///
/// Comments, order and layout are no differences.
#[derive(clap::Args, Debug)]
#[command(after_help = EXAMPLES)]
pub struct Arguments {
    /// The old side: FILE or REVISION:PATH.
    #[arg(value_name = "OLD")]
    old: String,
    /// The new side: FILE or REVISION:PATH.
    #[arg(value_name = "NEW")]
    new: String,
    /// How to print the differences.
    #[arg(long, value_enum, value_name = "FORM", default_value_t = Output::Text)]
    output: Output,
    /// The folder that holds everything that a file on the disk may use.
    #[arg(long, value_name = "FOLDER")]
    root: Option<PathBuf>,
    /// When to colour what is printed.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto)]
    color: Color,
}

const EXAMPLES: &str = "\
Examples:
  retin compare HEAD:jobs/26-031.retin jobs/26-031.retin    since the last commit
  retin compare v1:jobs/26-031.retin v2:jobs/26-031.retin   between two tags
  retin compare jobs/26-031.retin jobs/26-044.retin         between two units

Exit status: 0 no difference, or only comments and layout differ, 1 differences,
2 wrong use or a side that cannot be read.";

/// Compares and prints.
///
/// # Errors
/// When there is no current folder, `--root` cannot be reached, or standard
/// output cannot be written.
pub fn run(arguments: &Arguments) -> io::Result<Status> {
    let here = env::current_dir()?.canonicalize()?;
    let mut versions = Vec::with_capacity(2);
    for name in [&arguments.old, &arguments.new] {
        match version::read(name, &here, arguments.root.as_deref())? {
            Ok(version) => versions.push(version),
            Err(reason) => complain(&format!("{name} cannot be read: {reason}")),
        }
    }
    let [old, new] = &versions[..] else {
        return Ok(Status::Failed);
    };
    let before = Case::build(&old.sources, old.root);
    let after = Case::build(&new.sources, new.root);
    let changes = compare(&before, &after);
    let is_only_layout = changes.is_empty() && !is_same_text(old, new);
    let mut out = BufWriter::new(io::stdout().lock());
    match arguments.output {
        Output::Text => {
            let colored = arguments.color.on_output();
            text::print(&changes, [old, new], is_only_layout, colored, &mut out)?;
        }
        Output::Json => json::print(&changes, [old, new], is_only_layout, &mut out)?,
    }
    out.flush()?;
    let mut status = if changes.is_empty() {
        Status::Fine
    } else {
        Status::Found
    };
    for version in &versions {
        for (file, reason) in &version.unreadable {
            complain(&format!(
                "{} cannot be read: {reason}",
                version.name_of(file)
            ));
            status = Status::Failed;
        }
    }
    Ok(status)
}

fn is_same_text(old: &Version, new: &Version) -> bool {
    let texts = |version: &Version| -> Vec<String> {
        let ids = (0..version.sources.len() as u32).map(retin::sources::FileId);
        ids.map(|id| version.sources.file(id).text.clone())
            .collect()
    };
    texts(old) == texts(new)
}
