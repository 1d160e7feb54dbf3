//! Computations and answers for programs. The form is described in
//! `syntax/work.md`; a change that could break a reader raises [`VERSION`].

use super::text::unit;
use retin::physics::asking::{Asked, example};
use retin::physics::catalogue::{
    Alternating, Computation, Given, InputKind, Need, Output, OutputValue,
};
use serde::Serialize;
use std::io;

/// The version of the form.
const VERSION: u32 = 1;

/// The name of the form.
const FORM: &str = "retin-work";

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Explained {
    form: &'static str,
    version: u32,
    computations: Vec<Page>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Page {
    name: &'static str,
    summary: &'static str,
    inputs: Vec<InputPage>,
    outputs: Vec<OutputPage>,
    formula: &'static str,
    source: &'static str,
    validity: &'static str,
    cautions: &'static [&'static str],
    example: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct InputPage {
    name: &'static str,
    lead: Option<&'static str>,
    unit: Option<&'static str>,
    words: Option<&'static [&'static str]>,
    is_required: bool,
    usual: Option<Amount>,
    takes_alternating_voltage: bool,
}

#[derive(Serialize)]
struct OutputPage {
    name: &'static str,
    unit: Option<&'static str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Answer<'a> {
    form: &'static str,
    version: u32,
    computation: &'static str,
    given: Vec<GivenValue>,
    results: Vec<ResultValue<'a>>,
    formula: &'static str,
    source: &'static str,
    validity: &'static str,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct GivenValue {
    name: &'static str,
    value: Amount,
    unit: Option<&'static str>,
    stands_in: bool,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct ResultValue<'a> {
    name: &'static str,
    value: Amount,
    unit: Option<&'a str>,
}

/// A number or a word.
#[derive(Serialize)]
#[serde(untagged)]
enum Amount {
    Number(f64),
    Text(String),
}

impl From<&Given> for Amount {
    fn from(given: &Given) -> Self {
        match given {
            Given::Number(number) => Amount::Number(*number),
            Given::Word(word) => Amount::Text(word.to_string()),
        }
    }
}

/// The pages of computations.
///
/// # Errors
/// When the document cannot be written.
pub fn explained(computations: &[&'static Computation]) -> io::Result<String> {
    written(&Explained {
        form: FORM,
        version: VERSION,
        computations: computations
            .iter()
            .map(|computation| page(computation))
            .collect(),
    })
}

fn page(computation: &'static Computation) -> Page {
    let inputs = computation.inputs.iter().map(|input| InputPage {
        name: input.name,
        lead: input.lead,
        unit: unit_of(input.kind),
        words: match input.kind {
            InputKind::Word(words) => Some(words),
            _ => None,
        },
        is_required: input.need == Need::Required,
        usual: match input.need {
            Need::Default(number) => Some(Amount::Number(number)),
            Need::DefaultWord(word) => Some(Amount::Text(word.to_owned())),
            Need::Required | Need::Optional => None,
        },
        takes_alternating_voltage: input.alternating != Alternating::Refused,
    });
    let outputs = computation.outputs.iter().map(|field| OutputPage {
        name: field.name,
        unit: field.dimension.map(|dimension| dimension.unit()),
    });
    Page {
        name: computation.name,
        summary: computation.summary,
        inputs: inputs.collect(),
        outputs: outputs.collect(),
        formula: computation.formula,
        source: computation.source,
        validity: computation.validity,
        cautions: computation.cautions,
        example: example(computation),
    }
}

/// An answer, with what it was computed from.
///
/// # Errors
/// When the document cannot be written.
pub fn answer(asked: &Asked, outputs: &[Output]) -> io::Result<String> {
    let given = asked.taken.iter().map(|taken| GivenValue {
        name: taken.input.name,
        value: Amount::from(&taken.value),
        unit: unit_of(taken.input.kind),
        stands_in: taken.stands_in,
    });
    let results = outputs.iter().map(|output| match &output.value {
        OutputValue::Number(number, dimension) => ResultValue {
            name: output.name,
            value: Amount::Number(*number),
            unit: Some(dimension.unit()),
        },
        OutputValue::Text(text) => ResultValue {
            name: output.name,
            value: Amount::Text(text.clone()),
            unit: None,
        },
    });
    written(&Answer {
        form: FORM,
        version: VERSION,
        computation: asked.computation.name,
        given: given.collect(),
        results: results.collect(),
        formula: asked.computation.formula,
        source: asked.computation.source,
        validity: asked.computation.validity,
        cautions: asked.cautions(),
    })
}

/// The unit of an input that is a number; nothing for a word.
fn unit_of(kind: InputKind) -> Option<&'static str> {
    match kind {
        InputKind::Word(_) => None,
        _ => Some(unit(kind)),
    }
}

fn written(document: &impl Serialize) -> io::Result<String> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(text)
}
