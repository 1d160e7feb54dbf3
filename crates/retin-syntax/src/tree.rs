//! The outline of a file: one record a line, each knowing what it belongs to.

use crate::span::Span;
use crate::tables::{ClaimSource, PlanVerb, Property, StepVerb};
use crate::token::Token;
use smallvec::SmallVec;

/// A token with its place.
pub type Lexeme = (Token, Span);

/// A line's place in [`Tree::lines`].
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
pub struct LineId(pub u32);

impl LineId {
    /// The line's index in [`Tree::lines`].
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// One word of a line, as it was typed.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Word {
    /// Where it stands. A value with a blank before its unit is one word.
    pub span: Span,
    /// What its first token was.
    pub token: Token,
}

impl Word {
    /// The word's text, without quotes.
    pub fn text(self, source: &str) -> &str {
        unquoted(self.span.of(source))
    }
}

/// The text inside double quotes, or the text itself where there are none.
pub fn unquoted(text: &str) -> &str {
    text.strip_prefix('"')
        .map_or(text, |inner| inner.strip_suffix('"').unwrap_or(inner))
}

/// One thing said about the subject of a line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fact {
    /// The whole fact, name and value.
    pub span: Span,
    /// The property, where a reserved word or the form says it; a bare value
    /// is given one by its dimension and the kind it stands under.
    pub property: Option<Property>,
    /// The value's words: one for most properties, two for a point, a size, an
    /// orientation (lead, direction) or a price (quantity, money).
    pub words: SmallVec<[Word; 2]>,
}

/// The facts of a line, in the order they were typed.
pub type Facts = Vec<Fact>;

/// A lead and the net it is on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pin {
    /// The lead's name or number.
    pub lead: Word,
    /// The net, or for a device the function of the pin.
    pub net: Word,
}

/// Which parts a plan line or a step is about.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Selector {
    /// The whole selector.
    pub span: Span,
    /// How it chooses.
    pub choice: SelectorChoice,
    /// `on` these boards only.
    pub on: Vec<Word>,
    /// Without these.
    pub except: Vec<Word>,
}

/// How a selector chooses.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum SelectorChoice {
    /// By name.
    Names(Vec<Word>),
    /// Every part of these kinds or families, with these values.
    Every {
        /// Kind and family words.
        kinds: Vec<Word>,
        /// Bare values that the part has to have.
        facts: Facts,
    },
    /// Every part there is.
    Everything,
}

/// What a heading opens.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
#[allow(missing_docs, reason = "each variant is the heading it is named after")]
pub enum HeadingKind {
    Model,
    Board,
    Wiring,
    Link,
    Shelf,
    Packages,
    Devices,
    Minutes,
    Job,
    Found,
    Plan,
    Steps,
    Targets,
    Log,
}

/// A line at the left margin that opens a section.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Heading {
    /// What it opens.
    pub kind: HeadingKind,
    /// Its name, where it has one.
    pub name: Option<Word>,
    /// Its title, in quotes.
    pub title: Option<Word>,
    /// The copies of a board, `as ch1..ch8`.
    pub copies: Vec<Word>,
    /// How many joints a link has.
    pub joints: Option<Word>,
}

/// A line of a plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlanLine {
    /// What is to be done.
    pub verb: PlanVerb,
    /// With which parts.
    pub selector: Selector,
    /// Shelves to choose from.
    pub from: Vec<Word>,
    /// The new part or parts: shelf names, or values where none is on a shelf.
    pub with: Vec<WithPart>,
    /// Which way a lead of the new part is to lie, `in series`, the reason.
    pub facts: Facts,
    /// The nets of an added part.
    pub pins: Vec<Pin>,
}

/// One new part of a plan line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WithPart {
    /// All of it.
    pub span: Span,
    /// A shelf name, or the facts that describe the part.
    pub facts: Facts,
}

/// An entry of the log.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LogLine {
    /// The time; `?` where nobody knows.
    pub time: Option<Word>,
    /// Initials of who did it, before the verb.
    pub by: Option<Word>,
    /// The past-tense verb; [`LogVerb::of`](crate::tables::LogVerb::of) its
    /// token is never none.
    pub verb: Word,
    /// For `corrected`: the entry it mends.
    pub mends: Option<Mends>,
    /// Boards whose parts the selector names, `ch1 C1..C40`.
    pub scope: Vec<Word>,
    /// What it was done to.
    pub selector: Option<Selector>,
    /// How many of what was ordered, or came.
    pub items: Vec<Item>,
    /// The other end of a reading, a wire or a trace; what a trimmer was set to.
    pub to: Vec<Word>,
    /// What happened, or how it was mended: `pad lifted`.
    pub phrase: Vec<Word>,
    /// With what: means, shelf names, or values of parts that are on no shelf.
    pub with: Vec<WithPart>,
    /// What came in place of what was ordered.
    pub instead: Option<WithPart>,
    /// Readings and remarks.
    pub facts: Facts,
}

/// Which entry a `corrected` line mends, and what it is to say.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mends {
    /// The day and the time of the entry, as far as they are written.
    pub when: SmallVec<[Word; 2]>,
    /// The verb of the entry as it is to read; none where it never happened.
    pub verb: Option<Word>,
}

/// How many of what was ordered, or came.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Item {
    /// How many, where it is written.
    pub count: Option<Word>,
    /// A shelf, or an entry of one.
    pub name: Word,
}

/// What one line says.
#[derive(Clone, PartialEq, Eq, Debug)]
#[allow(
    clippy::large_enum_variant,
    reason = "lines live in one vector; boxing each heading would cost more"
)]
pub enum Record {
    /// `use "path"`.
    Use {
        /// The path, in quotes.
        path: Word,
    },
    /// A section's first line.
    Heading(Heading),
    /// A property of the heading above.
    Setting {
        /// The first fact carries the property's name.
        facts: Facts,
    },
    /// `rail V24 24V ±5%`.
    Rail {
        /// The net.
        name: Word,
        /// Potential, tolerance, ripple.
        facts: Facts,
    },
    /// `net BIAS "title"`.
    Net {
        /// The net.
        name: Word,
        /// What it is.
        title: Option<Word>,
    },
    /// `zone A 0,0 to 60,40`.
    Zone {
        /// The zone.
        name: Word,
        /// Lower left and upper right corner: x, y, x, y in mm.
        corners: [Word; 4],
    },
    /// `changed 4 psu.C1 "corrected from the list"`.
    Changed {
        /// The revision that brought the change.
        revision: Word,
        /// What it touched.
        names: Vec<Word>,
        /// What changed.
        text: Word,
    },
    /// A kind, with properties that its parts share.
    Group {
        /// The kind.
        kind: Word,
        /// What every part of the group shares.
        facts: Facts,
    },
    /// A part, a shelf entry, a package or a device.
    Part {
        /// One name, or several.
        names: Vec<Word>,
        /// The kind, where the part stands in no group.
        kind: Option<Word>,
        /// What is said of it.
        facts: Facts,
        /// Its leads and nets.
        pins: Vec<Pin>,
    },
    /// A claim about the part above, with its source.
    Claim {
        /// Who says so.
        source: ClaimSource,
        /// What is claimed.
        claim: Claim,
    },
    /// `go by found`.
    GoBy {
        /// The source the job goes by.
        source: ClaimSource,
    },
    /// `section a 8uF 450V (+ B+, - GND)`.
    Section {
        /// The section's letter.
        name: Word,
        /// What is said of it.
        facts: Facts,
        /// Its leads and nets.
        pins: Vec<Pin>,
    },
    /// `on ch1, ch8 22uF because "…"`: copies that differ.
    Exception {
        /// The copies.
        copies: Vec<Word>,
        /// What is so on these only.
        facts: Facts,
    },
    /// `remove  integrated-circuit  15s per lead`: how long the shop takes.
    Pace {
        /// What is done.
        verb: StepVerb,
        /// To what: kinds, families, `board`, `rail`, `link`, `socketed`.
        subjects: Vec<Word>,
        /// How long for one.
        time: Word,
        /// `lead` or `joint`, where the time is for each of those.
        per: Option<Word>,
    },
    /// A line of a link.
    Join {
        /// Net or nets at one end.
        from: Vec<Word>,
        /// Net or nets at the other.
        to: Vec<Word>,
    },
    /// A line of `found`: what this unit was found to hold.
    Survey {
        /// The parts.
        names: Vec<Word>,
        /// Who says so; the part found, where it is not said.
        source: ClaimSource,
        /// What is claimed.
        claim: Claim,
    },
    /// A line of `found` that settles what the job goes by: `psu.C3 go by found`.
    SurveyGoBy {
        /// The parts.
        names: Vec<Word>,
        /// The source the job goes by.
        source: ClaimSource,
    },
    /// A line of a plan.
    Plan(PlanLine),
    /// `accept RULE on TARGET because "…"`.
    Accept {
        /// The rule.
        rule: Word,
        /// On which targets.
        selector: Selector,
        /// The reason.
        because: Option<Word>,
    },
    /// `for 22uF in place of 10uF`, below an `accept`.
    For {
        /// The values the overruling was given for, as text.
        values: Span,
    },
    /// A step.
    Step {
        /// Its name.
        name: Word,
        /// What is done.
        verb: StepVerb,
        /// To what.
        selector: Option<Selector>,
        /// With what.
        with: Vec<Word>,
        /// After which steps.
        after: Vec<Word>,
        /// Minutes, limits, reasons.
        facts: Facts,
    },
    /// A caution below a step.
    Caution {
        /// What to beware of, in quotes.
        text: Word,
    },
    /// A reading to expect.
    Target {
        /// Where.
        point: Word,
        /// Against what, where it is not ground.
        to: Option<Word>,
        /// The reading with its limits.
        facts: Facts,
    },
    /// A day of the log.
    Day {
        /// The date; none for `next day`.
        date: Option<Word>,
    },
    /// An entry of the log.
    Entry(Box<LogLine>),
    /// Prose, from `|` to the end of the line.
    Prose,
    /// A line that could not be read; its children still are.
    Broken,
    /// A marker of two versions that were joined and not decided between, or a
    /// line of a version that is not read. It lies below the line before the
    /// marker, whatever its indentation.
    Unresolved,
}

/// What a source claims.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Claim {
    /// Values, an orientation, nets.
    Facts {
        /// What is claimed.
        facts: Facts,
        /// Leads and nets.
        pins: Vec<Pin>,
    },
    /// A lead, or the lead lying in a direction, sounds to a net.
    Sounds {
        /// A lead or a direction.
        lead: Word,
        /// The net.
        net: Word,
    },
    /// A voltage read from one lead or direction to another.
    Reads {
        /// The red probe.
        from: Word,
        /// The black probe.
        to: Word,
        /// The reading.
        value: Word,
    },
}

/// One line of the outline.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// From the first to the last token, without a comment.
    pub span: Span,
    /// Columns of indentation as typed.
    pub indent: u32,
    /// The line it belongs to; none at the left margin.
    pub parent: Option<LineId>,
    /// One past the last line that belongs to it.
    pub end: u32,
    /// Where the line's tokens stand in [`Tree::lexemes`], a comment included.
    pub lexemes: (u32, u32),
    /// What it says.
    pub record: Record,
}

/// A place that could not be read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SyntaxError {
    /// Where.
    pub span: Span,
    /// What is wrong, as a sentence.
    pub message: String,
    /// What to do about it.
    pub help: Option<String>,
    /// Changes of the text that would mend it, where they are clear.
    pub edits: Vec<(Span, String)>,
}

/// A file, read.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Tree {
    /// Every token with comments and line ends, in order.
    pub lexemes: Vec<Lexeme>,
    /// Every line that is not blank and not only a comment, in order.
    pub lines: Vec<Line>,
    /// What could not be read, in order.
    pub errors: Vec<SyntaxError>,
    /// Whether what opens two versions, not decided between, stands anywhere in the text.
    pub has_join: bool,
}

impl Tree {
    /// The line with this id.
    pub fn line(&self, id: LineId) -> &Line {
        &self.lines[id.index()]
    }

    /// The lines at the left margin.
    pub fn sections(&self) -> Children<'_> {
        Children {
            tree: self,
            next: 0,
            end: self.lines.len() as u32,
        }
    }

    /// The lines that belong directly to `id`.
    pub fn children(&self, id: LineId) -> Children<'_> {
        Children {
            tree: self,
            next: id.0 + 1,
            end: self.line(id).end,
        }
    }
}

/// Iterates over sibling lines.
#[derive(Clone, Debug)]
pub struct Children<'t> {
    tree: &'t Tree,
    next: u32,
    end: u32,
}

impl<'t> Iterator for Children<'t> {
    type Item = (LineId, &'t Line);

    fn next(&mut self) -> Option<Self::Item> {
        if self.next >= self.end {
            return None;
        }
        let id = LineId(self.next);
        let line = self.tree.line(id);
        self.next = line.end;
        Some((id, line))
    }
}
