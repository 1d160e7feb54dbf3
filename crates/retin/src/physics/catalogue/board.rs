//! Boards and wires: conductor width, jumpers, melting.

use super::{
    Computation, Inputs, Output, Refusal, cautions, choice, defaulted, field, led, number,
    optional, optional_whole, required, whole,
};
use crate::physics::trace::{self, Layer};
use crate::physics::units::{Dimension, Millimetres};
use crate::physics::wire::{self, FuseMetal, Gauge};

const LAYERS: &[&str] = &["outer", "inner"];

pub(super) const COMPUTATIONS: &[Computation] = &[
    Computation {
        name: "trace-current",
        summary: "Current that warms a board conductor by a given rise",
        inputs: &[
            required("width", Dimension::Length),
            defaulted("copper", Dimension::CopperWeight, 1.0),
            defaulted("rise", Dimension::TemperatureRise, 10.0),
            choice("layer", LAYERS, "outer"),
        ],
        outputs: &[field("current", Dimension::Current)],
        formula: "I = k·ΔT^0.44·A^0.725, A in mil², k 0.048 outer or 0.024 inner",
        source: "IPC-2221, reported by makers' calculator pages",
        validity: "up to 35 A outer, 17.5 A inner, 100 K, 10.16 mm",
        example: &[("width", number(0.5)), ("rise", number(20.0))],
        cautions: &[],
        compute: |inputs| {
            let current = trace::current(
                inputs.quantity("width")?,
                inputs.quantity("copper")?,
                inputs.quantity("rise")?,
                layer(inputs)?,
            )?;
            Ok(vec![Output::number("current", current)])
        },
    },
    Computation {
        name: "trace-width",
        summary: "Width of a board conductor for a current and a rise",
        inputs: &[
            required("current", Dimension::Current),
            defaulted("copper", Dimension::CopperWeight, 1.0),
            defaulted("rise", Dimension::TemperatureRise, 10.0),
            choice("layer", LAYERS, "outer"),
        ],
        outputs: &[
            field("width", Dimension::Length),
            field("cross-section", Dimension::SquareMils),
        ],
        formula: "A = (I/(k·ΔT^0.44))^(1/0.725); width = A/(oz·1.378 mil)",
        source: "IPC-2221, reported by makers' calculator pages",
        validity: "up to 35 A outer, 17.5 A inner, 100 K, 10.16 mm",
        example: &[("current", number(1.0))],
        cautions: &[],
        compute: |inputs| {
            let current = inputs.quantity("current")?;
            let rise = inputs.quantity("rise")?;
            let layer = layer(inputs)?;
            let width = trace::width(current, inputs.quantity("copper")?, rise, layer)?;
            Ok(vec![
                Output::number("width", width),
                Output::number("cross-section", trace::area(current, rise, layer)?),
            ])
        },
    },
    Computation {
        name: "trace-resistance",
        summary: "Resistance of a board conductor at 20 °C",
        inputs: &[
            led("long", required("length", Dimension::Length)),
            led("wide", required("width", Dimension::Length)),
            defaulted("copper", Dimension::CopperWeight, 1.0),
        ],
        outputs: &[field("resistance", Dimension::Resistance)],
        formula: "R = ρ·l/(w·t), ρ = 1.7241e-8 Ω·m",
        source: "resistivity of annealed copper, reported",
        validity: "straight conductor, 20 °C",
        example: &[("length", number(50.0)), ("width", number(0.5))],
        cautions: &[],
        compute: |inputs| {
            let resistance = trace::resistance(
                inputs.quantity("length")?,
                inputs.quantity("width")?,
                inputs.quantity("copper")?,
            )?;
            Ok(vec![Output::number("resistance", resistance)])
        },
    },
    Computation {
        name: "jumper",
        summary: "Resistance and voltage drop of a repair wire",
        inputs: &[
            led("awg", optional_whole("gauge")),
            led("thick", optional("diameter", Dimension::Length)),
            led("long", required("length", Dimension::Length)),
            optional("current", Dimension::Current),
        ],
        outputs: &[
            field("resistance", Dimension::Resistance),
            field("diameter", Dimension::Length),
            field("voltage-drop", Dimension::Voltage),
            field("chassis-current", Dimension::Current),
        ],
        formula: "d = 0.005·92^((36 − n)/39) inch; R = ρ·l/A; V = I·R",
        source: "ASTM B258 sizes; annealed copper; chassis currents reported",
        validity: "solid copper at 20 °C, gauges 4/0 (−3) to 50 or diameters 1 µm to 100 mm, one way",
        example: &[
            ("gauge", number(30.0)),
            ("length", number(120.0)),
            ("current", number(0.2)),
        ],
        cautions: &[],
        compute: |inputs| {
            let diameter: Option<Millimetres> = inputs.optional("diameter")?;
            let gauge = inputs
                .optional_whole("gauge")?
                .map(Gauge::new)
                .transpose()?;
            let diameter = match (gauge, diameter) {
                (Some(gauge), None) => wire::diameter(gauge)?,
                (None, Some(diameter)) => diameter,
                _ => {
                    return Err(Refusal::OneOf {
                        first: "gauge",
                        second: "diameter",
                    });
                }
            };
            let resistance = wire::resistance_by_diameter(diameter, inputs.quantity("length")?)?;
            let mut outputs = vec![
                Output::number("resistance", resistance),
                Output::number("diameter", diameter),
            ];
            if let Some(current) = inputs.optional("current")? {
                let drop = wire::drop_across(resistance, current)?;
                outputs.push(Output::number("voltage-drop", drop));
            }
            if let Some(limit) = gauge.and_then(wire::chassis_current) {
                outputs.push(Output::number("chassis-current", limit));
            }
            Ok(outputs)
        },
    },
    Computation {
        name: "melting",
        summary: "Current that melts a bare copper wire, steadily and within a time",
        inputs: &[
            led("awg", whole("gauge")),
            defaulted("time", Dimension::Time, 1.0),
            defaulted("ambient", Dimension::Temperature, 25.0),
        ],
        outputs: &[
            field("steady", Dimension::Current),
            field("within-time", Dimension::Current),
        ],
        formula: "Preece I = 10244·d^1.5 (inch); Onderdonk I = A·√(log10((1083 − Ta)/(234 + Ta) + 1)/(33t))",
        source: "Ness Engineering, published; Onderdonk as reported by PCD&F",
        validity: "still air; 1 ms to 10 s; no wire is to be run anywhere near this",
        example: &[("gauge", number(30.0))],
        cautions: &[cautions::HOT_WIRE],
        compute: |inputs| {
            let diameter = wire::diameter(Gauge::new(inputs.whole("gauge")?)?)?;
            let within = wire::onderdonk_current(
                wire::circular_mils(diameter)?,
                inputs.quantity("ambient")?,
                inputs.quantity("time")?,
            )?;
            let steady = wire::preece_current(FuseMetal::Copper, diameter)?;
            Ok(vec![
                Output::number("steady", steady),
                Output::number("within-time", within),
            ])
        },
    },
];

fn layer(inputs: &Inputs) -> Result<Layer, Refusal> {
    Ok(match inputs.chosen("layer")? {
        "inner" => Layer::Inner,
        _ => Layer::Outer,
    })
}
