//! What a rule answers, and how a finding reads.

use crate::meaning::PlaceId;
use crate::moves::follow_fields;
use crate::sources::Origin;
use std::borrow::Cow;

/// How much a finding weighs at the stage the job is in.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Severity {
    /// A question, or something worth knowing.
    Note,
    /// Wrong, but nothing can be lost by it yet.
    Warning,
    /// Wrong, and from now on it can cost a part.
    Error,
}

impl Severity {
    /// The word for the severity.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A second place that a finding points at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Label {
    /// Where.
    pub origin: Origin,
    /// What stands there.
    pub text: String,
}

/// A change to the files that mends a finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fix {
    /// What it does, as the label of a button: "exchange the two values".
    pub title: String,
    /// The changes, none overlapping another.
    pub edits: Vec<Edit>,
}

/// One change of text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Edit {
    /// What is replaced.
    pub origin: Origin,
    /// By what.
    pub text: String,
}

/// What is wrong. `{place}` in a sentence stands for the places it is wrong
/// at, so that the same fault on eight copies is told once.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fault {
    /// Where the mistake is best mended.
    pub origin: Origin,
    /// One sentence of fact, with both values.
    pub fact: String,
    /// One sentence: what it would do on the bench or under power.
    pub consequence: String,
    /// One sentence: what to do.
    pub remedy: String,
    /// Other places that have to do with it.
    pub related: Vec<Label>,
    /// The values an overruling of this fault would be given for, `22uF in place of 10uF`.
    pub values: Option<String>,
    /// An edit that mends it.
    pub fix: Option<Fix>,
    /// A question rather than a mistake: it never becomes an error.
    pub is_question: bool,
}

follow_fields!(Label { origin; text });
follow_fields!(Fix { edits; title });
follow_fields!(Edit { origin; text });
follow_fields!(Fault {
    origin, related, fix;
    fact, consequence, remedy, values, is_question
});
follow_fields!(Finding { fault; rule, severity, places, subject });

impl Fault {
    /// A fault with no second place, no values and no fix.
    pub fn new(
        origin: Origin,
        fact: impl Into<String>,
        consequence: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Fault {
            origin,
            fact: fact.into(),
            consequence: consequence.into(),
            remedy: remedy.into(),
            related: Vec::new(),
            values: None,
            fix: None,
            is_question: false,
        }
    }

    /// Points at a second place.
    #[must_use]
    pub fn with(mut self, origin: Origin, text: impl Into<String>) -> Self {
        self.related.push(Label {
            origin,
            text: text.into(),
        });
        self
    }

    /// Notes the values an overruling is compared with.
    #[must_use]
    pub fn values(mut self, values: impl Into<String>) -> Self {
        self.values = Some(values.into());
        self
    }

    /// Offers an edit.
    #[must_use]
    pub fn fix(mut self, fix: Fix) -> Self {
        self.fix = Some(fix);
        self
    }

    /// Makes it a question.
    #[must_use]
    pub fn question(mut self) -> Self {
        self.is_question = true;
        self
    }
}

/// What a rule says of one target.
#[derive(Clone, PartialEq, Debug)]
pub enum Verdict {
    /// The rule has nothing to say of this target.
    NotApplicable,
    /// Looked at, and in order.
    Passed,
    /// Looked at, and wrong.
    Failed(Box<Fault>),
    /// A fact is missing; which one, as "the new part's rated voltage".
    NotChecked(Cow<'static, str>),
}

impl Verdict {
    /// A failure.
    pub fn failed(fault: Fault) -> Verdict {
        Verdict::Failed(Box::new(fault))
    }

    /// A check that lacks a fact.
    pub fn lacks(fact: impl Into<Cow<'static, str>>) -> Verdict {
        Verdict::NotChecked(fact.into())
    }
}

/// A fault, weighed.
#[derive(Clone, PartialEq, Debug)]
pub struct Finding {
    /// The rule's name.
    pub rule: &'static str,
    /// How much it weighs at the job's stage.
    pub severity: Severity,
    /// The places it is about; none where it is about text.
    pub places: Vec<PlaceId>,
    /// Their names, as written in the sentences.
    pub subject: String,
    /// What is wrong, with the places' names filled in.
    pub fault: Fault,
}
