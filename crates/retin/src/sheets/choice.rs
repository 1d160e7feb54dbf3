//! What is wanted on a sheet, looked up in a job.

use super::Refusal;
use super::job::CheckedJob;
use super::settings::Wanted;
use crate::meaning::{BoardCopy, Case, PlaceId, names};
use crate::replacement::{Chosen, NewSide};
use crate::time::step_progress::Piece;
use crate::time::working_order::new_parts;
use retin_syntax::Token;
use retin_syntax::tables::{Property, kinds};
use retin_syntax::token::RESERVED;
use retin_syntax::value::{self, Value};

/// What is wanted of a job. None wants everything.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Choice {
    steps: Option<Vec<usize>>,
    boards: Option<Vec<BoardCopy>>,
    places: Option<Vec<PlaceId>>,
}

impl Choice {
    /// Looks up what was asked for.
    ///
    /// # Errors
    /// When a step, a board, a zone or a kind is asked for that the job does not have, or a
    /// value that cannot be read and names nothing.
    pub fn of(job: &CheckedJob<'_, '_>, wanted: &Wanted) -> Result<Self, Refusal> {
        let some = |list: &[String]| !list.is_empty();
        let boards = some(&wanted.boards)
            .then(|| boards(job.case, &wanted.boards))
            .transpose()?;
        let narrows = some(&wanted.zones) || some(&wanted.kinds) || some(&wanted.values);
        Ok(Choice {
            steps: some(&wanted.steps)
                .then(|| steps(job, &wanted.steps))
                .transpose()?,
            places: narrows.then(|| places(job, wanted)).transpose()?,
            boards,
        })
    }

    /// Whether a step is wanted, by its index in the job's steps.
    pub fn takes_step(&self, step: usize) -> bool {
        let steps = self.steps.as_ref();
        steps.is_none_or(|steps| steps.contains(&step))
    }

    /// Whether steps were asked for by name.
    pub fn names_steps(&self) -> bool {
        self.steps.is_some()
    }

    /// Whether a piece of a step's work is wanted.
    pub fn takes_piece(&self, case: &Case<'_>, piece: Piece) -> bool {
        let is_of_boards = !self.is_of_places();
        match piece {
            Piece::Place(place) => self.takes_place(case, place),
            Piece::Board(board) => is_of_boards && self.takes_board(board),
            Piece::Net(net, copy) => {
                is_of_boards && self.takes_board((case.nets.net(net).board, copy))
            }
            Piece::Link(link) => {
                let mut boards = case.link(link).boards.iter();
                is_of_boards && boards.any(|board| self.takes_board(*board))
            }
            Piece::Whole => is_of_boards && self.boards.is_none(),
        }
    }

    /// Whether a copy of a board is wanted.
    pub fn takes_board(&self, board: BoardCopy) -> bool {
        let boards = self.boards.as_ref();
        boards.is_none_or(|boards| boards.binary_search(&board).is_ok())
    }

    /// Whether a place is wanted.
    pub fn takes_place(&self, case: &Case<'_>, place: PlaceId) -> bool {
        let places = self.places.as_ref();
        self.takes_board(case.copy_of(place))
            && places.is_none_or(|places| places.binary_search(&place).is_ok())
    }

    /// Whether only some places are wanted, by zone, kind or value; then nothing
    /// is wanted that is no place.
    pub fn is_of_places(&self) -> bool {
        self.places.is_some()
    }
}

fn refuse<T>(reason: String) -> Result<T, Refusal> {
    Err(Refusal { reason })
}

/// What there is, at the end of a sentence.
fn there_are<'n>(names: impl Iterator<Item = &'n str>) -> String {
    let mut listed: Vec<&str> = Vec::new();
    for name in names {
        if !listed.contains(&name) {
            listed.push(name);
        }
    }
    if listed.is_empty() {
        "there is none".to_owned()
    } else {
        format!("there are {}", listed.join(", "))
    }
}

fn steps(job: &CheckedJob<'_, '_>, wanted: &[String]) -> Result<Vec<usize>, Refusal> {
    let steps = &job.job.steps;
    let mut found = Vec::new();
    for name in wanted {
        match steps.iter().position(|step| step.name == name) {
            Some(step) => found.push(step),
            None => {
                let there = there_are(steps.iter().map(|step| step.name));
                return refuse(format!("there is no step {name} in this job; {there}"));
            }
        }
    }
    Ok(found)
}

fn boards(case: &Case<'_>, wanted: &[String]) -> Result<Vec<BoardCopy>, Refusal> {
    let mut found: Vec<BoardCopy> = Vec::new();
    for word in wanted {
        for name in names::expand(word).unwrap_or_else(|_| vec![word.clone()]) {
            match case.board_named(&name) {
                Some((board, Some(copy))) => found.push((board, copy)),
                Some((board, None)) => found.extend(case.copies_of(board)),
                None => {
                    let there = there_are(case.boards.iter().map(|board| board.name));
                    return refuse(format!("there is no board {name} in this unit; {there}"));
                }
            }
        }
    }
    found.sort_unstable();
    found.dedup();
    Ok(found)
}

/// The places that lie in the zones, are of the kinds and have the values wanted.
fn places(job: &CheckedJob<'_, '_>, wanted: &Wanted) -> Result<Vec<PlaceId>, Refusal> {
    let case = job.case;
    let mut places: Vec<PlaceId> = case.places().collect();
    places.sort_unstable();
    if !wanted.zones.is_empty() {
        let zone = |place: &PlaceId| case.zone_of(*place);
        let declared = case.boards.iter().flat_map(|board| &board.zones);
        let mut known: Vec<&str> = declared.map(|zone| zone.0).collect();
        known.extend(places.iter().filter_map(zone));
        for name in &wanted.zones {
            if !known.contains(&name.as_str()) {
                let there = there_are(known.into_iter());
                return refuse(format!("there is no zone {name} in this unit; {there}"));
            }
        }
        places.retain(|place| {
            zone(place).is_some_and(|zone| wanted.zones.iter().any(|it| it == zone))
        });
    }
    if !wanted.kinds.is_empty() {
        let mut tokens = Vec::new();
        for word in &wanted.kinds {
            let token = RESERVED.iter().find(|row| row.0 == word).map(|row| row.1);
            match token.filter(|token| kinds::is_kind(*token) || kinds::is_family(*token)) {
                Some(token) => tokens.push(token),
                None => {
                    return refuse(format!(
                        "{word} is no kind of part; a kind is a word such as electrolytic, \
                         capacitor or opamp"
                    ));
                }
            }
        }
        places.retain(|place| {
            let kind = case.goes_by(*place).kind;
            kind.is_some_and(|kind| {
                tokens
                    .iter()
                    .any(|token: &Token| kind.is_covered_by(*token))
            })
        });
    }
    if !wanted.values.is_empty() {
        with_values(job, &wanted.values, &mut places)?;
    }
    Ok(places)
}

/// Keeps the places whose old or new part has one of the values, is of one of
/// the types, or is one of the shelf entries.
fn with_values(
    job: &CheckedJob<'_, '_>,
    wanted: &[String],
    places: &mut Vec<PlaceId>,
) -> Result<(), Refusal> {
    let case = job.case;
    let chosen: &[Chosen<'_, '_>] = &job.chosen;
    let new = new_parts(chosen);
    let values: Vec<Option<Value>> = wanted.iter().map(|text| value::read(text).ok()).collect();
    let mut is_named = vec![false; wanted.len()];
    let is_value = |value: Option<Value>, index: usize| {
        values[index].is_some() && value.is_some() && value == values[index]
    };
    let is_new = |new: &NewSide<'_, '_>, index: usize| {
        let is_word = |word: Option<&str>| word == Some(wanted[index].as_str());
        is_word(new.name)
            || is_word(new.facts.word(Property::Device))
            || is_value(new.value().map(Value::Quantity), index)
    };
    places.retain(|place| {
        let old = case.goes_by(*place);
        let mut is_taken = false;
        for index in 0..wanted.len() {
            let is_old = old.word(Property::Device) == Some(wanted[index].as_str())
                || is_value(old.quantity(Property::Value).map(Value::Quantity), index);
            if is_old || new.get(place).is_some_and(|new| is_new(&new.new, index)) {
                is_named[index] = true;
                is_taken = true;
            }
        }
        is_taken
    });
    let unread = (0..wanted.len()).find(|index| !is_named[*index] && values[*index].is_none());
    match unread {
        Some(index) => refuse(format!(
            "{} is no value, and no part is of that type or from that drawer",
            wanted[index]
        )),
        None => Ok(()),
    }
}
