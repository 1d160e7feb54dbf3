//! How an accident is told that is not done with.

use super::Ask;
use crate::finding::Fault;
use crate::time::accidents::{AccidentRecord, Status};
use retin_syntax::tables::Proof;

/// The sentences on an accident that is not done with.
pub(super) fn accident(ask: &Ask<'_, '_>, record: &AccidentRecord<'_>, consequence: &str) -> Fault {
    let told = ask.job.log.get(record.entry);
    let origin = told.map_or(ask.job.origin, |entry| entry.origin);
    let words = record
        .accident
        .map_or("an accident", |accident| accident.row().words);
    let at = told
        .and_then(|entry| entry.subject.origin)
        .map_or(String::new(), |origin| {
            format!(" at {}", ask.case.sources.text(origin))
        });
    let proof = match record.asks_for() {
        Proof::EndToEnd if record.is_plated => {
            "beep or measure the repair from end to end, on both sides, and write the reading down"
        }
        Proof::EndToEnd => "beep or measure the repair from end to end, and write the reading down",
        Proof::Apart => "measure that the two points are apart, or look at them, and write it down",
        Proof::Look => "inspect the place, and write it down",
        Proof::AnotherPart => "fit another part there",
        Proof::Reading => "measure the part, or fit another",
    };
    let too_high = record.too_high.map(|(_, ohms)| ohms);
    let (fact, remedy) = match (record.status(), too_high) {
        (Status::Open | Status::Proven, _) => (
            format!("{words}{at}: the log has no repair of it"),
            format!("repair it, then {proof}"),
        ),
        (Status::Repaired, Some(ohms)) => (
            format!("{words}{at}: repaired, but the reading from end to end is {ohms}"),
            "mend the repair, and measure it again".to_owned(),
        ),
        (Status::Repaired, None) if record.one_side.is_some() => (
            format!("{words}{at}: repaired, and read on one side of a plated board only"),
            proof.to_owned(),
        ),
        (Status::Repaired, None) => (
            format!("{words}{at}: repaired, and nothing in the log proves the repair"),
            proof.to_owned(),
        ),
    };
    Fault::new(origin, fact, consequence, remedy)
}
