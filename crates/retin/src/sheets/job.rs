//! A job as it goes on paper: with its check and the revision of its file.

use crate::check::{Report, check_chosen};
use crate::finding::Severity;
use crate::meaning::{Case, Job};
use crate::replacement::{Chosen, replacements};
use crate::time::order::{Order, order};
use std::fmt;

/// A job with everything that several kinds of sheet ask for.
#[derive(Debug)]
pub struct CheckedJob<'c, 'a> {
    /// The case.
    pub case: &'c Case<'a>,
    /// Its job.
    pub job: &'c Job<'a>,
    /// The new part of every place that gets one.
    pub chosen: Vec<Chosen<'c, 'a>>,
    /// What the check found.
    pub report: Report,
    /// The order of the steps; none where there are too many to put in order.
    pub order: Option<Order>,
    /// The revision of the job's file.
    pub revision: FileRevision,
}

impl<'c, 'a> CheckedJob<'c, 'a> {
    /// Checks a case; none where it holds no job.
    pub fn of(case: &'c Case<'a>, revision: FileRevision) -> Option<Self> {
        let job = case.job.as_ref()?;
        let chosen = replacements(case);
        let report = check_chosen(case, None, &chosen);
        let order = order(case, job, &chosen);
        Some(Self {
            case,
            job,
            chosen,
            report,
            order,
            revision,
        })
    }

    /// How many checks could not be made for want of a fact.
    pub fn not_checked(&self) -> usize {
        let tallies = self.report.tallies.iter();
        tallies.map(|tally| tally.not_checked as usize).sum()
    }

    /// How many mistakes are open.
    pub fn errors(&self) -> usize {
        self.report.count(Severity::Error)
    }

    /// The steps in the order they are worked, as indexes into the job's steps;
    /// steps that wait for one another are in no order, and stand where they are
    /// written.
    pub fn sequence(&self) -> Vec<usize> {
        let mut sequence = self
            .order
            .as_ref()
            .map_or_else(Vec::new, |order| order.sequence.clone());
        let mut is_listed = vec![false; self.job.steps.len()];
        for step in &sequence {
            is_listed[*step] = true;
        }
        sequence.extend((0..is_listed.len()).filter(|step| !is_listed[*step]));
        sequence
    }
}

/// The revision of a file, as the shell knows it. Never the time of printing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum FileRevision {
    /// It is in git.
    Committed {
        /// The short name of the last commit that touched it.
        commit: String,
        /// The day of that commit, ISO 8601.
        date: String,
        /// Whether the file has changed since.
        is_changed: bool,
    },
    /// It lies in a git repository, and was never committed.
    NotCommitted,
    /// It is not in git.
    NotInGit,
}

impl fmt::Display for FileRevision {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FileRevision::Committed {
                commit,
                date,
                is_changed: false,
            } => write!(out, "{commit} of {date}"),
            FileRevision::Committed { commit, date, .. } => {
                write!(out, "changed since {commit} of {date}")
            }
            FileRevision::NotCommitted => out.write_str("not committed yet"),
            FileRevision::NotInGit => out.write_str("not in git"),
        }
    }
}
