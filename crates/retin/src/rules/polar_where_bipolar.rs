//! A polar part in a place that has no fixed sign.

use super::{Judge, Rule};
use crate::finding::{Fault, Verdict};
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Kind;

pub(super) const RULE: Rule = Rule {
    name: "polar-where-bipolar",
    at: Stage::Order,
    summary: "a polar capacitor where the old one had no polarity, or where the sign can turn",
    page: include_str!("polar_where_bipolar.md"),
    judge: Judge::Replacement(judge),
};

/// Whether a part of kind `new` may be considered in place of one of kind `old`.
pub(crate) fn may_stand_in(old: Kind, new: Kind) -> bool {
    let wet = |kind: Kind| {
        matches!(
            kind.token(),
            Token::Electrolytic | Token::Bipolar | Token::Tantalum | Token::Polymer
        )
    };
    let dry = |kind: Kind| {
        matches!(
            kind.token(),
            Token::Film | Token::Paper | Token::Ceramic | Token::Mica
        )
    };
    (wet(old) && wet(new)) || (dry(old) && dry(new)) || (wet(old) && dry(new))
}

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    let (Some(old), Some(new)) = (replacement.old.kind, replacement.new.kind) else {
        return Verdict::NotApplicable;
    };
    let is_capacitor = |kind: Kind| kind.is_covered_by(Token::Capacitor);
    if !is_capacitor(old) || !is_capacitor(new) {
        return Verdict::NotApplicable;
    }
    let turns = turns(replacement);
    if new.is_polar() && (!old.is_polar() || turns) && !is_back_to_back(replacement) {
        let called = replacement.new.called();
        let why = if old.is_polar() {
            "the potential across the place can change its sign".to_owned()
        } else {
            format!("the old part is {} without polarity", old.with_article())
        };
        return Verdict::failed(
            Fault::new(
                replacement.new.origin,
                format!(
                    "{called} at {{place}} is {}, which has a plus and a minus, and {why}",
                    new.with_article()
                ),
                "driven backwards it distorts, leaks and in the end shorts",
                "fit a bipolar or film capacitor, or two equal polar ones back to back `in series`",
            )
            .with(replacement.part.line, format!("{{place}}: {}", old.word()))
            .values(format!("{} in place of {}", new.word(), old.word())),
        );
    }
    Verdict::Passed
}

/// Two polar parts in series with like leads together have no polarity.
fn is_back_to_back(replacement: &Replacement<'_, '_>) -> bool {
    replacement
        .new
        .second
        .is_some_and(|(_, mounting)| mounting == Token::Series)
}

/// Whether the known potentials of the leads let the sign turn.
fn turns(replacement: &Replacement<'_, '_>) -> bool {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return false;
    };
    let known = |net| case.potentials.of(&case.nets, net);
    let (Some(one), Some(other)) = (known(one.net), known(other.net)) else {
        return false;
    };
    one.low < other.high && one.high > other.low && one.net != other.net
}
