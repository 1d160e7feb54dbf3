//! Any three texts, parted by lines of `%`, joined: nothing may panic, and a
//! side that did nothing is not in the way.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let mut texts = text.split("%\n");
    let mut next = || texts.next().unwrap_or("");
    let (base, ours, theirs) = (next(), next(), next());
    let merged = retin::merge::merge(base, ours, theirs);
    assert_eq!(merged, retin::merge::merge(base, ours, theirs));
    assert_eq!(retin::merge::merge(base, base, theirs).text, theirs);
    assert_eq!(retin::merge::merge(base, ours, base).text, ours);
});
