//! Directions on a board, as its component side is looked at with the drawing upright.

use crate::token::Token;

/// Where a lead lies within its place.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Direction {
    /// Up on the drawing.
    North,
    /// Up and right.
    NorthEast,
    /// Right on the drawing.
    East,
    /// Down and right.
    SouthEast,
    /// Down on the drawing.
    South,
    /// Down and left.
    SouthWest,
    /// Left on the drawing.
    West,
    /// Up and left.
    NorthWest,
}

const ROWS: &[(Token, Direction)] = &[
    (Token::North, Direction::North),
    (Token::NorthEast, Direction::NorthEast),
    (Token::East, Direction::East),
    (Token::SouthEast, Direction::SouthEast),
    (Token::South, Direction::South),
    (Token::SouthWest, Direction::SouthWest),
    (Token::West, Direction::West),
    (Token::NorthWest, Direction::NorthWest),
];

impl Direction {
    /// The direction a reserved word names.
    pub fn of(token: Token) -> Option<Direction> {
        ROWS.iter().find(|row| row.0 == token).map(|row| row.1)
    }

    /// All directions, clockwise from north.
    pub fn all() -> impl Iterator<Item = Direction> + Clone {
        ROWS.iter().map(|row| row.1)
    }

    /// The word for the direction.
    pub fn word(self) -> &'static str {
        ROWS.iter()
            .find(|row| row.1 == self)
            .and_then(|row| row.0.reserved_text())
            .unwrap_or("")
    }

    /// The direction a half turn away.
    pub fn opposite(self) -> Direction {
        match self {
            Direction::North => Direction::South,
            Direction::NorthEast => Direction::SouthWest,
            Direction::East => Direction::West,
            Direction::SouthEast => Direction::NorthWest,
            Direction::South => Direction::North,
            Direction::SouthWest => Direction::NorthEast,
            Direction::West => Direction::East,
            Direction::NorthWest => Direction::SouthEast,
        }
    }
}
