//! Facts of a part, an entry or a setting: properties it lacks, and the words
//! that may follow one.

use super::{List, What, entry_place};
use retin_syntax::Token;
use retin_syntax::tables::properties::{
    ARGUMENTS, CHOICES, FUSE_SPEEDS, MAINS_CLASSES, PROPERTIES, Place, Takes, takes,
};
use retin_syntax::tables::{Direction, Kind, LeadSet, Property};
use retin_syntax::tree::HeadingKind;
use retin_syntax::value::{self, Dimension, Value};

impl List<'_, '_> {
    /// A part, an entry, a package or a device.
    pub(super) fn part_line(&mut self, section: HeadingKind, kind: Option<Kind>) {
        let place = entry_place(section);
        if self.is_first() {
            return;
        }
        let own = self
            .caret
            .before()
            .iter()
            .find_map(|lexeme| Kind::of(lexeme.0));
        let kind = own.or(kind);
        if self.in_brackets(kind) {
            return;
        }
        if kind.is_none() && place != Place::Packages && !self.names_are_open() {
            self.kinds();
        }
        if !self.names_are_open() {
            self.facts(place, kind);
        }
    }

    /// Whether the next word is still a name: behind a comma of the names.
    fn names_are_open(&self) -> bool {
        let before = self.caret.before();
        self.last() == Some(Token::Comma)
            && before
                .iter()
                .all(|lexeme| matches!(lexeme.0, Token::Word | Token::Comma | Token::Text))
    }

    /// Leads and nets in brackets; whether the caret stands in them.
    pub(super) fn in_brackets(&mut self, kind: Option<Kind>) -> bool {
        let before = self.caret.before();
        let Some(open) = before.iter().rposition(|lexeme| lexeme.0 == Token::Open) else {
            return false;
        };
        let inside = &before[open + 1..];
        if inside.iter().any(|lexeme| lexeme.0 == Token::Close) {
            return false;
        }
        let since_comma = inside
            .iter()
            .rposition(|lexeme| lexeme.0 == Token::Comma)
            .map_or(inside.len(), |at| inside.len() - at - 1);
        match since_comma {
            0 => self.leads_left(kind),
            1 => self.nets_of_board(),
            _ => {}
        }
        true
    }

    /// Leads that the brackets do not hold yet.
    fn leads_left(&mut self, kind: Option<Kind>) {
        let text = self.caret.text;
        let lexemes = self.caret.lexemes();
        let open = lexemes
            .iter()
            .rposition(|lexeme| lexeme.0 == Token::Open && lexeme.1.end <= self.caret.offset);
        let inside = &lexemes[open.map_or(0, |open| open + 1)..];
        let taken: Vec<&str> = inside
            .split(|lexeme| matches!(lexeme.0, Token::Comma | Token::Close))
            .filter_map(|pin| pin.first())
            .filter(|lexeme| !lexeme.1.touches(self.caret.offset))
            .map(|lexeme| lexeme.1.of(text))
            .collect();
        let names = kind.map_or(&[][..], |kind| kind.row().leads.names());
        for name in names.iter().filter(|name| !taken.contains(name)) {
            self.add(What::Net, *name, "lead");
        }
        if kind.is_some_and(|kind| kind.row().leads == LeadSet::Numbered) {
            self.pins_of_device(&taken);
        }
    }

    /// The pins of the device that the line names, with what each does.
    fn pins_of_device(&mut self, taken: &[&str]) {
        let snapshot = self.snapshot;
        let device = self.caret.before().iter().find_map(|lexeme| {
            let word = lexeme.1.of(self.caret.text);
            snapshot.case.library.device(word.trim_matches('"'))
        });
        if let Some(device) = device {
            for (pin, function) in &device.pins {
                if !taken.contains(pin) {
                    self.add(What::Net, *pin, *function);
                }
            }
        }
    }

    pub(super) fn leads(&mut self, kind: Option<Kind>) {
        for name in kind.map_or(&[][..], |kind| kind.row().leads.names()) {
            self.add(What::Net, *name, "lead");
        }
    }

    pub(super) fn directions(&mut self) {
        for direction in Direction::all() {
            self.add(What::Keyword, direction.word(), "direction");
        }
    }

    /// What may stand behind the word of a setting, and further properties.
    pub(super) fn value_of_setting(&mut self, place: Place) {
        if self.argument(place) {
            return;
        }
        let first = self.caret.before().first().map(|lexeme| lexeme.0);
        match (place, first) {
            (Place::Job, Some(Token::Model)) => {
                self.word(Token::Revision, "the revision you worked from");
            }
            (Place::Job, Some(Token::Agreed)) => self.word(Token::On, "when it was approved"),
            (Place::Board, Some(Token::Copper)) => {
                self.word(Token::Plated, "plated holes");
                self.word(Token::Unplated, "bare holes");
            }
            _ => {}
        }
    }

    /// The properties that a line lacks; whether one belongs to the kind is
    /// common practice, no source.
    pub(super) fn facts(&mut self, place: Place, kind: Option<Kind>) {
        if self.units_of(kind) || self.argument(place) {
            return;
        }
        if let Some(before) = self.last()
            && is_lead_like(before, self.last_text(), kind)
        {
            self.directions();
        }
        let there = self.stated(place, kind);
        if kind.map(Kind::token) == Some(Token::Fuse) && !there.contains(&Property::FuseSpeed) {
            for speed in FUSE_SPEEDS {
                self.add(
                    What::Property,
                    *speed,
                    "fuse speed, as IEC 60127 letters them",
                );
            }
        }
        if kind.map(Kind::token) == Some(Token::MainsCapacitor)
            && !there.contains(&Property::MainsClass)
        {
            for class in MAINS_CLASSES {
                self.add(What::Property, *class, "class of a mains capacitor");
            }
        }
        for (token, property, doc) in CHOICES {
            let may_repeat = *property == Property::Feature;
            if suits(*property, kind)
                && (may_repeat || !there.contains(property))
                && !self.has(*token)
                && !matches!(property, Property::CopperForm | Property::Condition)
            {
                self.add(What::Property, token.reserved_text().unwrap_or(""), *doc);
            }
        }
        for row in PROPERTIES {
            if row.belongs_in(place)
                && !there.contains(&row.property)
                && suits(row.property, kind)
                && let Some(word) = row.token.and_then(Token::reserved_text)
            {
                self.add(What::Property, word, row.doc);
            }
        }
        self.library(kind, &there);
    }

    fn last_text(&self) -> &str {
        self.caret
            .before()
            .last()
            .map_or("", |lexeme| lexeme.1.of(self.caret.text))
    }

    /// Devices and packages that the kind may be.
    fn library(&mut self, kind: Option<Kind>, there: &[Property]) {
        let snapshot = self.snapshot;
        let is_semiconductor = kind.is_some_and(|kind| kind.is_covered_by(Token::Semiconductor));
        if !is_semiconductor {
            return;
        }
        if !there.contains(&Property::Device) {
            for device in snapshot.case.library.devices() {
                if device.kind == kind {
                    self.add(What::Name, device.name, "device");
                }
            }
        }
        if !there.contains(&Property::Package) {
            for package in snapshot.case.library.packages() {
                self.add(What::Name, package.name, "package");
            }
        }
    }

    /// The properties that the line already states.
    fn stated(&self, place: Place, kind: Option<Kind>) -> Vec<Property> {
        self.caret
            .lexemes()
            .iter()
            .filter_map(|(token, span)| {
                if span.touches(self.caret.offset) {
                    return None;
                }
                if let Some(row) = takes(*token, place) {
                    return Some(row.property);
                }
                if let Some(property) = Property::of_choice(*token) {
                    return Some(property);
                }
                let text = span.of(self.caret.text);
                if FUSE_SPEEDS.contains(&text) {
                    return Some(Property::FuseSpeed);
                }
                if self.snapshot.case.library.device(text).is_some() {
                    return Some(Property::Device);
                }
                if self.snapshot.case.library.package(text).is_some() {
                    return Some(Property::Package);
                }
                let value = value::read(text).ok()?;
                match value {
                    Value::Number(_) => None,
                    value => Property::of_bare_value(&value, kind),
                }
            })
            .collect()
    }

    /// What may follow a property's word; whether the caret stands behind one.
    fn argument(&mut self, place: Place) -> bool {
        let Some(row) = self.last().and_then(|token| takes(token, place)) else {
            return false;
        };
        match row.takes {
            Takes::Nothing => return false,
            Takes::Value if self.typed().is_empty() => {}
            Takes::Value => {
                if let Some(dimension) = dimension_of(row.property) {
                    self.units_for(&[dimension]);
                }
            }
            Takes::Word => {
                let words = ARGUMENTS.iter().find(|known| known.0 == row.property);
                for token in words.map_or(&[][..], |known| known.1) {
                    self.add(What::Keyword, token.reserved_text().unwrap_or(""), row.doc);
                }
                self.named_words(row.property);
            }
            Takes::WithNames => self.word(Token::With, "the part it is matched with"),
            _ => {}
        }
        true
    }

    /// Names that a property takes.
    fn named_words(&mut self, property: Property) {
        let snapshot = self.snapshot;
        match property {
            Property::Zone => {
                if let Some(board) = self.board() {
                    for (zone, _) in &snapshot.case.board(board).zones {
                        self.add_name(What::Name, zone, "zone");
                    }
                }
            }
            Property::Model => {
                if let Some(model) = &snapshot.case.model {
                    self.add_name(What::Name, model.name, model.title);
                }
            }
            Property::Package => {
                for package in snapshot.case.library.packages() {
                    self.add_name(What::Name, package.name, "package");
                }
            }
            Property::Device => {
                for device in snapshot.case.library.devices() {
                    self.add_name(What::Name, device.name, "device");
                }
            }
            _ => {}
        }
    }
}

fn is_lead_like(token: Token, text: &str, kind: Option<Kind>) -> bool {
    matches!(token, Token::Word)
        && kind.is_some_and(|kind| kind.row().leads.names().contains(&text))
}

/// The dimension of a property's value, where it has one.
pub(super) fn dimension_of(property: Property) -> Option<Dimension> {
    use Dimension as D;
    use Property as P;
    Some(match property {
        P::Life | P::Recovery => D::Time,
        P::Esr | P::Resistance => D::Resistance,
        P::Leakage | P::Current | P::Ripple => D::Current,
        P::Slew => D::SlewRate,
        P::Bandwidth | P::Frequency => D::Frequency,
        P::Reverse | P::Supply | P::Volts | P::Mains => D::Voltage,
        P::Inside | P::Temperature => D::Temperature,
        P::Travel | P::Shaft | P::Room | P::Headroom | P::Row | P::Wire => D::Length,
        P::Margin => D::Ratio,
        _ => return None,
    })
}

/// Whether a property is worth offering for a kind. *Common practice, no source.*
fn suits(property: Property, kind: Option<Kind>) -> bool {
    use Property as P;
    let Some(kind) = kind else { return true };
    let is = |family: Token| kind.is_covered_by(family);
    match property {
        P::Taper | P::ShaftForm | P::Gangs | P::Shaft => is(Token::Control),
        P::Travel => is(Token::Fader),
        P::Role => is(Token::Capacitor) || is(Token::Resistor),
        P::Compensation => is(Token::Thermistor),
        P::Material => is(Token::Semiconductor),
        P::Speed => is(Token::Diode) || is(Token::Bridge),
        P::Ripple | P::Esr => is(Token::Capacitor),
        P::Life => is(Token::Capacitor) || is(Token::Lamp) || is(Token::Relay),
        P::Leakage => is(Token::Capacitor) || is(Token::Semiconductor),
        P::Supply | P::Bandwidth | P::Slew | P::Noise => is(Token::IntegratedCircuit),
        P::Recovery | P::Reverse => is(Token::Diode) || is(Token::Bridge) || is(Token::Led),
        P::Gain => is(Token::Transistor) || is(Token::Optocoupler),
        P::Matched => is(Token::Semiconductor) || is(Token::Resistor) || is(Token::Capacitor),
        P::Device => is(Token::Semiconductor) || is(Token::Valve),
        P::Leads => is(Token::Semiconductor),
        P::Order | P::Row => false,
        P::MainsPlace => {
            is(Token::Capacitor)
                || is(Token::Resistor)
                || is(Token::Varistor)
                || is(Token::Fuse)
                || is(Token::Switch)
                || is(Token::Transformer)
        }
        _ => true,
    }
}
