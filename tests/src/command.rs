//! Runs the `retin` command as it is in this workspace.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Tells where the command is: where `RETIN_PROGRAM` says, as `tests/run.sh` does
/// when it has built everything at once, else where it is built for this alone, with
/// the features that its own dependencies ask for.
///
/// # Panics
/// When it cannot be built.
#[must_use]
pub fn built(is_release: bool) -> PathBuf {
    if let Some(program) = std::env::var_os("RETIN_PROGRAM").filter(|_| !is_release) {
        return program.into();
    }
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
