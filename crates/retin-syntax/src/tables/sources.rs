//! Who says so: the sources of a claim.

use crate::token::Token;

/// Where a claim about a part comes from.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum ClaimSource {
    /// The maker's circuit diagram.
    Schematic,
    /// The maker's parts list.
    List,
    /// The print on the board.
    Silk,
    /// The part that sat in the place, its marking and the way round it sat.
    Found,
    /// A meter reading.
    Meter,
    /// A continuity test from one lead to a net.
    Beep,
}

const ROWS: &[(Token, ClaimSource, &str)] = &[
    (
        Token::Schematic,
        ClaimSource::Schematic,
        "what the circuit diagram says",
    ),
    (
        Token::List,
        ClaimSource::List,
        "what the maker's parts list says",
    ),
    (
        Token::Silk,
        ClaimSource::Silk,
        "what is printed on the board",
    ),
    (
        Token::Found,
        ClaimSource::Found,
        "the part that sat there, and how it sat",
    ),
    (Token::Meter, ClaimSource::Meter, "what a meter read"),
    (
        Token::Beep,
        ClaimSource::Beep,
        "a lead that sounds to a net",
    ),
];

impl ClaimSource {
    /// The source a reserved word names.
    pub fn of(token: Token) -> Option<ClaimSource> {
        ROWS.iter().find(|row| row.0 == token).map(|row| row.1)
    }

    /// All sources with their word and what it means.
    pub fn all() -> impl Iterator<Item = (ClaimSource, Token, &'static str)> + Clone {
        ROWS.iter()
            .map(|&(token, source, meaning)| (source, token, meaning))
    }

    /// The word for the source.
    pub fn word(self) -> &'static str {
        ROWS.iter()
            .find(|row| row.1 == self)
            .and_then(|row| row.0.reserved_text())
            .unwrap_or("")
    }

    /// The source as the subject of a sentence.
    pub fn phrase(self) -> &'static str {
        match self {
            ClaimSource::Schematic => "the schematic",
            ClaimSource::List => "the parts list",
            ClaimSource::Silk => "the silkscreen",
            ClaimSource::Found => "the part found",
            ClaimSource::Meter => "the meter",
            ClaimSource::Beep => "the beep test",
        }
    }
}
