//! Any bytes, read and judged as a job: nothing may panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use retin::check::check;
use retin::meaning::Case;
use retin::sources::{SourceFile, Sources};
use std::sync::Arc;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let mut sources = Sources::new();
    let root = sources.add(Arc::new(SourceFile::new("fuzz.retin".into(), text)));
    let case = Case::build(&sources, root);
    let report = check(&case);
    for finding in &report.findings {
        // Every finding points into the text.
        let _ = sources.text(finding.fault.origin);
    }
});
