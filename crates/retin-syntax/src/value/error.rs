//! Why a word is no value, said so that it can be mended.

use std::fmt;

/// Why a text is no value, and which part of it is to blame.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ValueError {
    /// What is wrong.
    pub kind: ValueErrorKind,
    /// The first byte of the part to blame, within the text that was read.
    pub start: u32,
    /// The byte after the last one to blame.
    pub end: u32,
}

impl ValueError {
    /// An error about the bytes `start..end` of the text that was read.
    pub(super) fn new(kind: ValueErrorKind, start: usize, end: usize) -> Self {
        let narrow = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        ValueError {
            kind,
            start: narrow(start),
            end: narrow(end),
        }
    }

    /// The same error about a part that begins `by` bytes into a larger text.
    pub(super) fn shifted(mut self, by: usize) -> Self {
        let by = u32::try_from(by).unwrap_or(u32::MAX);
        self.start = self.start.saturating_add(by);
        self.end = self.end.saturating_add(by);
        self
    }

    /// The bytes to blame.
    #[must_use]
    pub fn blamed(&self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The same error, its part cut off at `length` bytes.
    pub(super) fn within(mut self, length: usize) -> Self {
        let length = u32::try_from(length).unwrap_or(u32::MAX);
        self.start = self.start.min(length);
        self.end = self.end.min(length);
        self
    }

    /// Canonical texts that may stand in place of the whole text, likeliest first.
    #[must_use]
    pub fn suggestions(&self) -> &[String] {
        self.kind.suggestions()
    }
}

impl fmt::Display for ValueError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.kind.fmt(f)
    }
}

impl std::error::Error for ValueError {}

/// What is wrong with a value. Suggestions replace the whole text and are canonical.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ValueErrorKind {
    /// It is a word, not a value: `radial`, `2N3904`, `TO-92`. The caller takes it for a name.
    NotAValue,
    /// A number with a unit that nobody knows.
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The value in units that look like it.
        suggestions: Vec<String>,
    },
    /// A spelling of old drawings and labels that has to be asked about.
    OldSpelling {
        /// What it may mean, likeliest first.
        suggestions: Vec<String>,
    },
    /// A prefix that is not used with this unit, often `M` for `m`.
    WrongPrefix {
        /// The prefix as the table spells it.
        prefix: char,
        /// The unit it stands before.
        unit: &'static str,
        /// The prefixes likely to be meant.
        suggestions: Vec<String>,
    },
    /// Two readings are equally good.
    Ambiguous {
        /// The readings.
        suggestions: Vec<String>,
    },
    /// A comma where the decimal point belongs.
    DecimalComma {
        /// The comma as a point, and as a mark between thousands where it may be one.
        suggestions: Vec<String>,
    },
    /// A number that needs a unit here.
    UnitMissing {
        /// The value with the unit likely to be meant.
        suggestions: Vec<String>,
    },
    /// More digits than are kept exactly (28 or 29).
    TooManyDigits,
    /// Too large or too small to be kept exactly.
    OutOfRange,
    /// A fraction that has no end in decimals: `1/3W`.
    NotExact,
    /// A fraction where none is usual: `12/24V`.
    Fraction,
    /// A size that is zero.
    NotPositive,
    /// The two ends of a range, or the two sides of a tolerance, measure different things.
    MixedEnds,
    /// A range whose low end is above its high end.
    EmptyRange,
    /// A date that is not ISO 8601, or not in the calendar.
    BadDate {
        /// The date in ISO 8601, both orders of day and month where it may be either.
        suggestions: Vec<String>,
    },
    /// A time of day that no clock shows.
    BadTime,
    /// A currency that is no ISO 4217 code.
    BadCurrency {
        /// The currency as written.
        currency: String,
        /// The amount with the code likely to be meant.
        suggestions: Vec<String>,
    },
    /// `24 AWG`: a wire gauge, and also the code of the Aruban florin.
    WireGauge,
    /// A marking that is none of the codes read.
    NotAMarking,
    /// A tolerance letter on which published sources disagree.
    LetterInConflict {
        /// The letter.
        letter: char,
    },
    /// A tolerance letter that says nothing certain on this part.
    LetterUnclear {
        /// The letter.
        letter: char,
    },
}

impl ValueErrorKind {
    /// Canonical texts that may stand in place of the whole text, likeliest first.
    #[must_use]
    pub fn suggestions(&self) -> &[String] {
        match self {
            ValueErrorKind::UnknownUnit { suggestions, .. }
            | ValueErrorKind::OldSpelling { suggestions }
            | ValueErrorKind::WrongPrefix { suggestions, .. }
            | ValueErrorKind::Ambiguous { suggestions }
            | ValueErrorKind::DecimalComma { suggestions }
            | ValueErrorKind::UnitMissing { suggestions }
            | ValueErrorKind::BadDate { suggestions }
            | ValueErrorKind::BadCurrency { suggestions, .. } => suggestions,
            _ => &[],
        }
    }

    /// The suggestions, to be fitted into a larger text.
    pub(super) fn suggestions_mut(&mut self) -> Option<&mut Vec<String>> {
        match self {
            ValueErrorKind::UnknownUnit { suggestions, .. }
            | ValueErrorKind::OldSpelling { suggestions }
            | ValueErrorKind::WrongPrefix { suggestions, .. }
            | ValueErrorKind::Ambiguous { suggestions }
            | ValueErrorKind::DecimalComma { suggestions }
            | ValueErrorKind::UnitMissing { suggestions }
            | ValueErrorKind::BadDate { suggestions }
            | ValueErrorKind::BadCurrency { suggestions, .. } => Some(suggestions),
            _ => None,
        }
    }

    /// Whether the text is just a word, to be taken for a name.
    #[must_use]
    pub fn is_just_a_word(&self) -> bool {
        matches!(self, ValueErrorKind::NotAValue)
    }
}

/// Writes suggestions as a choice: "10nF or 10uF".
fn choice(suggestions: &[String]) -> String {
    match suggestions {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

impl fmt::Display for ValueErrorKind {
    /// One sentence, without a full stop, for a message to the technician.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ValueErrorKind::NotAValue => f.write_str("this is a word, not a value"),
            ValueErrorKind::UnknownUnit { unit, suggestions } if suggestions.is_empty() => {
                write!(f, "no unit is written {unit}")
            }
            ValueErrorKind::UnknownUnit { unit, suggestions } => {
                write!(
                    f,
                    "no unit is written {unit}; perhaps {} is meant",
                    choice(suggestions)
                )
            }
            ValueErrorKind::OldSpelling { suggestions } if suggestions.is_empty() => {
                f.write_str("this is an old spelling; write the unit it stands for")
            }
            ValueErrorKind::OldSpelling { suggestions } => {
                write!(
                    f,
                    "this is an old spelling; write {} if that is what it means",
                    choice(suggestions)
                )
            }
            ValueErrorKind::WrongPrefix {
                prefix,
                unit,
                suggestions,
            } if suggestions.is_empty() => {
                write!(f, "{prefix}{unit} is not a unit of the trade")
            }
            ValueErrorKind::WrongPrefix {
                prefix,
                unit,
                suggestions,
            } => {
                write!(
                    f,
                    "{prefix}{unit} is not a unit of the trade; perhaps {} is meant",
                    choice(suggestions)
                )
            }
            ValueErrorKind::Ambiguous { suggestions } => {
                write!(
                    f,
                    "this can be read in more than one way; write {}",
                    choice(suggestions)
                )
            }
            ValueErrorKind::DecimalComma { suggestions } if suggestions.is_empty() => {
                f.write_str("a comma separates values; decimals take a point")
            }
            ValueErrorKind::DecimalComma { suggestions } => {
                write!(
                    f,
                    "a comma separates values and decimals take a point; write {}",
                    choice(suggestions)
                )
            }
            ValueErrorKind::UnitMissing { suggestions } if suggestions.is_empty() => {
                f.write_str("the unit is missing")
            }
            ValueErrorKind::UnitMissing { suggestions } => {
                write!(
                    f,
                    "the unit is missing; perhaps {} is meant",
                    choice(suggestions)
                )
            }
            ValueErrorKind::TooManyDigits => {
                f.write_str("this number has more digits than can be kept exactly (28)")
            }
            ValueErrorKind::OutOfRange => {
                f.write_str("this number is too large or too small to be kept exactly")
            }
            ValueErrorKind::NotExact => f.write_str(
                "this fraction has no exact decimal; write the value in figures, rounded as you mean it",
            ),
            ValueErrorKind::Fraction => f.write_str(
                "a fraction is read below one and in watts, amperes or inches only; write the value in figures",
            ),
            ValueErrorKind::NotPositive => f.write_str("a size must be above zero"),
            ValueErrorKind::MixedEnds => {
                f.write_str("the two ends measure different things; give both the same unit")
            }
            ValueErrorKind::EmptyRange => {
                f.write_str("the first end of a range must not be above the second")
            }
            ValueErrorKind::BadDate { suggestions } if suggestions.is_empty() => {
                f.write_str("this is no day of the calendar; a date is written year-month-day")
            }
            ValueErrorKind::BadDate { suggestions } => {
                write!(
                    f,
                    "a date is written year-month-day; write {}",
                    choice(suggestions)
                )
            }
            ValueErrorKind::BadTime => {
                f.write_str("no clock shows this time; hours go to 23 and minutes to 59")
            }
            ValueErrorKind::BadCurrency {
                currency,
                suggestions,
            } if suggestions.is_empty() => {
                write!(
                    f,
                    "{currency} is no currency code of ISO 4217, such as EUR or USD"
                )
            }
            ValueErrorKind::BadCurrency {
                currency,
                suggestions,
            } => {
                write!(
                    f,
                    "{currency} is no currency code of ISO 4217; write {}",
                    choice(suggestions)
                )
            }
            ValueErrorKind::WireGauge => f.write_str(
                "AWG is a wire gauge here, not money; write the diameter of the wire in millimetres",
            ),
            ValueErrorKind::NotAMarking => {
                f.write_str("this is none of the marking codes; write the value itself")
            }
            ValueErrorKind::LetterInConflict { letter } => write!(
                f,
                "makers use the tolerance letter {letter} for different tolerances; write the tolerance in per cent"
            ),
            ValueErrorKind::LetterUnclear { letter } => write!(
                f,
                "the letter {letter} states no certain tolerance on this part; write the tolerance itself"
            ),
        }
    }
}
