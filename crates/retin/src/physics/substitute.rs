//! Several parts in place of one.

use super::units::{Amps, Farads, Ohms, OutOfValidity, Quantity, ValidityRule, Volts};

/// Capacitors in parallel: the sum. Source: definition.
///
/// # Errors
/// Refuses an empty list.
pub fn capacitors_in_parallel(parts: &[Farads]) -> Result<Farads, OutOfValidity> {
    sum(parts)
}

/// Capacitors in series: the reciprocal of the sum of reciprocals.
///
/// # Errors
/// Refuses an empty list.
pub fn capacitors_in_series(parts: &[Farads]) -> Result<Farads, OutOfValidity> {
    reciprocal_sum(parts)
}

/// Resistors in series: the sum. Source: definition.
///
/// # Errors
/// Refuses an empty list.
pub fn resistors_in_series(parts: &[Ohms]) -> Result<Ohms, OutOfValidity> {
    sum(parts)
}

/// Resistors in parallel: the reciprocal of the sum of reciprocals.
///
/// # Errors
/// Refuses an empty list.
pub fn resistors_in_parallel(parts: &[Ohms]) -> Result<Ohms, OutOfValidity> {
    reciprocal_sum(parts)
}

/// Two equal polar electrolytics in series, like poles joined: a bipolar
/// capacitor of half the value.
///
/// Each half has to bear the whole voltage of its direction: the rating does
/// not double. Source: series law; common practice.
///
/// # Errors
/// Refuses results beyond a bench.
pub fn back_to_back(each: Farads) -> Result<Farads, OutOfValidity> {
    Farads::checked("capacitance of the pair", each.get() / 2.0)
}

/// How a voltage divides over two capacitors in series just after charging:
/// `V1 = V·C2/(C1 + C2)`.
///
/// Afterwards leakage rules the shares, so electrolytics in series need
/// [`balance_resistor`]s. Source: series law; Chemi-Con guide (published) for
/// the caution.
///
/// # Errors
/// Refuses a voltage below zero.
pub fn series_share(
    total: Volts,
    first: Farads,
    second: Farads,
) -> Result<(Volts, Volts), OutOfValidity> {
    let total = total.within("total voltage", 0.0, 1e7)?.get();
    let sum = first.get() + second.get();
    Ok((
        Volts::checked("voltage of the first", total * second.get() / sum)?,
        Volts::checked("voltage of the second", total * first.get() / sum)?,
    ))
}

/// Greatest balance resistor across each of n capacitors in series:
/// `R = (n·Vr − V)/I`, I the greatest leakage current of one part.
///
/// Source: reported formula (va1der.ca), common practice.
///
/// # Errors
/// Refuses fewer than two parts, a leakage of zero or less, and a total voltage
/// that the string cannot bear even when shared evenly.
pub fn balance_resistor(
    count: u32,
    rated_each: Volts,
    total: Volts,
    leakage: Amps,
) -> Result<Ohms, OutOfValidity> {
    if !(2..=100).contains(&count) {
        return Err(OutOfValidity {
            input: "number of capacitors in series",
            value: f64::from(count),
            unit: "",
            rule: ValidityRule::Between {
                low: 2.0,
                high: 100.0,
            },
        });
    }
    let rated = rated_each.within("rated voltage of each", 1e-3, 1e5)?;
    let total = total.within("total voltage", 0.0, 1e7)?;
    let leakage = leakage.within("leakage current", 1e-12, 1e3)?;
    let string = Volts::checked("rated voltages together", f64::from(count) * rated.get())?.above(
        "rated voltages together",
        "the total voltage",
        total,
    )?;
    Ohms::checked(
        "balance resistor",
        (string.get() - total.get()) / leakage.get(),
    )
}

fn sum<Value: Quantity>(parts: &[Value]) -> Result<Value, OutOfValidity> {
    Value::checked(Value::MEANING, parts.iter().map(|part| part.get()).sum())
}

fn reciprocal_sum<Value: Quantity>(parts: &[Value]) -> Result<Value, OutOfValidity> {
    let sum: f64 = parts.iter().map(|part| 1.0 / part.get()).sum();
    Value::checked(Value::MEANING, 1.0 / sum)
}
