//! A name and its other uses in the same file, to be changed together as it is
//! typed.

use super::navigate::highlight;
use super::rename::prepare;
use super::{Position, Snapshot};
use crate::sources::Origin;

/// Every use of the name at the caret, where all of them stand in this file and
/// are written alike; empty where one stands elsewhere, for that one would be
/// left behind.
pub fn linked(snapshot: &Snapshot<'_>, position: Position) -> Vec<Origin> {
    let Ok(name) = prepare(snapshot, position) else {
        return Vec::new();
    };
    let here: Vec<Origin> = highlight(snapshot, position)
        .into_iter()
        .map(|found| found.origin)
        .collect();
    let is_alone = super::navigate::references(snapshot, position, true) == here;
    let written = snapshot.of(name);
    let are_alike = here.iter().all(|origin| snapshot.of(*origin) == written);
    if is_alone && are_alike && here.len() > 1 {
        here
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{at, mixer};
    use super::linked;

    fn found(fixture: &str) -> Vec<String> {
        at(fixture, |snapshot, position| {
            linked(snapshot, position)
                .into_iter()
                .map(|origin| snapshot.of(origin).to_owned())
                .collect()
        })
    }

    #[test]
    fn a_step_and_what_waits_for_it_change_together() {
        let fixture = mixer("  strip      remove", "  st$0rip      remove");
        assert_eq!(found(&fixture), ["strip", "strip"]);
        assert_eq!(found(&mixer("after strip", "after str$0ip")).len(), 2);
    }

    #[test]
    fn a_net_of_one_sheet_changes_with_its_leads() {
        let of = found(&mixer("- OUT)", "- OU$0T)"));
        assert!(of.iter().all(|name| name == "OUT"), "{of:?}");
    }

    #[test]
    fn a_name_that_another_file_uses_does_not() {
        assert_eq!(found(&mixer("rail       V24", "rail       V$024")), [""; 0]);
        assert_eq!(found(&mixer("    C2   100uF", "    C$02   100uF")), [""; 0]);
        assert_eq!(found("# µ $0"), [""; 0]);
    }
}
