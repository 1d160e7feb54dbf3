//! Greatest leakage current of a new electrolytic, by named published rules.

use super::units::{Amps, Farads, OutOfValidity, Quantity, Seconds, Volts};

/// A published leakage rule of one series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakageRule {
    /// Lelon RGA (published).
    LelonRga,
    /// KEMET ESL (published).
    KemetEsl,
    /// Samwha SD, the limit after two minutes, five above 100 V (published).
    SamwhaSd,
    /// Samwha SD, the limit after one minute, up to 100 V (published).
    SamwhaSdOneMinute,
    /// Keltron radial (published).
    KeltronRadial,
}

impl LeakageRule {
    /// Every rule known.
    pub const ALL: [Self; 5] = [
        Self::LelonRga,
        Self::KemetEsl,
        Self::SamwhaSd,
        Self::SamwhaSdOneMinute,
        Self::KeltronRadial,
    ];

    /// Name to choose the rule by.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LelonRga => "lelon-rga",
            Self::KemetEsl => "kemet-esl",
            Self::SamwhaSd => "samwha-sd",
            Self::SamwhaSdOneMinute => "samwha-sd-1min",
            Self::KeltronRadial => "keltron-radial",
        }
    }
}

/// How much may leak, and how long after switching on it is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeakageLimit {
    /// Greatest leakage current of a new part.
    pub current: Amps,
    /// Time at rated voltage before reading, where the source states one.
    pub after: Option<Seconds>,
    /// The limit is the least figure of the rule, not the product of C and V.
    pub is_floor: bool,
}

/// Greatest leakage current of a new part at rated voltage and room temperature.
///
/// With C in µF, V in volts and I in µA: Lelon RGA up to 100 V 0.01CV or 3,
/// above 0.03CV + 15 up to a CV of 1000, 0.02CV + 25 beyond; KEMET ESL 0.01CV
/// or 3, above 100 V 0.02CV + 10; Samwha SD 0.01CV or 3, after one minute
/// 0.03CV or 4, above 100 V 0.02CV + 15; Keltron 0.01CV or 4, above 100 V
/// 0.02CV + 10, read through 1000 Ω.
///
/// # Errors
/// Refuses voltages outside the range of the series and more than 1 F.
pub fn leakage_limit(
    rule: LeakageRule,
    capacitance: Farads,
    rated: Volts,
) -> Result<LeakageLimit, OutOfValidity> {
    let capacitance = capacitance.within("capacitance", 1e-8, 1.0)?;
    let (lowest, highest) = match rule {
        LeakageRule::LelonRga | LeakageRule::SamwhaSd => (4.0, 450.0),
        LeakageRule::KemetEsl => (16.0, 450.0),
        LeakageRule::SamwhaSdOneMinute => (4.0, 100.0),
        LeakageRule::KeltronRadial => (6.3, 500.0),
    };
    let rated = rated.within("rated voltage", lowest, highest)?;
    let product = capacitance.get() * 1e6 * rated.get();
    let high_voltage = rated.get() > 100.0;
    let at_least = |microamps: f64, floor: f64| (microamps.max(floor), microamps < floor);
    let (microamps, is_floor) = match (rule, high_voltage) {
        (LeakageRule::LelonRga, true) if product <= 1000.0 => (0.03 * product + 15.0, false),
        (LeakageRule::LelonRga, true) => (0.02 * product + 25.0, false),
        (LeakageRule::KemetEsl | LeakageRule::KeltronRadial, true) => {
            (0.02 * product + 10.0, false)
        }
        (LeakageRule::SamwhaSd, true) => (0.02 * product + 15.0, false),
        (LeakageRule::KeltronRadial, false) => at_least(0.01 * product, 4.0),
        (LeakageRule::SamwhaSdOneMinute, _) => at_least(0.03 * product, 4.0),
        (LeakageRule::LelonRga | LeakageRule::KemetEsl | LeakageRule::SamwhaSd, false) => {
            at_least(0.01 * product, 3.0)
        }
    };
    let minutes = match (rule, high_voltage) {
        (LeakageRule::LelonRga | LeakageRule::SamwhaSd, true) => Some(5.0),
        (LeakageRule::LelonRga | LeakageRule::SamwhaSd, false) => Some(2.0),
        (LeakageRule::SamwhaSdOneMinute, _) => Some(1.0),
        (LeakageRule::KeltronRadial, _) => Some(3.0),
        (LeakageRule::KemetEsl, _) => None,
    };
    Ok(LeakageLimit {
        current: Amps::checked("leakage current", microamps * 1e-6)?,
        after: minutes
            .map(|minutes: f64| Seconds::new(minutes * 60.0))
            .transpose()?,
        is_floor,
    })
}
