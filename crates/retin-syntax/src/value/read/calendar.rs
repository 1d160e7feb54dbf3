//! Days and times of day.

use super::{canonical_each, whole};
use crate::value::Value;
use crate::value::date::{Date, TimeOfDay};
use crate::value::error::{ValueError, ValueErrorKind as Kind};

/// `2026-10-02`, and the other orders of its parts, which are asked about.
pub(super) fn day(text: &str) -> Option<Result<Value, ValueError>> {
    let separator = text.chars().find(|letter| !letter.is_ascii_digit())?;
    if !matches!(separator, '-' | '.' | '/') {
        return None;
    }
    let mut parts = text.split(separator);
    let (Some(first), Some(second), Some(third), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return None;
    };
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let year_first = first.len() == 4 && digits(first, 4) && digits(second, 2) && digits(third, 2);
    let year_last = third.len() == 4 && digits(third, 4) && digits(first, 2) && digits(second, 2);
    if separator == '-' && year_first && second.len() == 2 && third.len() == 2 {
        let read = calendar_day(first, second, third).map(Value::Date);
        return Some(read.ok_or_else(|| {
            let suggestions = Vec::new();
            whole(Kind::BadDate { suggestions }, text)
        }));
    }
    let readings: &[_] = if year_first {
        &[(first, second, third)]
    } else if year_last && separator == '.' {
        &[(third, second, first)]
    } else if year_last {
        &[(third, second, first), (third, first, second)]
    } else {
        return None;
    };
    let suggestions = canonical_each(
        readings
            .iter()
            .filter_map(|(year, month, day)| calendar_day(year, month, day))
            .map(|day| day.to_string()),
    );
    Some(Err(whole(Kind::BadDate { suggestions }, text)))
}

fn calendar_day(year: &str, month: &str, day: &str) -> Option<Date> {
    let date = jiff::civil::Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    date.ok().map(Date)
}

/// `09:10`.
pub(super) fn time_of_day(text: &str) -> Option<Result<Value, ValueError>> {
    let (hour, minute) = text.split_once(':')?;
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !(1..=2).contains(&hour.len()) || minute.len() != 2 || !digits(hour) || !digits(minute) {
        return None;
    }
    let hour = hour.parse().ok().filter(|hour| *hour < 24);
    let minute = minute.parse().ok().filter(|minute| *minute < 60);
    Some(match (hour, minute) {
        (Some(hour), Some(minute)) => Ok(Value::Time(TimeOfDay { hour, minute })),
        _ => Err(whole(Kind::BadTime, text)),
    })
}
