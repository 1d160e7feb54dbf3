//! What the words of one line stand for.

use super::caret::Caret;
use super::{Snapshot, heading_of};
use crate::meaning::{BoardId, Case, EntryId, NetId, PartId, names};
use crate::rules::RULES;
use crate::sources::{FileId, Origin};
use retin_syntax::tables::Property;
use retin_syntax::tree::{
    Claim, Fact, HeadingKind, LineId, LogLine, Pin, Record, Selector, SelectorChoice, WithPart,
    Word,
};
use retin_syntax::{Span, Token};

/// Something that has a name.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub enum Subject {
    /// The model sheet.
    Model,
    /// The job.
    Job,
    /// A file that is used.
    File(FileId),
    /// A board with all its copies.
    Board(BoardId),
    /// One copy of a board that has several, counted from 0.
    Copy(BoardId, u16),
    /// A part, on every copy of its board.
    Part(PartId),
    /// A net, on every copy of its board.
    Net(NetId),
    /// A zone of a board, as an index into its zones.
    Zone(BoardId, u32),
    /// A shelf, as an index into `Case::shelves`.
    Shelf(u32),
    /// An entry of a shelf.
    Entry(EntryId),
    /// A step, as an index into the job's steps.
    Step(u32),
    /// A rule, as an index into [`RULES`].
    Rule(u32),
    /// A device, as its place among those the library knows.
    Device(u32),
    /// A package, as its place among those the library knows.
    Package(u32),
}

/// Whether a word brings a name in or uses it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Role {
    /// The line says what the name stands for.
    Declares,
    /// The line speaks of what has the name.
    Uses,
}

/// A word, or one of its segments, that stands for something.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mention {
    /// The name as written, quotes left out.
    pub origin: Origin,
    /// What it stands for; several for a range, or for a name that parts on
    /// several boards have.
    pub subjects: Vec<Subject>,
    /// Whether it is a range, `C1..C12`.
    pub is_range: bool,
    /// Whether it brings the name in.
    pub role: Role,
    /// Which copies of a board the segments before it choose; all where none do.
    pub copies: Option<Vec<u16>>,
}

/// The mentions of one line, in the order of the text.
pub fn on_line(snapshot: &Snapshot<'_>, file: FileId, line: LineId) -> Vec<Mention> {
    let mut finder = Finder {
        case: snapshot.case,
        file,
        text: snapshot.text(file),
        board: None,
        scope: None,
        found: Vec::new(),
    };
    let tree = snapshot.tree(file);
    let heading = heading_of(tree, line);
    let place = heading.map(|heading| heading.1);
    if let Some((heading, HeadingKind::Board | HeadingKind::Wiring)) = heading
        && let Record::Heading(heading) = &tree.line(heading).record
    {
        finder.board = heading.name.and_then(|name| {
            let found = snapshot.case.board_named(name.text(finder.text))?;
            Some(found.0)
        });
    }
    let parent = tree.line(line).parent;
    finder.record(
        &tree.line(line).record,
        place,
        parent.map(|parent| &tree.line(parent).record),
    );
    let mut found = finder.found;
    found.sort_by_key(|mention| (mention.origin.span, mention.role == Role::Uses));
    found
}

/// The mention under a caret: the narrowest that touches it, and where it stands
/// between two, the later one.
pub fn at(snapshot: &Snapshot<'_>, caret: &Caret<'_>) -> Option<Mention> {
    on_line(snapshot, caret.file, caret.line?)
        .into_iter()
        .filter(|mention| mention.origin.span.touches(caret.offset))
        .min_by_key(|mention| {
            (
                mention.origin.span.end == caret.offset,
                mention.origin.span.len(),
            )
        })
}

struct Finder<'c, 'a> {
    case: &'c Case<'a>,
    file: FileId,
    text: &'c str,
    /// The board whose section the line stands in.
    board: Option<BoardId>,
    /// The copies of it that an entry of the log names before its parts.
    scope: Option<Vec<u16>>,
    found: Vec<Mention>,
}

/// A segment of a path with its place.
struct Segment<'t> {
    text: &'t str,
    span: Span,
}

impl<'c> Finder<'c, '_> {
    fn record(&mut self, record: &Record, place: Option<HeadingKind>, parent: Option<&Record>) {
        match record {
            Record::Use { path } => self.used(*path),
            Record::Heading(heading) => {
                let subject = heading.name.and_then(|name| {
                    let text = name.text(self.text);
                    match heading.kind {
                        HeadingKind::Model => Some(Subject::Model),
                        HeadingKind::Job => Some(Subject::Job),
                        HeadingKind::Board | HeadingKind::Wiring => self
                            .case
                            .board_named(text)
                            .map(|found| Subject::Board(found.0)),
                        HeadingKind::Shelf => self.shelf(text),
                        _ => None,
                    }
                });
                if let (Some(subject), Some(name)) = (subject, heading.name) {
                    self.add(self.inside(name), vec![subject], Role::Declares, None);
                }
                for word in &heading.copies {
                    let segment = self.inside(*word);
                    let subjects = self.copies_of(segment.of(self.text));
                    self.add(segment, subjects, Role::Declares, None);
                }
            }
            Record::Setting { facts } => {
                for fact in facts {
                    if fact.property == Some(Property::Model)
                        && let Some(word) = fact.words.first()
                    {
                        let name = word.text(self.text);
                        let is_it = self
                            .case
                            .model
                            .as_ref()
                            .is_some_and(|model| model.name == name);
                        if is_it {
                            self.add(self.inside(*word), vec![Subject::Model], Role::Uses, None);
                        }
                    }
                }
                self.facts(facts);
            }
            Record::Rail { name, .. } | Record::Net { name, .. } => {
                self.net(*name, Role::Declares);
            }
            Record::Zone { name, .. } => self.zone(*name, Role::Declares),
            Record::Changed { names, .. } | Record::SurveyGoBy { names, .. } => self.paths(names),
            Record::Group { facts, .. } => self.facts(facts),
            Record::Part {
                names, facts, pins, ..
            } => {
                for word in names {
                    self.declared(*word, place);
                }
                self.facts(facts);
                if place != Some(HeadingKind::Devices) {
                    self.pins(pins);
                }
            }
            Record::Section { name, facts, pins } => {
                if let (Some(board), Some(Record::Part { names, .. })) = (self.board, parent) {
                    let letter = name.text(self.text);
                    let subjects = names
                        .iter()
                        .flat_map(|word| names::expand(word.text(self.text)).unwrap_or_default())
                        .filter_map(|whole| {
                            self.case.part_named(board, &format!("{whole}.{letter}"))
                        })
                        .map(Subject::Part)
                        .collect();
                    self.add(self.inside(*name), subjects, Role::Declares, None);
                }
                self.facts(facts);
                self.pins(pins);
            }
            Record::Claim { claim, .. } => self.claim(claim),
            Record::Exception { copies, facts } => {
                self.boards(copies);
                self.facts(facts);
            }
            Record::Join { from, to } => {
                for word in from.iter().chain(to) {
                    self.point(*word);
                }
            }
            Record::Survey { names, claim, .. } => {
                self.paths(names);
                let part = self
                    .found
                    .iter()
                    .find_map(|mention| match mention.subjects[..] {
                        [Subject::Part(part), ..] => Some(part),
                        _ => None,
                    });
                self.board = part.map(|part| self.case.part(part).board);
                self.claim(claim);
            }
            Record::Plan(line) => {
                self.selector(&line.selector);
                for word in &line.from {
                    let segment = self.inside(*word);
                    let shelf = self.shelf(segment.of(self.text));
                    self.add(segment, shelf.into_iter().collect(), Role::Uses, None);
                }
                for part in &line.with {
                    self.new_part(part);
                }
                if !line.pins.is_empty() {
                    self.board = self
                        .found
                        .iter()
                        .find_map(|mention| match mention.subjects[..] {
                            [Subject::Board(board) | Subject::Copy(board, _), ..] => Some(board),
                            _ => None,
                        });
                    self.pins(&line.pins);
                }
            }
            Record::Accept { rule, selector, .. } => {
                let name = rule.text(self.text);
                let rules = RULES.iter().position(|rule| rule.name == name);
                let subjects = rules.map(|index| Subject::Rule(index as u32));
                self.add(
                    self.inside(*rule),
                    subjects.into_iter().collect(),
                    Role::Uses,
                    None,
                );
                self.selector(selector);
            }
            Record::Step {
                name,
                selector,
                after,
                ..
            } => {
                self.step(*name, Role::Declares);
                if let Some(selector) = selector {
                    self.selector(selector);
                }
                for word in after {
                    self.step(*word, Role::Uses);
                }
            }
            Record::Target { point, to, .. } => {
                self.point(*point);
                if let Some(to) = to {
                    self.point(*to);
                }
            }
            Record::Entry(entry) => self.entry_of_log(entry),
            _ => {}
        }
    }

    fn entry_of_log(&mut self, entry: &LogLine) {
        self.boards(&entry.scope);
        // Behind boards, names are those of their parts: `ch1 C1..C40`.
        let scope: Vec<Subject> = self
            .found
            .iter()
            .flat_map(|mention| mention.subjects.iter().copied())
            .collect();
        self.board = scope.first().copied().and_then(board_of);
        self.scope = copies(&scope).filter(|_| self.board.is_some());
        if let Some(selector) = &entry.selector {
            self.selector(selector);
        }
        (self.board, self.scope) = (None, None);
        for item in &entry.items {
            self.stocked(item.name);
        }
        for word in &entry.to {
            self.point(*word);
        }
        for part in entry.with.iter().chain(&entry.instead) {
            self.new_part(part);
        }
    }

    fn add(&mut self, span: Span, subjects: Vec<Subject>, role: Role, copies: Option<Vec<u16>>) {
        if subjects.is_empty() || span.is_empty() {
            return;
        }
        let is_range = names::is_range(span.of(self.text));
        self.found.push(Mention {
            origin: Origin {
                file: self.file,
                span,
            },
            subjects,
            is_range,
            role,
            copies,
        });
    }

    /// The span of a word without its quotes.
    fn inside(&self, word: Word) -> Span {
        let whole = word.span.of(self.text);
        let text = word.text(self.text);
        if whole.len() == text.len() {
            return word.span;
        }
        let start = word.span.start + 1;
        Span::new(start, start + text.len() as u32)
    }

    fn segments(&self, word: Word) -> Vec<Segment<'c>> {
        let text = self.text;
        let inside = self.inside(word);
        let mut start = inside.start;
        names::segments(inside.of(text))
            .into_iter()
            .map(|text| {
                let span = Span::new(start, start + text.len() as u32);
                start = span.end + 1;
                Segment { text, span }
            })
            .collect()
    }

    fn used(&mut self, path: Word) {
        let file = self.case.sources.file(self.file);
        let target = file
            .uses
            .iter()
            .find(|line| line.span == path.span)
            .and_then(|line| line.target.as_deref().ok())
            .and_then(|target| self.case.sources.find(target));
        if let Some(target) = target {
            self.add(
                self.inside(path),
                vec![Subject::File(target)],
                Role::Uses,
                None,
            );
        }
    }

    fn shelf(&self, name: &str) -> Option<Subject> {
        let at = self
            .case
            .shelves
            .iter()
            .position(|shelf| shelf.name == name);
        at.map(|index| Subject::Shelf(index as u32))
    }

    fn step(&mut self, word: Word, role: Role) {
        let name = word.text(self.text);
        let steps = self.case.job.iter().flat_map(|job| &job.steps);
        let at = steps.enumerate().find(|(_, step)| step.name == name);
        if let Some((index, _)) = at {
            self.add(
                self.inside(word),
                vec![Subject::Step(index as u32)],
                role,
                None,
            );
        }
    }

    /// A shelf, or an entry of one.
    fn stocked(&mut self, word: Word) {
        let span = self.inside(word);
        match self.shelf(span.of(self.text)) {
            Some(shelf) => self.add(span, vec![shelf], Role::Uses, None),
            None => {
                self.entry(word);
            }
        }
    }

    /// A shelf entry; whether there is one of this name.
    fn entry(&mut self, word: Word) -> bool {
        match self.case.entry_named(word.text(self.text)) {
            Some(entry) => {
                self.add(
                    self.inside(word),
                    vec![Subject::Entry(entry)],
                    Role::Uses,
                    None,
                );
                true
            }
            None => false,
        }
    }

    /// The boards and copies that one segment names; none where it names no board.
    fn copies_of(&self, segment: &str) -> Vec<Subject> {
        let names = names::expand(segment).unwrap_or_default();
        let boards: Option<Vec<Subject>> = names
            .iter()
            .map(|name| {
                let (board, copy) = self.case.board_named(name)?;
                Some(match copy {
                    Some(copy) if self.case.board(board).copies.len() > 1 => {
                        Subject::Copy(board, copy)
                    }
                    _ => Subject::Board(board),
                })
            })
            .collect();
        boards.unwrap_or_default()
    }

    fn boards(&mut self, words: &[Word]) {
        for word in words {
            let span = self.inside(*word);
            let subjects = self.copies_of(span.of(self.text));
            self.add(span, subjects, Role::Uses, None);
        }
    }

    fn net(&mut self, word: Word, role: Role) {
        let span = self.inside(word);
        let net = self
            .board
            .and_then(|board| self.case.nets.find(board, span.of(self.text)));
        self.add(
            span,
            net.map(Subject::Net).into_iter().collect(),
            role,
            None,
        );
    }

    fn zone(&mut self, word: Word, role: Role) {
        let Some(board) = self.board else { return };
        let span = self.inside(word);
        let name = span.of(self.text);
        let zones = &self.case.board(board).zones;
        if let Some(at) = zones.iter().position(|zone| zone.0 == name) {
            self.add(span, vec![Subject::Zone(board, at as u32)], role, None);
        }
    }

    fn pins(&mut self, pins: &[Pin]) {
        for pin in pins {
            self.net(pin.net, Role::Uses);
        }
    }

    fn facts(&mut self, facts: &[Fact]) {
        for fact in facts {
            let Some(word) = fact.words.first() else {
                continue;
            };
            match fact.property {
                Some(Property::Zone) => self.zone(*word, Role::Uses),
                Some(Property::Matched) => {
                    for word in &fact.words {
                        self.path(*word);
                    }
                }
                Some(Property::Device | Property::Package) => self.known(*word, Role::Uses),
                None if matches!(word.token, Token::Word | Token::Text | Token::Number) => {
                    self.known(*word, Role::Uses);
                }
                _ => {}
            }
        }
    }

    /// A device or a package of the library.
    fn known(&mut self, word: Word, role: Role) {
        let span = self.inside(word);
        let name = span.of(self.text);
        let library = &self.case.library;
        let subject = if library.package(name).is_some() {
            let at = library.packages().position(|package| package.name == name);
            at.map(|index| Subject::Package(index as u32))
        } else if library.device(name).is_some() {
            let at = library.devices().position(|device| device.name == name);
            at.map(|index| Subject::Device(index as u32))
        } else {
            None
        };
        self.add(span, subject.into_iter().collect(), role, None);
    }

    fn declared(&mut self, word: Word, place: Option<HeadingKind>) {
        let span = self.inside(word);
        let text = span.of(self.text);
        let subjects = match place {
            Some(HeadingKind::Shelf) => self
                .case
                .entry_named(text)
                .map(Subject::Entry)
                .into_iter()
                .collect(),
            Some(HeadingKind::Packages | HeadingKind::Devices) => {
                self.known(word, Role::Declares);
                return;
            }
            _ => {
                let Some(board) = self.board else { return };
                names::expand(text)
                    .unwrap_or_default()
                    .iter()
                    .filter_map(|name| self.case.part_named(board, name))
                    .map(Subject::Part)
                    .collect()
            }
        };
        self.add(span, subjects, Role::Declares, None);
    }

    fn claim(&mut self, claim: &Claim) {
        match claim {
            Claim::Facts { facts, pins } => {
                self.facts(facts);
                self.pins(pins);
            }
            Claim::Sounds { net, .. } => self.net(*net, Role::Uses),
            Claim::Reads { .. } => {}
        }
    }

    fn new_part(&mut self, part: &WithPart) {
        if let [fact] = part.facts.as_slice()
            && fact.property.is_none()
            && let [word] = fact.words.as_slice()
            && self.entry(*word)
        {
            return;
        }
        self.facts(&part.facts);
    }

    fn selector(&mut self, selector: &Selector) {
        if let SelectorChoice::Names(words) = &selector.choice {
            for word in words {
                self.point(*word);
            }
        }
        self.boards(&selector.on);
        for word in &selector.except {
            self.point(*word);
        }
    }

    fn paths(&mut self, words: &[Word]) {
        for word in words {
            self.path(*word);
        }
    }

    /// A part, a board or a net: `ch1..ch8.C1`, `psu`, `psu.V24`.
    fn point(&mut self, word: Word) {
        let segments = self.segments(word);
        let spans: Vec<Span> = segments.iter().map(|segment| segment.span).collect();
        let boards = self.copies_of(segments[0].text);
        if boards.is_empty() {
            self.path(word);
            return;
        }
        if let [span] = spans[..] {
            self.add(span, boards, Role::Uses, None);
            return;
        }
        let net = Span::new(spans[1].start, self.inside(word).end);
        let name = net.of(self.text);
        let mut nets: Vec<Subject> = boards
            .iter()
            .filter_map(|board| self.case.nets.find(board_of(*board)?, name))
            .map(Subject::Net)
            .collect();
        nets.dedup();
        if nets.is_empty() {
            self.path(word);
            return;
        }
        self.add(spans[0], boards, Role::Uses, None);
        self.add(net, nets, Role::Uses, None);
    }

    /// A part with or without its board, perhaps with a section or a lead behind it.
    fn path(&mut self, word: Word) {
        let segments = self.segments(word);
        let boards = self.copies_of(segments[0].text);
        let has_board = !boards.is_empty() && segments.len() > 1;
        let rest = &segments[usize::from(has_board)..];
        let names = names::expand(rest[0].text).unwrap_or_default();
        let homes: Vec<BoardId> = if has_board {
            let mut homes: Vec<BoardId> = boards.iter().copied().filter_map(board_of).collect();
            homes.dedup();
            homes
        } else if let Some(board) = self.board.filter(|board| {
            names
                .iter()
                .any(|name| self.case.part_named(*board, name).is_some())
        }) {
            vec![board]
        } else {
            (0..self.case.boards.len() as u32).map(BoardId).collect()
        };
        let case = self.case;
        let find = |suffix: Option<&str>| -> Vec<Subject> {
            let mut parts = Vec::new();
            for board in &homes {
                for name in &names {
                    let part = match suffix {
                        Some(suffix) => case.part_named(*board, &format!("{name}.{suffix}")),
                        None => case.part_named(*board, name),
                    };
                    parts.extend(part.map(Subject::Part));
                }
            }
            parts
        };
        let parts = find(None);
        let sections = rest.get(1).map(|section| find(Some(section.text)));
        let copies = if has_board {
            copies(&boards)
        } else {
            self.scope.clone()
        };
        let mut added = Vec::new();
        if has_board {
            added.push((segments[0].span, boards, None));
        }
        added.push((rest[0].span, parts, copies.clone()));
        if let (Some(sections), Some(segment)) = (sections, rest.get(1)) {
            added.push((segment.span, sections, copies));
        }
        for (span, subjects, copies) in added {
            self.add(span, subjects, Role::Uses, copies);
        }
    }
}

fn board_of(subject: Subject) -> Option<BoardId> {
    match subject {
        Subject::Board(board) | Subject::Copy(board, _) => Some(board),
        _ => None,
    }
}

/// The copies that boards' names choose; none where a whole board is named.
fn copies(boards: &[Subject]) -> Option<Vec<u16>> {
    boards
        .iter()
        .map(|board| match board {
            Subject::Copy(_, copy) => Some(*copy),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at_caret, mixer};
    use super::{Subject, at};

    fn named(fixture: &str) -> Vec<String> {
        at_caret(fixture, |snapshot, caret| {
            let Some(mention) = at(snapshot, &caret) else {
                return Vec::new();
            };
            let case = snapshot.case;
            let name = |subject: &Subject| match subject {
                Subject::Part(part) => {
                    format!("{}.{}", case.board_of(*part).name, case.part(*part).name)
                }
                Subject::Copy(board, copy) => case.board(*board).copies[*copy as usize].clone(),
                Subject::Net(net) => case.nets.net(*net).name.to_owned(),
                other => format!("{other:?}"),
            };
            mention.subjects.iter().map(name).collect()
        })
    }

    #[test]
    fn each_segment_of_a_path_stands_for_its_own_thing() {
        let at = |caret: &str| named(&mixer("on ch1..ch8.C1  because", caret));
        assert_eq!(at("on ch1..c$0h8.C1 because").len(), 8);
        assert_eq!(at("on ch1..ch8.C$01 because"), ["channel.C1"]);
        assert_eq!(at("on ch3.C1.$0+ because"), Vec::<String>::new());
    }

    #[test]
    fn nets_are_those_of_the_board() {
        assert_eq!(named(&mixer("(+ RAW, - GND)", "(+ R$0AW, - GND)")), ["RAW"]);
        assert_eq!(named(&mixer("psu.V24    24V", "psu.$0V24    24V")), ["V24"]);
    }

    #[test]
    fn shelf_entries_rules_and_steps_are_known_where_they_are_used() {
        assert_eq!(
            named(&mixer("E-2200-50\n", "E-22$000-50\n")),
            ["Entry(EntryId(2))"]
        );
        assert_eq!(named(&mixer("after strip", "after st$0rip")), ["Step(0)"]);
        assert!(named(&mixer("value-mismatch", "val$0ue-mismatch"))[0].starts_with("Rule"));
        assert_eq!(named("# µF $0"), Vec::<String>::new());
        assert_eq!(named("plan\n  keep (((( $0"), Vec::<String>::new());
    }
}
