//! A polar part in a place that has no fixed sign.

use super::{Judge, Rule, limits};
use crate::finding::{Fault, Verdict};
use crate::potentials::{Basis, shown};
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
    let sign = sign(replacement);
    let turns = !matches!(sign, Sign::Holds);
    if new.is_polar() && (!old.is_polar() || turns) && !is_back_to_back(replacement) {
        let called = replacement.new.called();
        let why = match sign {
            _ if !old.is_polar() => {
                format!("the old part is {} without polarity", old.with_article())
            }
            Sign::MayTurn(low, high) => format!(
                "by the potentials solved from the circuit {} to {} V can stand across the place",
                shown(low),
                shown(high)
            ),
            Sign::Holds | Sign::Turns => {
                "the potential across the place can change its sign".to_owned()
            }
        };
        let fault = Fault::new(
            replacement.new.origin,
            format!(
                "{called} at {{place}} is {}, which has a plus and a minus, and {why}",
                new.with_article()
            ),
            "driven backwards it distorts, leaks and in the end shorts",
            "fit a bipolar or film capacitor, or two equal polar ones back to back `in series`",
        )
        .with(replacement.part.line, format!("{{place}}: {}", old.word()))
        .values(format!("{} in place of {}", new.word(), old.word()));
        // The maker fitted a polar part here, and a solved range is of worst cases.
        let is_thin = old.is_polar() && matches!(sign, Sign::MayTurn(..));
        return Verdict::failed(if is_thin { fault.question() } else { fault });
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

/// What the known potentials of the leads say of the sign.
enum Sign {
    /// It is fixed, or not known.
    Holds,
    /// The rails let it turn.
    Turns,
    /// The potentials solved from the circuit let it turn, between these ends in volts.
    MayTurn(Decimal, Decimal),
}

fn sign(replacement: &Replacement<'_, '_>) -> Sign {
    let case = replacement.case;
    let [one, other] = replacement.old.pins else {
        return Sign::Holds;
    };
    let known = |net| case.potentials.of(case, net);
    let (Some(first), Some(second), Some(over)) = (
        known(one.net),
        known(other.net),
        case.potentials.between(case, one.net, other.net),
    ) else {
        return Sign::Holds;
    };
    if first.basis == Basis::Solved || second.basis == Basis::Solved {
        let doubt = limits::SOLVED_DOUBT;
        return if over.low < -doubt && over.high > doubt {
            Sign::MayTurn(over.low, over.high)
        } else {
            Sign::Holds
        };
    }
    if over.low < Decimal::ZERO && over.high > Decimal::ZERO && one.net != other.net {
        Sign::Turns
    } else {
        Sign::Holds
    }
}
