//! From the outline of several files to one [`Case`].

use super::passed_over::{PassedOver, is_unread, meant};
use super::problem::{Problem, ProblemKind};
use super::told_once::{self, Taken};
use super::words::{AsTheyStand, Words};
use super::{
    Case, Decisions, Facts, Stated, board, job, log, minutes, nets, plan, shelf, steps, targets,
};
use crate::library;
use crate::potentials::Potentials;
use crate::sources::{FileId, Origin, PathProblem, Sources};
use crate::stage::Stage;
use crate::time::{Replay, replay};
use retin_syntax::Span;
use retin_syntax::limits::USE_DEPTH;
use retin_syntax::tables::{Direction, kinds, properties};
use retin_syntax::token::Token;
use retin_syntax::tree::{Heading, HeadingKind, LineId, Record, SyntaxError, Tree, Word};
use std::borrow::Cow;
use std::ops::Range;
use std::sync::Arc;

/// The case while it is read.
pub(crate) struct Reader<'t, 'a> {
    pub(crate) case: Case<'a>,
    pub(super) sources: &'t Sources,
    words: &'t dyn Words<'t, 'a>,
    pub(super) passed_over: PassedOver,
    /// Parts whose name their board has already.
    pub(super) taken: Vec<Taken>,
    /// How many problems there were before the log.
    pub(super) log_begins: Option<usize>,
    /// By entry of the log: its problems, by their places among those of the log.
    pub(super) told_of_entries: Vec<Range<usize>>,
    /// Whether places were chosen by what their parts' values are.
    pub(super) chooses_by_value: bool,
}

/// One section of one file.
#[derive(Clone, Copy)]
pub(crate) struct Section<'t> {
    pub(crate) file: FileId,
    pub(crate) id: LineId,
    pub(crate) tree: &'t Tree,
    pub(crate) heading: &'t Heading,
}

/// Reads a case whose words are those of its files' texts.
pub(super) fn build(sources: &Sources, root: FileId) -> Case<'_> {
    let case = empty(Cow::Borrowed(sources), root, library::Known::built_in());
    let mut reader = Reader::over(sources, case, &AsTheyStand);
    let sections = reader.survey();
    reader.before_boards(&sections);
    for section in of(&sections, BOARDS) {
        board::board(&mut reader, section);
    }
    reader.behind_boards(&sections);
    told_once::gather(&mut reader);
    reader.case
}

pub(super) const BOARDS: &[HeadingKind] = &[HeadingKind::Board, HeadingKind::Wiring];

/// The sections of these kinds.
pub(super) fn of<'s, 't>(
    sections: &'s [Section<'t>],
    kinds: &'static [HeadingKind],
) -> impl Iterator<Item = Section<'t>> + use<'s, 't> {
    let all = sections.iter().copied();
    all.filter(|section| kinds.contains(&section.heading.kind))
}

pub(super) fn empty<'a>(
    sources: Cow<'a, Sources>,
    root: FileId,
    library: library::Known<'a>,
) -> Case<'a> {
    Case {
        sources,
        root,
        model: None,
        boards: Vec::new(),
        parts: Vec::new(),
        links: Vec::new(),
        minutes: Vec::new(),
        shelves: Vec::new(),
        entries: Vec::new(),
        library,
        job: None,
        decisions: Decisions::default(),
        plan: Vec::new(),
        acceptances: Vec::new(),
        nets: nets::Nets::default(),
        potentials: Potentials::default(),
        replay: Replay::default(),
        problems: Vec::new(),
        stage: Stage::List,
        boards_by_name: Default::default(),
        parts_by_name: Default::default(),
        entries_by_name: Default::default(),
    }
}

/// The sections of a file.
pub(crate) fn sections_of(sources: &Sources, file: FileId) -> impl Iterator<Item = Section<'_>> {
    let tree = &sources.file(file).tree;
    tree.sections()
        .filter_map(move |(id, line)| match &line.record {
            Record::Heading(heading) => Some(Section {
                file,
                id,
                tree,
                heading,
            }),
            _ => None,
        })
}

impl<'a> Reader<'a, 'a> {
    /// A reader with nothing read yet, of words as they stand.
    pub(crate) fn of_words(
        sources: &'a Sources,
        root: FileId,
        library: library::Known<'a>,
    ) -> Self {
        let case = empty(Cow::Borrowed(sources), root, library);
        Reader::over(sources, case, &AsTheyStand)
    }
}

impl<'t, 'a> Reader<'t, 'a> {
    /// The sections of all files, with what is wrong with their lines noted.
    pub(super) fn survey(&mut self) -> Vec<Section<'t>> {
        let files = self.files(self.case.root);
        for &file in &files {
            self.syntax_errors(file);
            self.pass_over_unread(file);
        }
        let sources = self.sources;
        files
            .iter()
            .flat_map(|&file| sections_of(sources, file))
            .collect()
    }

    // Names have to be known before they are used, so each sort of section is
    // read over all files before the next.

    /// Reads what boards go by.
    pub(super) fn before_boards(&mut self, sections: &[Section<'t>]) {
        for section in of(sections, &[HeadingKind::Packages, HeadingKind::Devices]) {
            library::read_section(self, section);
        }
        for section in of(sections, &[HeadingKind::Model]) {
            board::model(self, section);
        }
    }

    /// Reads everything that goes by the boards, and what follows from it.
    pub(super) fn behind_boards(&mut self, sections: &[Section<'t>]) {
        for section in of(sections, &[HeadingKind::Link]) {
            nets::link(self, section);
        }
        for section in of(sections, &[HeadingKind::Minutes]) {
            minutes::minutes(self, section);
        }
        for section in of(sections, &[HeadingKind::Shelf]) {
            shelf::shelf(self, section);
        }
        // Only the root file's job is looked at: others are the shop's other jobs.
        let root = self.case.root;
        let own = || sections.iter().filter(|section| section.file == root);
        for section in own() {
            match section.heading.kind {
                HeadingKind::Job => job::job(self, *section),
                HeadingKind::Found => job::found(self, *section),
                HeadingKind::Plan => plan::plan(self, *section),
                _ => {}
            }
        }
        let of_steps = own().filter(|section| section.heading.kind == HeadingKind::Steps);
        steps::steps(self, of_steps.copied());
        for section in own() {
            match section.heading.kind {
                HeadingKind::Targets => targets::targets(self, *section),
                HeadingKind::Log => {
                    self.log_begins = Some(self.case.problems.len());
                    log::log(self, *section);
                }
                _ => {}
            }
        }
        self.sections_without_job(root, sections);
        plan::decide(self);
        self.case.potentials = Potentials::of_rails(&self.case.nets);
        self.behind_log();
    }

    /// Works out what follows from the log.
    pub(super) fn behind_log(&mut self) {
        self.case.stage = log::stage(&self.case);
        self.case.replay = replay(&self.case);
    }

    /// Where the problems of the log begin, where nothing that is read behind it has
    /// any; none where there are several logs, or no job.
    pub(super) fn problems_of_log(&self, sections: &[Section<'t>]) -> Option<usize> {
        let root = self.case.root;
        let behind = [HeadingKind::Targets, HeadingKind::Log];
        let own = sections.iter().filter(|section| section.file == root);
        let mut last = own.filter(|section| behind.contains(&section.heading.kind));
        let is_last = last.next_back()?.heading.kind == HeadingKind::Log;
        let is_only = last.all(|section| section.heading.kind != HeadingKind::Log);
        let is_told = self.case.job.is_some() && !self.has_taken();
        self.log_begins.filter(|_| is_last && is_only && is_told)
    }

    /// How many problems there are from the log on.
    pub(super) fn problems_from_log(&self) -> usize {
        self.case.problems.len() - self.log_begins.unwrap_or(0)
    }

    /// Whether a name stands twice, so that what hangs on the second is not read.
    pub(super) fn has_taken(&self) -> bool {
        self.passed_over.has_taken || !self.taken.is_empty()
    }

    /// A reader of these files that goes on with a case.
    pub(super) fn over(sources: &'t Sources, case: Case<'a>, words: &'t dyn Words<'t, 'a>) -> Self {
        Reader {
            case,
            sources,
            words,
            passed_over: PassedOver::default(),
            taken: Vec::new(),
            log_begins: None,
            told_of_entries: Vec::new(),
            chooses_by_value: false,
        }
    }

    /// Notes a name of the library that one file uses twice.
    pub(crate) fn duplicate(&mut self, what: &'static str, name: &str, origin: Origin) {
        let kind = ProblemKind::DuplicateName {
            what,
            name: name.to_owned(),
            first: origin,
        };
        self.problem(origin.file, origin.span, kind);
    }

    /// The text of a file.
    pub(super) fn text(&self, file: FileId) -> &'t str {
        &self.sources.file(file).text
    }

    /// A word's text, without quotes.
    pub(crate) fn word(&self, file: FileId, word: Word) -> &'a str {
        self.keep(word.text(self.text(file)))
    }

    /// A piece of a file's text, as the case holds it.
    pub(super) fn keep(&self, text: &'t str) -> &'a str {
        self.words.keep(text)
    }

    /// Notes something that makes no sense.
    pub(super) fn problem(&mut self, file: FileId, span: Span, kind: ProblemKind) {
        if self.passed_over.hides(&kind) {
            return;
        }
        self.case.problems.push(Problem {
            origin: Origin { file, span },
            kind,
            also: Vec::new(),
            meant: None,
        });
    }

    /// Facts of a line with those of its group.
    pub(crate) fn inheriting(
        own: Vec<Stated<'a>>,
        group: Option<&Arc<Vec<Stated<'a>>>>,
    ) -> Facts<'a> {
        Facts {
            own,
            inherited: group.filter(|facts| !facts.is_empty()).cloned(),
        }
    }

    /// A reserved word, direction, device or package that is spelled nearly like this.
    pub(super) fn near_word(&self, text: &str) -> Option<String> {
        let reserved = properties::CHOICES
            .iter()
            .filter_map(|row| row.0.reserved_text())
            .chain(
                properties::PROPERTIES
                    .iter()
                    .filter_map(|row| row.token?.reserved_text()),
            )
            .chain(
                kinds::KINDS
                    .iter()
                    .filter_map(|row| row.token.reserved_text()),
            )
            .chain(Direction::all().map(|direction| direction.word()));
        near(text, reserved.chain(self.case.library.names()))
    }

    /// The root file and every file it uses, each once, users before the used.
    fn files(&mut self, root: FileId) -> Vec<FileId> {
        let mut order = Vec::new();
        let mut path = Vec::new();
        self.visit(root, &mut path, &mut order);
        order
    }

    fn visit(&mut self, file: FileId, path: &mut Vec<FileId>, order: &mut Vec<FileId>) {
        if order.contains(&file) {
            return;
        }
        order.push(file);
        path.push(file);
        let sources = self.sources;
        for line in &sources.file(file).uses {
            let target = line.target.as_ref();
            let used = target.ok().and_then(|target| sources.find(target));
            let trouble = match (target, used) {
                (_, Some(used)) if path.contains(&used) => Some(self.cycle(path, used)),
                (_, Some(_)) if path.len() >= USE_DEPTH => Some((
                    format!(
                        "this is the end of a chain of {USE_DEPTH} files that use one another, and no longer chain is read"
                    ),
                    "let the job use its model and its shelf directly".into(),
                )),
                (_, Some(used)) => {
                    self.visit(used, path, order);
                    None
                }
                (Ok(target), None) => Some(self.not_here(target)),
                (Err(problem), None) => Some(path_problem(*problem)),
            };
            if let Some((message, help)) = trouble {
                // A circle is told where it closes: all of its files are read.
                let is_read = used.is_some_and(|used| path.contains(&used));
                self.passed_over.lacks_file |= !is_read;
                let kind = ProblemKind::Use {
                    message,
                    is_read,
                    help,
                };
                self.problem(file, line.span, kind);
            }
        }
        path.pop();
    }

    fn not_here(&self, target: &str) -> (String, String) {
        let reason = self.sources.refusal(target).unwrap_or("it was not found");
        (
            format!("the file `{target}` cannot be read: {reason}"),
            "paths are written from the file that uses them, with `/` between folders".into(),
        )
    }

    fn cycle(&self, path: &[FileId], used: FileId) -> (String, String) {
        let help = "take this line out: a job uses its model and its shelf, and these need not use the job back".into();
        if path.last() == Some(&used) {
            return ("this file uses itself".into(), help);
        }
        let start = path.iter().position(|file| *file == used).unwrap_or(0);
        let names: Vec<&str> = path[start..]
            .iter()
            .chain([&used])
            .map(|file| self.sources.file(*file).path.as_str())
            .collect();
        (
            format!(
                "these files use one another in a circle: {}",
                names.join(" uses ")
            ),
            help,
        )
    }

    fn syntax_errors(&mut self, file: FileId) {
        let sources = self.sources;
        for SyntaxError {
            span,
            message,
            help,
            edits,
        } in &sources.file(file).tree.errors
        {
            self.problem(
                file,
                *span,
                ProblemKind::Unreadable {
                    message: message.clone(),
                    help: help.clone(),
                    edits: edits.clone(),
                },
            );
        }
    }

    /// Whether the line that opens a file's job is there and cannot be read.
    fn has_unread_job(&self, file: FileId) -> bool {
        let tree = &self.sources.file(file).tree;
        let mut lines = tree.lines.iter();
        lines.any(|line| {
            line.parent.is_none()
                && is_unread(&line.record)
                && meant(tree, line) == Some(Token::Job)
        })
    }

    /// A plan or a log needs the job it belongs to, and a file holds one job.
    fn sections_without_job(&mut self, root: FileId, sections: &[Section<'_>]) {
        if self.case.job.is_some() || self.has_unread_job(root) {
            return;
        }
        for section in sections.iter().filter(|section| section.file == root) {
            if matches!(
                section.heading.kind,
                HeadingKind::Found
                    | HeadingKind::Plan
                    | HeadingKind::Steps
                    | HeadingKind::Targets
                    | HeadingKind::Log
            ) {
                self.problem(
                    root,
                    section.tree.line(section.id).span,
                    ProblemKind::Misplaced {
                        message: "this section belongs to a job, and the file has none".into(),
                        consequence: "no check reads it, and nothing of it is ordered or printed",
                        help: "write `job NUMBER \"unit and serial\"` above it".into(),
                    },
                );
            }
        }
    }
}

fn path_problem(problem: PathProblem) -> (String, String) {
    match problem {
        PathProblem::Absolute => (
            "this path begins at the root of a disk, where nobody else has the same files".into(),
            "write the path from this file: `use \"../models/lm8.retin\"`".into(),
        ),
        PathProblem::LeavesWorkspace => (
            "this path climbs out of the workspace, and files outside it are not read".into(),
            "keep the model and the shelf in the same repository as the job".into(),
        ),
        PathProblem::Empty => (
            "no file is named here".into(),
            "write the path between the quotes: `use \"../models/lm8.retin\"`".into(),
        ),
    }
}

/// The candidate spelled most like `typed`, if one is near.
pub(super) fn near<'n>(typed: &str, candidates: impl Iterator<Item = &'n str>) -> Option<String> {
    let wanted = typed.to_lowercase();
    candidates
        .map(|name| {
            (
                strsim::damerau_levenshtein(&wanted, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| {
            *distance <= 1 + name.len() / 6 && *distance < name.chars().count()
        })
        .min()
        .map(|(_, name)| name.to_owned())
}
