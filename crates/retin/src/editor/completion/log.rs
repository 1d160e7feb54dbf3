//! The log: days, times, verbs, and what is still to be done.

use super::{List, What};
use crate::meaning::{BoardId, LogEntry, PlaceId, names};
use crate::rules::limits::{DRY_MEANS, SOLVENTS};
use crate::time::accidents::{AccidentRecord, Status};
use retin_syntax::Token;
use retin_syntax::tables::accidents::{ACCIDENTS, Accident, AccidentRow, Struck};
use retin_syntax::tables::repairs::{REPAIRS, RepairRow};
use retin_syntax::tables::verbs::STOPS;
use retin_syntax::tables::{PlanVerb, verbs};

/// Most places that are offered one by one.
const MOST_PLACES: usize = 100;

/// Most entries that are offered to be corrected.
const MOST_ENTRIES: usize = 20;

/// Words that open another part of an entry.
const SLOTS: &[Token] = &[Token::With, Token::To, Token::Except, Token::By];

impl List<'_, '_> {
    pub(super) fn day(&mut self) {
        if !self.is_first() {
            return;
        }
        if let Some((date, _)) = self.now {
            self.add(What::Name, date.to_string(), "today");
        }
        self.add(What::Keyword, "next day", "the log goes on after midnight");
    }

    pub(super) fn log_entry(&mut self) {
        let before = self.caret.before();
        let Some(verb) = before
            .iter()
            .map(|lexeme| lexeme.0)
            .find(|token| verbs::is_log_verb(*token))
        else {
            if let Some((_, time)) = self.now
                && before.is_empty()
            {
                self.add(What::Name, time.to_string(), "now");
            }
            // A time and initials may stand before the verb.
            if before.len() <= 2 {
                for (row, past) in verbs::STEP_VERBS {
                    self.word(*past, row.doc);
                }
                for (token, doc) in verbs::LOG_ONLY {
                    self.word(*token, doc);
                }
            }
            return;
        };
        let after_verb = self.last() == Some(verb);
        match self.slot(SLOTS) {
            Some((Token::With, 0)) => self.means_of(verb),
            Some((Token::To, 0)) if verb == Token::Adjusted => {
                for (word, _, doc) in STOPS {
                    self.add(What::Keyword, *word, *doc);
                }
            }
            Some((Token::To | Token::Except, 0)) => self.parts(&[], true),
            Some((Token::By, 0)) => {}
            _ if after_verb || self.last() == Some(Token::Comma) => self.targets_of(verb),
            _ => {
                if self.facts_of_entry() {
                    return;
                }
                self.parts_of_scope();
                self.phrases_of(verb);
                self.rest_of(verb);
            }
        }
    }

    /// Words that may follow what an entry names.
    fn rest_of(&mut self, verb: Token) {
        let is = |verbs: &[Token]| verbs.contains(&verb);
        let rows: &[(Token, &str, bool)] = &[
            (
                Token::With,
                "with which part, or by what means",
                is(&[Token::Fitted, Token::Cleaned, Token::Powered]),
            ),
            (
                Token::To,
                "the other end",
                is(&[
                    Token::Measured,
                    Token::Damaged,
                    Token::Repaired,
                    Token::Adjusted,
                ]),
            ),
            (Token::Except, "without these", true),
            (Token::Esr, "series resistance", is(&[Token::Measured])),
            (Token::Leakage, "leakage current", is(&[Token::Measured])),
            (Token::Ripple, "ripple voltage", is(&[Token::Measured])),
            (
                Token::Beep,
                "the two points sound to each other",
                is(&[Token::Measured]),
            ),
            (
                Token::Unpowered,
                "with the unit off and discharged",
                is(&[Token::Measured]),
            ),
            (Token::Cold, "just switched on", is(&[Token::Measured])),
            (Token::Warm, "after warming up", is(&[Token::Measured])),
            (Token::Because, "the reason, in quotes", true),
        ];
        for (token, doc, fits) in rows {
            if *fits && !self.has(*token) {
                self.word(*token, doc);
            }
        }
        if is(&[
            Token::Inspected,
            Token::Measured,
            Token::Photographed,
            Token::Soldered,
        ]) && !self.has(Token::Both)
        {
            self.add(What::Keyword, "both sides", "on both sides of the board");
        }
    }

    /// How an accident, or a repair, is said; what fits the place first.
    fn phrases_of(&mut self, verb: Token) {
        // Of a phrase that was begun the rest cannot be told from a name.
        match verb {
            Token::Damaged => {
                let is_lead = self.names_lead();
                let is_near = |strikes| {
                    is_lead == matches!(strikes, Struck::Pad | Struck::Barrel | Struck::Joint)
                };
                let mut rows: Vec<&AccidentRow> = ACCIDENTS.iter().collect();
                rows.sort_by_key(|row| !is_near(row.strikes));
                for row in rows {
                    self.add(What::Keyword, row.words, row.doc);
                }
            }
            Token::Repaired => {
                let happened = self.accidents_here();
                let mends = |accident: &Accident| happened.contains(accident);
                let mut rows: Vec<&RepairRow> = REPAIRS.iter().collect();
                rows.sort_by_key(|row| !row.mends.iter().any(mends));
                for row in rows {
                    self.add(What::Keyword, row.words, row.doc);
                }
            }
            _ => {}
        }
    }

    /// Whether the last name is that of a lead, `psu.C1.-`.
    fn names_lead(&self) -> bool {
        let text = self.caret.text;
        let last = self.caret.before().last();
        last.is_some_and(|lexeme| names::segments(lexeme.1.of(text)).len() > 2)
    }

    /// What happened to the places that the entry names, and is not proven mended.
    fn accidents_here(&self) -> Vec<Accident> {
        let text = self.caret.text;
        let named: Vec<PlaceId> = self
            .caret
            .before()
            .iter()
            .flat_map(|lexeme| {
                let word = lexeme.1.of(text);
                let segments = names::segments(word);
                let part = segments[..segments.len().min(2)].join(".");
                self.snapshot.case.places_named(&part)
            })
            .collect();
        // The line that is being typed may count as the repair already.
        let accidents = self.snapshot.case.replay.accidents.iter();
        accidents
            .filter(|record| record.status() != Status::Proven)
            .filter(|record| record.place().is_some_and(|place| named.contains(&place)))
            .filter_map(|record| record.accident)
            .collect()
    }

    fn open_accidents(&self) -> impl Iterator<Item = &AccidentRecord<'_>> {
        self.snapshot
            .case
            .replay
            .accidents
            .iter()
            .filter(|record| record.status() == Status::Open)
    }

    /// Behind `with`: the part that goes in, or the means.
    fn means_of(&mut self, verb: Token) {
        match verb {
            Token::Cleaned => {
                for means in SOLVENTS.iter().chain(DRY_MEANS) {
                    let detail = if SOLVENTS.contains(means) {
                        "a solvent"
                    } else {
                        "dry"
                    };
                    self.add(What::Name, *means, detail);
                }
            }
            Token::Powered => self.word(Token::Lamp, "a lamp in series limits the current"),
            _ => {
                let places = self.entry_places();
                self.planned_entries(&places);
                self.entries_for(&places);
            }
        }
    }

    /// The boards behind which parts may be named without them, `ch1, ch2 C1..C4`:
    /// those at the end of what stands before, with nothing but commas between.
    fn scope(&self) -> Vec<BoardId> {
        let text = self.caret.text;
        let case = self.snapshot.case;
        let mut boards = Vec::new();
        for lexeme in self.caret.before().iter().rev() {
            let word = lexeme.1.of(text);
            let named = names::expand(word).unwrap_or_default();
            let found: Vec<BoardId> = named
                .iter()
                .filter_map(|name| Some(case.board_named(name)?.0))
                .collect();
            if !found.is_empty() {
                boards.extend(found);
            } else if lexeme.0 != Token::Comma {
                break;
            }
        }
        boards.sort_unstable();
        boards.dedup();
        boards
    }

    fn parts_of_scope(&mut self) {
        let case = self.snapshot.case;
        for board in self.scope() {
            for part in &case.board(board).parts {
                let name = &case.part(*part).name;
                let detail = format!("on {}", case.board(board).name);
                self.add_name(What::Part, name, detail);
            }
        }
    }

    fn facts_of_entry(&mut self) -> bool {
        use retin_syntax::value::Dimension as D;
        self.units_for(&[
            D::Voltage,
            D::Resistance,
            D::Capacitance,
            D::Current,
            D::Time,
        ])
    }

    /// What a verb may be about; what the plan wants and the log lacks first.
    fn targets_of(&mut self, verb: Token) {
        match verb {
            Token::Ordered | Token::Arrived => {
                self.shelves();
                return;
            }
            Token::Corrected => {
                self.entries_to_correct();
                return;
            }
            Token::Noted | Token::Approved | Token::Returned => return,
            Token::Repaired => {
                let places: Vec<String> = self
                    .open_accidents()
                    .filter_map(|record| self.subject_of(record.entry))
                    .collect();
                for place in places {
                    self.add(What::Part, place, "damaged, and not repaired yet");
                }
            }
            Token::Measured => self.readings_wanted(),
            _ => {}
        }
        let open = self.not_done(verb);
        self.parts(&open, !matches!(verb, Token::Removed | Token::Fitted));
        if matches!(verb, Token::Removed | Token::Fitted) && !self.typed().contains('.') {
            // What is done comes last, for it may have to be done again.
            let case = self.snapshot.case;
            let done: Vec<PlaceId> = self.done(verb);
            for place in done {
                self.add(What::Part, case.name_of(place), "done");
            }
        }
    }

    /// What an entry of the log names, as written.
    fn subject_of(&self, entry: usize) -> Option<String> {
        let entry = self.snapshot.case.job.as_ref()?.log.get(entry)?;
        Some(self.snapshot.of(entry.subject.origin?).to_owned())
    }

    /// Points that a target asks a reading of, and the log has none.
    fn readings_wanted(&mut self) {
        let snapshot = self.snapshot;
        let Some(job) = snapshot.case.job.as_ref() else {
            return;
        };
        for wanted in crate::time::readings_wanted::wanted(snapshot.case, job) {
            let target = &job.targets[wanted.target];
            let point = match target.to {
                Some((to, _)) => format!("{} to {to}", target.point),
                None => target.point.to_owned(),
            };
            self.add(What::Net, point, "a target asks for it");
        }
    }

    /// The last entries, newest first, as `corrected` names them, to be written anew.
    fn entries_to_correct(&mut self) {
        let snapshot = self.snapshot;
        let Some(job) = snapshot.case.job.as_ref() else {
            return;
        };
        let mendable = |entry: &&LogEntry<'_>| {
            !entry.is_correction() && !self.is_this(entry.origin.span.start)
        };
        let labels: Vec<String> = job
            .log
            .iter()
            .rev()
            .filter(mendable)
            .filter_map(|entry| {
                let (date, time) = (entry.date?, entry.time?);
                let verb = entry.verb.reserved_text()?;
                let line = snapshot.of(entry.origin);
                let words: Vec<&str> = line[line.find(verb)?..].split_whitespace().collect();
                Some(format!("{date} {time} {}", words.join(" ")))
            })
            .take(MOST_ENTRIES)
            .collect();
        for label in labels {
            self.add(What::Name, label, "the entry that was wrong");
        }
    }

    fn done(&self, verb: Token) -> Vec<PlaceId> {
        let log = self.snapshot.case.job.iter().flat_map(|job| &job.log);
        let mut places: Vec<PlaceId> = log
            .filter(|entry| entry.verb == verb && !self.is_this(entry.origin.span.start))
            .flat_map(|entry| entry.subject.places.iter().copied())
            .collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    fn is_this(&self, offset: u32) -> bool {
        self.snapshot.case.root == self.caret.file && self.caret.physical.touches(offset)
    }

    /// Places that the plan wants something of that the log does not tell yet.
    fn not_done(&self, verb: Token) -> Vec<PlaceId> {
        let case = self.snapshot.case;
        let is_wanted = |wanted: PlanVerb| match verb {
            Token::Removed => matches!(wanted, PlanVerb::Replace | PlanVerb::Remove),
            Token::Fitted => matches!(wanted, PlanVerb::Replace | PlanVerb::Add | PlanVerb::Socket),
            _ => false,
        };
        let done = self.done(verb);
        case.decisions
            .iter()
            .filter(|decision| is_wanted(case.plan_line(decision.line).verb))
            .map(|decision| decision.place)
            .filter(|place| done.binary_search(place).is_err())
            .take(MOST_PLACES)
            .collect()
    }

    /// The places that the entry names before `with`.
    fn entry_places(&self) -> Vec<PlaceId> {
        let text = self.caret.text;
        self.caret
            .before()
            .iter()
            .skip_while(|lexeme| !verbs::is_log_verb(lexeme.0))
            .skip(1)
            .take_while(|lexeme| lexeme.0 != Token::With)
            .flat_map(|lexeme| self.snapshot.case.places_named(lexeme.1.of(text)))
            .collect()
    }

    /// The entries that the plan puts into these places.
    fn planned_entries(&mut self, places: &[PlaceId]) {
        use crate::replacement::{Chosen, replacement_at};
        let case = self.snapshot.case;
        for place in places.iter().take(4) {
            if let Some(Chosen::New(new)) = replacement_at(case, *place)
                && let Some(name) = new.new.name
            {
                self.add_name(What::Shelf, name, "as planned");
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::fixture::{at, mixer};
    use super::super::completion_at;
    use retin_syntax::value::{Value, read};

    /// The labels where a line of the log is written instead of the last one.
    fn of(line: &str) -> Vec<String> {
        let fixture = mixer("    09:40  measured   psu.C1  1840uF\n", line);
        let (Ok(Value::Date(date)), Ok(Value::Time(time))) = (read("2026-11-04"), read("14:05"))
        else {
            panic!("a date and a time");
        };
        at(&fixture, |snapshot, position| {
            completion_at(snapshot, position, Some((date, time)))
                .into_iter()
                .map(|found| found.label)
                .collect()
        })
    }

    #[test]
    fn a_line_begins_with_the_time() {
        assert_eq!(of("    $0\n")[..2], ["14:05", "photographed"]);
        assert_eq!(of("  $0\n")[..2], ["2026-11-04", "next day"]);
        assert_eq!(of("    09:40  $0\n")[0], "photographed");
    }

    #[test]
    fn parts_follow_their_boards_without_a_comma() {
        let found = of("    09:40  removed  ch1, ch2 $0\n");
        assert_eq!(found[..2], ["C1", "C2"], "{found:?}");
        assert!(of("    09:40  removed  ch1, $0\n").contains(&"psu".to_owned()));
    }

    #[test]
    fn accidents_and_repairs_are_said_in_set_words() {
        let found = of("    09:40  damaged  psu.C1.- $0\n");
        assert_eq!(found[..2], ["pad lifted", "barrel torn"], "{found:?}");
        let found = of("    09:40  damaged  psu $0\n");
        let first = found.iter().position(|label| label == "burnt");
        let lead = found.iter().position(|label| label == "pad lifted");
        assert!(first < lead, "{found:?}");
        let damaged = "    09:40  damaged  psu.C1.-  barrel torn\n";
        let found = of(&format!("{damaged}    09:50  repaired  $0\n"));
        assert_eq!(found[0], "psu.C1.-", "{found:?}");
        let found = of(&format!("{damaged}    09:50  repaired  psu.C1.-  $0\n"));
        assert!(found[..3].contains(&"barrel wired".to_owned()), "{found:?}");
    }

    #[test]
    fn means_stops_and_readings_are_offered() {
        assert_eq!(of("    09:40  cleaned  psu with $0\n")[0], "isopropanol");
        assert_eq!(of("    09:40  powered  psu with $0\n"), ["lamp"]);
        assert_eq!(of("    09:40  adjusted  psu.R1 to $0\n")[0], "minimum");
        assert_eq!(of("    09:40  measured  $0\n")[0], "psu.V24");
        let found = of("    09:40  inspected  psu $0\n");
        assert!(found.contains(&"both sides".to_owned()), "{found:?}");
        assert!(!found.contains(&"esr".to_owned()), "{found:?}");
    }

    #[test]
    fn what_was_wrong_is_named_by_its_day_and_time() {
        assert_eq!(
            of("    09:40  corrected  $0\n"),
            ["2026-11-03 09:10 removed psu.C1"]
        );
    }
}
