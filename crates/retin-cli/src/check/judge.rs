//! Judges files in parallel: jobs first, then the sheets that no job uses.

use super::found::{Checked, Found, Outcome, Texts, keep, keep_shortage, merge};
use super::library::Library;
use super::progress::Progress;
use super::workspace::Workspace;
use crate::select::{Selection, Unreadable, shown};
use rayon::prelude::*;
use retin::check::check_chosen;
use retin::meaning::Case;
use retin::replacement::replacements;
use retin::shop::{self, Demand};
use retin::sources::{FileId, SourceFile, Sources};
use retin::stage::Stage;
use retin_syntax::tree::{HeadingKind, Record};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

/// What became of one file.
struct Answer {
    checked: Option<(Checked, Vec<Found>)>,
    /// What its job still takes from the shelves; none where it is not asked.
    demand: Option<Demand>,
    /// Paths of the files it was checked with.
    used: Vec<String>,
    /// Files that are there and cannot be read: path from the root, reason.
    unreadable: Vec<(String, String)>,
}

/// Judges every file of the selection.
///
/// A file with a job in it is judged as that job, at `stage` where one is
/// given. A model, shelf or library that one of these jobs uses was judged with
/// it; one that none uses is judged alone.
pub fn judge(
    selection: Selection,
    workspace: &Workspace,
    here: &Path,
    stage: Option<Stage>,
) -> Outcome {
    let mut unreadable = selection.unreadable;
    let mut paths = Vec::with_capacity(selection.files.len());
    for real in &selection.files {
        match workspace.inside(real) {
            Some(path) => paths.push(path),
            None => unreadable.push(Unreadable {
                path: shown(real, here),
                reason: "it lies outside the workspace, or its name is no UTF-8 text".into(),
            }),
        }
    }
    let library = Library::new(workspace);
    let texts = Texts::default();
    let progress = Progress::over(paths.len());
    // One job alone shares its shelves with nobody.
    let asks_demand = paths.len() > 1;
    let listed = paths.par_iter().map(|path| {
        let answer = match library.get(path) {
            Err(refusal) => Answer {
                checked: None,
                demand: None,
                used: Vec::new(),
                unreadable: vec![(path.clone(), refusal.reason)],
            },
            Ok(file) if holds_job(&file) => {
                library.forget(path);
                judge_file(file, &library, &texts, stage, asks_demand)
            }
            Ok(_) => Answer {
                checked: None,
                demand: None,
                used: Vec::new(),
                unreadable: Vec::new(),
            },
        };
        progress.advance();
        answer
    });
    let mut answers: Vec<Answer> = listed.collect();
    let jobs = answers
        .iter()
        .filter_map(|answer| answer.checked.as_ref())
        .map(|(checked, _)| &checked.path);
    let spoken_for: BTreeSet<&String> = answers
        .iter()
        .flat_map(|answer| {
            answer
                .used
                .iter()
                .chain(answer.unreadable.iter().map(|(path, _)| path))
        })
        .chain(jobs)
        .collect();
    let alone: Vec<&String> = paths
        .iter()
        .filter(|path| !spoken_for.contains(path))
        .collect();
    let sheets: Vec<Answer> = heads(&alone, &library)
        .par_iter()
        .map(|file| judge_file(file.clone(), &library, &texts, None, false))
        .collect();
    progress.finish();
    answers.extend(sheets);
    let demands: Vec<Demand> = answers
        .iter_mut()
        .filter_map(|answer| answer.demand.take())
        .collect();
    let shortages: Vec<Found> = shop::short(&demands)
        .iter()
        .filter_map(|shortage| {
            let shelf = library.get(&shortage.shelf_path).ok()?;
            Some(keep_shortage(shortage, &shelf, &texts))
        })
        .collect();
    outcome(answers, shortages, unreadable, workspace, here)
}

fn outcome(
    answers: Vec<Answer>,
    shortages: Vec<Found>,
    mut unreadable: Vec<Unreadable>,
    workspace: &Workspace,
    here: &Path,
) -> Outcome {
    let mut checked = Vec::new();
    for answer in answers {
        checked.extend(answer.checked);
        for (path, reason) in answer.unreadable {
            unreadable.push(Unreadable {
                path: shown(&workspace.root.join(path), here),
                reason,
            });
        }
    }
    checked.sort_by(|one, other| one.0.path.cmp(&other.0.path));
    let mut found = Vec::new();
    for (index, (_, own)) in checked.iter_mut().enumerate() {
        for mut finding in own.drain(..) {
            finding.found_for.push(index);
            found.push(finding);
        }
    }
    for mut shortage in shortages {
        shortage.found_for = (0..checked.len())
            .filter(|index| shortage.places.contains(&checked[*index].0.path))
            .collect();
        shortage.places.clear();
        found.push(shortage);
    }
    unreadable.sort();
    unreadable.dedup();
    Outcome {
        checked: checked.into_iter().map(|(checked, _)| checked).collect(),
        found: merge(found),
        unreadable,
    }
}

fn holds_job(file: &SourceFile) -> bool {
    file.tree.sections().any(|(_, line)| {
        matches!(&line.record, Record::Heading(heading) if heading.kind == HeadingKind::Job)
    })
}

fn judge_file(
    file: Arc<SourceFile>,
    library: &Library<'_>,
    texts: &Texts,
    stage: Option<Stage>,
    asks_demand: bool,
) -> Answer {
    let path = file.path.clone();
    let (sources, root, unreadable) = library.with_used(file);
    let (checked, found, demand) = judge_sources(&sources, root, texts, stage, asks_demand);
    let used = (0..sources.len() as u32)
        .map(|id| sources.file(FileId(id)).path.clone())
        .filter(|used| *used != path)
        .collect();
    Answer {
        checked: Some((checked, found)),
        demand,
        used,
        unreadable,
    }
}

fn judge_sources(
    sources: &Sources,
    root: FileId,
    texts: &Texts,
    stage: Option<Stage>,
    asks_demand: bool,
) -> (Checked, Vec<Found>, Option<Demand>) {
    let case = Case::build(sources, root);
    let chosen = replacements(&case);
    let report = check_chosen(&case, stage, &chosen);
    let checked = Checked {
        path: sources.file(root).path.clone(),
        job: case
            .job
            .as_ref()
            .map(|job| (job.number.to_owned(), job.title.to_owned())),
        stage: report.stage,
        places: case.places().count(),
        tallies: report.tallies,
    };
    let found = report
        .findings
        .into_iter()
        .map(|finding| keep(&case, finding, texts))
        .collect();
    let demand = if asks_demand {
        shop::demand(&case, &chosen)
    } else {
        None
    };
    (checked, found, demand)
}

/// Of sheets that no job uses, those to begin with, so that each is judged
/// with one of them: first those that no other one uses, then one of each circle.
fn heads(alone: &[&String], library: &Library<'_>) -> Vec<Arc<SourceFile>> {
    let sheets: Vec<(Arc<SourceFile>, BTreeSet<String>)> = alone
        .iter()
        .filter_map(|path| {
            let file = library.get(path).ok()?;
            let (sources, _, _) = library.with_used(file.clone());
            let used = (0..sources.len() as u32).map(|id| sources.file(FileId(id)).path.clone());
            let used = used.filter(|used| used != *path).collect();
            Some((file, used))
        })
        .collect();
    let used_by_any: BTreeSet<&String> = sheets.iter().flat_map(|(_, used)| used).collect();
    let (mut heads, circles): (Vec<_>, Vec<_>) = sheets
        .iter()
        .partition(|(file, _)| !used_by_any.contains(&file.path));
    for sheet in circles {
        if !heads.iter().any(|head| head.1.contains(&sheet.0.path)) {
            heads.push(sheet);
        }
    }
    heads.into_iter().map(|(file, _)| file.clone()).collect()
}
