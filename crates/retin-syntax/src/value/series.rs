//! The preferred values of IEC 60063, E3 to E192.
//!
//! The figures are those of the published tables (checked against two
//! independent sources in `tests/outside/iec_60063.rs`); E96 and E48 are every
//! second and every fourth value of E192, and E12 to E3 are every second,
//! fourth and eighth of E24. All arithmetic is exact.

use std::fmt;

use rust_decimal::Decimal;

use super::exact::Exact;
use super::quantity::Quantity;

/// One series of preferred values. The coarsest comes first.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Series {
    /// 3 values a decade.
    E3,
    /// 6 values a decade, ±20 %.
    E6,
    /// 12 values a decade, ±10 %.
    E12,
    /// 24 values a decade, ±5 %.
    E24,
    /// 48 values a decade, ±2 %.
    E48,
    /// 96 values a decade, ±1 %.
    E96,
    /// 192 values a decade, ±0.5 % and tighter.
    E192,
}

const E24: [u16; 24] = [
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
];
const E12: [u16; 12] = every(&E24, 2);
const E6: [u16; 6] = every(&E24, 4);
const E3: [u16; 3] = every(&E24, 8);

#[rustfmt::skip]
const E192: [u16; 192] = [
    100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114,
    115, 117, 118, 120, 121, 123, 124, 126, 127, 129, 130, 132,
    133, 135, 137, 138, 140, 142, 143, 145, 147, 149, 150, 152,
    154, 156, 158, 160, 162, 164, 165, 167, 169, 172, 174, 176,
    178, 180, 182, 184, 187, 189, 191, 193, 196, 198, 200, 203,
    205, 208, 210, 213, 215, 218, 221, 223, 226, 229, 232, 234,
    237, 240, 243, 246, 249, 252, 255, 258, 261, 264, 267, 271,
    274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309, 312,
    316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361,
    365, 370, 374, 379, 383, 388, 392, 397, 402, 407, 412, 417,
    422, 427, 432, 437, 442, 448, 453, 459, 464, 470, 475, 481,
    487, 493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556,
    562, 569, 576, 583, 590, 597, 604, 612, 619, 626, 634, 642,
    649, 657, 665, 673, 681, 690, 698, 706, 715, 723, 732, 741,
    750, 759, 768, 777, 787, 796, 806, 816, 825, 835, 845, 856,
    866, 876, 887, 898, 909, 920, 931, 942, 953, 965, 976, 988,
];
const E96: [u16; 96] = every(&E192, 2);
const E48: [u16; 48] = every(&E192, 4);

/// Every `step`-th value of a finer series.
const fn every<const COUNT: usize>(finer: &[u16], step: usize) -> [u16; COUNT] {
    let mut values = [0; COUNT];
    let mut index = 0;
    while index < COUNT {
        values[index] = finer[index * step];
        index += 1;
    }
    values
}

impl Series {
    /// Every series, the coarsest first.
    pub const ALL: [Series; 7] = [
        Series::E3,
        Series::E6,
        Series::E12,
        Series::E24,
        Series::E48,
        Series::E96,
        Series::E192,
    ];

    /// The values of one decade in significant figures: 10 to 91, or 100 to 988.
    #[must_use]
    pub const fn figures(self) -> &'static [u16] {
        match self {
            Series::E3 => &E3,
            Series::E6 => &E6,
            Series::E12 => &E12,
            Series::E24 => &E24,
            Series::E48 => &E48,
            Series::E96 => &E96,
            Series::E192 => &E192,
        }
    }

    /// How many significant figures its values have: 2 or 3.
    #[must_use]
    pub const fn figure_count(self) -> u32 {
        match self {
            Series::E3 | Series::E6 | Series::E12 | Series::E24 => 2,
            Series::E48 | Series::E96 | Series::E192 => 3,
        }
    }

    /// The tolerance the series is made for, as a fraction: 0.05 for E24.
    ///
    /// `None` for E3, on which published sources disagree (40 % and 50 %).
    #[must_use]
    pub const fn tolerance(self) -> Option<Decimal> {
        let thousandths = match self {
            Series::E3 => return None,
            Series::E6 => 200,
            Series::E12 => 100,
            Series::E24 => 50,
            Series::E48 => 20,
            Series::E96 => 10,
            Series::E192 => 5,
        };
        Some(Decimal::from_parts(thousandths, 0, 0, false, 3))
    }

    /// The series made for a tolerance, given as a fraction; E192 for all below 0.5 %.
    ///
    /// `None` between the steps and above 20 %: no series is made for those.
    #[must_use]
    pub fn for_tolerance(fraction: Decimal) -> Option<Series> {
        let finest = Series::E192
            .tolerance()
            .is_some_and(|finest| fraction > Decimal::ZERO && fraction < finest);
        if finest {
            return Some(Series::E192);
        }
        Series::ALL
            .into_iter()
            .find(|series| series.tolerance() == Some(fraction))
    }

    /// Whether the quantity is exactly one of the series' values, in any decade.
    ///
    /// Zero and negative quantities are in none.
    #[must_use]
    pub fn contains(self, quantity: Quantity) -> bool {
        self.decade(quantity.number).is_some_and(|decade| {
            self.value(decade, 0..)
                .any(|value| value == quantity.number)
        })
    }

    /// The value nearest to a quantity by difference, the lower one of two equally near.
    ///
    /// `None` for zero, for negative quantities, and at the ends of what is kept exactly.
    #[must_use]
    pub fn nearest(self, quantity: Quantity) -> Option<Quantity> {
        let below = self.nearest_at_most(quantity)?;
        let above = self.nearest_at_least(quantity)?;
        let to_below = quantity.number.checked_sub(below.number)?;
        let to_above = above.number.checked_sub(quantity.number)?;
        Some(if to_above < to_below { above } else { below })
    }

    /// The least value that is not below a quantity.
    ///
    /// `None` for zero, for negative quantities, and at the ends of what is kept exactly.
    #[must_use]
    pub fn nearest_at_least(self, quantity: Quantity) -> Option<Quantity> {
        let decade = self.decade(quantity.number)?;
        let next = decade.checked_add(1)?;
        self.value(decade, 0..)
            .chain(self.value(next, 0..1))
            .find(|value| *value >= quantity.number)
            .map(|number| Quantity::new(number, quantity.dimension))
    }

    /// The greatest value that is not above a quantity.
    ///
    /// `None` for zero, for negative quantities, and at the ends of what is kept exactly.
    #[must_use]
    pub fn nearest_at_most(self, quantity: Quantity) -> Option<Quantity> {
        let decade = self.decade(quantity.number)?;
        self.value(decade, 0..)
            .take_while(|value| *value <= quantity.number)
            .last()
            .map(|number| Quantity::new(number, quantity.dimension))
    }

    /// The coarsest series that has a quantity among its values.
    #[must_use]
    pub fn coarsest_with(quantity: Quantity) -> Option<Series> {
        Series::ALL
            .into_iter()
            .find(|series| series.contains(quantity))
    }

    /// The power of ten that the series' whole figures are multiplied by in the
    /// decade of a positive number.
    fn decade(self, number: Decimal) -> Option<i32> {
        if number <= Decimal::ZERO {
            return None;
        }
        let figures = i32::try_from(self.figure_count()).ok()?;
        Some(Exact::from(number).leading_power() - figures + 1)
    }

    /// The values of a decade, rising, as far as they can be kept exactly.
    fn value(
        self,
        decade: i32,
        which: impl std::slice::SliceIndex<[u16], Output = [u16]>,
    ) -> impl Iterator<Item = Decimal> {
        self.figures()
            .get(which)
            .unwrap_or_default()
            .iter()
            .map_while(move |figures| {
                Exact::new(false, u128::from(*figures), decade)
                    .to_decimal()
                    .ok()
            })
    }
}

impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Series::E3 => "E3",
            Series::E6 => "E6",
            Series::E12 => "E12",
            Series::E24 => "E24",
            Series::E48 => "E48",
            Series::E96 => "E96",
            Series::E192 => "E192",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Series;
    use crate::value::{Quantity, Value, read};

    fn quantity(text: &str) -> Quantity {
        match read(text) {
            Ok(Value::Quantity(quantity)) => quantity,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn neighbours_cross_the_decade() {
        let text = |found: Option<Quantity>| found.map(|found| found.to_string());
        assert_eq!(
            text(Series::E12.nearest_at_least(quantity("9.5uF"))).as_deref(),
            Some("10uF")
        );
        assert_eq!(
            text(Series::E12.nearest_at_most(quantity("9.5uF"))).as_deref(),
            Some("8.2uF")
        );
        assert_eq!(
            text(Series::E12.nearest(quantity("9.5uF"))).as_deref(),
            Some("10uF")
        );
        assert_eq!(
            text(Series::E12.nearest(quantity("9.1uF"))).as_deref(),
            Some("8.2uF")
        );
    }

    #[test]
    fn nought_and_less_have_no_neighbours() {
        for text in ["0V", "-15V"] {
            for series in Series::ALL {
                assert!(!series.contains(quantity(text)));
                assert_eq!(series.nearest(quantity(text)), None);
            }
        }
    }

    #[test]
    fn the_ends_of_what_is_kept_are_no_panic() {
        for number in [
            rust_decimal::Decimal::MAX,
            rust_decimal::Decimal::MIN,
            rust_decimal::Decimal::new(1, 28),
        ] {
            let edge = Quantity::new(number, crate::value::Dimension::Resistance);
            for series in Series::ALL {
                let _ = (series.nearest(edge), series.contains(edge));
            }
        }
    }
}
