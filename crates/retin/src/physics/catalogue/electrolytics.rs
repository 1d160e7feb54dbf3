//! Ageing of electrolytics: life, series resistance, leakage, re-forming, wear.

use super::{
    Computation, Inputs, Output, Refusal, cautions, choice, defaulted, field, led, number,
    required, words,
};
use crate::physics::electrolytic_life::{self, RatedLife, RippleStress, VoltageStress};
use crate::physics::leakage::{self, LeakageRule};
use crate::physics::loss_factor::{self, LossSeries};
use crate::physics::reform::{self, ReformSource};
use crate::physics::units::{Dimension, OutOfValidity, ValidityRule};
use crate::physics::{case_pitch, end_of_life};

const LEAKAGE_RULES: &[&str] = &[
    "lelon-rga",
    "kemet-esl",
    "samwha-sd",
    "samwha-sd-1min",
    "keltron-radial",
];
const LOSS_SERIES: &[&str] = &["lelon-rga", "keltron-radial"];
const REFORM_SOURCES: &[&str] = &["cornell-dubilier", "panasonic", "databook"];

pub(super) const COMPUTATIONS: &[Computation] = &[
    Computation {
        name: "life",
        summary: "Hours an electrolytic may be expected to last at a temperature",
        inputs: &[
            required("life", Dimension::ServiceHours),
            led(
                "rated",
                required("rated-temperature", Dimension::Temperature),
            ),
            led(
                "at",
                required("working-temperature", Dimension::Temperature),
            ),
        ],
        outputs: &[field("life", Dimension::ServiceHours), words("caution")],
        formula: "L = L0·2^((T0 − T)/10)",
        source: "Rubycon technical note 5-1, published",
        validity: "at or below the rated temperature; drifts below 60 °C and above 105 °C",
        example: &[
            ("life", number(2000.0)),
            ("rated-temperature", number(105.0)),
            ("working-temperature", number(65.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let working = inputs.quantity("working-temperature")?;
            let life = electrolytic_life::ten_kelvin(rated_life(inputs)?, working)?;
            let mut outputs = vec![Output::number("life", life)];
            if let Some(caution) = electrolytic_life::ten_kelvin_caution(working) {
                outputs.push(Output::text("caution", caution));
            }
            Ok(outputs)
        },
    },
    Computation {
        name: "life-with-ripple",
        summary: "Hours an electrolytic may last, with its ripple current and voltage",
        inputs: &[
            required("life", Dimension::ServiceHours),
            led(
                "rated",
                required("rated-temperature", Dimension::Temperature),
            ),
            led(
                "at",
                required("working-temperature", Dimension::Temperature),
            ),
            led("ripple", required("ripple-current", Dimension::Current)),
            led("of", required("rated-ripple-current", Dimension::Current)),
            defaulted("core-rise", Dimension::TemperatureRise, 5.0),
            led("on", required("working-voltage", Dimension::Voltage)),
            led("for", required("rated-voltage", Dimension::Voltage)),
        ],
        outputs: &[
            field("life", Dimension::ServiceHours),
            field("temperature-factor", Dimension::Ratio),
            field("ripple-factor", Dimension::Ratio),
            field("voltage-factor", Dimension::Ratio),
        ],
        formula: "L = L0·2^((T0 − T)/10)·Ki^((1 − (I/IR)²)·ΔT0/10)·(U/UR)^−2.5",
        source: "Jianghai (Albertsen), reported",
        validity: "core rise 3.5 to 5 K (105 °C parts) or 10 K (85 °C parts); voltage factor 3.59 below 0.6 of the rating",
        example: &[
            ("life", number(2000.0)),
            ("rated-temperature", number(105.0)),
            ("working-temperature", number(65.0)),
            ("ripple-current", number(0.5)),
            ("rated-ripple-current", number(1.0)),
            ("working-voltage", number(20.0)),
            ("rated-voltage", number(25.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let rated = rated_life(inputs)?;
            let working = inputs.quantity("working-temperature")?;
            let ripple = ripple_stress(inputs)?;
            let voltage = VoltageStress {
                actual: inputs.quantity("working-voltage")?,
                rated: inputs.quantity("rated-voltage")?,
            };
            let life = electrolytic_life::jianghai(rated, working, ripple, voltage)?;
            let temperature = electrolytic_life::temperature_factor(rated.temperature, working)?;
            let from_ripple = electrolytic_life::ripple_factor(rated.temperature, ripple)?;
            Ok(vec![
                Output::number("life", life),
                Output::number("temperature-factor", temperature),
                Output::number("ripple-factor", from_ripple),
                Output::number(
                    "voltage-factor",
                    electrolytic_life::voltage_factor(voltage)?,
                ),
            ])
        },
    },
    Computation {
        name: "life-rubycon",
        summary: "Hours a Rubycon electrolytic may last, warmed by its ripple current",
        inputs: &[
            required("life", Dimension::ServiceHours),
            led(
                "rated",
                required("rated-temperature", Dimension::Temperature),
            ),
            led(
                "at",
                required("working-temperature", Dimension::Temperature),
            ),
            led("ripple", required("ripple-current", Dimension::Current)),
            led("of", required("rated-ripple-current", Dimension::Current)),
            defaulted("core-rise", Dimension::TemperatureRise, 5.0),
        ],
        outputs: &[field("life", Dimension::ServiceHours)],
        formula: "L = Lb·2^((Tmax − Ta)/10)·2^(ΔTj0/(10 − 0.25ΔTj0) − ΔTj/(10 − 0.25ΔTj)), ΔTj = ΔTj0·(I/I0)²",
        source: "Rubycon lifetime calculation note, published",
        validity: "core rise at rated ripple 3.5 to 10 K, in use below 39 K",
        example: &[
            ("life", number(2000.0)),
            ("rated-temperature", number(105.0)),
            ("working-temperature", number(65.0)),
            ("ripple-current", number(0.5)),
            ("rated-ripple-current", number(1.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let life = electrolytic_life::rubycon(
                rated_life(inputs)?,
                inputs.quantity("working-temperature")?,
                ripple_stress(inputs)?,
            )?;
            Ok(vec![Output::number("life", life)])
        },
    },
    Computation {
        name: "life-from-case",
        summary: "Hours an electrolytic may last, from the temperature of its case",
        inputs: &[
            required("life", Dimension::ServiceHours),
            led(
                "rated",
                required("rated-temperature", Dimension::Temperature),
            ),
            led("at", required("case-temperature", Dimension::Temperature)),
        ],
        outputs: &[field("life", Dimension::ServiceHours)],
        formula: "L = Lmax·2^((Tmax + 10 − Tc)/10)",
        source: "Kendeil catalogue, published",
        validity: "case at most 10 K above the rated temperature",
        example: &[
            ("life", number(2000.0)),
            ("rated-temperature", number(85.0)),
            ("case-temperature", number(55.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let life = electrolytic_life::kendeil(
                rated_life(inputs)?,
                inputs.quantity("case-temperature")?,
            )?;
            Ok(vec![Output::number("life", life)])
        },
    },
    Computation {
        name: "esr",
        summary: "Series resistance from a loss factor (tan δ)",
        inputs: &[
            required("loss-factor", Dimension::Ratio),
            required("capacitance", Dimension::Capacitance),
            defaulted("frequency", Dimension::Frequency, 120.0),
        ],
        outputs: &[field("series-resistance", Dimension::Resistance)],
        formula: "ESR = tan δ/(2πfC)",
        source: "definition of the loss factor",
        validity: "at the frequency the loss factor was measured at",
        example: &[
            ("loss-factor", number(0.16)),
            ("capacitance", number(1000e-6)),
        ],
        cautions: &[],
        compute: |inputs| {
            let resistance = loss_factor::series_resistance(
                inputs.quantity("loss-factor")?,
                inputs.quantity("capacitance")?,
                inputs.quantity("frequency")?,
            )?;
            Ok(vec![Output::number("series-resistance", resistance)])
        },
    },
    Computation {
        name: "loss",
        summary: "Loss factor (tan δ) from a measured series resistance",
        inputs: &[
            required("series-resistance", Dimension::Resistance),
            required("capacitance", Dimension::Capacitance),
            defaulted("frequency", Dimension::Frequency, 120.0),
        ],
        outputs: &[field("loss-factor", Dimension::Ratio)],
        formula: "tan δ = 2πfC·ESR",
        source: "definition of the loss factor",
        validity: "at the frequency the resistance was measured at",
        example: &[
            ("series-resistance", number(0.2)),
            ("capacitance", number(1000e-6)),
        ],
        cautions: &[],
        compute: |inputs| {
            let loss = loss_factor::loss_factor(
                inputs.quantity("series-resistance")?,
                inputs.quantity("capacitance")?,
                inputs.quantity("frequency")?,
            )?;
            Ok(vec![Output::number("loss-factor", loss)])
        },
    },
    Computation {
        name: "esr-limit",
        summary: "Greatest series resistance of a new electrolytic of a series",
        inputs: &[
            required("capacitance", Dimension::Capacitance),
            required("rated-voltage", Dimension::Voltage),
            choice("series", LOSS_SERIES, "lelon-rga"),
        ],
        outputs: &[
            field("loss-factor", Dimension::Ratio),
            field("series-resistance", Dimension::Resistance),
            field("frequency", Dimension::Frequency),
        ],
        formula: "table by rated voltage, + 0.02 for each 1000 µF above 1000 µF",
        source: "Lelon RGA (120 Hz) and Keltron radial (100 Hz) data sheets, published",
        validity: "the rated voltages of the tables",
        example: &[
            ("capacitance", number(1000e-6)),
            ("rated-voltage", number(16.0)),
        ],
        cautions: &[],
        compute: |inputs| {
            let word = inputs.chosen("series")?;
            let series = chosen(LossSeries::ALL, LossSeries::name, word, "series")?;
            let rated = inputs.quantity("rated-voltage")?;
            let capacitance = inputs.quantity("capacitance")?;
            let resistance = loss_factor::series_resistance_limit(series, rated, capacitance)?;
            Ok(vec![
                Output::number(
                    "loss-factor",
                    loss_factor::loss_limit(series, rated, capacitance)?,
                ),
                Output::number("series-resistance", resistance),
                Output::number("frequency", series.frequency()?),
            ])
        },
    },
    Computation {
        name: "leakage",
        summary: "Greatest leakage current of a new electrolytic by a published rule",
        inputs: &[
            required("capacitance", Dimension::Capacitance),
            required("rated-voltage", Dimension::Voltage),
            choice("rule", LEAKAGE_RULES, "lelon-rga"),
        ],
        outputs: &[
            field("current", Dimension::Current),
            field("after", Dimension::Time),
        ],
        formula: "0.01CV or 3 µA up to 100 V; above by series, C in µF, V in volts",
        source: "Lelon RGA, KEMET ESL, Samwha SD and Keltron data sheets, published",
        validity: "the rated voltages of the series, at rated voltage and room temperature",
        example: &[
            ("capacitance", number(1000e-6)),
            ("rated-voltage", number(25.0)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let word = inputs.chosen("rule")?;
            let rule = chosen(LeakageRule::ALL, LeakageRule::name, word, "rule")?;
            let limit = leakage::leakage_limit(
                rule,
                inputs.quantity("capacitance")?,
                inputs.quantity("rated-voltage")?,
            )?;
            let mut outputs = vec![Output::number("current", limit.current)];
            if let Some(after) = limit.after {
                outputs.push(Output::number("after", after));
            }
            Ok(outputs)
        },
    },
    Computation {
        name: "reform",
        summary: "Resistor and time to bring a stored electrolytic back to voltage",
        inputs: &[
            required("rated-voltage", Dimension::Voltage),
            choice("source", REFORM_SOURCES, "cornell-dubilier"),
        ],
        outputs: &[
            field("resistor", Dimension::Resistance),
            field("hold", Dimension::Time),
            field("current-limit", Dimension::Current),
            field("first-current", Dimension::Current),
            field("resistor-power", Dimension::Power),
        ],
        formula: "by source: resistor by rated voltage, hold at full voltage",
        source: "Cornell Dubilier 1993, Panasonic, a maker's databook; all reported",
        validity: "1 to 500 V; the sources disagree, none is averaged",
        example: &[("rated-voltage", number(63.0))],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let word = inputs.chosen("source")?;
            let source = chosen(ReformSource::ALL, ReformSource::name, word, "source")?;
            let guide = reform::reform_guide(source, inputs.quantity("rated-voltage")?)?;
            let mut outputs = vec![
                Output::number("resistor", guide.resistor),
                Output::number("hold", guide.hold),
            ];
            if let Some(limit) = guide.current_limit {
                outputs.push(Output::number("current-limit", limit));
            }
            outputs.push(Output::number("first-current", guide.first_current));
            outputs.push(Output::number("resistor-power", guide.resistor_power));
            Ok(outputs)
        },
    },
    Computation {
        name: "shelf",
        summary: "What a maker says of an electrolytic stored for years",
        inputs: &[required("stored", Dimension::StorageYears)],
        outputs: &[words("advice"), field("hobby-hold", Dimension::Time)],
        formula: "table by years; hobby rule 5 min and 1 min for each month stored",
        source: "Cornell Dubilier 1993, reported; hobby pages, common practice",
        validity: "up to 10 years by the table",
        example: &[("stored", number(4.0))],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let stored = inputs.quantity("stored")?;
            Ok(vec![
                Output::text("advice", reform::shelf_line(stored).advice),
                Output::number("hobby-hold", reform::hobby_hold(stored)?),
            ])
        },
    },
    Computation {
        name: "wear",
        summary: "Whether a measured electrolytic counts as worn out",
        inputs: &[
            led("nominal", required("capacitance", Dimension::Capacitance)),
            led(
                "measured",
                required("measured-capacitance", Dimension::Capacitance),
            ),
            led("new", required("new-resistance", Dimension::Resistance)),
            led(
                "now",
                required("measured-resistance", Dimension::Resistance),
            ),
        ],
        outputs: &[
            field("capacitance-left", Dimension::Percent),
            field("resistance-grown-to", Dimension::Percent),
            words("verdict"),
        ],
        formula: "worn out below 70 % of C or above twice the series resistance",
        source: "restoration pages, common practice, reported",
        validity: "leakage can read as capacitance: measure it too",
        example: &[
            ("capacitance", number(100e-6)),
            ("measured-capacitance", number(62e-6)),
            ("new-resistance", number(1.0)),
            ("measured-resistance", number(1.5)),
        ],
        cautions: &[cautions::STORED_CHARGE],
        compute: |inputs| {
            let wear = end_of_life::wear(
                inputs.quantity("capacitance")?,
                inputs.quantity("measured-capacitance")?,
                inputs.quantity("new-resistance")?,
                inputs.quantity("measured-resistance")?,
            )?;
            let verdict = match (wear.capacitance_spent, wear.resistance_spent) {
                (true, true) => "worn out by capacitance and by series resistance",
                (true, false) => "worn out by capacitance",
                (false, true) => "worn out by series resistance",
                (false, false) => "not worn out by these two; leakage is not checked",
            };
            Ok(vec![
                Output::number("capacitance-left", wear.capacitance_left),
                Output::number("resistance-grown-to", wear.resistance_grown_to),
                Output::text("verdict", verdict),
            ])
        },
    },
    Computation {
        name: "pitch",
        summary: "Lead pitch of a radial electrolytic by case diameter",
        inputs: &[required("diameter", Dimension::Length)],
        outputs: &[field("pitch", Dimension::Length)],
        formula: "table: 4 → 1.5, 5 → 2, 6.3 → 2.5, 8 → 3.5, 10 and 12.5 → 5, 16 and 18 → 7.5 mm",
        source: "Vishay Sprague 515D, published",
        validity: "the listed diameters, straight leads",
        example: &[("diameter", number(10.0))],
        cautions: &[],
        compute: |inputs| {
            let pitch = case_pitch::lead_pitch(inputs.quantity("diameter")?)?;
            Ok(vec![Output::number("pitch", pitch)])
        },
    },
];

fn rated_life(inputs: &Inputs) -> Result<RatedLife, Refusal> {
    Ok(RatedLife {
        life: inputs.quantity("life")?,
        temperature: inputs.quantity("rated-temperature")?,
    })
}

fn ripple_stress(inputs: &Inputs) -> Result<RippleStress, Refusal> {
    Ok(RippleStress {
        actual: inputs.quantity("ripple-current")?,
        rated: inputs.quantity("rated-ripple-current")?,
        core_rise: inputs.quantity("core-rise")?,
    })
}

/// The table or rule of a name; `run` has checked the word before.
fn chosen<Item: Copy, const COUNT: usize>(
    all: [Item; COUNT],
    name: fn(Item) -> &'static str,
    word: &str,
    input: &'static str,
) -> Result<Item, OutOfValidity> {
    all.into_iter()
        .find(|item| name(*item) == word)
        .ok_or(OutOfValidity {
            input,
            value: f64::NAN,
            unit: "",
            rule: ValidityRule::Listed {
                list: "the names given with this input",
            },
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_offered_are_the_names_of_the_tables() {
        assert_eq!(LeakageRule::ALL.map(LeakageRule::name), LEAKAGE_RULES);
        assert_eq!(LossSeries::ALL.map(LossSeries::name), LOSS_SERIES);
        assert_eq!(ReformSource::ALL.map(ReformSource::name), REFORM_SOURCES);
    }
}
