//! The colour bands of resistors.
//!
//! Sources for figures, multipliers, tolerances and temperature coefficients:
//! published colour charts (resistorcolorcodes.org and others). They disagree on
//! the tolerances of orange, yellow and grey, which are therefore not read.

use std::fmt;

use rust_decimal::Decimal;

use super::dimension::Dimension;
use super::exact::Exact;
use super::quantity::Quantity;
use super::tolerance::Tolerance;

/// The colour of one band.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Colour {
    /// Figure 0.
    Black,
    /// Figure 1.
    Brown,
    /// Figure 2.
    Red,
    /// Figure 3.
    Orange,
    /// Figure 4.
    Yellow,
    /// Figure 5.
    Green,
    /// Figure 6.
    Blue,
    /// Figure 7.
    Violet,
    /// Figure 8.
    Grey,
    /// Figure 9.
    White,
    /// Multiplier 0.1.
    Gold,
    /// Multiplier 0.01.
    Silver,
    /// Multiplier 0.001.
    Pink,
}

impl Colour {
    /// Every colour, in the order of the figures.
    pub const ALL: [Colour; 13] = [
        Colour::Black,
        Colour::Brown,
        Colour::Red,
        Colour::Orange,
        Colour::Yellow,
        Colour::Green,
        Colour::Blue,
        Colour::Violet,
        Colour::Grey,
        Colour::White,
        Colour::Gold,
        Colour::Silver,
        Colour::Pink,
    ];

    /// The colour a word names; `gray` and `purple` are read too.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Colour> {
        match word {
            "gray" => Some(Colour::Grey),
            "purple" => Some(Colour::Violet),
            _ => Colour::ALL.into_iter().find(|colour| colour.word() == word),
        }
    }

    /// The colour's name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Colour::Black => "black",
            Colour::Brown => "brown",
            Colour::Red => "red",
            Colour::Orange => "orange",
            Colour::Yellow => "yellow",
            Colour::Green => "green",
            Colour::Blue => "blue",
            Colour::Violet => "violet",
            Colour::Grey => "grey",
            Colour::White => "white",
            Colour::Gold => "gold",
            Colour::Silver => "silver",
            Colour::Pink => "pink",
        }
    }

    /// The figure it stands for.
    #[must_use]
    pub fn figure(self) -> Option<u8> {
        let figures = &Colour::ALL[..10];
        let position = figures.iter().position(|colour| *colour == self)?;
        u8::try_from(position).ok()
    }

    /// The power of ten it multiplies by.
    #[must_use]
    pub fn multiplier_power(self) -> i32 {
        match (self, self.figure()) {
            (Colour::Gold, _) => -1,
            (Colour::Silver, _) => -2,
            (Colour::Pink, _) => -3,
            (_, figure) => figure.map_or(0, i32::from),
        }
    }

    /// What it says as a tolerance band.
    fn tolerance(self) -> BandStatement<Tolerance> {
        let hundredths_of_per_cent = match self {
            Colour::Brown => 100,
            Colour::Red => 200,
            Colour::Green => 50,
            Colour::Blue => 25,
            Colour::Violet => 10,
            Colour::Gold => 500,
            Colour::Silver => 1000,
            Colour::Orange | Colour::Yellow | Colour::Grey => return BandStatement::Unsure(self),
            Colour::Black | Colour::White | Colour::Pink => return BandStatement::Nothing,
        };
        let fraction = Decimal::from_parts(hundredths_of_per_cent, 0, 0, false, 4);
        BandStatement::Sure(Tolerance::relative(fraction))
    }

    /// What it says as a temperature coefficient band.
    fn temperature_coefficient(self) -> BandStatement<Quantity> {
        let parts = match self {
            Colour::Black => 250,
            Colour::Brown => 100,
            Colour::Red => 50,
            Colour::Orange => 15,
            Colour::Yellow => 25,
            Colour::Green => 20,
            Colour::Blue => 10,
            Colour::Violet => 5,
            Colour::Grey => 1,
            Colour::White | Colour::Gold | Colour::Silver | Colour::Pink => {
                return BandStatement::Nothing;
            }
        };
        BandStatement::Sure(Quantity::new(
            Decimal::from(parts),
            Dimension::TemperatureCoefficient,
        ))
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What a band states.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BandStatement<T> {
    /// The sources agree on it.
    Sure(T),
    /// The sources disagree on this colour; the part has to be measured.
    Unsure(Colour),
    /// There is no such band.
    Nothing,
}

/// The bands of a resistor, read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Banded {
    /// The nominal value.
    pub value: Quantity,
    /// The tolerance; ±20 % where there is no band for it.
    pub tolerance: BandStatement<Tolerance>,
    /// The temperature coefficient of a six-band resistor.
    pub temperature_coefficient: BandStatement<Quantity>,
}

/// Why bands make no value.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BandError {
    /// There are not three to six bands.
    Count(usize),
    /// A band for a figure has a colour that is none.
    NoFigure {
        /// Which band, from 0.
        band: usize,
        /// Its colour.
        colour: Colour,
    },
    /// The tolerance band has a colour that states none.
    NoTolerance(Colour),
    /// The sixth band has a colour that states no temperature coefficient.
    NoTemperatureCoefficient(Colour),
    /// All figures are nought.
    Nought,
}

impl fmt::Display for BandError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BandError::Count(count) => {
                write!(f, "a resistor has three to six bands, not {count}")
            }
            BandError::NoFigure { band: 0, colour } => write!(
                f,
                "{colour} stands for no figure; perhaps the bands are read from the wrong end"
            ),
            BandError::NoFigure { band, colour } => {
                write!(f, "{colour} stands for no figure (band {})", band + 1)
            }
            BandError::NoTolerance(colour) => write!(
                f,
                "{colour} states no tolerance; perhaps the bands are read from the wrong end"
            ),
            BandError::NoTemperatureCoefficient(colour) => {
                write!(f, "{colour} states no temperature coefficient")
            }
            BandError::Nought => f.write_str("these bands say no ohms at all"),
        }
    }
}

impl std::error::Error for BandError {}

/// Reads the bands of a resistor, the first figure first.
///
/// Three or four bands have two figures, five or six have three; then come the
/// multiplier, the tolerance and the temperature coefficient.
///
/// # Errors
/// When the count is wrong or a band says nothing in its place.
pub fn read_bands(bands: &[Colour]) -> Result<Banded, BandError> {
    let figure_count = match bands.len() {
        3 | 4 => 2,
        5 | 6 => 3,
        count => return Err(BandError::Count(count)),
    };
    let (figures, rest) = bands.split_at(figure_count);
    let mut number: u128 = 0;
    for (band, colour) in figures.iter().enumerate() {
        let figure = colour.figure().ok_or(BandError::NoFigure {
            band,
            colour: *colour,
        })?;
        number = 10 * number + u128::from(figure);
    }
    let power = rest
        .first()
        .map_or(0, |multiplier| multiplier.multiplier_power());
    // At most three figures and nine noughts: this is always kept exactly.
    let ohms = Exact::new(false, number, power)
        .to_decimal()
        .map_err(|_| BandError::Count(bands.len()))?;
    if ohms.is_zero() {
        return Err(BandError::Nought);
    }
    let tolerance = match rest.get(1) {
        None => BandStatement::Sure(Tolerance::relative(Decimal::from_parts(2, 0, 0, false, 1))),
        Some(colour) => match colour.tolerance() {
            BandStatement::Nothing => return Err(BandError::NoTolerance(*colour)),
            stated => stated,
        },
    };
    let temperature_coefficient = match rest.get(2) {
        None => BandStatement::Nothing,
        Some(colour) => match colour.temperature_coefficient() {
            BandStatement::Nothing => return Err(BandError::NoTemperatureCoefficient(*colour)),
            stated => stated,
        },
    };
    Ok(Banded {
        value: Quantity::new(ohms, Dimension::Resistance),
        tolerance,
        temperature_coefficient,
    })
}

#[cfg(test)]
mod tests {
    use super::{BandError, BandStatement, Colour, read_bands};

    #[test]
    fn the_wrong_end_is_told() {
        let bands = [Colour::Gold, Colour::Red, Colour::Black, Colour::Brown];
        assert_eq!(
            read_bands(&bands),
            Err(BandError::NoFigure {
                band: 0,
                colour: Colour::Gold
            })
        );
    }

    #[test]
    fn a_colour_that_sources_disagree_on_is_no_tolerance() {
        for colour in [Colour::Orange, Colour::Yellow, Colour::Grey] {
            let banded = read_bands(&[Colour::Brown, Colour::Black, Colour::Red, colour]);
            assert_eq!(
                banded.map(|banded| banded.tolerance),
                Ok(BandStatement::Unsure(colour))
            );
        }
    }

    #[test]
    fn every_name_is_read_back() {
        for colour in Colour::ALL {
            assert_eq!(Colour::from_word(colour.word()), Some(colour));
        }
        assert_eq!(Colour::from_word("gray"), Some(Colour::Grey));
        assert_eq!(Colour::from_word("purple"), Some(Colour::Violet));
        assert_eq!(Colour::from_word("mauve"), None);
    }
}
