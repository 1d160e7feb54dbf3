//! Runs independent Python packages as separate programs.

use std::ffi::OsString;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Names another Python that has the packages.
const VARIABLE: &str = "RETIN_TEST_PYTHON";

/// The Python that has the packages of `tests/outside/python/requirements.txt`.
///
/// # Panics
/// When there is none, with the command that makes one: a check against an
/// outside program must never be skipped silently.
#[must_use]
pub fn interpreter() -> PathBuf {
    let named = std::env::var_os(VARIABLE).filter(|named| !named.is_empty());
    find(named).unwrap_or_else(|missing| {
        panic!(
            "no Python at {}; run sh tests/outside/python/install.sh from the top folder, \
             or set {VARIABLE} to a Python that has the packages",
            missing.display()
        )
    })
}

/// The named Python, or the one the install script makes; else where it is missing.
fn find(named: Option<OsString>) -> Result<PathBuf, PathBuf> {
    let path = named.map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/python/bin/python"),
        PathBuf::from,
    );
    if path.exists() { Ok(path) } else { Err(path) }
}

/// Runs a Python program with a text as its standard input and gives what it prints.
///
/// # Panics
/// When Python is missing or the program fails, with what it complained about.
#[must_use]
pub fn run(program: &str, input: &str) -> String {
    let failed = |what: &str, error: std::io::Error| -> ! { panic!("{what} Python: {error}") };
    let mut child = Command::new(interpreter())
        .arg("-c")
        .arg(program)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| failed("could not start", error));
    if let Some(mut stdin) = child.stdin.take()
        && let Err(error) = stdin.write_all(input.as_bytes())
    {
        failed("could not write to", error);
    }
    let output = child
        .wait_with_output()
        .unwrap_or_else(|error| failed("could not read from", error));
    assert!(
        output.status.success(),
        "the Python program failed; if a package is missing, run \
         sh tests/outside/python/install.sh from the top folder\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[cfg(test)]
mod tests {
    use super::find;

    #[test]
    fn a_python_that_is_not_there_is_told() {
        let named = "no/such/python";
        assert_eq!(find(Some(named.into())), Err(named.into()));
    }
}
