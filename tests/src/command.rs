//! Runs the `retin` command as it is in this workspace.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Builds the command where it has changed, and tells where it is.
///
/// # Panics
/// When it cannot be built.
#[must_use]
pub fn built(is_release: bool) -> PathBuf {
    let build = escargot::CargoBuild::new()
        .manifest_path(Path::new(env!("CARGO_MANIFEST_DIR")).join("../Cargo.toml"))
        .package("retin-cli")
        .bin("retin");
    let build = if is_release { build.release() } else { build };
    build
        .run()
        .unwrap_or_else(|error| panic!("retin cannot be built: {error}"))
        .path()
        .to_owned()
}

/// Builds the command where it has changed, and runs it in a folder.
///
/// # Panics
/// When it cannot be built or started.
#[must_use]
pub fn retin(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(built(false))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap_or_else(|error| panic!("retin cannot be started: {error}"))
}
