//! A folder to work in, and the command as a person runs it.

// Each test file takes what it needs of this.
#![allow(dead_code, reason = "shared by several test programs")]

pub mod repository;

use assert_cmd::Command;
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

/// A temporary folder.
pub struct Bench(TempDir);

impl Bench {
    /// An empty folder that is a workspace.
    pub fn new() -> Self {
        let bench = Bench(TempDir::new().unwrap());
        fs::create_dir(bench.path(".git")).unwrap();
        bench
    }

    /// An empty folder without `.git`.
    pub fn without_git() -> Self {
        Bench(TempDir::new().unwrap())
    }

    /// A folder with a model, a shelf and a job that holds three mistakes.
    pub fn with_mistakes() -> Self {
        let bench = Bench::new();
        bench.write("models/rx3.retin", MODEL);
        bench.write("shelf.retin", SHELF);
        bench.write("jobs/26-007.retin", JOB);
        bench
    }

    /// The path of a file in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Writes a file, and the folders it lies in.
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    /// The text of a file.
    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// `retin` with these arguments, run in the folder.
    pub fn retin(&self, arguments: &[&str]) -> Command {
        self.retin_in(".", arguments)
    }

    /// `retin` with these arguments, run in a folder below.
    pub fn retin_in(&self, folder: &str, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retin"));
        command
            .current_dir(self.path(folder))
            .args(arguments)
            .env_remove("NO_COLOR");
        command
    }

    /// Runs, expects this exit status, and gives standard output and standard error.
    pub fn run(&self, arguments: &[&str], status: i32) -> (String, String) {
        outputs(self.retin(arguments), status)
    }
}

/// Runs, expects this exit status, and gives standard output and standard error.
pub fn outputs(mut command: Command, status: i32) -> (String, String) {
    let output = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let (out, err) = (text(output.stdout), text(output.stderr));
    assert_eq!(output.status.code(), Some(status), "{out}\n{err}");
    (out, err)
}

/// A receiver with C2 the wrong way round.
pub const MODEL: &str = "\
model rx3 \"Halden RX-3 receiver\"

board if \"Intermediate frequency\"
  rail V12  12V ±5%
  rail -12  -12V ±5%
  rail GND  0V
  electrolytic
    C1  10uF 25V  5x11 p2  (+ V12, - GND)
      silk + north
    C2  10uF 25V  5x11 p2  (+ GND, - V12)
      silk + north
    C3  47uF 25V  5x11 p2  (+ V12, - GND)
      silk + north
";

/// Two capacitors.
pub const SHELF: &str = "\
shelf drawers \"Drawers\"
  electrolytic 105°C radial 20%
    E-10-50   10uF 50V  5x11 p2  have 9
    E-100-25  100uF 25V  5x11 p2  have 9
";

/// Another value for C3, and a part that is not there.
pub const JOB: &str = "\
use \"../models/rx3.retin\"
use \"../shelf.retin\"

job 26-007 \"RX-3 serial 0311\"
  model rx3

plan
  replace if.C1, if.C2 with E-10-50
  replace if.C3 with E-100-25  # 47 µF
  keep if.C33
";
