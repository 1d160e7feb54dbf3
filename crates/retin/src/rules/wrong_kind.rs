//! A part of a kind that cannot do the old one's work.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::replacement::Replacement;
use crate::stage::Stage;

pub(super) const RULE: Rule = Rule {
    name: "wrong-kind",
    at: Stage::Order,
    summary: "a part of another kind than the place calls for, a capacitor for a fuse",
    page: include_str!("wrong_kind.md"),
    judge: Judge::AnyReplacement(judge),
};

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let (Some(old), Some(new)) = (replacement.old.kind, replacement.new.kind) else {
        return Verdict::lacks("the kind of the old part and of the new one");
    };
    if !replacement.is_of_another_kind() {
        return Verdict::Passed;
    }
    Verdict::failed(
        Fault::new(
            replacement.new.origin,
            format!(
                "{} is {}, and {{place calls}} for {}",
                replacement.new.called(),
                new.with_article(),
                old.with_article()
            ),
            "it cannot do the old part's work, whatever its value",
            format!("name {}, or mend the place's name", old.with_article()),
        )
        .with(replacement.part.line, format!("{{place}}: {}", old.word()))
        .values(format!("{} in place of {}", new.word(), old.word())),
    )
}
