//! Bringing stored electrolytics back to voltage, by named sources.
//!
//! The sources disagree by two orders of magnitude in resistance, so each is
//! kept under its own name and none is averaged.

use super::units::{Amps, Hours, Ohms, OutOfValidity, Quantity, Seconds, Volts, Watts, Years};

/// Where a way of re-forming comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReformSource {
    /// Cornell Dubilier, October 1993, as reported.
    CornellDubilier,
    /// Panasonic, as reported by a distributor.
    Panasonic,
    /// An electrolytic databook of a large maker, text as reported.
    Databook,
}

impl ReformSource {
    /// Every source known.
    pub const ALL: [Self; 3] = [Self::CornellDubilier, Self::Panasonic, Self::Databook];

    /// Name to choose the source by.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::CornellDubilier => "cornell-dubilier",
            Self::Panasonic => "panasonic",
            Self::Databook => "databook",
        }
    }
}

/// How one source would re-form one part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReformGuide {
    /// Resistor in series with the part.
    pub resistor: Ohms,
    /// Time to hold at full rated voltage.
    pub hold: Seconds,
    /// Current not to be exceeded while raising the voltage.
    pub current_limit: Option<Amps>,
    /// Shortest and longest rest before measuring.
    pub rest: Option<(Hours, Hours)>,
    /// Current at the first moment if full voltage met an empty part.
    pub first_current: Amps,
    /// Power in the resistor at that moment.
    pub resistor_power: Watts,
}

/// The resistor, the hold and the limits one source gives for a rated voltage.
///
/// Cornell Dubilier: 10 kΩ up to 75 V, 100 kΩ above, raise slowly, at most
/// 1 mA, hold four hours. Panasonic: 1 kΩ, 30 minutes. Databook: 100 Ω up to
/// 100 V, 1 kΩ above, one hour, then rest 12 to 48 hours at 15 to 35 °C.
///
/// # Errors
/// Refuses rated voltages outside 1 to 500 V.
pub fn reform_guide(source: ReformSource, rated: Volts) -> Result<ReformGuide, OutOfValidity> {
    let rated = rated.within("rated voltage", 1.0, 500.0)?;
    let (ohms, minutes, current_limit, rest) = match source {
        ReformSource::CornellDubilier => {
            let ohms = if rated.get() <= 75.0 { 10e3 } else { 100e3 };
            (ohms, 240.0, Some(Amps::new(1e-3)?), None)
        }
        ReformSource::Panasonic => (1e3, 30.0, None, None),
        ReformSource::Databook => {
            let ohms = if rated.get() <= 100.0 { 100.0 } else { 1e3 };
            let rest = (Hours::new(12.0)?, Hours::new(48.0)?);
            (ohms, 60.0, None, Some(rest))
        }
    };
    Ok(ReformGuide {
        resistor: Ohms::new(ohms)?,
        hold: Seconds::new(minutes * 60.0)?,
        current_limit,
        rest,
        first_current: Amps::new(rated.get() / ohms)?,
        resistor_power: Watts::new(rated.get() * rated.get() / ohms)?,
    })
}

/// Time to hold by the hobby rule: five minutes and one for each month stored.
///
/// The rule goes with about 30 kΩ, 5 W in series. Source: hobby pages, as
/// reported; common practice.
///
/// # Errors
/// Refuses more than 200 years.
pub fn hobby_hold(stored: Years) -> Result<Seconds, OutOfValidity> {
    Seconds::checked("hold", (5.0 + 12.0 * stored.get()) * 60.0)
}

/// Whether the hobby rule would reject a part: more than a tenth of the applied
/// voltage still stands across the series resistor after one hour.
///
/// # Errors
/// Refuses an applied voltage of zero or less, and a drop above it.
pub fn hobby_rejects(applied: Volts, across_resistor: Volts) -> Result<bool, OutOfValidity> {
    let applied = applied.within("applied voltage", 1.0, 1000.0)?;
    let drop = across_resistor
        .not_above(
            "voltage across the resistor",
            "the applied voltage",
            applied,
        )?
        .within("voltage across the resistor", 0.0, 1000.0)?;
    Ok(drop.get() > 0.1 * applied.get())
}

/// What a source says of a part that was stored for a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShelfLine {
    /// Years of storage the line speaks of.
    pub years: u32,
    /// What it says.
    pub advice: &'static str,
}

/// Cornell Dubilier, October 1993, as reported.
pub const CORNELL_DUBILIER_SHELF: [ShelfLine; 5] = [
    ShelfLine {
        years: 1,
        advice: "meets its specification",
    },
    ShelfLine {
        years: 3,
        advice: "test before use",
    },
    ShelfLine {
        years: 4,
        advice: "re-age before use",
    },
    ShelfLine {
        years: 5,
        advice: "meets its specification after re-ageing",
    },
    ShelfLine {
        years: 10,
        advice: "end of shelf life",
    },
];

/// The first line that covers a storage time; beyond the last one, the last.
///
/// Between two lines the later one is taken, since it asks for more.
#[must_use]
pub fn shelf_line(stored: Years) -> ShelfLine {
    let last = CORNELL_DUBILIER_SHELF.len() - 1;
    CORNELL_DUBILIER_SHELF
        .iter()
        .find(|line| stored.get() <= f64::from(line.years))
        .copied()
        .unwrap_or(CORNELL_DUBILIER_SHELF[last])
}
