//! How a case holds the words of its files.

use rustc_hash::FxHashSet;
use std::cell::RefCell;

/// Takes words of a text that lives for `'t` for a case that lives for `'a`.
pub(super) trait Words<'t, 'a> {
    /// The word as the case holds it.
    fn keep(&self, text: &'t str) -> &'a str;
}

/// Words as they stand in the text, which has to outlive the case.
pub(super) struct AsTheyStand;

impl<'t> Words<'t, 't> for AsTheyStand {
    fn keep(&self, text: &'t str) -> &'t str {
        text
    }
}

/// The words of cases that outlive the text they were read from: whoever keeps a
/// case from one edit to the next keeps its words in here.
///
/// Each word is held once and never given back. That is bounded by what people
/// type: a day of it comes to some hundred kilobytes.
#[derive(Default, Debug)]
pub struct KeptWords {
    known: RefCell<FxHashSet<&'static str>>,
}

impl KeptWords {
    /// No words yet.
    pub fn new() -> Self {
        KeptWords::default()
    }

    /// How many different words there are.
    pub fn len(&self) -> usize {
        self.known.borrow().len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.known.borrow().is_empty()
    }
}

impl<'t> Words<'t, 'static> for KeptWords {
    fn keep(&self, text: &'t str) -> &'static str {
        if let Some(known) = self.known.borrow().get(text) {
            return known;
        }
        let word: &'static str = Box::leak(text.into());
        self.known.borrow_mut().insert(word);
        word
    }
}
