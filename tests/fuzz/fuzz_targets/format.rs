//! Any bytes, formatted: nothing may panic, and twice is once.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let once = retin_syntax::format(&text).text;
    assert_eq!(retin_syntax::format(&once).text, once);
});
