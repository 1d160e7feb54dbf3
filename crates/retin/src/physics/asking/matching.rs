//! Gives each value its input.

use super::Misunderstanding;
use super::reading::{self, Reading};
use super::words::{Piece, is_label_of};
use crate::physics::catalogue::{Alternating, Computation, Given, Input, InputKind, Need};
use crate::physics::units::Dimension;

/// The value of each input, in the order of the list.
///
/// # Errors
/// A value that fits no input or several, and an input that has none.
pub(super) fn matched(
    computation: &'static Computation,
    pieces: Vec<Piece>,
) -> Result<Vec<Option<Given>>, Misunderstanding> {
    let mut matching = Matching {
        computation,
        slots: vec![None; computation.inputs.len()],
    };
    let mut unlabelled = Vec::new();
    for piece in pieces {
        if let Some(piece) = matching.take_labelled(piece)? {
            unlabelled.push(piece);
        }
    }
    matching.take_by_kind(&unlabelled)?;
    let missing: Vec<&'static Input> = computation
        .inputs
        .iter()
        .zip(&matching.slots)
        .filter(|(input, slot)| input.need == Need::Required && slot.is_none())
        .map(|(input, _)| input)
        .collect();
    if missing.is_empty() {
        Ok(matching.slots)
    } else {
        Err(Misunderstanding::Missing {
            computation,
            inputs: missing,
        })
    }
}

struct Matching {
    computation: &'static Computation,
    slots: Vec<Option<Given>>,
}

impl Matching {
    fn number(&self, piece: &Piece, index: usize) -> Option<f64> {
        let inputs = self.computation.inputs;
        let labelled = piece
            .label
            .as_ref()
            .is_some_and(|label| label.is_next && is_label_of(&inputs[index], &label.word));
        let rival = inputs.iter().any(|input| {
            matches!(
                input.kind,
                InputKind::Quantity(Dimension::Temperature | Dimension::Resistance)
            )
        });
        reading::fitting(
            &piece.reading,
            &piece.text,
            &inputs[index],
            labelled || !rival,
        )
    }

    /// The inputs that a value fits, whether they are still open or not.
    fn fitted(&self, piece: &Piece) -> Vec<usize> {
        (0..self.slots.len())
            .filter(|index| self.number(piece, *index).is_some())
            .collect()
    }

    fn is_open(&self, index: usize) -> bool {
        self.slots[index].is_none()
    }

    fn put(&mut self, index: usize, piece: &Piece) -> Result<(), Misunderstanding> {
        let Some(number) = self.number(piece, index) else {
            return Err(self.no_place(piece));
        };
        self.slots[index] = Some(Given::Number(number));
        if reading::is_alternating(&piece.reading)
            && let Alternating::Chooses { input, word } = self.computation.inputs[index].alternating
        {
            let chosen = self
                .computation
                .inputs
                .iter()
                .position(|other| other.name == input);
            // What was said in a word of its own counts for more.
            if let Some(chosen) = chosen.filter(|chosen| self.is_open(*chosen)) {
                self.slots[chosen] = Some(Given::Word(word.into()));
            }
        }
        Ok(())
    }

    /// Takes a word, or a value that has the word of an input before it; gives
    /// back any other.
    fn take_labelled(&mut self, piece: Piece) -> Result<Option<Piece>, Misunderstanding> {
        let computation = self.computation;
        if let Reading::Word(word) = piece.reading {
            return self.take_word(word, &piece).map(|()| None);
        }
        let Some(label) = piece.label.clone() else {
            return Ok(Some(piece));
        };
        let labelled: Vec<usize> = (0..self.slots.len())
            .filter(|index| is_label_of(&computation.inputs[*index], &label.word))
            .collect();
        let fitted: Vec<usize> = labelled
            .iter()
            .copied()
            .filter(|index| self.number(&piece, *index).is_some())
            .collect();
        let open = fitted.iter().copied().find(|index| self.is_open(*index));
        match (open, fitted.first(), labelled.first()) {
            (Some(index), _, _) => self.put(index, &piece).map(|()| None),
            (None, Some(_), _) if label.is_next => Err(Misunderstanding::Extra {
                computation,
                said: piece.text,
            }),
            (None, None, Some(index)) if label.is_next => Err(Misunderstanding::WrongKind {
                input: &computation.inputs[*index],
                computation,
                is: reading::in_words(&piece.reading),
                said: piece.text,
            }),
            _ => Ok(Some(piece)),
        }
    }

    fn take_word(&mut self, word: &'static str, piece: &Piece) -> Result<(), Misunderstanding> {
        let index = self.computation.inputs.iter().position(
            |input| matches!(input.kind, InputKind::Word(allowed) if allowed.contains(&word)),
        );
        match index {
            Some(index) if self.is_open(index) => {
                self.slots[index] = Some(Given::Word(word.into()));
                Ok(())
            }
            _ => Err(Misunderstanding::Extra {
                computation: self.computation,
                said: piece.text.clone(),
            }),
        }
    }

    /// Gives the values that no word is about to the inputs of their kind.
    fn take_by_kind(&mut self, pieces: &[Piece]) -> Result<(), Misunderstanding> {
        let mut groups: Vec<(Vec<usize>, Vec<&Piece>)> = Vec::new();
        for piece in pieces {
            let fitted = self.fitted(piece);
            match groups.iter_mut().find(|(inputs, _)| *inputs == fitted) {
                Some((_, alike)) => alike.push(piece),
                None => groups.push((fitted, vec![piece])),
            }
        }
        for (fitted, alike) in groups {
            self.take_alike(&fitted, &alike)?;
        }
        Ok(())
    }

    fn take_alike(&mut self, fitted: &[usize], alike: &[&Piece]) -> Result<(), Misunderstanding> {
        let computation = self.computation;
        let open: Vec<usize> = fitted
            .iter()
            .copied()
            .filter(|index| self.is_open(*index))
            .collect();
        let required: Vec<usize> = open
            .iter()
            .copied()
            .filter(|index| computation.inputs[*index].need == Need::Required)
            .collect();
        let places = if alike.len() == open.len() {
            open
        } else if alike.len() == required.len() {
            required
        } else if alike.len() > open.len() {
            let Some(extra) = alike.get(open.len()) else {
                return Ok(());
            };
            return Err(if fitted.is_empty() {
                self.no_place(extra)
            } else {
                Misunderstanding::Extra {
                    computation,
                    said: extra.text.clone(),
                }
            });
        } else {
            return Err(Misunderstanding::Ambiguous {
                computation,
                said: alike.iter().map(|piece| piece.text.clone()).collect(),
                inputs: open
                    .iter()
                    .map(|index| &computation.inputs[*index])
                    .collect(),
            });
        };
        places
            .into_iter()
            .zip(alike)
            .try_for_each(|(index, piece)| self.put(index, piece))
    }

    fn no_place(&self, piece: &Piece) -> Misunderstanding {
        Misunderstanding::NoPlace {
            computation: self.computation,
            said: piece.text.clone(),
            is: reading::in_words(&piece.reading),
        }
    }
}
