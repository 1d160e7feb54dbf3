//! What has to be done before parts are ordered.

use super::{Ask, Asked};
use crate::finding::Fault;

pub(super) fn nothing_planned(ask: &Ask<'_, '_>, asked: &mut Asked) {
    if !ask.case.plan.is_empty() {
        asked.passed();
        return;
    }
    asked.fails(
        Vec::new(),
        Fault::new(
            ask.job.origin,
            "the job has no plan",
            "nobody can tell what is to come out and what is to go in, and nothing was compared",
            "write what becomes of each part below `plan`",
        ),
    );
}
