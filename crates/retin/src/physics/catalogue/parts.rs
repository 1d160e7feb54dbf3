//! Choosing parts: heat, derating, tolerance, parts joined.

use super::{
    Alternating, Computation, Output, Refusal, alternating, cautions, choice, defaulted, field,
    led, number, optional, required, whole, word, words,
};
use crate::physics::preferred::{self, Joining};
use crate::physics::tolerance::{self, Tolerance};
use crate::physics::units::{Dimension, Farads, Ohms, Percent, Quantity};
use crate::physics::{resistor, substitute};
use retin_syntax::value::Series;

const SERIES: &[&str] = &["E3", "E6", "E12", "E24", "E48", "E96", "E192"];

pub(super) const COMPUTATIONS: &[Computation] = &[
    Computation {
        name: "heat",
        summary: "Heat in a resistor from the voltage across it",
        inputs: &[
            alternating(
                Alternating::Effective,
                required("voltage", Dimension::Voltage),
            ),
            required("resistance", Dimension::Resistance),
        ],
        outputs: &[
            field("dissipation", Dimension::Power),
            field("current", Dimension::Current),
        ],
        formula: "P = V²/R; I = V/R",
        source: "Joule's law, Ohm's law",
        validity: "direct voltage or rms",
        example: &[("voltage", number(10.0)), ("resistance", number(5.0))],
        cautions: &[],
        compute: |inputs| {
            let voltage = inputs.quantity("voltage")?;
            let resistance = inputs.quantity("resistance")?;
            Ok(vec![
                Output::number(
                    "dissipation",
                    resistor::dissipation_from_voltage(voltage, resistance)?,
                ),
                Output::number("current", resistor::current(voltage, resistance)?),
            ])
        },
    },
    Computation {
        name: "derating",
        summary: "Power a resistor may take at an ambient temperature",
        inputs: &[
            required("rating", Dimension::Power),
            led("full", required("full-power-up-to", Dimension::Temperature)),
            led("zero", required("no-power-at", Dimension::Temperature)),
            led("at", required("ambient", Dimension::Temperature)),
        ],
        outputs: &[field("power", Dimension::Power)],
        formula: "straight line from full power to none between two temperatures",
        source: "form of resistor sheets, common practice; the temperatures come from the part's sheet",
        validity: "the no-power temperature is above the full-power one",
        example: &[
            ("rating", number(0.25)),
            ("full-power-up-to", number(70.0)),
            ("no-power-at", number(155.0)),
            ("ambient", number(85.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let power = resistor::derated_power(
                inputs.quantity("rating")?,
                inputs.quantity("full-power-up-to")?,
                inputs.quantity("no-power-at")?,
                inputs.quantity("ambient")?,
            )?;
            Ok(vec![Output::number("power", power)])
        },
    },
    Computation {
        name: "divider",
        summary: "Voltage at the tap of an unloaded divider",
        inputs: &[
            required("supply", Dimension::Voltage),
            led("upper", required("upper", Dimension::Resistance)),
            led("lower", required("lower", Dimension::Resistance)),
        ],
        outputs: &[field("tap", Dimension::Voltage)],
        formula: "V·lower/(upper + lower)",
        source: "Ohm's law",
        validity: "nothing loads the tap",
        example: &[
            ("supply", number(9.0)),
            ("upper", number(100e3)),
            ("lower", number(100e3)),
        ],
        cautions: &[],
        compute: |inputs| {
            let tap = resistor::divider(
                inputs.quantity("supply")?,
                inputs.quantity("upper")?,
                inputs.quantity("lower")?,
            )?;
            Ok(vec![Output::number("tap", tap)])
        },
    },
    Computation {
        name: "tolerance",
        summary: "Whether a measured resistor lies within its tolerance",
        inputs: &[
            led("nominal", required("nominal", Dimension::Resistance)),
            led("measured", required("measured", Dimension::Resistance)),
            defaulted("percent", Dimension::Percent, 5.0),
        ],
        outputs: &[
            field("low", Dimension::Resistance),
            field("high", Dimension::Resistance),
            field("deviation", Dimension::Percent),
            words("verdict"),
        ],
        formula: "nominal·(1 ± tolerance)",
        source: "definition",
        validity: "nominal above zero, tolerance 0 to 100 %",
        example: &[("nominal", number(4.7e3)), ("measured", number(5.1e3))],
        cautions: &[],
        compute: |inputs| {
            let nominal: Ohms = inputs.quantity("nominal")?;
            let measured = inputs.quantity("measured")?;
            let percent: Percent = inputs.quantity("percent")?;
            let window = tolerance::window(nominal, Tolerance::symmetric(percent)?)?;
            let verdict = if window.holds(measured) {
                "within tolerance"
            } else {
                "outside tolerance"
            };
            Ok(vec![
                Output::number("low", window.low),
                Output::number("high", window.high),
                Output::number("deviation", tolerance::deviation(nominal, measured)?),
                Output::text("verdict", verdict),
            ])
        },
    },
    Computation {
        name: "bipolar",
        summary: "Two equal polar electrolytics back to back as one bipolar",
        inputs: &[required("each", Dimension::Capacitance)],
        outputs: &[field("capacitance", Dimension::Capacitance)],
        formula: "C/2; each half bears the whole voltage of its direction",
        source: "series law; common practice",
        validity: "equal parts, like poles joined; the rating does not double",
        example: &[("each", number(10e-6))],
        cautions: &[],
        compute: |inputs| {
            let capacitance = substitute::back_to_back(inputs.quantity("each")?)?;
            Ok(vec![Output::number("capacitance", capacitance)])
        },
    },
    Computation {
        name: "series-share",
        summary: "How a voltage divides over two capacitors in series",
        inputs: &[
            required("voltage", Dimension::Voltage),
            led("first", required("first", Dimension::Capacitance)),
            led("second", required("second", Dimension::Capacitance)),
        ],
        outputs: &[
            field("capacitance", Dimension::Capacitance),
            field("across-first", Dimension::Voltage),
            field("across-second", Dimension::Voltage),
        ],
        formula: "V1 = V·C2/(C1 + C2)",
        source: "series law; Chemi-Con guide (published) for balance resistors",
        validity: "just after charging; later leakage rules, so balance electrolytics",
        example: &[
            ("voltage", number(400.0)),
            ("first", number(100e-6)),
            ("second", number(120e-6)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let first = inputs.quantity("first")?;
            let second = inputs.quantity("second")?;
            let shares = substitute::series_share(inputs.quantity("voltage")?, first, second)?;
            let together = substitute::capacitors_in_series(&[first, second])?;
            Ok(vec![
                Output::number("capacitance", together),
                Output::number("across-first", shares.0),
                Output::number("across-second", shares.1),
            ])
        },
    },
    Computation {
        name: "balance",
        summary: "Greatest balance resistor across capacitors in series",
        inputs: &[
            whole("count"),
            led("rated", required("rated-voltage", Dimension::Voltage)),
            led("on", required("voltage", Dimension::Voltage)),
            required("leakage", Dimension::Current),
        ],
        outputs: &[
            field("resistor", Dimension::Resistance),
            field("dissipation", Dimension::Power),
        ],
        formula: "R = (n·Vr − V)/Ileak; P = Vr²/R",
        source: "va1der.ca, reported; common practice",
        validity: "2 to 100 parts whose ratings together exceed the voltage",
        example: &[
            ("count", number(2.0)),
            ("rated-voltage", number(250.0)),
            ("voltage", number(400.0)),
            ("leakage", number(0.5e-3)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            // A negative count is out of range in any case.
            let count = u32::try_from(inputs.whole("count")?).unwrap_or(0);
            let rated = inputs.quantity("rated-voltage")?;
            let resistor = substitute::balance_resistor(
                count,
                rated,
                inputs.quantity("voltage")?,
                inputs.quantity("leakage")?,
            )?;
            Ok(vec![
                Output::number("resistor", resistor),
                Output::number(
                    "dissipation",
                    resistor::dissipation_from_voltage(rated, resistor)?,
                ),
            ])
        },
    },
    Computation {
        name: "preferred",
        summary: "Nearest preferred value, and the best pairs in series and in parallel",
        inputs: &[
            optional("resistance", Dimension::Resistance),
            optional("capacitance", Dimension::Capacitance),
            choice("series", SERIES, "E24"),
        ],
        outputs: &[
            field("nearest", Dimension::Resistance),
            field("nearest", Dimension::Capacitance),
            field("off-by", Dimension::Percent),
            field("in-series", Dimension::Resistance),
            field("in-series", Dimension::Capacitance),
            field("series-larger", Dimension::Resistance),
            field("series-larger", Dimension::Capacitance),
            field("series-smaller", Dimension::Resistance),
            field("series-smaller", Dimension::Capacitance),
            field("in-parallel", Dimension::Resistance),
            field("in-parallel", Dimension::Capacitance),
            field("parallel-larger", Dimension::Resistance),
            field("parallel-larger", Dimension::Capacitance),
            field("parallel-smaller", Dimension::Resistance),
            field("parallel-smaller", Dimension::Capacitance),
        ],
        formula: "nearest by difference; resistors add in series, capacitors in parallel",
        source: "IEC 60063 preferred values",
        validity: "a resistance or a capacitance; nominal values, tolerances left aside",
        cautions: &[],
        example: &[("resistance", number(319.0)), ("series", word("E24"))],
        compute: |inputs| {
            let name = inputs.chosen("series")?;
            let decade: Vec<u32> = Series::ALL
                .into_iter()
                .filter(|series| series.to_string() == name)
                .flat_map(Series::figures)
                .map(|figures| u32::from(*figures))
                .collect();
            let resistance: Option<Ohms> = inputs.optional("resistance")?;
            let capacitance: Option<Farads> = inputs.optional("capacitance")?;
            match (resistance, capacitance) {
                (Some(wished), None) => {
                    nearby(wished, &decade, Joining::Adding, Joining::Reciprocal)
                }
                (None, Some(wished)) => {
                    nearby(wished, &decade, Joining::Reciprocal, Joining::Adding)
                }
                _ => Err(Refusal::OneOf {
                    first: "resistance",
                    second: "capacitance",
                }),
            }
        },
    },
];

/// The nearest preferred value and the best pairs, as results.
fn nearby<Value: Quantity>(
    wished: Value,
    decade: &[u32],
    in_series: Joining,
    in_parallel: Joining,
) -> Result<Vec<Output>, Refusal> {
    let nearest = preferred::nearest(wished, decade)?;
    let series = preferred::best_pair(wished, decade, in_series)?;
    let parallel = preferred::best_pair(wished, decade, in_parallel)?;
    let off = Percent::checked("off by", (nearest.get() / wished.get() - 1.0) * 100.0)?;
    Ok(vec![
        Output::number("nearest", nearest),
        Output::number("off-by", off),
        Output::number("in-series", series.together),
        Output::number("series-larger", series.larger),
        Output::number("series-smaller", series.smaller),
        Output::number("in-parallel", parallel.together),
        Output::number("parallel-larger", parallel.larger),
        Output::number("parallel-smaller", parallel.smaller),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_offered_are_the_names_of_the_series() {
        assert_eq!(Series::ALL.map(|series| series.to_string()), SERIES);
    }
}
