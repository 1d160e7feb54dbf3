//! The forms in which a sheet is set.

use clap::ValueEnum;
use std::path::Path;

/// The forms.
#[derive(ValueEnum, Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Form {
    /// Pages to print.
    Pdf,
    /// One file for a browser, fonts and pictures in it.
    Html,
    /// Plain text, for a terminal.
    Text,
    /// A table for a spreadsheet, comma-separated; `orders` only.
    Csv,
}

impl Form {
    /// The form that was asked for, by name or by the ending of the file.
    pub(super) fn of(asked: Option<Form>, to: Option<&Path>) -> Form {
        let by_ending = || Form::by_ending(to.and_then(ending_of)?);
        asked.or_else(by_ending).unwrap_or(Form::Pdf)
    }

    /// The ending of a file of which nobody says what form it is to have.
    pub(super) fn unknown_ending(asked: Option<Form>, to: Option<&Path>) -> Option<&str> {
        let ending = to.and_then(ending_of)?;
        (asked.is_none() && Form::by_ending(ending).is_none()).then_some(ending)
    }

    fn by_ending(ending: &str) -> Option<Form> {
        Some(match ending.to_ascii_lowercase().as_str() {
            "pdf" => Form::Pdf,
            "html" | "htm" => Form::Html,
            "txt" => Form::Text,
            "csv" => Form::Csv,
            _ => return None,
        })
    }

    /// Whether it is shown on the terminal where nobody says where it goes.
    pub(super) fn is_shown(self) -> bool {
        self == Form::Text
    }

    /// How the name of a file of this form ends.
    pub(super) fn ending(self) -> &'static str {
        match self {
            Form::Pdf => "pdf",
            Form::Html => "html",
            Form::Text => "txt",
            Form::Csv => "csv",
        }
    }
}

fn ending_of(to: &Path) -> Option<&str> {
    to.extension()?.to_str()
}
