//! What stands beside the box of one part: what comes out and what goes in, what
//! to mind of body and leads, and where its bag is.

use crate::finding::Severity;
use crate::meaning::{Case, FactValue, NewPart, PlaceId};
use crate::outline::Outline;
use crate::replacement::Replacement;
use crate::sheets::document::Words;
use crate::sheets::job::CheckedJob;
use crate::sheets::way_round::WayRound;
use crate::time::Status;
use crate::time::working_order::{NewParts, PRINTED, new_label, new_words, old_label};
use crate::typeset;
use retin_syntax::Token;
use retin_syntax::tables::{Kind, PlanVerb, Property, StepVerb};
use retin_syntax::value::{Body, Decimal, Dimension, Quantity};
use std::collections::BTreeMap;

/// What tells a part from its neighbours, without its body.
const SHORT: &[Property] = &[
    Property::Device,
    Property::Value,
    Property::Current,
    Property::Volts,
    Property::AcVolts,
    Property::Power,
    Property::FuseSpeed,
    Property::MainsClass,
    Property::Taper,
];

/// What is known of the parts of a job.
pub(super) struct Parts<'s, 'c, 'a> {
    case: &'c Case<'a>,
    number: &'c str,
    pub(super) new: NewParts<'s, 'a>,
    /// The rules whose errors are open at a place.
    errors: BTreeMap<PlaceId, Vec<&'static str>>,
    /// The accidents that are not proven mended at a place.
    accidents: BTreeMap<PlaceId, String>,
}

impl<'s, 'c, 'a> Parts<'s, 'c, 'a> {
    pub(super) fn of(job: &CheckedJob<'c, 'a>, new: NewParts<'s, 'a>) -> Self {
        let mut errors: BTreeMap<PlaceId, Vec<&'static str>> = BTreeMap::new();
        let findings = job.report.findings.iter();
        for finding in findings.filter(|finding| finding.severity == Severity::Error) {
            for place in &finding.places {
                let rules = errors.entry(*place).or_default();
                if !rules.contains(&finding.rule) {
                    rules.push(finding.rule);
                }
            }
        }
        Self {
            case: job.case,
            number: job.job.number,
            new,
            errors,
            accidents: accidents(job.case),
        }
    }

    fn new_at(&self, verb: StepVerb, place: PlaceId) -> Option<&'s Replacement<'s, 'a>> {
        let new = (verb == StepVerb::Fit).then(|| self.new.get(&place));
        new.flatten().copied()
    }

    /// What comes out and what goes in: `10uF 25V → 10uF 50V`; else what is there.
    pub(super) fn change(&self, verb: StepVerb, place: PlaceId) -> Words {
        let old = self.case.goes_by(place);
        if verb != StepVerb::Fit {
            return Words::plain(old_label(&old, PRINTED, typeset::fact));
        }
        let mut short = old_label(&old, SHORT, typeset::fact);
        // Old and new are held apart by the arrow, and by nothing else.
        if let Some(kind) = old.kind
            && let Some(rest) = short.strip_prefix(kind.word())
            && !rest.is_empty()
        {
            short = rest.trim_start().to_owned();
        }
        let short = kept_together(&short);
        let is_added = self.case.part(place.part).is_added;
        match self.new.get(&place) {
            Some(new) if is_added => Words::plain("nothing → ").and_strong(new_in_short(new)),
            Some(new) => Words::plain(format!("{short} → ")).and_strong(new_in_short(new)),
            None if self.goes_back(place) => Words::plain(short).and_strong(" goes back in"),
            None => Words::plain(format!("{short} → ")).and_strong("no part chosen"),
        }
    }

    /// Whether the old part goes back to its place.
    fn goes_back(&self, place: PlaceId) -> bool {
        let verb = self
            .case
            .decision(place)
            .map(|decision| self.case.plan_line(decision.line).verb);
        matches!(
            verb,
            None | Some(PlanVerb::Socket | PlanVerb::Keep | PlanVerb::Leave)
        )
    }

    /// The way round of the part that a step has in hand.
    pub(super) fn way_round(&self, verb: StepVerb, place: PlaceId) -> Words {
        let new = self.new_at(verb, place);
        if new.is_some_and(is_back_to_back) {
            return Words::plain("back to back: like signs joined in the middle");
        }
        let new = new.and_then(|new| new.new.kind);
        let kind: Option<Kind> = new.or(self.case.goes_by(place).kind);
        let is_handled = matches!(
            verb,
            StepVerb::Remove | StepVerb::Fit | StepVerb::Discharge | StepVerb::Measure
        );
        match kind.filter(|_| is_handled) {
            Some(kind) => WayRound::of(self.case, place, kind).words(),
            None => Words::default(),
        }
    }

    /// What to mind: open errors, the socket, the body and the leads.
    pub(super) fn remarks(&self, verb: StepVerb, place: PlaceId) -> Words {
        let mut warnings = Vec::new();
        if let Some(rules) = self.errors.get(&place).filter(|_| verb == StepVerb::Fit) {
            warnings.push(format!("!! {}: run retin check", rules.join(", ")));
        }
        warnings.extend(self.accidents.get(&place).cloned());
        let words = if warnings.is_empty() {
            Words::default()
        } else {
            Words::strong(warnings.join("; "))
        };
        let mut remarks = Vec::new();
        if verb == StepVerb::Fit {
            self.socket(place, &mut remarks);
            if let Some(new) = self.new.get(&place) {
                body(self.case, place, new, &mut remarks);
            }
        }
        if matches!(verb, StepVerb::Remove | StepVerb::Fit) {
            let old = self.case.goes_by(place);
            if let Some((_, stated)) = old.get(Property::Matched)
                && let FactValue::Names(names) = &stated.value
            {
                remarks.push(format!("matched with {}", names.join(", ")));
            }
        }
        let remarks = remarks.join("; ");
        match (words.is_empty(), remarks.is_empty()) {
            (_, true) => words,
            (true, false) => words.and(remarks),
            (false, false) => words.and(format!("; {remarks}")),
        }
    }

    fn socket(&self, place: PlaceId, remarks: &mut Vec<String>) {
        if !self.case.gets_socket(place) {
            return;
        }
        if self.case.replay.place(place).socketed.is_some() {
            remarks.push("its socket is in".to_owned());
            return;
        }
        let decision = self.case.decision(place);
        let line = decision.and_then(|decision| decision.socket.or(Some(decision.line)));
        let with = line.map(|line| &self.case.plan_line(line).with);
        let name = with.and_then(|with| match with.first()? {
            NewPart::Entry { entry, .. } => Some(self.case.entry(*entry).name.as_str()),
            NewPart::Described { .. } => None,
        });
        remarks.push(match name {
            Some(name) => format!("socket {name} first"),
            None => "socket first".to_owned(),
        });
    }

    /// Where the bag of the new part is: "drawer A3, lot 8114", else the bag as
    /// its label names it.
    pub(super) fn bag(&self, verb: StepVerb, place: PlaceId) -> Option<String> {
        let new = self.new_at(verb, place)?;
        let facts = new.new.facts;
        let drawer = facts.word(Property::Bin).map(|bin| format!("drawer {bin}"));
        let lot = facts.word(Property::Lot).map(|lot| format!("lot {lot}"));
        let there: Vec<String> = drawer.into_iter().chain(lot).collect();
        if !there.is_empty() {
            return Some(there.join(", "));
        }
        let board = self.case.board_of(place.part).name;
        let value = new_words(None, facts, SHORT, typeset::fact);
        Some(format!("bag {} / {board} / {value}", self.number))
    }

    /// What is in the bag of the part that a step has in hand: name, kind, value,
    /// ratings and body.
    pub(super) fn in_bag(&self, verb: StepVerb, place: PlaceId) -> String {
        let label = match self.new_at(verb, place) {
            Some(new) => new_label(&new.new, typeset::fact),
            None => old_label(&self.case.goes_by(place), PRINTED, typeset::fact),
        };
        // The name stands apart from the rest by two blanks.
        let label = label.replace("  ", " ");
        if label.is_empty() {
            "not described".to_owned()
        } else {
            label
        }
    }

    /// The new part's name, where it has one: `E-10-50`.
    pub(super) fn entry(&self, verb: StepVerb, place: PlaceId) -> Option<&'s str> {
        self.new_at(verb, place)?.new.name
    }
}

/// The accidents that are not proven mended, by the place they struck.
fn accidents(case: &Case<'_>) -> BTreeMap<PlaceId, String> {
    let open = case
        .replay
        .accidents
        .iter()
        .filter(|record| record.status() != Status::Proven);
    let mut accidents: BTreeMap<PlaceId, String> = BTreeMap::new();
    for record in open {
        let Some(place) = record.place() else {
            continue;
        };
        let what = record
            .accident
            .map_or("accident", |accident| accident.row().words);
        let said = format!("!! accident {}, {what}", record.number);
        accidents
            .entry(place)
            .and_modify(|all| *all = format!("{all}; {said}"))
            .or_insert(said);
    }
    accidents
}

/// Whether two polar parts in series stand where the old part had no polarity.
/// They are joined plus to plus or minus to minus. *Common practice, no source.*
fn is_back_to_back(new: &Replacement<'_, '_>) -> bool {
    let is_series = matches!(new.new.second, Some((_, Token::Series)));
    let is_polar = |kind: Option<Kind>| kind.is_some_and(Kind::is_polar);
    is_series && is_polar(new.new.kind) && !is_polar(new.old.kind)
}

/// What goes in, without its body: `10uF 50V`; two parts together as such.
fn new_in_short(new: &Replacement<'_, '_>) -> String {
    let described = |facts| {
        let words = new_words(None, facts, SHORT, typeset::fact);
        if words.is_empty() {
            new.new.called()
        } else {
            words
        }
    };
    let first = kept_together(&described(new.new.facts));
    match new.new.second {
        None => first,
        Some((second, mounting)) => {
            let second = kept_together(&described(second));
            let mounting = mounting.reserved_text().unwrap_or("");
            if first == second {
                format!("2\u{a0}×\u{a0}{first} in\u{a0}{mounting}")
            } else {
                format!("{first} and {second} in {mounting}")
            }
        }
    }
}

/// Words between which no line ends.
fn kept_together(words: &str) -> String {
    words.replace(' ', "\u{a0}")
}

fn mm(number: Decimal) -> String {
    typeset::quantity(Quantity::new(number, Dimension::Length))
}

/// What differs between the old body and the new one, as far as the hands mind it.
fn body(case: &Case<'_>, place: PlaceId, new: &Replacement<'_, '_>, remarks: &mut Vec<String>) {
    let (old, facts) = (&new.old, new.new.facts);
    if case.part(place.part).is_added {
        remarks.push("the maker had none here".to_owned());
    }
    if let (Some(old), Some(new)) = (old.kind, new.new.kind)
        && old != new
    {
        remarks.push(format!("{} in place of {}", new.word(), old.word()));
    }
    let old_style = old.choice(Property::Style);
    let new_style = facts.choice(Property::Style).or(old_style);
    if let (Some(old), Some(new)) = (old_style, new_style)
        && old != new
    {
        let word = |style: Token| style.reserved_text().unwrap_or("");
        remarks.push(format!("{} in place of {}", word(new), word(old)));
    }
    let (old_pitch, new_pitch) = (
        old.millimetres(Property::Pitch),
        facts.millimetres(Property::Pitch),
    );
    let lies = new_style == Some(Token::Axial);
    match (old_pitch, new_pitch) {
        (Some(holes), _) if lies => remarks.push(format!("bend the leads to {}", mm(holes))),
        (Some(holes), Some(leads)) if holes != leads => remarks.push(format!(
            "form the leads: {} apart, the holes {}",
            mm(leads),
            mm(holes)
        )),
        _ => {}
    }
    let outline = |body: Option<Body>, style, pitch| Some(Outline::of(body?, style, pitch));
    let (Some(was), Some(is)) = (
        outline(old.body(), old_style, old_pitch),
        outline(facts.body(), new_style, new_pitch),
    ) else {
        room(new, remarks);
        return;
    };
    if is.width > was.width {
        remarks.push(format!(
            "{} across, the old one {}",
            mm(is.width),
            mm(was.width)
        ));
    }
    if is.least_height > was.most_height {
        remarks.push(format!(
            "{} high, the old one {}",
            mm(is.most_height),
            mm(was.most_height)
        ));
    }
    room(new, remarks);
}

/// The room beside a place, where it is written.
fn room(new: &Replacement<'_, '_>, remarks: &mut Vec<String>) {
    if let Some(room) = new.old.millimetres(Property::Room) {
        remarks.push(format!("room for {}", mm(room)));
    }
}
