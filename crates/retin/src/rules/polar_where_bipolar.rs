//! A polar part in a place that has no fixed sign.

use super::{Judge, Rule, limits};
use crate::finding::{Fault, Verdict};
use crate::potentials::shown;
use crate::replacement::Replacement;
use crate::stage::Stage;
use retin_syntax::Token;
use retin_syntax::tables::Kind;
use retin_syntax::value::Decimal;

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
    if !new.is_polar() || is_back_to_back(replacement) {
        return Verdict::Passed;
    }
    let called = replacement.new.called();
    let fault = |why: &str| {
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
        .values(format!("{} in place of {}", new.word(), old.word()))
    };
    if !old.is_polar() {
        let why = format!("the old part is {} without polarity", old.with_article());
        return Verdict::failed(fault(&why));
    }
    match sign(replacement) {
        Sign::Holds => Verdict::Passed,
        Sign::Trouble(trouble) => Verdict::lacks(format!("whether the sign can turn: {trouble}")),
        Sign::Turns(ends) => Verdict::failed(
            fault(&format!("its voltage can turn: {ends}"))
                .values(format!("{} where {ends}", new.word())),
        ),
        // The maker fitted a polar part here, and a solved range is of worst cases.
        Sign::MayTurn(ends) => Verdict::failed(
            fault(&format!("by the circuit its voltage may turn: {ends}"))
                .values(format!("{} where {ends}", new.word()))
                .question(),
        ),
    }
}

/// Two polar parts in series with like leads together have no polarity.
fn is_back_to_back(replacement: &Replacement<'_, '_>) -> bool {
    replacement
        .new
        .second
        .is_some_and(|(_, mounting)| mounting == Token::Series)
}

/// What the known potentials of the leads say of the sign; the ends in words.
enum Sign {
    /// It is fixed, or not known.
    Holds,
    /// The rails let it turn.
    Turns(String),
    /// The potentials solved from the circuit let it turn.
    MayTurn(String),
    /// The circuit cannot be solved.
    Trouble(String),
}

fn sign(replacement: &Replacement<'_, '_>) -> Sign {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return Sign::Holds;
    };
    let Some(over) = case.potentials.between(case, one.net, other.net) else {
        return match case.potentials.trouble(case, &[one.net, other.net]) {
            Some(trouble) => Sign::Trouble(trouble),
            None => Sign::Holds,
        };
    };
    let ends = || {
        format!(
            "{} is {} to {} V over {}",
            case.nets.net(one.net).name,
            shown(over.low),
            shown(over.high),
            case.nets.net(other.net).name
        )
    };
    let is_rail = |net| case.potentials.rail(&case.nets, net).is_some();
    if !is_rail(one.net) || !is_rail(other.net) {
        let doubt = limits::SOLVED_DOUBT;
        return if over.low < -doubt && over.high > doubt {
            Sign::MayTurn(ends())
        } else {
            Sign::Holds
        };
    }
    if over.low < Decimal::ZERO && over.high > Decimal::ZERO && one.net != other.net {
        Sign::Turns(ends())
    } else {
        Sign::Holds
    }
}
