//! Devices and packages: the built-in ones, written in Retin itself, and those
//! that a file adds.
//!
//! `packages.retin` and `devices.retin` beside this file are ordinary Retin
//! files. A fact of a built-in device names its data sheet with `source`.

use crate::meaning::{Facts, Group, Reader, Section, sections_of};
use crate::moves::{Moves, Shared};
use crate::sources::{FileId, Origin, SourceFile, Sources};
use retin_syntax::tables::{Kind, Property};
use retin_syntax::tree::{HeadingKind, LineId, Record};
use rustc_hash::FxHashMap;
use std::sync::{Arc, LazyLock};

/// The built-in library's files, with the text of each.
pub const FILES: &[(&str, &str)] = &[
    ("packages.retin", include_str!("packages.retin")),
    ("devices.retin", include_str!("devices.retin")),
];

/// A type of semiconductor.
#[derive(Debug)]
pub struct Device<'a> {
    /// Its type number.
    pub name: &'a str,
    /// Its kind.
    pub kind: Option<Kind>,
    /// What its data sheet says.
    pub facts: Facts<'a>,
    /// Pin numbers with the function of each, for chips.
    pub pins: Vec<(&'a str, &'a str)>,
}

impl Device<'_> {
    /// The data sheet that its facts were read in, as a remark behind one of
    /// them; nothing where none is named.
    pub fn by_sheet(&self) -> String {
        match self.facts.word(Property::Source) {
            Some(sheet) => format!(" (source: {sheet})"),
            None => String::new(),
        }
    }

    /// What the pin with this number does.
    pub fn function_of(&self, pin: &str) -> Option<&str> {
        self.pins
            .iter()
            .find(|(number, _)| *number == pin)
            .map(|(_, function)| *function)
    }

    /// The number of the pin with this function.
    pub fn pin_for(&self, function: &str) -> Option<&str> {
        self.pins
            .iter()
            .find(|(_, name)| *name == function)
            .map(|(number, _)| *number)
    }
}

/// A shape that parts are sold in.
#[derive(Debug)]
pub struct Package<'a> {
    /// Its name.
    pub name: &'a str,
    /// Lead count, pitch, rows, body.
    pub facts: Facts<'a>,
    /// Orders of the leads it is sold with, `E-B-C`, first pin first.
    pub orders: Vec<&'a str>,
}

#[derive(Debug, Default)]
struct Tables<'a> {
    devices: Vec<Device<'a>>,
    packages: Vec<Package<'a>>,
    device_names: FxHashMap<&'a str, usize>,
    package_names: FxHashMap<&'a str, usize>,
}

impl<'a> Tables<'a> {
    fn device(&self, name: &str) -> Option<&Device<'a>> {
        self.device_names
            .get(name)
            .map(|index| &self.devices[*index])
    }

    fn package(&self, name: &str) -> Option<&Package<'a>> {
        self.package_names
            .get(name)
            .map(|index| &self.packages[*index])
    }
}

/// The devices and packages a case knows.
#[derive(Debug)]
pub struct Known<'a> {
    built_in: Option<&'static Tables<'static>>,
    own: Tables<'a>,
}

impl Known<'_> {
    /// Follows the files that add to the library.
    pub(crate) fn follow(&mut self, moves: &Moves) {
        let Tables {
            devices,
            packages,
            device_names: _,
            package_names: _,
        } = &mut self.own;
        let mut groups = Shared::default();
        for device in devices {
            device.facts.follow_in_group(&mut groups, moves);
        }
        for package in packages {
            package.facts.follow_in_group(&mut groups, moves);
        }
    }
}

impl<'a> Known<'a> {
    /// The built-in library, with nothing of a file's own yet.
    pub fn built_in() -> Self {
        Known {
            built_in: Some(&BUILT_IN),
            own: Tables::default(),
        }
    }

    fn empty() -> Self {
        Known {
            built_in: None,
            own: Tables::default(),
        }
    }

    /// The device of this type number; a file's own goes before the built-in one.
    pub fn device(&self, name: &str) -> Option<&Device<'a>> {
        self.own
            .device(name)
            .or_else(|| self.built_in?.device(name))
    }

    /// The package of this name.
    pub fn package(&self, name: &str) -> Option<&Package<'a>> {
        self.own
            .package(name)
            .or_else(|| self.built_in?.package(name))
    }

    /// Every device, the file's own first.
    pub fn devices(&self) -> impl Iterator<Item = &Device<'_>> {
        self.own.devices.iter().chain(
            self.built_in
                .iter()
                .flat_map(|tables| tables.devices.iter()),
        )
    }

    /// Every package, the file's own first.
    pub fn packages(&self) -> impl Iterator<Item = &Package<'_>> {
        self.own.packages.iter().chain(
            self.built_in
                .iter()
                .flat_map(|tables| tables.packages.iter()),
        )
    }

    /// The names of all devices and packages.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.devices()
            .map(|device| device.name)
            .chain(self.packages().map(|package| package.name))
    }
}

static BUILT_IN_SOURCES: LazyLock<Sources> = LazyLock::new(|| {
    let mut sources = Sources::new();
    for (path, text) in FILES {
        sources.add(Arc::new(SourceFile::new(
            (*path).to_owned(),
            (*text).to_owned(),
        )));
    }
    sources
});

static BUILT_IN: LazyLock<Tables<'static>> = LazyLock::new(|| {
    let sources = &*BUILT_IN_SOURCES;
    let mut reader = Reader::of_words(sources, FileId(0), Known::empty());
    for file in 0..sources.len() as u32 {
        for section in sections_of(sources, FileId(file)) {
            read_section(&mut reader, section);
        }
    }
    reader.case.library.own
});

/// Reads a `packages` or `devices` section.
pub(crate) fn read_section<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>) {
    for (id, line) in section.tree.children(section.id) {
        match &line.record {
            Record::Group { kind, facts } => {
                let group = reader.group(section.file, *kind, facts);
                for (id, _) in section.tree.children(id) {
                    one(reader, section, id, &group);
                }
            }
            Record::Broken => {
                let group = Group::unread(section.tree, line);
                for (id, _) in section.tree.children(id) {
                    one(reader, section, id, &group);
                }
            }
            _ => one(reader, section, id, &Group::default()),
        }
    }
}

fn one<'a>(reader: &mut Reader<'_, 'a>, section: Section<'_>, id: LineId, group: &Group<'a>) {
    let file = section.file;
    let Record::Part {
        names,
        kind,
        facts,
        pins,
    } = &section.tree.line(id).record
    else {
        return;
    };
    let kind = kind.and_then(|word| Kind::of(word.token)).or(group.kind);
    let mut own = reader.facts(file, facts, kind);
    let mut orders = Vec::new();
    for (_, child) in section.tree.children(id) {
        if let Record::Setting { facts } = &child.record {
            for fact in reader.facts(file, facts, kind) {
                match fact.value {
                    crate::meaning::FactValue::Word(order) if fact.property == Property::Order => {
                        orders.push(order)
                    }
                    _ => own.push(fact),
                }
            }
        }
    }
    let facts = Reader::inheriting(own, group.facts.as_ref());
    let pins: Vec<(&'a str, &'a str)> = pins
        .iter()
        .map(|pin| (reader.word(file, pin.lead), reader.word(file, pin.net)))
        .collect();
    for word in names {
        let name = reader.word(file, *word);
        let origin = Origin {
            file,
            span: word.span,
        };
        let tables = &mut reader.case.library.own;
        if section.heading.kind == HeadingKind::Packages {
            if tables.package_names.contains_key(name) {
                reader.duplicate("package", name, origin);
                continue;
            }
            tables.package_names.insert(name, tables.packages.len());
            tables.packages.push(Package {
                name,
                facts: facts.clone(),
                orders: orders.clone(),
            });
        } else {
            if tables.device_names.contains_key(name) {
                reader.duplicate("device", name, origin);
                continue;
            }
            tables.device_names.insert(name, tables.devices.len());
            tables.devices.push(Device {
                name,
                kind,
                facts: facts.clone(),
                pins: pins.clone(),
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_files_read_without_a_problem() {
        let sources = &*BUILT_IN_SOURCES;
        let mut reader = Reader::of_words(sources, FileId(0), Known::empty());
        for file in 0..sources.len() as u32 {
            assert!(
                sources.file(FileId(file)).tree.errors.is_empty(),
                "{:?}",
                sources.file(FileId(file)).tree.errors
            );
            for section in sections_of(sources, FileId(file)) {
                read_section(&mut reader, section);
            }
        }
        assert_eq!(reader.case.problems, []);
    }

    #[test]
    fn every_order_of_leads_is_one_that_its_package_is_sold_with() {
        let known = Known::built_in();
        let mut judged = 0;
        for device in known.devices() {
            let (Some(order), Some(package)) = (
                device.facts.word(Property::Leads),
                device.facts.word(Property::Package),
            ) else {
                continue;
            };
            let orders = known
                .package(package)
                .map_or(&[][..], |package| &package.orders);
            assert!(
                orders.is_empty() || orders.contains(&order),
                "{} has {order} in {package}",
                device.name
            );
            judged += usize::from(!orders.is_empty());
        }
        assert!(judged > 20, "only {judged} devices have an order to judge");
    }

    #[test]
    fn every_figure_and_order_names_where_it_was_read() {
        for device in Known::built_in().devices() {
            let is_bare = device.pins.is_empty()
                && device
                    .facts
                    .iter()
                    .all(|fact| matches!(fact.property, Property::Package));
            assert!(
                is_bare || device.facts.has(Property::Source),
                "{} has no source",
                device.name
            );
        }
    }

    #[test]
    fn chips_have_as_many_pins_as_their_package() {
        let known = Known::built_in();
        for device in known.devices().filter(|device| !device.pins.is_empty()) {
            let package = device
                .facts
                .word(Property::Package)
                .and_then(|name| known.package(name));
            let leads = package.and_then(|package| package.facts.word(Property::Leads));
            assert_eq!(
                leads,
                Some(device.pins.len().to_string().as_str()),
                "{}",
                device.name
            );
        }
    }
}
