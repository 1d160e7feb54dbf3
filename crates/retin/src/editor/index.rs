//! Every use of every name in the files of a snapshot.

use super::Snapshot;
use super::mention::{Mention, Role, Subject, on_line};
use crate::sources::{FileId, Origin};
use retin_syntax::tree::{HeadingKind, LineId, Record};
use rustc_hash::FxHashMap;

/// All mentions, in the order of the files, and which of them are of what.
#[derive(Debug, Default)]
pub struct Index {
    mentions: Vec<Mention>,
    by_subject: FxHashMap<Subject, Vec<u32>>,
}

impl Index {
    /// Reads every line of a snapshot.
    pub(super) fn of(snapshot: &Snapshot<'_>) -> Index {
        let mut index = Index::default();
        for file in snapshot.files() {
            let tree = snapshot.tree(file);
            for line in 0..tree.lines.len() as u32 {
                for mention in on_line(snapshot, file, LineId(line)) {
                    let at = index.mentions.len() as u32;
                    for subject in &mention.subjects {
                        index.by_subject.entry(*subject).or_default().push(at);
                    }
                    index.mentions.push(mention);
                }
            }
        }
        index
    }

    /// Every mention of a subject, in the order of the files.
    pub fn of_subject(&self, subject: Subject) -> impl Iterator<Item = &Mention> {
        self.by_subject
            .get(&subject)
            .into_iter()
            .flatten()
            .map(|at| &self.mentions[*at as usize])
    }

    /// Where a subject is declared.
    pub fn declarations(&self, subject: Subject) -> impl Iterator<Item = Origin> {
        self.of_subject(subject)
            .filter(|mention| mention.role == Role::Declares)
            .map(|mention| mention.origin)
    }

    /// Every mention in one file, in the order of the text.
    pub fn in_file(&self, file: FileId) -> &[Mention] {
        let start = self
            .mentions
            .partition_point(|mention| mention.origin.file < file);
        let count = self.mentions[start..].partition_point(|mention| mention.origin.file == file);
        &self.mentions[start..start + count]
    }
}

/// Every mention of a part or a step, in the order of the files. Only lines that may
/// speak of it are read: a request that comes with every key has no time for all.
pub(super) fn mentions_of(snapshot: &Snapshot<'_>, subject: Subject) -> Vec<Mention> {
    if let Some(index) = snapshot.index.get() {
        return index.of_subject(subject).cloned().collect();
    }
    let mut found = Vec::new();
    for file in snapshot.files() {
        for (id, section) in snapshot.tree(file).sections() {
            if !may_speak_of(snapshot, file, &section.record, subject) {
                continue;
            }
            for line in id.0..section.end {
                let mentions = on_line(snapshot, file, LineId(line)).into_iter();
                found.extend(mentions.filter(|mention| mention.subjects.contains(&subject)));
            }
        }
    }
    found
}

/// Whether a section may speak of a part or a step: one that lists things does only of
/// what is on its own list.
fn may_speak_of(snapshot: &Snapshot<'_>, file: FileId, section: &Record, subject: Subject) -> bool {
    let Record::Heading(heading) = section else {
        return true;
    };
    match heading.kind {
        HeadingKind::Board | HeadingKind::Wiring => {
            let name = heading.name.map(|name| name.text(snapshot.text(file)));
            let board = name.and_then(|name| snapshot.case.board_named(name));
            match (subject, board) {
                (Subject::Part(part), Some((board, _))) => snapshot.case.part(part).board == board,
                _ => false,
            }
        }
        HeadingKind::Shelf
        | HeadingKind::Minutes
        | HeadingKind::Packages
        | HeadingKind::Devices => false,
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{MIXER, with};
    use super::super::mention::{Mention, Subject};
    use super::mentions_of;
    use crate::meaning::PartId;

    #[test]
    fn what_is_found_without_the_index_is_what_it_holds() {
        with(MIXER, |snapshot, _| {
            let case = snapshot.case;
            let steps = case.job.as_ref().map_or(0, |job| job.steps.len()) as u32;
            let parts = (0..case.parts.len() as u32).map(|part| Subject::Part(PartId(part)));
            let all = parts.chain((0..steps).map(Subject::Step));
            let found: Vec<(Subject, Vec<Mention>)> = all
                .map(|subject| (subject, mentions_of(snapshot, subject)))
                .collect();
            assert!(snapshot.index.get().is_none());
            for (subject, found) in found {
                let held: Vec<Mention> = snapshot.index().of_subject(subject).cloned().collect();
                assert_eq!(found, held, "{subject:?}");
                assert!(!found.is_empty(), "{subject:?}");
            }
        });
    }

    #[test]
    fn a_range_counts_as_a_use_of_each_of_its_members() {
        with(MIXER, |snapshot, _| {
            let case = snapshot.case;
            let (board, copy) = case.board_named("ch5").unwrap();
            let uses: Vec<&str> = snapshot
                .index()
                .of_subject(Subject::Copy(board, copy.unwrap()))
                .map(|mention| snapshot.of(mention.origin))
                .collect();
            assert_eq!(uses, ["ch1..ch8"; 4]);
        });
    }

    #[test]
    fn mentions_of_a_file_are_its_own() {
        with(MIXER, |snapshot, _| {
            for file in snapshot.files() {
                let mentions = snapshot.index().in_file(file);
                assert!(!mentions.is_empty());
                assert!(mentions.iter().all(|mention| mention.origin.file == file));
                assert!(mentions.is_sorted_by_key(|mention| mention.origin.span.start));
            }
        });
    }
}
