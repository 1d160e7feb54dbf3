//! The HTML as the `html-validate` package judges it.

use crate::sheets::{html_file, sheet_of};
use retin::sheets::{Settings, page::PageSetting};
use retin_tests::specimen::{HOSTILE, MAPPED_JOB, SIGNS, document};
use std::path::Path;
use std::process::Command;

#[test]
fn html_is_valid() {
    let setting = PageSetting::default();
    let map = sheet_of("map", MAPPED_JOB, &Settings::default());
    let files = [
        html_file("specimen", &document(), setting),
        html_file("map", &map, setting),
    ];
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("paper");
    let output = Command::new("node")
        .arg(here.join("node_modules/html-validate/bin/html-validate.mjs"))
        .arg("--config")
        .arg(here.join("html-validate.json"))
        .args(&files)
        .output()
        .expect("node runs; sh tests/paper/install.sh installs it and the validator");
    assert!(
        output.status.success(),
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
}

#[test]
fn the_validator_finds_a_fault() {
    let path = crate::sheets::file(
        "faulty.html",
        b"<!DOCTYPE html><html lang=\"en\"><head><title>x</title></head><body><table><p>x</p></table></body></html>",
    );
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("paper");
    let output = Command::new("node")
        .arg(here.join("node_modules/html-validate/bin/html-validate.mjs"))
        .arg("--config")
        .arg(here.join("html-validate.json"))
        .arg(path)
        .output()
        .expect("node runs; sh tests/paper/install.sh installs it and the validator");
    assert!(!output.status.success());
}

/// What a parser of HTML that is not ours reads as the text of the page.
const TEXT: &str = r#"
import sys
from html.parser import HTMLParser

class Reader(HTMLParser):
    def __init__(self):
        super().__init__()
        self.tags = set()
        self.text = []
        self.inside = []
    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.inside.append(tag)
        for name, value in attrs:
            assert not name.startswith("on"), (tag, name)
            assert not (value or "").strip().lower().startswith("javascript:"), (tag, name)
            if name in ("src", "href"):
                assert value.startswith("data:"), value[:60]
    def handle_endtag(self, tag):
        if tag in self.inside:
            while self.inside.pop() != tag:
                pass
    def handle_data(self, data):
        if "style" not in self.inside:
            self.text.append(data)

reader = Reader()
reader.feed(open(sys.stdin.read(), encoding="utf-8").read())
assert "script" not in reader.tags, reader.tags
assert "link" not in reader.tags, reader.tags
print("".join(reader.text))
"#;

#[test]
fn text_never_becomes_markup() {
    let path = html_file("hostile", &document(), PageSetting::default());
    let text = retin_tests::python::run(TEXT, &path.to_string_lossy());
    for hostile in HOSTILE
        .iter()
        .chain(SIGNS)
        .chain(&["<b>tone</b>", "start </svg>"])
    {
        assert!(text.contains(hostile), "{hostile} is not read in\n{text}");
    }
}
