//! Any bytes, read as a value: nothing may panic, and what is printed reads back.
#![no_main]

use libfuzzer_sys::fuzz_target;
use retin_syntax::value;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    if let Ok(value) = value::read(&text) {
        assert_eq!(value::read(&value.to_string()), Ok(value));
    }
});
