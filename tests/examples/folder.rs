//! Writes a folder of generated jobs: `cargo run -p retin-tests --example folder -- FOLDER JOBS PARTS`.

use retin_tests::generate::write_folder;
use std::env;
use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [folder, jobs, parts] = arguments.as_slice() else {
        return Err("say where to, how many jobs, and how many parts each".into());
    };
    write_folder(Path::new(folder), jobs.parse()?, parts.parse()?)?;
    Ok(())
}
