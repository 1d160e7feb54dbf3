//! The fixes that findings at the caret offer.

use super::{Action, At, Sort};

pub(super) fn fixes(at: &At<'_, '_>, found: &mut Vec<Action>) {
    for (index, finding) in at.snapshot.report.findings.iter().enumerate() {
        let fault = &finding.fault;
        let is_here =
            at.touches(fault.origin) || fault.related.iter().any(|label| at.touches(label.origin));
        if let Some(fix) = fault.fix.as_ref().filter(|_| is_here) {
            found.push(Action {
                fix: fix.clone(),
                sort: Sort::Mends,
                finding: Some(index),
                is_preferred: at.touches(fault.origin),
            });
        }
    }
}
