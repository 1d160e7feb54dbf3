//! The whole command over a folder of a thousand jobs, from a cold start: how
//! long it takes and, on Linux, how much memory it holds at most.

use retin_tests::command::built;
use retin_tests::generate::write_folder;
use std::error::Error;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};
use std::{env, fs};

const JOBS: usize = 1_000;
const PARTS: usize = 200;
const RUNS: usize = 10;

/// How often the memory is looked at; the system itself remembers the most.
const LOOK: Duration = Duration::from_millis(2);

fn main() -> Result<(), Box<dyn Error>> {
    // `cargo test --benches` only asks whether it runs at all.
    let is_bench = env::args().any(|argument| argument == "--bench");
    let (jobs, runs) = if is_bench { (JOBS, RUNS) } else { (10, 1) };
    let folder = tempfile::tempdir()?;
    write_folder(folder.path(), jobs, PARTS)?;
    let program = built(is_bench);
    for _ in 0..runs {
        let begin = Instant::now();
        let mut child = Command::new(&program)
            .args(["check", "--quiet"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .spawn()?;
        let mut most = None;
        let status = loop {
            most = most.max(most_kilobytes(&child));
            if let Some(status) = child.try_wait()? {
                break status;
            }
            thread::sleep(LOOK);
        };
        let took = begin.elapsed();
        if !status.success() {
            return Err("a sound folder did not check clean".into());
        }
        let memory = most.map_or("memory not known".into(), |most| {
            format!("{} MB at most", most / 1_000)
        });
        println!(
            "{jobs} jobs of {PARTS} parts: {} ms, {memory}",
            took.as_millis()
        );
    }
    Ok(())
}

/// The most memory the process held so far; none where the system does not say.
fn most_kilobytes(child: &Child) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
