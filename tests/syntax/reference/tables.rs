//! The tables of the reference, made from the tables of the code.

use retin::library::Known;
use retin::stage::Stage;
use retin_syntax::limits;
use retin_syntax::tables::accidents::ACCIDENTS;
use retin_syntax::tables::properties::{ARGUMENTS, CHOICES, PROPERTIES};
use retin_syntax::tables::repairs::REPAIRS;
use retin_syntax::tables::verbs::STOPS;
use retin_syntax::tables::{
    ClaimSource, Direction, LeadSet, Place, Proof, PropertyRow, Struck, Takes, kinds, verbs,
};
use retin_syntax::token::{RESERVED, Token};
use retin_syntax::value::unit::{ASKED_SPELLINGS, PREFIXES};
use retin_syntax::value::{Dimension, UNITS};
use std::fmt::Write as _;

/// Makes one table.
type Make = fn() -> String;

/// Every table with what makes it.
pub const TABLES: &[(&str, Make)] = &[
    ("units", units),
    ("prefixes", prefixes),
    ("asked", asked),
    ("kinds", kinds),
    ("families", families),
    ("properties", properties),
    ("choices", choices),
    ("sources", sources),
    ("directions", directions),
    ("plan-verbs", plan_verbs),
    ("step-verbs", step_verbs),
    ("log-verbs", log_verbs),
    ("accidents", accidents),
    ("repairs", repairs),
    ("stops", stops),
    ("stages", stages),
    ("library", library),
    ("limits", limits),
    ("reserved", reserved),
];

/// The line before a table.
pub fn opening(name: &str) -> String {
    format!("<!-- generated: {name} -->\n")
}

const CLOSING: &str = "<!-- end of generated -->\n";

/// The page with every table made anew.
pub fn rewritten(page: &str) -> String {
    let mut page = page.to_owned();
    for (name, make) in TABLES {
        page = with(&page, name, &make());
    }
    page
}

/// The page without the contents of one table.
pub fn without(page: &str, name: &str) -> String {
    with(page, name, "")
}

fn with(page: &str, name: &str, table: &str) -> String {
    let opening = opening(name);
    let Some((before, rest)) = page.split_once(&opening) else {
        return page.to_owned();
    };
    let Some((_, after)) = rest.split_once(CLOSING) else {
        return page.to_owned();
    };
    format!("{before}{opening}\n{table}\n{CLOSING}{after}")
}

fn code(token: Token) -> String {
    format!("`{}`", token.reserved_text().unwrap_or(""))
}

fn codes<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    words
        .into_iter()
        .map(|word| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(" ")
}

fn table(heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let mut text = format!(
        "| {} |\n|{}\n",
        heads.join(" | "),
        " --- |".repeat(heads.len())
    );
    for row in rows {
        let _ = writeln!(text, "| {} |", row.join(" | "));
    }
    text
}

fn units() -> String {
    table(
        &["unit", "what it is", "measures", "prefixes", "also read"],
        UNITS.iter().map(|unit| {
            let prefixes: Vec<String> = unit.prefixes.chars().map(String::from).collect();
            vec![
                format!("`{}`", unit.symbol),
                unit.name.to_owned(),
                unit.dimension.name().to_owned(),
                codes(prefixes.iter().map(String::as_str)),
                codes(unit.spellings.iter().chain(unit.touching).copied()),
            ]
        }),
    )
}

fn prefixes() -> String {
    table(
        &["prefix", "power of ten", "also read"],
        PREFIXES.iter().map(|prefix| {
            let others: Vec<String> = prefix
                .spellings
                .iter()
                .map(|letter| letter.to_string())
                .collect();
            vec![
                format!("`{}`", prefix.symbol),
                prefix.exponent.to_string(),
                codes(others.iter().map(String::as_str)),
            ]
        }),
    )
}

fn asked() -> String {
    table(
        &["written", "asks whether you mean"],
        ASKED_SPELLINGS.iter().map(|asked| {
            vec![
                format!("`{}`", asked.written),
                codes(asked.meanings.iter().copied()),
            ]
        }),
    )
}

fn leads(set: LeadSet) -> String {
    match set {
        LeadSet::Numbered => "numbers".into(),
        set => codes(set.names().iter().copied()),
    }
}

fn kinds() -> String {
    table(
        &[
            "kind",
            "what it is",
            "its value",
            "leads",
            "usual tolerance",
            "a plan must say what becomes of it",
        ],
        kinds::KINDS.iter().map(|row| {
            vec![
                code(row.token),
                row.doc.to_owned(),
                row.value.map_or("none", Dimension::name).to_owned(),
                leads(row.leads),
                row.usual_tolerance.map_or("none".into(), per_cent),
                if row.ages { "yes" } else { "no" }.to_owned(),
            ]
        }),
    )
}

/// `0.05` as `5%`.
fn per_cent(share: &str) -> String {
    let share: f64 = share.parse().expect("the table holds numbers");
    format!("{}%", (share * 100.0).round())
}

fn families() -> String {
    let every = vec![
        code(Token::Part),
        "every part, of any kind".to_owned(),
        "all".to_owned(),
    ];
    table(
        &["word", "stands for", "kinds"],
        kinds::FAMILIES
            .iter()
            .map(|family| {
                vec![
                    code(family.token),
                    family.doc.to_owned(),
                    codes(
                        family
                            .members
                            .iter()
                            .filter_map(|token| token.reserved_text()),
                    ),
                ]
            })
            .chain([every]),
    )
}

/// The place as the reference names it.
fn place_word(place: Place) -> &'static str {
    match place {
        Place::Model => "model",
        Place::Board => "board",
        Place::Part => "part",
        Place::Shelf => "shelf",
        Place::Packages => "packages",
        Place::Devices => "devices",
        Place::Link => "link",
        Place::Job => "job",
        Place::Plan => "plan",
        Place::Steps => "steps",
        Place::Targets => "targets",
        Place::Log => "log",
    }
}

fn written(row: &PropertyRow) -> String {
    let Some(word) = row.token.and_then(Token::reserved_text) else {
        return "by its form".into();
    };
    match row.takes {
        Takes::Nothing => format!("`{word}`"),
        Takes::Value => format!("`{word}` and a value"),
        Takes::Word => format!("`{word}` and a word"),
        Takes::Text => format!("`{word}` and text in quotes"),
        Takes::Point => format!("`{word}` and two numbers"),
        Takes::Size => format!("`{word}` and two lengths"),
        Takes::WithNames => format!("`{word} with` and names"),
        Takes::Names => format!("`{word}` and names"),
    }
}

fn properties() -> String {
    table(
        &["written", "what it says", "stands in"],
        PROPERTIES.iter().map(|row| {
            let places: Vec<&str> = Place::ALL
                .into_iter()
                .filter(|place| row.belongs_in(*place))
                .map(place_word)
                .collect();
            vec![written(row), row.doc.to_owned(), places.join(", ")]
        }),
    )
}

fn choices() -> String {
    let alone = CHOICES.iter().map(|(token, property, doc)| {
        vec![
            code(*token),
            format!("{property:?}").to_lowercase(),
            (*doc).to_owned(),
        ]
    });
    let arguments = ARGUMENTS.iter().flat_map(|(property, tokens)| {
        let row = PROPERTIES
            .iter()
            .find(|row| row.property == *property && row.token.is_some());
        let introduced = row.and_then(|row| row.token).map(code).unwrap_or_default();
        tokens.iter().map(move |token| {
            vec![
                code(*token),
                format!("after {introduced}"),
                "see that property".to_owned(),
            ]
        })
    });
    table(&["word", "says", "meaning"], alone.chain(arguments))
}

fn sources() -> String {
    table(
        &["source", "what it is"],
        ClaimSource::all().map(|(_, token, meaning)| vec![code(token), meaning.to_owned()]),
    )
}

fn directions() -> String {
    let words: Vec<&str> = Direction::all().map(Direction::word).collect();
    format!("{}\n", codes(words))
}

fn plan_verbs() -> String {
    table(
        &["verb", "what is to happen"],
        verbs::PLAN_VERBS
            .iter()
            .map(|row| vec![code(row.token), row.doc.to_owned()]),
    )
}

fn step_verbs() -> String {
    table(
        &["in steps", "in the log", "what it is"],
        verbs::STEP_VERBS
            .iter()
            .map(|(row, past)| vec![code(row.token), code(*past), row.doc.to_owned()]),
    )
}

fn log_verbs() -> String {
    table(
        &["in the log only", "what it is"],
        verbs::LOG_ONLY
            .iter()
            .map(|(token, doc)| vec![code(*token), (*doc).to_owned()]),
    )
}

fn struck(struck: Struck) -> &'static str {
    match struck {
        Struck::Pad => "a pad",
        Struck::Barrel => "a hole",
        Struck::Trace => "a trace",
        Struck::Joint => "a joint",
        Struck::Part => "a part",
        Struck::Board => "the board",
    }
}

fn proof(proof: Proof) -> &'static str {
    match proof {
        Proof::EndToEnd => "a reading from end to end, on both sides where holes are plated",
        Proof::Apart => "a reading that shows the two apart, or a look",
        Proof::Look => "a look",
        Proof::AnotherPart => "another part in the place",
        Proof::Reading => "a reading of the part, or another part",
    }
}

fn accidents() -> String {
    table(
        &[
            "written",
            "what happened",
            "strikes",
            "a repair has to show",
        ],
        ACCIDENTS.iter().map(|row| {
            vec![
                format!("`{}`", row.words),
                row.doc.to_owned(),
                struck(row.strikes).to_owned(),
                proof(row.proof).to_owned(),
            ]
        }),
    )
}

fn repairs() -> String {
    table(
        &["written", "what was done", "mends"],
        REPAIRS.iter().map(|row| {
            let written = if row.words == "wire" {
                "`wire` and its diameter".to_owned()
            } else {
                format!("`{}`", row.words)
            };
            let mends: Vec<String> = row
                .mends
                .iter()
                .map(|accident| format!("`{}`", accident.row().words))
                .collect();
            vec![written, row.doc.to_owned(), mends.join(", ")]
        }),
    )
}

fn stops() -> String {
    table(
        &["written", "where the trimmer stands"],
        STOPS
            .iter()
            .map(|row| vec![format!("`{}`", row.0), row.2.to_owned()]),
    )
}

fn stages() -> String {
    table(
        &["stage", "a rule of this stage makes an error"],
        Stage::ALL.map(|stage| {
            vec![
                format!("`{}`", stage.word()),
                format!("{} and from then on", stage.phrase()),
            ]
        }),
    )
}

fn library() -> String {
    let known = Known::built_in();
    format!(
        "Packages: {}\n\nDevices: {}\n",
        codes(known.packages().map(|package| package.name)),
        codes(known.devices().map(|device| device.name)),
    )
}

fn limits() -> String {
    table(
        &["what", "at most"],
        [
            (
                "a file",
                format!("{} MiB", limits::FILE_BYTES / 1024 / 1024),
            ),
            ("a line", format!("{} bytes", limits::LINE_BYTES)),
            ("lines below lines", format!("{} levels", limits::DEPTH)),
            (
                "files that use one another in a chain",
                limits::USE_DEPTH.to_string(),
            ),
            ("names in one range", limits::RANGE_MEMBERS.to_string()),
        ]
        .map(|(what, most)| vec![what.to_owned(), most]),
    )
}

fn reserved() -> String {
    let mut words: Vec<&str> = RESERVED.iter().map(|row| row.0).collect();
    words.sort_unstable();
    format!("{}\n", codes(words))
}
