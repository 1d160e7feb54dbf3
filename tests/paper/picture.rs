//! Pages compared with stored pictures of them, as poppler draws them.
//!
//! The pictures are small and grey; a page may differ from its picture as little
//! as another version of a font renderer makes it. `UPDATE=1` stores new ones:
//! look at them before they are kept.

use crate::sheets::{pdf_file, sheet_of};
use retin::sheets::{Document, Settings, page::PageSetting};
use retin_tests::specimen::{MAPPED_JOB, document};
use std::path::Path;
use std::process::Command;

/// How far the dots of a page may be off on average, of 255.
const TOLERANCE: f64 = 4.0;

/// Prints how far two pictures are apart on average; 255 where their sizes differ.
const APART: &str = r#"
import sys
from PIL import Image, ImageChops, ImageStat
one, other = (Image.open(path).convert("L") for path in sys.stdin.read().split("\n"))
if one.size != other.size:
    print(255)
else:
    # A stroke that is half a dot aside is no difference: compare what the eye sees.
    blurred = [image.resize((image.width // 3, image.height // 3)) for image in (one, other)]
    print(ImageStat.Stat(ImageChops.difference(*blurred)).mean[0])
"#;

fn compare(name: &str, document: &Document, setting: PageSetting, page: usize) {
    let pdf = pdf_file(&format!("picture-{name}"), document, setting);
    let drawn = pdf.with_extension("");
    let status = Command::new("pdftoppm")
        .args([
            "-r",
            "50",
            "-gray",
            "-png",
            "-singlefile",
            "-f",
            &page.to_string(),
        ])
        .arg(&pdf)
        .arg(&drawn)
        .status()
        .expect("pdftoppm runs; sh tests/paper/install.sh installs it");
    assert!(status.success());
    let drawn = drawn.with_extension("png");
    let stored = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("paper/pictures")
        .join(format!("{name}.png"));
    if std::env::var_os("UPDATE").is_some() {
        std::fs::copy(&drawn, &stored).expect("the picture can be stored");
    }
    let paths = format!("{}\n{}", drawn.display(), stored.display());
    let apart: f64 = retin_tests::python::run(APART, &paths)
        .trim()
        .parse()
        .expect("a number is printed");
    assert!(
        apart < TOLERANCE,
        "{name} differs by {apart} of 255 from {}: see {}",
        stored.display(),
        drawn.display()
    );
}

#[test]
fn a_page_of_everything_looks_as_it_did() {
    compare("everything", &document(), PageSetting::default(), 1);
}

#[test]
fn a_page_in_big_print_looks_as_it_did() {
    let setting = PageSetting {
        is_big: true,
        ..PageSetting::default()
    };
    compare("big", &document(), setting, 2);
}

#[test]
fn a_sheet_of_labels_looks_as_it_did() {
    let mut document = document();
    document
        .blocks
        .retain(|block| matches!(block, retin::sheets::document::Block::Labels(_)));
    compare("labels", &document, PageSetting::default(), 1);
}

#[test]
fn a_map_looks_as_it_did() {
    let map = sheet_of("map", MAPPED_JOB, &Settings::default());
    compare("map", &map, PageSetting::default(), 1);
}
