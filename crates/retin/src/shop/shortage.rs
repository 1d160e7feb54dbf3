//! Entries that suffice for each of some jobs, and not for all together.
//!
//! Each job is reduced to a small [`Demand`] that owns its text, so that a
//! thousand jobs can be read one after the other and let go.

use super::{is_closed, needs, total};
use crate::meaning::Case;
use crate::replacement::Chosen;
use retin_syntax::Span;
use retin_syntax::tables::Property;
use retin_syntax::value::Decimal;
use rustc_hash::FxHashMap;
use std::fmt;

/// What one open job still takes from the shelves.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Demand {
    /// The job's number.
    pub job: String,
    /// The job's file.
    pub path: String,
    /// What it takes, by shelf file and entry.
    pub wants: Vec<Want>,
}

/// How many of one entry a job takes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Want {
    /// The shelf's file.
    pub shelf_path: String,
    /// The entry's name.
    pub entry: String,
    /// Where the entry is named in the shelf's file.
    pub span: Span,
    /// How many.
    pub count: u64,
    /// How many are in the drawer.
    pub have: Decimal,
    /// How many are on their way.
    pub coming: Decimal,
}

/// An entry that suffices for each of some jobs and not for all together.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Shortage {
    /// The shelf's file.
    pub shelf_path: String,
    /// Where the entry is named in it.
    pub span: Span,
    /// The entry's name.
    pub entry: String,
    /// The jobs by number, each with its file and how many it takes.
    pub jobs: Vec<(String, String, u64)>,
    /// How many are in the drawer.
    pub have: Decimal,
    /// How many are on their way.
    pub coming: Decimal,
}

impl Shortage {
    /// The rule that it breaks.
    pub const RULE: &'static str = "shelf-short";

    /// One sentence of fact.
    pub fn fact(&self) -> String {
        let total = total(self.jobs.iter().map(|job| job.2));
        let jobs: Vec<String> = self
            .jobs
            .iter()
            .map(|(job, _, count)| format!("{job} takes {count}"))
            .collect();
        format!(
            "the open jobs take {total} of {} together ({}), and {}",
            self.entry,
            jobs.join(", "),
            there(self.have, self.coming)
        )
    }

    /// One sentence: what comes of it.
    pub fn consequence(&self) -> &'static str {
        "each job counts on the same parts, and the last one to open the drawer stops half done"
    }

    /// One sentence: what to do.
    pub fn remedy(&self) -> String {
        let missing = total(self.jobs.iter().map(|job| job.2))
            .saturating_sub(self.have.saturating_add(self.coming));
        format!("order {} more, or let a job wait", missing.normalize())
    }
}

impl fmt::Display for Shortage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}; {}; {}",
            self.fact(),
            self.consequence(),
            self.remedy()
        )
    }
}

/// What there is, in words.
pub(crate) fn there(have: Decimal, coming: Decimal) -> String {
    let is = |count: Decimal| if count == Decimal::ONE { "is" } else { "are" };
    if coming.is_zero() {
        format!("there {} {} in the drawer", is(have), have.normalize())
    } else {
        format!(
            "there {} {} in the drawer and {} coming",
            is(have),
            have.normalize(),
            coming.normalize()
        )
    }
}

/// What a job still takes; none where there is no job, or its unit went back.
///
/// Entries that nobody counted are left out: the job's own check says so.
/// `chosen` are the job's [`replacements`](crate::replacement::replacements).
pub fn demand(case: &Case<'_>, chosen: &[Chosen<'_, '_>]) -> Option<Demand> {
    let job = case.job.as_ref()?;
    if is_closed(case) {
        return None;
    }
    let wants = needs(case, chosen)
        .into_iter()
        .filter_map(|need| {
            let entry = case.entry(need.entry);
            Some(Want {
                shelf_path: case.sources.file(entry.origin.file).path.clone(),
                entry: entry.name.clone(),
                span: entry.origin.span,
                count: need.count,
                have: entry.have()?,
                coming: entry.facts.number(Property::Coming).unwrap_or_default(),
            })
        })
        .collect();
    Some(Demand {
        job: job.number.to_owned(),
        path: case.sources.file(case.root).path.clone(),
        wants,
    })
}

/// The entries that do not suffice for all jobs together.
///
/// A job that takes too much on its own is told so by its own check; an entry
/// is named here where another job counts on it as well and finds enough.
pub fn short(demands: &[Demand]) -> Vec<Shortage> {
    let mut by_entry: FxHashMap<(&str, &str), Vec<(&Demand, &Want)>> = FxHashMap::default();
    for demand in demands {
        for want in &demand.wants {
            by_entry
                .entry((&want.shelf_path, &want.entry))
                .or_default()
                .push((demand, want));
        }
    }
    let mut shortages: Vec<Shortage> = by_entry
        .into_values()
        .filter_map(|mut wants| {
            wants.sort_by(|one, other| {
                (&one.0.job, &one.0.path).cmp(&(&other.0.job, &other.0.path))
            });
            let (_, first) = *wants.first()?;
            let there = first.have.saturating_add(first.coming);
            let is_enough_for_one = wants
                .iter()
                .any(|(_, want)| Decimal::from(want.count) <= there);
            if total(wants.iter().map(|(_, want)| want.count)) <= there || !is_enough_for_one {
                return None;
            }
            Some(Shortage {
                shelf_path: first.shelf_path.clone(),
                span: first.span,
                entry: first.entry.clone(),
                jobs: wants
                    .iter()
                    .map(|(demand, want)| (demand.job.clone(), demand.path.clone(), want.count))
                    .collect(),
                have: first.have,
                coming: first.coming,
            })
        })
        .collect();
    shortages.sort_by(|one, other| {
        (&one.shelf_path, one.span, &one.entry).cmp(&(&other.shelf_path, other.span, &other.entry))
    });
    shortages
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::replacement::replacements;
    use crate::sources::{SourceFile, Sources};
    use std::sync::Arc;

    const SHELF: &str = "shelf main \"Drawers\"\n  electrolytic\n    E-10-25 10uF 25V have 6\n";
    const MODEL: &str = "model a \"Amplifier\"\n\nboard strip \"Strip\" as s1..s4\n  electrolytic\n    C1 10uF 25V\n";

    fn demand_of(number: &str, rest: &str) -> Option<Demand> {
        let mut sources = Sources::new();
        let text = format!(
            "use \"../model.retin\"\nuse \"../shelf.retin\"\n\njob {number} \"Amplifier\"\n  model a\n\nplan\n  {rest}"
        );
        let root = sources.add(Arc::new(SourceFile::new(
            format!("jobs/{number}.retin"),
            text,
        )));
        sources.add(Arc::new(SourceFile::new(
            "model.retin".into(),
            MODEL.into(),
        )));
        sources.add(Arc::new(SourceFile::new(
            "shelf.retin".into(),
            SHELF.into(),
        )));
        let case = Case::build(&sources, root);
        demand(&case, &replacements(&case))
    }

    const ALL: &str = "replace every electrolytic with E-10-25\n";

    #[test]
    fn two_jobs_that_each_find_enough_are_short_together() {
        let demands: Vec<Demand> = ["26-01", "26-02"]
            .into_iter()
            .filter_map(|job| demand_of(job, ALL))
            .collect();
        let shortages = short(&demands);
        assert_eq!(shortages.len(), 1);
        assert_eq!(
            shortages[0].fact(),
            "the open jobs take 8 of E-10-25 together (26-01 takes 4, 26-02 takes 4), and there are 6 in the drawer"
        );
        assert_eq!(shortages[0].remedy(), "order 2 more, or let a job wait");
        assert_eq!(shortages[0].shelf_path, "shelf.retin");
    }

    #[test]
    fn one_job_alone_is_told_by_its_own_check_only() {
        let pair = "replace every electrolytic with E-10-25 and E-10-25 in parallel\n";
        let demands: Vec<Demand> = demand_of("26-01", pair).into_iter().collect();
        assert_eq!(demands[0].wants[0].count, 8);
        assert_eq!(short(&demands), []);
    }

    #[test]
    fn a_unit_that_went_back_takes_nothing_more() {
        let closed = format!("{ALL}\nlog\n  2026-11-03\n    09:10 returned\n");
        assert_eq!(demand_of("26-01", &closed), None);
    }

    #[test]
    fn what_is_fitted_is_out_of_the_drawer() {
        let half = format!("{ALL}\nlog\n  2026-11-03\n    09:10 fitted s1..s3.C1\n");
        assert_eq!(
            demand_of("26-01", &half).map(|demand| demand.wants[0].count),
            Some(1)
        );
    }

    #[test]
    fn the_order_of_the_jobs_does_not_matter() {
        let mut demands: Vec<Demand> = ["26-03", "26-01", "26-02"]
            .into_iter()
            .filter_map(|job| demand_of(job, ALL))
            .collect();
        let forwards = short(&demands);
        demands.reverse();
        assert_eq!(forwards, short(&demands));
    }
}
