//! What holds of the project as a whole: layers, licences, and what its files may say.

use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The files git would commit, as paths from the root.
fn files() -> Vec<String> {
    let output = Command::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .current_dir(root())
        .output()
        .expect("git is needed to list the project's files");
    assert!(output.status.success(), "git ls-files failed");
    String::from_utf8_lossy(&output.stdout)
        .lines()
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_core_touches_no_disk_clock_or_network() {
    let mut wrong = String::new();
    for path in files() {
        let is_core =
            path.starts_with("crates/retin/src/") || path.starts_with("crates/retin-syntax/src/");
        if !is_core || !path.ends_with(".rs") {
            continue;
        }
        for (number, line) in read(&root().join(&path)).lines().enumerate() {
            for module in ["fs", "env", "process", "time", "net", "thread"] {
                if line.contains(&format!("std::{module}")) {
                    let _ = writeln!(wrong, "{path}:{}: {}", number + 1, line.trim());
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "the core takes text and returns values:\n{wrong}"
    );
}

#[test]
fn only_one_crate_parses_and_only_one_draws() {
    let manifest = |name: &str| read(&root().join(format!("crates/{name}/Cargo.toml")));
    for library in ["chumsky", "logos"] {
        assert!(manifest("retin-syntax").contains(library));
        assert!(
            !manifest("retin").contains(library),
            "{library} belongs to retin-syntax"
        );
        assert!(
            !manifest("retin-cli").contains(library),
            "{library} belongs to retin-syntax"
        );
    }
    assert!(!manifest("retin").contains("ariadne"));
    for crate_name in ["retin-syntax", "retin", "retin-cli"] {
        assert!(
            !manifest(crate_name).contains("typst"),
            "typst belongs to retin-paper"
        );
    }
    assert!(manifest("retin-paper").contains("typst"));
    assert!(
        !manifest("retin").contains("retin-paper"),
        "dependencies point one way"
    );
    assert!(
        !manifest("retin-syntax").contains("retin ="),
        "dependencies point one way"
    );
    assert!(
        !manifest("retin").contains("retin-cli"),
        "dependencies point one way"
    );
}

#[test]
fn the_guide_names_every_crate_and_top_folder() {
    let guide = read(&root().join("DEVELOPERS.md"));
    let mut places: Vec<String> = files()
        .iter()
        .filter_map(|path| {
            let mut parts = path.split('/');
            let (first, second) = (parts.next()?, parts.next()?);
            Some(if first == "crates" {
                format!("crates/{second}/")
            } else {
                format!("{first}/")
            })
        })
        .collect();
    places.sort();
    places.dedup();
    for place in places {
        assert!(
            guide.contains(&place),
            "DEVELOPERS.md does not name {place}"
        );
    }
}

/// Whether a licence expression leaves a choice that is allowed: `A OR B` needs
/// one of the two, `A AND B` both. Brackets stand around an `OR` or nowhere.
fn may_be_used(licence: &str, allowed: &[&str]) -> bool {
    let is_allowed = |one: &str| allowed.contains(&one.trim().trim_matches(['(', ')']));
    let licence = licence.replace('/', " OR ");
    if licence.contains('(') {
        return licence
            .split(" AND ")
            .all(|both| both.split(" OR ").any(is_allowed));
    }
    licence
        .split(" OR ")
        .any(|choice| choice.split(" AND ").all(is_allowed))
}

#[test]
fn a_licence_is_refused_where_one_of_its_parts_is() {
    let allowed = ["MIT", "Apache-2.0"];
    for usable in [
        "MIT",
        "GPL-3.0 OR MIT",
        "MIT/Apache-2.0",
        "(MIT OR GPL-3.0) AND Apache-2.0",
    ] {
        assert!(may_be_used(usable, &allowed), "{usable}");
    }
    for refused in [
        "",
        "GPL-3.0",
        "MIT AND GPL-3.0",
        "(MIT OR Apache-2.0) AND GPL-3.0",
    ] {
        assert!(!may_be_used(refused, &allowed), "{refused}");
    }
}

#[test]
fn the_texts_of_both_licences_are_there() {
    let mit = read(&root().join("LICENSE-MIT"));
    let apache = read(&root().join("LICENSE-APACHE"));
    assert!(mit.starts_with("MIT License"));
    assert!(apache.contains("Apache License") && apache.contains("Version 2.0, January 2004"));
}

#[test]
fn every_dependency_has_a_licence_that_may_be_used() {
    const ALLOWED: &[&str] = &[
        "MIT",
        "Apache-2.0",
        "BSD-2-Clause",
        "BSD-3-Clause",
        "ISC",
        "Zlib",
        "Unicode-3.0",
        "Unlicense",
        "0BSD",
        "CC0-1.0",
        "BSL-1.0",
        "MIT-0",
        "MPL-2.0",
        "Apache-2.0 WITH LLVM-exception",
        "CDLA-Permissive-2.0",
    ];
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root())
        .output()
        .expect("cargo metadata runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: Value =
        serde_json::from_slice(&output.stdout).expect("cargo metadata prints JSON");
    let packages = metadata["packages"].as_array().expect("a list of packages");
    assert!(packages.len() > 20, "the list of packages looks cut off");
    let mut wrong = String::new();
    for package in packages {
        let licence = package["license"].as_str().unwrap_or("");
        if !may_be_used(licence, ALLOWED) {
            let _ = writeln!(
                wrong,
                "{} {}: {licence:?}",
                package["name"], package["version"]
            );
        }
    }
    assert!(wrong.is_empty(), "licences to look at:\n{wrong}");
}

#[test]
fn files_carry_no_path_of_a_machine() {
    let mut wrong = String::new();
    let homes = ["/ho\u{6d}e/", "/Us\u{65}rs/", "/wo\u{72}k/", "/ro\u{6f}t/"];
    for path in files() {
        let Ok(text) = std::fs::read_to_string(root().join(&path)) else {
            continue;
        };
        if path.ends_with(".lock") {
            continue;
        }
        for (number, line) in text.lines().enumerate() {
            if homes.iter().any(|home| line.contains(home)) {
                let _ = writeln!(wrong, "{path}:{}: {line}", number + 1);
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
