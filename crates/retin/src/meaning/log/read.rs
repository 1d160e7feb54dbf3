//! Entries of the log: their words sorted into what was done.

use super::{Act, LogEntry, Ordered, Point, Reading, Subject};
use crate::meaning::build::{Reader, Section, near};
use crate::meaning::passed_over::is_unread;
use crate::meaning::problem::ProblemKind;
use crate::meaning::{FactValue, Facts, Stated, names};
use crate::sources::{FileId, Origin};
use retin_syntax::Span;
use retin_syntax::tables::accidents::ACCIDENTS;
use retin_syntax::tables::repairs::REPAIRS;
use retin_syntax::tables::verbs::STOPS;
use retin_syntax::tables::{Accident, LogVerb, Property, Repair, Stop};
use retin_syntax::token::Token;
use retin_syntax::tree::{self, LineId, LogLine, Record, WithPart, Word};
use retin_syntax::value::{self, Date, Dimension, Money, TimeOfDay, Value};
use std::ops::Range;

/// Reads a `log` section.
pub(in crate::meaning) fn log<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    let file = section.file;
    let mut entries: Vec<LogEntry<'a>> = reader
        .case
        .job
        .as_mut()
        .map(|job| std::mem::take(&mut job.log))
        .unwrap_or_default();
    let mut date = entries.last().and_then(|entry| entry.date);
    let mut mends: Vec<(usize, &tree::Mends)> = Vec::new();
    let line = section.tree.line(section.id);
    let below = &section.tree.lines[section.id.index()..line.end as usize];
    // Whether every entry is read, and every day and time of one.
    let mut is_whole = below.iter().all(|line| !is_unread(&line.record));
    for (id, day) in section.tree.children(section.id) {
        let told = reader.case.problems.len();
        date = reader.day(file, &day.record, date);
        is_whole &= reader.case.problems.len() == told;
        for (_, line) in section.tree.children(id) {
            if let Record::Entry(entry) = &line.record {
                let origin = Origin {
                    file,
                    span: line.span,
                };
                if let Some(of) = &entry.mends {
                    mends.push((entries.len(), of));
                }
                let time = entry.time.map(|word| word.span.of(reader.text(file)));
                is_whole &= time.is_none_or(|time| value::read(time).is_ok());
                let told = reader.problems_from_log();
                let entry = reader.log_line(file, origin, date, entry);
                entries.push(entry);
                let told = told..reader.problems_from_log();
                reader.told_of_entries.push(told);
            }
        }
    }
    for (index, of) in mends {
        reader.mend(file, &mut entries, index, of, is_whole);
    }
    if let Some(job) = &mut reader.case.job {
        job.log = entries;
    }
}

/// Reads some entries of a log again, of which every line stands for the same entry as
/// before. None of them corrects another. Gives each as it was.
pub(in crate::meaning) fn entries_again<'a>(
    reader: &mut Reader<'_, 'a>,
    section: Section<'_>,
    told: &mut [Range<usize>],
    is_other: impl Fn(usize, LineId) -> bool,
) -> Vec<(usize, LogEntry<'a>)> {
    let file = section.file;
    let mut read = Vec::new();
    for (at, (id, span, entry)) in entry_lines(section).into_iter().enumerate() {
        let job = reader.case.job.as_ref();
        let Some(date) = job.and_then(|job| Some(job.log.get(at)?.date)) else {
            break;
        };
        if !is_other(at, id) {
            continue;
        }
        let was = told[at].clone();
        let behind = reader.case.problems.len();
        let new = reader.log_line(file, Origin { file, span }, date, entry);
        let problems = reader.case.problems.split_off(behind);
        let more = problems.len() as i64 - was.len() as i64;
        let begins = reader.log_begins.unwrap_or(behind);
        let old = begins + was.start..begins + was.end;
        reader.case.problems.splice(old, problems);
        told[at].end = (was.end as i64 + more) as usize;
        for later in &mut told[at + 1..] {
            later.start = (later.start as i64 + more) as usize;
            later.end = (later.end as i64 + more) as usize;
        }
        if let Some(job) = &mut reader.case.job {
            read.push((at, std::mem::replace(&mut job.log[at], new)));
        }
    }
    read
}

/// The line of each entry of a log.
pub(in crate::meaning) fn entry_lines<'t>(
    section: Section<'t>,
) -> Vec<(LineId, Span, &'t LogLine)> {
    let tree = section.tree;
    let days = tree.children(section.id);
    let lines = days.flat_map(|(day, _)| tree.children(day));
    let entry = |(id, line): (LineId, &'t tree::Line)| match &line.record {
        Record::Entry(entry) => Some((id, line.span, &**entry)),
        _ => None,
    };
    lines.filter_map(entry).collect()
}

/// The words of an entry that are no names, sorted by what they are.
#[derive(Default)]
struct Said<'a> {
    readings: Vec<Reading>,
    texts: Vec<&'a str>,
    money: Option<Money>,
    stated: Vec<Stated<'a>>,
    both_sides: bool,
    beeps: bool,
}

impl<'t, 'a> Reader<'t, 'a> {
    /// The day that a heading of the log names.
    fn day(&mut self, file: FileId, record: &Record, before: Option<Date>) -> Option<Date> {
        let Record::Day { date } = record else {
            return None;
        };
        let Some(word) = date else {
            return Some(Date(before?.0.tomorrow().ok()?));
        };
        match self.value(file, word.span)? {
            Value::Date(date) => Some(date),
            Value::Unreadable => None,
            found => {
                self.no_such(file, word.span, "a day of the log", "a date", &found);
                None
            }
        }
    }

    pub(super) fn no_such(
        &mut self,
        file: FileId,
        span: Span,
        what: &str,
        expected: &str,
        found: &Value,
    ) {
        let kind = ProblemKind::WrongDimension {
            what: what.into(),
            expected: expected.into(),
            found: format!("{found} is {}", found.kind_in_words()),
        };
        self.problem(file, span, kind);
    }

    fn time_of_day(&mut self, file: FileId, word: Word) -> Option<TimeOfDay> {
        match self.value(file, word.span)? {
            Value::Time(time) => Some(time),
            Value::Unreadable => None,
            found => {
                // Many write a time with a point.
                let written = word.text(self.text(file)).replacen('.', ":", 1);
                let expected = match value::read(&written) {
                    Ok(Value::Time(time)) => format!("a time such as {time}"),
                    _ => "a time such as 09:10".to_owned(),
                };
                self.no_such(file, word.span, "the time of an entry", &expected, &found);
                None
            }
        }
    }

    fn log_line(
        &mut self,
        file: FileId,
        origin: Origin,
        date: Option<Date>,
        line: &LogLine,
    ) -> LogEntry<'a> {
        let time = line.time.and_then(|word| self.time_of_day(file, word));
        let verb = match &line.mends {
            Some(mends) => mends.verb.and_then(|word| LogVerb::of(word.token)),
            None => LogVerb::of(line.verb.token),
        };
        let (subject, shift) = match &line.selector {
            Some(selector) => self.subject(file, line, selector, verb),
            None => (Subject::default(), 0),
        };
        let mut said = Said::default();
        self.sort(file, &line.facts, &mut said);
        let (to, stop) = {
            let subject = (&subject, line.selector.is_some());
            self.other_ends(file, &line.to, subject, &mut said)
        };
        let phrase = &line.phrase[shift.min(line.phrase.len())..];
        let act = self.act(file, origin, line, verb, &subject, phrase, stop, &mut said);
        let facts = Facts::of(said.stated);
        LogEntry {
            verb: line.verb.token,
            act,
            origin,
            date,
            time,
            by: line
                .by
                .map(|word| self.word(file, word))
                .or_else(|| facts.word(Property::By)),
            subject,
            to,
            readings: said.readings,
            both_sides: said.both_sides,
            texts: said.texts,
            because: facts.word(Property::Because),
            facts,
            mends: None,
            mended_by: None,
        }
    }

    #[allow(
        clippy::too_many_arguments,
        reason = "every part of the line may decide what was done"
    )]
    fn act(
        &mut self,
        file: FileId,
        origin: Origin,
        line: &LogLine,
        verb: Option<LogVerb>,
        subject: &Subject<'a>,
        phrase: &[Word],
        stop: Option<Stop>,
        said: &mut Said<'a>,
    ) -> Act<'a> {
        let Some(verb) = verb else {
            return Act::Struck;
        };
        match verb {
            LogVerb::Photographed => Act::Photographed {
                paths: said.texts.clone(),
            },
            LogVerb::Discharged => Act::Discharged,
            LogVerb::Removed => Act::Removed,
            LogVerb::Cleaned => Act::Cleaned {
                with: self.means(file, &line.with),
            },
            LogVerb::Fitted => {
                let first = subject.places.first();
                let kind = first.and_then(|place| self.case.part(place.part).kind);
                let mut with = Vec::with_capacity(line.with.len());
                for part in &line.with {
                    with.extend(self.new_part(file, part, kind));
                }
                let facts = Facts::of(said.stated.clone());
                Act::Fitted {
                    with,
                    mounting: facts.choice(Property::Mounting),
                    orientation: facts.orientations().next(),
                }
            }
            LogVerb::Soldered => Act::Soldered,
            LogVerb::Inspected => Act::Inspected,
            LogVerb::Measured => Act::Measured { beeps: said.beeps },
            LogVerb::Powered => {
                for part in &line.with {
                    self.sort_values(file, &part.facts, said);
                }
                let mut limits = said.readings.iter().filter_map(Reading::quantity);
                let limit = limits.find(|quantity| quantity.dimension == Dimension::Current);
                Act::Powered {
                    has_lamp: line.with.iter().any(|part| {
                        let mut words = part.facts.iter().flat_map(|fact| &fact.words);
                        words.any(|word| word.token == Token::Lamp)
                    }),
                    limit,
                }
            }
            LogVerb::Adjusted => Act::Adjusted { stop },
            LogVerb::Tested => Act::Tested,
            LogVerb::Damaged => Act::Damaged {
                accident: self.accident(file, origin, phrase),
                at: Facts::of(said.stated.clone()).point(Property::At),
            },
            LogVerb::Repaired => {
                let gauge = Facts::of(said.stated.clone()).millimetres(Property::Wire);
                Act::Repaired {
                    how: self.repair(file, origin, phrase, gauge.is_some()),
                    gauge,
                }
            }
            LogVerb::Approved => Act::Approved { money: said.money },
            LogVerb::Ordered => Act::Ordered {
                items: self.items(file, &line.items),
            },
            LogVerb::Arrived => {
                let items = self.items(file, &line.items);
                let kind = items
                    .first()
                    .and_then(|item| self.case.entry(item.entry?).kind);
                let instead = line.instead.as_ref();
                Act::Arrived {
                    items,
                    instead: instead.and_then(|part| self.new_part(file, part, kind)),
                }
            }
            LogVerb::Noted => Act::Noted,
            LogVerb::Corrected => Act::Struck,
            LogVerb::Returned => Act::Returned,
        }
    }

    /// The words of tools and means.
    fn means(&self, file: FileId, with: &[WithPart]) -> Vec<&'a str> {
        let facts = with.iter().flat_map(|part| &part.facts);
        let words = facts.flat_map(|fact| &fact.words);
        words.map(|word| self.word(file, *word)).collect()
    }

    fn items(&mut self, file: FileId, items: &[tree::Item]) -> Vec<Ordered> {
        let mut ordered = Vec::with_capacity(items.len());
        for item in items {
            let count = match item.count.and_then(|word| self.value(file, word.span)) {
                Some(Value::Number(number)) => Some(number),
                Some(Value::Unreadable) | None => None,
                Some(found) => {
                    let span = item.count.map_or(item.name.span, |word| word.span);
                    self.no_such(file, span, "how many there are", "a bare number", &found);
                    None
                }
            };
            let name = self.word(file, item.name);
            let entry = self.case.entries_by_name.get(name).copied();
            let is_shelf = self.case.shelves.iter().any(|shelf| shelf.name == name);
            if entry.is_none() && !is_shelf {
                let near = near(
                    name,
                    self.case.entries.iter().map(|entry| entry.name.as_str()),
                );
                self.unknown(file, item.name.span, "shelf entry", name, near);
            }
            ordered.push(Ordered {
                count,
                entry,
                origin: Origin {
                    file,
                    span: item.name.span,
                },
            });
        }
        ordered
    }

    pub(super) fn unknown(
        &mut self,
        file: FileId,
        span: Span,
        what: &'static str,
        name: &str,
        near: Option<String>,
    ) {
        let name = name.to_owned();
        self.problem(file, span, ProblemKind::UnknownName { what, name, near });
    }

    /// The words of a phrase, one blank between them.
    pub(super) fn phrase(&self, file: FileId, words: &[Word]) -> Option<(String, Span)> {
        let span = words.first()?.span.to(words.last()?.span);
        let texts: Vec<&str> = words.iter().map(|word| self.word(file, *word)).collect();
        Some((texts.join(" "), span))
    }

    fn accident(&mut self, file: FileId, line: Origin, words: &[Word]) -> Option<Accident> {
        let Some((phrase, span)) = self.phrase(file, words) else {
            let message = "this entry does not say what happened".into();
            let help = format!("write it behind the place: {}", listed(accident_words()));
            let kind = ProblemKind::Misplaced {
                message,
                consequence: "nobody can tell what has to be mended and proven there",
                help,
            };
            self.problem(file, line.span, kind);
            return None;
        };
        let told = Accident::told(&phrase);
        if told.is_none() {
            let near = near(&phrase, accident_words());
            self.unknown(file, span, "accident", &phrase, near);
        }
        told
    }

    fn repair(
        &mut self,
        file: FileId,
        line: Origin,
        words: &[Word],
        has_wire: bool,
    ) -> Option<Repair> {
        let Some((phrase, span)) = self.phrase(file, words) else {
            if !has_wire {
                let message = "this entry does not say how it was repaired".into();
                let help = format!("write it behind the place: {}", listed(repair_words()));
                let kind = ProblemKind::Misplaced {
                    message,
                    consequence: "the damage counts as open, since nothing says how it was mended",
                    help,
                };
                self.problem(file, line.span, kind);
                return None;
            }
            return Some(Repair::Wire);
        };
        let told = Repair::told(&phrase);
        if told.is_none() {
            let near = near(&phrase, repair_words());
            self.unknown(file, span, "repair", &phrase, near);
            return has_wire.then_some(Repair::Wire);
        }
        told
    }

    /// What stands behind `to`: points, a setting of a trimmer, or a reading.
    fn other_ends(
        &mut self,
        file: FileId,
        words: &[Word],
        (subject, has_subject): (&Subject<'a>, bool),
        said: &mut Said<'a>,
    ) -> (Vec<Point<'a>>, Option<Stop>) {
        let mut to = Vec::new();
        let mut stop = None;
        // Where nobody knows the first end, its board is not known either.
        let is_lost = has_subject && subject.is_nothing();
        for word in words {
            let text = self.word(file, *word);
            if let Some(row) = STOPS.iter().find(|row| row.0 == text) {
                stop = Some(row.1);
                continue;
            }
            if word.token == Token::Number
                && let Ok(value @ (Value::Quantity(_) | Value::Range { .. })) = value::read(text)
            {
                said.readings.push(Reading {
                    property: None,
                    value,
                    condition: None,
                    origin: Origin {
                        file,
                        span: word.span,
                    },
                });
                continue;
            }
            // A net or a part of the board that the first end is on needs no board's name.
            let scope = self.one_board(subject);
            let first = names::segments(text)[0];
            if is_lost && self.boards(first).is_none() {
                continue;
            }
            let mut end = Subject::default();
            self.name(file, *word, scope.as_deref(), &mut end);
            to.extend(end.points());
        }
        (to, stop)
    }

    /// Sorts what stands behind the names: texts, readings with their condition, the rest.
    fn sort(&mut self, file: FileId, facts: &tree::Facts, said: &mut Said<'a>) {
        // A condition is said of the readings before it, back to the last one.
        let mut since = said.readings.len();
        let mut facts = facts.iter().peekable();
        while let Some(fact) = facts.next() {
            if let Some(end) = facts.next_if(|next| self.is_decimal_comma(file, fact, next)) {
                self.decimal_comma(file, fact, end);
                continue;
            }
            let Some(property) = fact.property else {
                self.sort_bare(file, fact, said);
                continue;
            };
            match property {
                Property::Sides => said.both_sides = true,
                Property::Beep => said.beeps = true,
                Property::Condition => {
                    let condition = fact.words.first().map(|word| word.token);
                    if since == said.readings.len() {
                        // It stands first, and is said of all that follow.
                        since = usize::MAX;
                        let rest: Vec<tree::Fact> = facts.by_ref().cloned().collect();
                        let first = said.readings.len();
                        self.sort(file, &rest, said);
                        for reading in &mut said.readings[first..] {
                            reading.condition = reading.condition.or(condition);
                        }
                    } else {
                        for reading in &mut said.readings[since..] {
                            reading.condition = condition;
                        }
                        since = said.readings.len();
                    }
                }
                Property::Esr
                | Property::Leakage
                | Property::Gain
                | Property::Vbe
                | Property::Ripple => {
                    let stated = self.facts(file, &vec![fact.clone()], None);
                    for stated in stated {
                        if let FactValue::Value(value) = stated.value {
                            said.readings.push(Reading {
                                property: Some(property),
                                value,
                                condition: None,
                                origin: stated.origin,
                            });
                        }
                    }
                }
                _ => {
                    let stated = self.facts(file, &vec![fact.clone()], None);
                    said.stated.extend(stated);
                }
            }
        }
    }

    /// Only the values among the facts of a means, such as the limit of a supply.
    fn sort_values(&mut self, file: FileId, facts: &tree::Facts, said: &mut Said<'a>) {
        for fact in facts {
            let is_value = fact.words.iter().all(|word| word.token == Token::Number);
            if fact.property.is_none() && is_value {
                self.sort_bare(file, fact, said);
            }
        }
    }

    fn sort_bare(&mut self, file: FileId, fact: &tree::Fact, said: &mut Said<'a>) {
        let Some(word) = fact.words.first() else {
            return;
        };
        let text = self.word(file, *word);
        let origin = Origin {
            file,
            span: fact.span,
        };
        match word.token {
            Token::Text => said.texts.push(text),
            Token::Number => match self.value(file, word.span) {
                Some(Value::Money(money)) => said.money = Some(money),
                Some(Value::Number(_)) => self.problem(
                    file,
                    word.span,
                    ProblemKind::BareNumber {
                        number: text.to_owned(),
                        expected: None,
                        suggestions: Vec::new(),
                    },
                ),
                Some(value) => said.readings.push(Reading {
                    property: None,
                    value,
                    condition: None,
                    origin,
                }),
                None => {}
            },
            // `R47` is a value that does not begin like one.
            _ => match value::read(text) {
                Ok(value @ Value::Quantity(_)) => said.readings.push(Reading {
                    property: None,
                    value,
                    condition: None,
                    origin,
                }),
                _ => self.problem(
                    file,
                    fact.span,
                    ProblemKind::Misplaced {
                        message: format!("`{text}` means nothing in this entry"),
                        consequence: PASSED_OVER,
                        help: "put a remark in quotes".into(),
                    },
                ),
            },
        }
    }
}

/// What becomes of a word that an entry of the log has no use for.
pub(super) const PASSED_OVER: &str =
    "the word is passed over, and if it was a reading or a name, the record lacks it";

fn accident_words() -> impl Iterator<Item = &'static str> {
    ACCIDENTS.iter().map(|row| row.words)
}

fn repair_words() -> impl Iterator<Item = &'static str> {
    REPAIRS.iter().map(|row| row.words)
}

fn listed(words: impl Iterator<Item = &'static str>) -> String {
    let words: Vec<String> = words.map(|word| format!("`{word}`")).collect();
    words.join(", ")
}
