//! A value that cannot be read, or that could be read in two ways.

use super::{Judge, Rule};
use crate::finding::{Edit, Fault, Fix};
use crate::meaning::{Case, Problem, ProblemKind};
use crate::sources::Origin;
use crate::stage::Stage;
use retin_syntax::value::ValueErrorKind;

pub(super) const RULE: Rule = Rule {
    name: "unclear-value",
    at: Stage::List,
    summary: "an old spelling, a bare number, or a word that is no value",
    page: include_str!("unclear_value.md"),
    judge: Judge::Problem(judge),
};

const LEFT_OUT: &str =
    "until it is clear the value is left out, and every check that needs it stays open";

fn judge(_case: &Case<'_>, problem: &Problem) -> Option<Fault> {
    match &problem.kind {
        ProblemKind::NotAValue { written, error } => {
            Some(not_a_value(problem.origin, written, error))
        }
        ProblemKind::BareNumber {
            number,
            expected,
            suggestions,
        } => {
            let what = expected.map_or("a value", |dimension| dimension.with_article());
            let fact = format!("`{number}` has no unit, and {what} belongs here");
            Some(asked(
                problem.origin,
                fact,
                suggestions,
                "write the unit behind the number",
            ))
        }
        _ => None,
    }
}

fn not_a_value(origin: Origin, written: &str, error: &ValueErrorKind) -> Fault {
    let suggestions = error.suggestions();
    let written = written.trim();
    match error {
        ValueErrorKind::OldSpelling { .. } => {
            let fact = format!("`{written}` is an old spelling that has meant different things");
            asked(origin, fact, suggestions, "write the unit it stands for")
        }
        ValueErrorKind::Ambiguous { .. } => asked(
            origin,
            format!("`{written}` can be read in more than one way"),
            suggestions,
            "write it out",
        ),
        ValueErrorKind::UnitMissing { .. } => asked(
            origin,
            format!("`{written}` has no unit"),
            suggestions,
            "write the unit behind the number",
        ),
        ValueErrorKind::UnknownUnit { unit, .. } => {
            let fact = format!("`{written}` is no value: no unit is written {unit}");
            refused(
                origin,
                fact,
                suggestions,
                "write a unit of the trade, such as uF, kohm or V",
            )
        }
        ValueErrorKind::WrongPrefix { prefix, unit, .. } => {
            let fact =
                format!("`{written}` is no value: {prefix}{unit} is not a unit of the trade");
            refused(
                origin,
                fact,
                suggestions,
                "write a unit of the trade, such as uF, kohm or V",
            )
        }
        ValueErrorKind::DecimalComma { .. } => {
            let fact =
                format!("`{written}` has a comma, which separates values; decimals take a point");
            refused(
                origin,
                fact,
                suggestions,
                "write the decimals behind a point",
            )
        }
        ValueErrorKind::NotAValue => refused(
            origin,
            format!("`{written}` is not a value"),
            suggestions,
            "write a number with its unit, or `?` where it cannot be read",
        ),
        other => {
            // What is wrong, and behind it, for most, how it is written.
            let told = other.to_string();
            let (wrong, how) = told.split_once("; ").unwrap_or((
                told.as_str(),
                "write a number with its unit, or `?` where it cannot be read",
            ));
            refused(origin, format!("`{written}`: {wrong}"), suggestions, how)
        }
    }
}

fn refused(origin: Origin, fact: String, suggestions: &[String], otherwise: &str) -> Fault {
    let remedy = match suggestions {
        [] => otherwise.to_owned(),
        some => format!("write {} if that is meant", choice(some)),
    };
    let fault = Fault::new(origin, fact, LEFT_OUT, remedy);
    match suggestions {
        [] => fault,
        [first, ..] => fault.fix(Fix {
            title: format!("write `{first}`"),
            edits: vec![Edit {
                origin,
                text: first.clone(),
            }],
        }),
    }
}

/// What the technician alone can know.
fn asked(origin: Origin, fact: String, suggestions: &[String], otherwise: &str) -> Fault {
    refused(origin, fact, suggestions, otherwise).question()
}

fn choice(suggestions: &[String]) -> String {
    match suggestions {
        [] => String::new(),
        [only] => format!("`{only}`"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(|text| format!("`{text}`")).collect();
            format!("{} or `{last}`", first.join(", "))
        }
    }
}
