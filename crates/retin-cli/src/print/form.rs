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
        let ending = to.and_then(|to| to.extension()?.to_str());
        let by_ending = ending.and_then(|ending| match ending.to_ascii_lowercase().as_str() {
            "html" | "htm" => Some(Form::Html),
            "txt" => Some(Form::Text),
            "csv" => Some(Form::Csv),
            _ => None,
        });
        asked.or(by_ending).unwrap_or(Form::Pdf)
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
