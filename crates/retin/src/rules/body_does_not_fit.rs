//! A body, its leads or its shaft that do not go where the old part sat.

use super::{Judge, Rule, limits};
use crate::finding::{Fault, Verdict};
use crate::library::Package;
use crate::outline::Outline;
use crate::replacement::Replacement;
use crate::sources::Origin;
use crate::stage::Stage;
use crate::words::{listed, with_article};
use retin_syntax::Token;
use retin_syntax::tables::{Kind, Property};
use retin_syntax::value::{Body, Decimal, Dimension, Quantity};
use std::borrow::Cow;

pub(super) const RULE: Rule = Rule {
    name: "body-does-not-fit",
    at: Stage::Order,
    summary: "a body, lead pitch, package, shaft, travel or taper that the place does not take",
    page: include_str!("body_does_not_fit.md"),
    judge: Judge::Replacement(judge),
};

/// One way in which the new part does not fit.
struct Misfit {
    /// Follows the part's name: "is 12mm across, and {place} has room for 10mm".
    clause: String,
    consequence: &'static str,
    remedy: String,
    values: String,
    /// Where the old part's side is written.
    old: Option<Origin>,
}

/// The comparisons of one new part, while they are made.
struct Fitting<'r, 'c, 'a> {
    replacement: &'r Replacement<'c, 'a>,
    misfits: Vec<Misfit>,
    missing: Option<Cow<'static, str>>,
    compared: bool,
}

fn judge(replacement: &Replacement<'_, '_>) -> Verdict {
    if replacement.new.second.is_some() {
        return Verdict::lacks("the room for two parts in one place");
    }
    let Some(kind) = replacement.old.kind else {
        return Verdict::NotApplicable;
    };
    let mut fitting = Fitting {
        replacement,
        misfits: Vec::new(),
        missing: None,
        compared: false,
    };
    if kind.token() == Token::Fuse {
        fitting.fuse();
    } else if kind.is_covered_by(Token::Semiconductor) {
        fitting.package();
        fitting.height();
    } else {
        if kind.is_covered_by(Token::Control) {
            fitting.control(kind);
        }
        fitting.style();
        fitting.pitch(kind);
        fitting.width(kind);
        fitting.height();
    }
    fitting.verdict()
}

fn mm(number: Decimal) -> Quantity {
    Quantity::new(number, Dimension::Length)
}

fn word(token: Token) -> &'static str {
    token.reserved_text().unwrap_or("")
}

/// Kinds whose leads or pins cannot be bent to another pitch.
fn is_stiff(kind: Kind) -> bool {
    matches!(
        kind.token(),
        Token::Relay
            | Token::Pot
            | Token::Trimmer
            | Token::Fader
            | Token::Switch
            | Token::Connector
            | Token::Socket
            | Token::TrimmerCapacitor
            | Token::Network
            | Token::Transformer
    )
}

/// Kinds that lie on the board with a lead at each end unless a line says otherwise.
fn usually_lies(kind: Kind) -> bool {
    matches!(kind.token(), Token::Resistor | Token::Inductor)
}

/// Kinds that sit in holes of a fixed pitch as a rule.
fn needs_pitch(kind: Kind) -> bool {
    kind.is_covered_by(Token::Capacitor)
        || matches!(
            kind.token(),
            Token::Thermistor | Token::Varistor | Token::Crystal | Token::Relay | Token::Trimmer
        )
}

/// What is to be chosen, in one sentence; what says more than that comes last.
fn one_remedy(mut remedies: Vec<String>) -> String {
    remedies.sort_by_key(|remedy| remedy.contains(','));
    remedies.dedup();
    let wanted: Vec<String> = remedies
        .iter()
        .map(|remedy| remedy.strip_prefix("choose ").unwrap_or(remedy).to_owned())
        .collect();
    format!("choose {}", listed(&wanted))
}

fn count_in_words(count: usize) -> String {
    match count {
        2 => "two".into(),
        3 => "three".into(),
        4 => "four".into(),
        _ => count.to_string(),
    }
}

impl<'c, 'a> Fitting<'_, 'c, 'a> {
    fn verdict(self) -> Verdict {
        if self.misfits.is_empty() {
            return match self.missing {
                Some(fact) => Verdict::NotChecked(fact),
                None if self.compared => Verdict::Passed,
                None => Verdict::NotApplicable,
            };
        }
        let replacement = self.replacement;
        let called = replacement.new.called();
        let of_all = |text: fn(&Misfit) -> &str| -> Vec<String> {
            let texts = self.misfits.iter().map(|misfit| text(misfit).to_owned());
            texts.collect()
        };
        let clauses = of_all(|misfit| &misfit.clause);
        let fact = match clauses.as_slice() {
            [only] => format!("{called} {only}"),
            several => format!(
                "{called} does not go into {{place}} for {} reasons: it {}",
                count_in_words(several.len()),
                several.join("; it ")
            ),
        };
        let mut fault = Fault::new(
            replacement.new.origin,
            fact,
            of_all(|misfit| misfit.consequence).join("; "),
            one_remedy(of_all(|misfit| &misfit.remedy)),
        )
        .values(of_all(|misfit| &misfit.values).join(", "));
        fault = fault.with(
            self.misfits[0].old.unwrap_or(replacement.part.line),
            "what {place has} room for",
        );
        if replacement.new.described != replacement.new.origin {
            fault = fault.with(replacement.new.described, "the new part");
        }
        Verdict::failed(fault)
    }

    fn lacks(&mut self, fact: impl Into<Cow<'static, str>>) {
        self.missing.get_or_insert(fact.into());
    }

    fn origin(&self, property: Property) -> Option<Origin> {
        self.replacement
            .old
            .get(property)
            .map(|(_, fact)| fact.origin)
    }

    fn old_package(&self) -> Option<&'c Package<'c>> {
        self.replacement
            .case
            .library
            .package(self.replacement.old.word(Property::Package)?)
    }

    fn new_package(&self) -> Option<&'c Package<'c>> {
        self.replacement
            .case
            .library
            .package(self.replacement.new.facts.word(Property::Package)?)
    }

    fn old_style(&self) -> Option<Token> {
        let stated = self.replacement.old.choice(Property::Style);
        stated.or_else(|| self.old_package()?.facts.choice(Property::Style))
    }

    fn new_style(&self) -> Option<Token> {
        let stated = self.replacement.new.facts.choice(Property::Style);
        stated.or_else(|| self.new_package()?.facts.choice(Property::Style))
    }

    fn old_pitch(&self) -> Option<Decimal> {
        let stated = self.replacement.old.millimetres(Property::Pitch);
        stated.or_else(|| self.old_package()?.facts.millimetres(Property::Pitch))
    }

    fn new_pitch(&self) -> Option<Decimal> {
        let stated = self.replacement.new.facts.millimetres(Property::Pitch);
        stated.or_else(|| self.new_package()?.facts.millimetres(Property::Pitch))
    }

    fn old_body(&self) -> Option<Body> {
        self.replacement
            .old
            .body()
            .or_else(|| self.old_package()?.facts.body())
    }

    fn new_body(&self) -> Option<Body> {
        self.replacement
            .new
            .facts
            .body()
            .or_else(|| self.new_package()?.facts.body())
    }

    fn old_outline(&self) -> Option<Outline> {
        Some(Outline::of(
            self.old_body()?,
            self.old_style(),
            self.old_pitch(),
        ))
    }

    fn new_outline(&self) -> Option<Outline> {
        Some(Outline::of(
            self.new_body()?,
            self.new_style(),
            self.new_pitch(),
        ))
    }

    /// A fuse's holder takes one size.
    fn fuse(&mut self) {
        let sides = |body: Body| match body {
            Body::Round { diameter, length } => (diameter, length),
            Body::Box { length, width, .. } => (width, length),
        };
        let (Some(old), Some(new)) = (
            self.replacement.old.body(),
            self.replacement.new.facts.body(),
        ) else {
            let which = if self.replacement.old.body().is_none() {
                "the old fuse's size"
            } else {
                "the new fuse's size"
            };
            return self.lacks(which);
        };
        self.compared = true;
        let (one, other) = (sides(old), sides(new));
        if (one.0 - other.0).abs() > limits::BODY_PLAY
            || (one.1 - other.1).abs() > limits::BODY_PLAY
        {
            self.misfits.push(Misfit {
                clause: format!(
                    "is {} fuse, and the holder at {{place}} takes {old}",
                    with_article(&new.to_string())
                ),
                consequence: "it falls out of its holder, or makes a contact that burns",
                remedy: format!("choose {} fuse", with_article(&old.to_string())),
                values: format!("{new} in place of {old}"),
                old: self.origin(Property::Body),
            });
        }
    }

    /// The package of a semiconductor: count of leads, their rows and pitch.
    fn package(&mut self) {
        let old = self.replacement.old.word(Property::Package);
        let new = self.replacement.new.facts.word(Property::Package);
        let (Some(old), Some(new)) = (old, new) else {
            return self.lacks(if old.is_none() {
                "the old part's package"
            } else {
                "the new part's package"
            });
        };
        if old == new {
            self.compared = true;
            return;
        }
        let (Some(old_package), Some(new_package)) = (self.old_package(), self.new_package())
        else {
            let unknown = if self.old_package().is_none() {
                old
            } else {
                new
            };
            return self.lacks(format!("the leads and pitch of the package {unknown}"));
        };
        let count = |package: &Package<'_>| {
            package
                .facts
                .word(Property::Leads)
                .and_then(|leads| leads.parse::<u32>().ok())
        };
        let row = |package: &Package<'_>| package.facts.millimetres(Property::Row);
        let flat = |style: Option<Token>| style == Some(Token::SurfaceMount);
        let is_flat_against_leaded = flat(self.old_style()) != flat(self.new_style());
        let why = match (count(old_package), count(new_package)) {
            (Some(old_count), Some(new_count)) if old_count != new_count => Some(format!(
                "with {new_count} leads, and {{place takes}} {} with {old_count}",
                with_article(old)
            )),
            _ if is_flat_against_leaded => Some(format!(
                "{}, and {{place takes}} {}",
                if flat(self.new_style()) {
                    "soldered flat"
                } else {
                    "with leads"
                },
                with_article(old)
            )),
            _ if row(old_package) != row(new_package) => Some(match row(new_package) {
                Some(row) => format!(
                    "with rows {} apart, and {{place takes}} {}",
                    mm(row),
                    with_article(old)
                ),
                None => format!(
                    "with its leads in another pattern, and {{place takes}} {}",
                    with_article(old)
                ),
            }),
            _ => {
                let play = if row(old_package).is_some() {
                    limits::STIFF_PITCH_PLAY
                } else {
                    limits::LEAD_FORMING
                };
                match (self.old_pitch(), self.new_pitch()) {
                    (Some(one), Some(other)) if (one - other).abs() > play => Some(format!(
                        "with leads {} apart, and {{place takes}} {} with {}",
                        mm(other),
                        with_article(old),
                        mm(one)
                    )),
                    (Some(_), Some(_)) => None,
                    _ => return self.lacks(format!("the pitch of the packages {old} and {new}")),
                }
            }
        };
        self.compared = true;
        if let Some(why) = why {
            self.misfits.push(Misfit {
                clause: format!("is {} {why}", with_article(new)),
                consequence: "its pins do not meet the holes",
                remedy: format!("choose the part in {}", with_article(old)),
                values: format!("{new} in place of {old}"),
                old: self.origin(Property::Package),
            });
        }
    }

    /// How the leads leave the body.
    fn style(&mut self) {
        let (Some(old), Some(new)) = (self.old_style(), self.new_style()) else {
            return;
        };
        use Token::{Axial, Radial, ScrewTerminal, SnapIn, SurfaceMount, Upright};
        self.compared = true;
        let consequence = match (old, new) {
            (Radial, Axial) => {
                "it has to stand on one end with a lead bent down beside it, taller and easily bent over"
            }
            (Axial, Radial) => {
                "one lead has to reach across the old body's length, and the part stands where the old one lay"
            }
            (Radial | Axial | Upright, SnapIn) => {
                "its stiff tags do not go into holes for wire leads"
            }
            (SurfaceMount, other) | (other, SurfaceMount) if other != SurfaceMount => {
                "one is made for pads, the other for holes"
            }
            (ScrewTerminal, other) | (other, ScrewTerminal) if other != ScrewTerminal => {
                "one is bolted to its wires, the other soldered into holes"
            }
            _ => return,
        };
        self.misfits.push(Misfit {
            clause: format!(
                "is {}, and the old part at {{place}} is {}",
                word(new),
                word(old)
            ),
            consequence,
            remedy: format!("choose {} part", with_article(word(old))),
            values: format!("{} in place of {}", word(new), word(old)),
            old: self.origin(Property::Style),
        });
    }

    /// The distance between the leads, with what wire leads are bent by.
    fn pitch(&mut self, kind: Kind) {
        let (old_style, new_style) = (self.old_style(), self.new_style());
        if matches!(old_style, Some(Token::ScrewTerminal | Token::SurfaceMount))
            || old_style
                .is_some_and(|old| new_style.is_some_and(|new| self.is_style_misfit(old, new)))
        {
            return;
        }
        let old = self.old_pitch();
        let lies = new_style.map_or(usually_lies(kind), |style| style == Token::Axial);
        if lies {
            // The leads are bent to the holes; only the body has to go between them.
            if let (Some(holes), Some(Body::Round { length, .. } | Body::Box { length, .. })) =
                (old, self.new_body())
                && old_style != Some(Token::Upright)
            {
                self.compared = true;
                if length > holes {
                    self.misfits.push(Misfit {
                        clause: format!(
                            "is {} long, and the holes at {{place}} are {} apart",
                            mm(length),
                            mm(holes)
                        ),
                        consequence: "it cannot lie between its holes",
                        remedy: format!("choose a body shorter than {}", mm(holes)),
                        values: format!("{} long in place of p{}", mm(length), holes.normalize()),
                        old: self.origin(Property::Pitch),
                    });
                }
            }
            return;
        }
        if new_style == Some(Token::Upright) {
            return;
        }
        let new = self.new_pitch();
        let (Some(old), Some(new)) = (old, new) else {
            if needs_pitch(kind) {
                self.lacks(if old.is_none() {
                    "the pitch of the holes"
                } else {
                    "the new part's lead pitch"
                });
            } else if old.is_some() {
                self.lacks("the new part's lead pitch");
            }
            return;
        };
        self.compared = true;
        let is_stiff = new_style == Some(Token::SnapIn)
            || self.replacement.new.kind.is_some_and(is_stiff)
            || is_stiff(kind);
        let play = if is_stiff {
            limits::STIFF_PITCH_PLAY
        } else {
            limits::LEAD_FORMING
        };
        if (old - new).abs() > play {
            self.misfits.push(Misfit {
                clause: format!(
                    "has its leads {} apart, and the holes at {{place}} are {} apart",
                    mm(new),
                    mm(old)
                ),
                consequence: if is_stiff {
                    "stiff pins cannot be bent to other holes"
                } else {
                    "leads bent that far strain the seal of the part and lift its pads"
                },
                remedy: format!("choose p{}", old.normalize()),
                values: format!("p{} in place of p{}", new.normalize(), old.normalize()),
                old: self.origin(Property::Pitch),
            });
        }
    }

    fn is_style_misfit(&self, old: Token, new: Token) -> bool {
        self.misfits
            .iter()
            .any(|misfit| misfit.values == format!("{} in place of {}", word(new), word(old)))
    }

    /// The room beside the neighbours: as written, else as the old body took it.
    fn width(&mut self, kind: Kind) {
        let room = self.replacement.old.millimetres(Property::Room);
        let old = self.old_outline();
        let is_wanted = room.is_some() || old.is_some() || kind.is_covered_by(Token::Capacitor);
        let Some(new) = self.new_outline() else {
            if is_wanted {
                self.lacks("the new part's body size");
            }
            return;
        };
        if let Some(room) = room {
            self.compared = true;
            if new.width > room {
                self.misfits.push(Misfit {
                    clause: format!(
                        "is {} across, and {{place has}} room for {}",
                        mm(new.width),
                        mm(room)
                    ),
                    consequence: "it sits askew against its neighbours, or does not go in at all",
                    remedy: format!("choose a body of at most {} across", mm(room)),
                    values: format!("{} in a room of {}", mm(new.width), mm(room)),
                    old: self.origin(Property::Room),
                });
            }
            return;
        }
        let Some(old) = old else {
            if is_wanted {
                self.lacks("the old part's body size, or the room beside it");
            }
            return;
        };
        self.compared = true;
        let sides = [
            ("across", old.width, new.width),
            ("long", old.length, new.length),
        ];
        let is_clear = |old: Decimal, new: Decimal| {
            new - old > limits::BODY_EXCESS
                && old
                    .checked_mul(limits::BODY_GROWTH)
                    .is_some_and(|most| new > most)
        };
        if let Some((way, old, new)) = sides.into_iter().find(|side| is_clear(side.1, side.2)) {
            self.misfits.push(Misfit {
                clause: format!(
                    "is {} {way}, and the old part at {{place}} was {}",
                    mm(new),
                    mm(old)
                ),
                consequence: "it is likely to touch its neighbours or not to go in at all",
                remedy: format!(
                    "choose a body of about {} {way}, or measure the place and write its `room`",
                    mm(old)
                ),
                values: format!("{} {way} in place of {}", mm(new), mm(old)),
                old: self.origin(Property::Body),
            });
        } else if sides
            .into_iter()
            .any(|side| side.2 - side.1 > limits::BODY_PLAY)
        {
            self.lacks("the room beside the place, which a wider body takes");
        }
    }

    /// The height under the lid.
    fn height(&mut self) {
        let Some(new) = self.new_outline() else {
            return;
        };
        let Some((headroom, origin)) = self.replacement.case.headroom_at(self.replacement.place)
        else {
            match self.old_outline() {
                Some(old) if new.most_height <= old.least_height + limits::BODY_PLAY => {
                    self.compared = true
                }
                Some(_) => self.lacks("the headroom above the place, which a taller body takes"),
                None if self.compared => self.lacks("the headroom above the place"),
                None => {}
            }
            return;
        };
        self.compared = true;
        if new.least_height > headroom {
            self.misfits.push(Misfit {
                clause: format!(
                    "stands {} tall, and there is {} of headroom above {{place}}",
                    mm(new.least_height),
                    mm(headroom)
                ),
                consequence: "the lid does not close, or presses on the part",
                remedy: format!("choose a body of at most {} in height", mm(headroom)),
                values: format!("{} tall under {}", mm(new.least_height), mm(headroom)),
                old: Some(origin),
            });
        } else if new.most_height > headroom {
            self.lacks("whether the new part stands or lies, `radial` or `axial`");
        }
    }

    /// What the hand and the panel notice of a control.
    fn control(&mut self, kind: Kind) {
        let old = &self.replacement.old;
        let new = self.replacement.new.facts;
        if kind.token() != Token::Trimmer {
            self.same_word(
                Property::Taper,
                "taper",
                "the control bunches at one end of its turn",
            );
            self.gangs();
        }
        self.same_word(
            Property::ShaftForm,
            "shaft",
            "the old knob does not hold on it",
        );
        if let Some(was) = old.millimetres(Property::Shaft) {
            match new.millimetres(Property::Shaft) {
                None => self.lacks("the new part's shaft diameter"),
                Some(is) => {
                    self.compared = true;
                    if (is - was).abs() > limits::SHAFT_PLAY {
                        self.misfits.push(Misfit {
                            clause: format!(
                                "has a shaft of {}, and the old one at {{place}} has {}",
                                mm(is),
                                mm(was)
                            ),
                            consequence: "the old knob does not go on, or wobbles",
                            remedy: format!("choose a shaft of {}", mm(was)),
                            values: format!("{} shaft in place of {}", mm(is), mm(was)),
                            old: self.origin(Property::Shaft),
                        });
                    }
                }
            }
        }
        if let Some(was) = old.millimetres(Property::Travel) {
            match new.millimetres(Property::Travel) {
                None => self.lacks("the new part's travel"),
                Some(is) => {
                    self.compared = true;
                    if is != was {
                        self.misfits.push(Misfit {
                            clause: format!(
                                "travels {}, and the old one at {{place}} travels {}",
                                mm(is),
                                mm(was)
                            ),
                            consequence: "it does not match the slot and the scale of the panel",
                            remedy: format!("choose a travel of {}", mm(was)),
                            values: format!("{} travel in place of {}", mm(is), mm(was)),
                            old: self.origin(Property::Travel),
                        });
                    }
                }
            }
        }
    }

    fn same_word(&mut self, property: Property, called: &'static str, consequence: &'static str) {
        let Some(was) = self.replacement.old.choice(property) else {
            if property == Property::Taper {
                self.lacks("the old part's taper");
            }
            return;
        };
        let Some(is) = self.replacement.new.facts.choice(property) else {
            return self.lacks(format!("the new part's {called}"));
        };
        self.compared = true;
        if is != was {
            self.misfits.push(Misfit {
                clause: format!(
                    "has {} {called}, and the old one at {{place}} has {} {called}",
                    with_article(word(is)),
                    with_article(word(was))
                ),
                consequence,
                remedy: format!("choose {} {called}", with_article(word(was))),
                values: format!("{} in place of {}", word(is), word(was)),
                old: self.origin(property),
            });
        }
    }

    /// How many sections turn together; one where nobody counts them.
    fn gangs(&mut self) {
        let was = self.replacement.old.number(Property::Gangs);
        let is = self.replacement.new.facts.number(Property::Gangs);
        match (was, is) {
            (Some(was), Some(is)) => {
                self.compared = true;
                if was != is {
                    let (was, is) = (was.normalize(), is.normalize());
                    self.misfits.push(Misfit {
                        clause: format!("has {is} gang{}, and the old one at {{place}} has {was}", if is == Decimal::ONE { "" } else { "s" }),
                        consequence: "its pins do not meet the holes, and a channel is left without its control",
                        remedy: format!("choose one with {was} gang{}", if was == Decimal::ONE { "" } else { "s" }),
                        values: format!("{is} gangs in place of {was}"),
                        old: self.origin(Property::Gangs),
                    });
                }
            }
            (Some(was), None) if was > Decimal::ONE => {
                self.lacks("how many gangs the new part has")
            }
            (None, Some(is)) if is > Decimal::ONE => self.lacks("how many gangs the old part has"),
            _ => {}
        }
    }
}
