//! Runs the `retin` command as it is in this workspace.

use std::path::Path;
use std::process::{Command, Output};

/// Builds the command where it has changed, and runs it in a folder.
///
/// # Panics
/// When it cannot be built or started.
#[must_use]
pub fn retin(folder: &Path, arguments: &[&str]) -> Output {
    let built = escargot::CargoBuild::new()
        .manifest_path(Path::new(env!("CARGO_MANIFEST_DIR")).join("../Cargo.toml"))
        .package("retin-cli")
        .bin("retin")
        .run()
        .unwrap_or_else(|error| panic!("retin cannot be built: {error}"));
    Command::new(built.path())
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap_or_else(|error| panic!("retin cannot be started: {error}"))
}
