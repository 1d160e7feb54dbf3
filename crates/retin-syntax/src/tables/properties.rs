//! The properties that lines may state, and the one order the formatter prints them in.

use super::kinds::{Kind, LeadSet};
use crate::token::Token;
use crate::value::{Dimension, Value};
use std::sync::LazyLock;

/// What may stand where: the part of the outline a line belongs to.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[repr(u8)]
pub enum Place {
    /// Under `model`.
    Model,
    /// Under `board` or `wiring`.
    Board,
    /// A group, a part, or a claim about a part.
    Part,
    /// A group or an entry under `shelf`.
    Shelf,
    /// Under `packages`.
    Packages,
    /// Under `devices`.
    Devices,
    /// Under `link`.
    Link,
    /// Under `job`.
    Job,
    /// The facts of a plan line.
    Plan,
    /// A line under `steps`.
    Steps,
    /// A line under `targets`.
    Targets,
    /// An entry of the log.
    Log,
}

impl Place {
    /// Every place.
    pub const ALL: [Place; 12] = [
        Place::Model,
        Place::Board,
        Place::Part,
        Place::Shelf,
        Place::Packages,
        Place::Devices,
        Place::Link,
        Place::Job,
        Place::Plan,
        Place::Steps,
        Place::Targets,
        Place::Log,
    ];

    const fn bit(self) -> u16 {
        1 << self as u8
    }
}

const MODEL: u16 = Place::Model.bit();
const BOARD: u16 = Place::Board.bit();
const PART: u16 = Place::Part.bit();
const SHELF: u16 = Place::Shelf.bit();
const PACKAGES: u16 = Place::Packages.bit();
const DEVICES: u16 = Place::Devices.bit();
const JOB: u16 = Place::Job.bit();
const PLAN: u16 = Place::Plan.bit();
const STEPS: u16 = Place::Steps.bit();
const TARGETS: u16 = Place::Targets.bit();
const LOG: u16 = Place::Log.bit();
const ANY_PART: u16 = PART | SHELF | DEVICES | PLAN;

/// What follows a property's name.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Takes {
    /// Nothing: the word says it all.
    Nothing,
    /// One value, `5000h`.
    Value,
    /// One word, which may be a name or a code.
    Word,
    /// Text in quotes.
    Text,
    /// Two numbers, `30,40`, in millimetres.
    Point,
    /// Two lengths, `120 x 80`, in millimetres.
    Size,
    /// `with` and one or more names.
    WithNames,
    /// One name, or several with commas.
    Names,
}

/// A property of a model, a board, a part, a shelf entry or a job.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
#[allow(
    missing_docs,
    reason = "the table below describes each property in its own row"
)]
pub enum Property {
    // Bare, in the order they are printed.
    Kind,
    Device,
    Value,
    Current,
    Volts,
    AcVolts,
    Power,
    Frequency,
    Resistance,
    OtherQuantity,
    Tolerance,
    FuseSpeed,
    MainsClass,
    Package,
    Body,
    Pitch,
    Temperature,
    Style,
    Taper,
    ShaftForm,
    Role,
    Compensation,
    Material,
    Speed,
    // Written with their name.
    Code,
    Marked,
    Life,
    Inside,
    Ripple,
    Esr,
    Leakage,
    Leads,
    Row,
    Supply,
    Bandwidth,
    Slew,
    Noise,
    Recovery,
    Reverse,
    Gain,
    Vbe,
    Gangs,
    Travel,
    Shaft,
    Room,
    Headroom,
    Mains,
    MainsPlace,
    Feature,
    Unfitted,
    Matched,
    Maker,
    Lot,
    Sampled,
    Source,
    Have,
    Coming,
    Spare,
    Pack,
    Price,
    Bin,
    Zone,
    At,
    Side,
    Orientation,
    // Of headings.
    Copper,
    CopperForm,
    Size,
    Per,
    Order,
    Revision,
    Built,
    Model,
    Arrived,
    Serial,
    Owner,
    Complaint,
    Agreed,
    On,
    Rate,
    Margin,
    // Of plans, steps, targets and the log.
    Mounting,
    Above,
    Below,
    Expect,
    Condition,
    Sides,
    Beep,
    By,
    Wire,
    Because,
}

/// One row of the table of properties.
#[derive(Clone, Copy, Debug)]
pub struct PropertyRow {
    /// The property.
    pub property: Property,
    /// The reserved word that introduces it, or none where the shape of a value says it.
    pub token: Option<Token>,
    /// What follows the word.
    pub takes: Takes,
    /// Where it may stand, as bits of [`Place`].
    places: u16,
    /// One line for the reference and for hover.
    pub doc: &'static str,
}

impl PropertyRow {
    /// Whether the property may stand in `place`.
    pub fn belongs_in(&self, place: Place) -> bool {
        self.places & place.bit() != 0
    }
}

const fn bare(property: Property, doc: &'static str) -> PropertyRow {
    PropertyRow {
        property,
        token: None,
        takes: Takes::Nothing,
        places: ANY_PART | PACKAGES,
        doc,
    }
}

const fn named(
    property: Property,
    token: Token,
    takes: Takes,
    places: u16,
    doc: &'static str,
) -> PropertyRow {
    PropertyRow {
        property,
        token: Some(token),
        takes,
        places,
        doc,
    }
}

use Property as P;
use Takes as T;

/// Every property, in the order the formatter prints them.
#[rustfmt::skip]
pub const PROPERTIES: &[PropertyRow] = &[
    bare(P::Kind, "the kind of part"),
    bare(P::Device, "the type of a semiconductor, `2N3904`"),
    named(P::Device, Token::Device, T::Word, ANY_PART, "the type of a semiconductor where its name would be read otherwise, `device \"7805\"`"),
    bare(P::Value, "the value: farads, ohms, henries, or what the kind's value is"),
    bare(P::Current, "rated current"),
    bare(P::Volts, "rated voltage, DC"),
    bare(P::AcVolts, "rated voltage, AC"),
    bare(P::Power, "rated power"),
    bare(P::Frequency, "frequency"),
    bare(P::Resistance, "resistance, of a coil or winding"),
    bare(P::OtherQuantity, "any other rated quantity"),
    bare(P::Tolerance, "tolerance"),
    bare(P::FuseSpeed, "fuse speed, `FF F M T TT` as IEC 60127 letters them"),
    bare(P::MainsClass, "class of a mains capacitor, `X1 X2 Y1 Y2`"),
    bare(P::Package, "the package, `TO-92`, from the library of packages"),
    named(P::Package, Token::Package, T::Word, ANY_PART | PACKAGES, "the package, where its name would be read otherwise"),
    bare(P::Body, "body size in mm: diameter x height, or length x width x height"),
    bare(P::Pitch, "distance between the leads in mm, `p5`"),
    bare(P::Temperature, "highest rated temperature"),
    bare(P::Style, "how the leads leave the body"),
    bare(P::Taper, "how resistance follows travel"),
    bare(P::ShaftForm, "form of a control's shaft"),
    bare(P::Role, "what the part does in the circuit"),
    bare(P::Compensation, "sign of a thermistor, `NTC` or `PTC`"),
    bare(P::Material, "semiconductor material"),
    bare(P::Speed, "recovery class of a diode, from slow to fast"),
    named(P::Code, Token::Code, T::Word, PART | SHELF, "the code printed on the part, `code 104J`"),
    named(P::Marked, Token::Marked, T::Text, PART | SHELF, "anything else printed on the part"),
    named(P::Life, Token::Life, T::Value, ANY_PART | JOB, "rated life at the rated temperature; in a job, the life wanted"),
    named(P::Inside, Token::Inside, T::Value, JOB, "temperature inside the unit, for judging life"),
    named(P::Ripple, Token::Ripple, T::Value, ANY_PART | BOARD | TARGETS | LOG, "rated ripple current; on a rail, in a target or a reading, ripple voltage"),
    named(P::Esr, Token::Esr, T::Value, ANY_PART | LOG, "series resistance"),
    named(P::Leakage, Token::Leakage, T::Value, ANY_PART | LOG, "leakage current"),
    named(P::Leads, Token::Leads, T::Word, ANY_PART | PACKAGES, "order of the leads, `leads E-B-C`, or how many there are"),
    named(P::Row, Token::Row, T::Value, PACKAGES, "distance between the rows of a chip's pins"),
    named(P::Supply, Token::Supply, T::Value, ANY_PART, "supply voltage allowed, from rail to rail"),
    named(P::Bandwidth, Token::Bandwidth, T::Value, ANY_PART, "gain-bandwidth product"),
    named(P::Slew, Token::Slew, T::Value, ANY_PART, "slew rate"),
    named(P::Noise, Token::Noise, T::Value, ANY_PART, "input noise"),
    named(P::Recovery, Token::Recovery, T::Value, ANY_PART, "reverse recovery time"),
    named(P::Reverse, Token::Reverse, T::Value, ANY_PART, "highest reverse voltage"),
    named(P::Gain, Token::Gain, T::Value, ANY_PART | LOG, "current gain, a number or a range"),
    named(P::Vbe, Token::Vbe, T::Value, ANY_PART | LOG, "voltage from base to emitter"),
    named(P::Gangs, Token::Gangs, T::Value, ANY_PART, "how many sections turn together"),
    named(P::Travel, Token::Travel, T::Value, ANY_PART, "travel of a fader"),
    named(P::Shaft, Token::Shaft, T::Value, ANY_PART, "diameter of a control's shaft"),
    named(P::Room, Token::Room, T::Value, PART, "widest body that fits beside the neighbours"),
    named(P::Headroom, Token::Headroom, T::Value, MODEL | BOARD | PART, "clear height above the board"),
    named(P::Mains, Token::Mains, T::Value, MODEL, "mains voltage, and frequency beside it"),
    named(P::MainsPlace, Token::Mains, T::Word, PART, "position at the mains: `mains across`, `mains earth` or `mains live`"),
    bare(P::Feature, "a property that a single word says"),
    named(P::Unfitted, Token::Unfitted, T::Nothing, PART, "the maker left the place empty"),
    named(P::Matched, Token::Matched, T::WithNames, PART, "selected to be alike, `matched with Q2`"),
    named(P::Maker, Token::Maker, T::Text, ANY_PART | MODEL | LOG, "who made it"),
    named(P::Lot, Token::Lot, T::Text, SHELF | LOG, "the maker's lot or date code"),
    named(P::Sampled, Token::Sampled, T::Value, SHELF | LOG, "how many of the lot were tried under load"),
    named(P::Source, Token::Source, T::Text, ANY_PART | PACKAGES | BOARD | MODEL, "where the facts were read"),
    named(P::Have, Token::Have, T::Value, SHELF, "how many are in the drawer"),
    named(P::Coming, Token::Coming, T::Value, SHELF, "how many are ordered"),
    named(P::Spare, Token::Spare, T::Value, SHELF, "how many to order beyond the need"),
    named(P::Pack, Token::Pack, T::Value, SHELF, "sold in packs of this many"),
    bare(P::Price, "price from a quantity on, `10 at 1.72 EUR`"),
    named(P::Bin, Token::Bin, T::Word, SHELF, "drawer or bag"),
    named(P::Zone, Token::Zone, T::Word, PART, "the part of the board it sits in"),
    named(P::At, Token::At, T::Point, PART | LOG, "position of the body's middle in mm from the board's lower left corner"),
    named(P::Side, Token::SolderSide, T::Nothing, PART, "sits on the solder side"),
    bare(P::Orientation, "which way a lead lies, `+ east`"),
    named(P::Copper, Token::Copper, T::Word, BOARD, "`single-sided`, `double-sided` or `multilayer`, and `plated` or `unplated` holes"),
    bare(P::CopperForm, "whether the holes are plated"),
    named(P::Size, Token::Size, T::Size, BOARD, "size of the board in mm, width x depth"),
    named(P::Per, Token::Per, T::Word, BOARD | PART, "whose claim the part lines are, where it is not the schematic's"),
    named(P::Order, Token::Order, T::Word, PACKAGES, "an order of leads the package is sold with"),
    named(P::Revision, Token::Revision, T::Value, MODEL | JOB, "revision of the model sheet"),
    named(P::Built, Token::Built, T::Value, MODEL, "years of manufacture"),
    named(P::Model, Token::Model, T::Word, JOB, "the model sheet the job goes by"),
    named(P::Arrived, Token::Arrived, T::Value, JOB, "date the unit came in"),
    named(P::Serial, Token::Serial, T::Text, JOB, "serial number"),
    named(P::Owner, Token::Owner, T::Text, JOB, "whose unit it is"),
    named(P::Complaint, Token::Complaint, T::Text, JOB, "what is wrong, in the owner's words"),
    named(P::Agreed, Token::Agreed, T::Value, JOB, "money the owner approved"),
    named(P::On, Token::On, T::Value, JOB, "date of an approval"),
    named(P::Rate, Token::Rate, T::Value, JOB, "money for an hour of work"),
    named(P::Margin, Token::Margin, T::Value, JOB, "share of a rated voltage that may be used"),
    bare(P::Mounting, "two parts together, `in series` or `in parallel`"),
    named(P::Above, Token::Above, T::Value, TARGETS, "the reading has to be above"),
    named(P::Below, Token::Below, T::Value, TARGETS, "the reading has to be below"),
    named(P::Expect, Token::Expect, T::Word, TARGETS, "`expect solved`: the reading follows from the circuit"),
    bare(P::Condition, "how the reading is taken: `unpowered`, `cold`, `warm`"),
    named(P::Sides, Token::Both, T::Word, LOG, "`both sides`: done or read on both sides of the board"),
    named(P::Beep, Token::Beep, T::Nothing, LOG, "the two points sound to each other"),
    named(P::By, Token::By, T::Word, LOG, "initials of who did it"),
    named(P::Wire, Token::Wire, T::Value, LOG, "diameter of a jumper wire"),
    named(P::Because, Token::Because, T::Text, PART | PLAN | LOG | STEPS, "the reason"),
];

/// Words that are themselves the value of a property.
pub const CHOICES: &[(Token, Property, &str)] = &[
    (Token::Radial, P::Style, "both leads leave one end"),
    (Token::Axial, P::Style, "a lead leaves each end"),
    (
        Token::SnapIn,
        P::Style,
        "stiff tags that snap into the board",
    ),
    (Token::ScrewTerminal, P::Style, "screw terminals"),
    (Token::SurfaceMount, P::Style, "soldered flat on the board"),
    (
        Token::Upright,
        P::Style,
        "an axial part standing on one end",
    ),
    (Token::Linear, P::Taper, "resistance follows travel evenly"),
    (Token::Log, P::Taper, "resistance rises late, for loudness"),
    (Token::ReverseLog, P::Taper, "resistance rises early"),
    (Token::Splined, P::ShaftForm, "splined shaft"),
    (Token::Round, P::ShaftForm, "round shaft"),
    (Token::Flatted, P::ShaftForm, "shaft with a flat"),
    (Token::Slotted, P::ShaftForm, "shaft with a slot"),
    (Token::Reservoir, P::Role, "smooths the rectified mains"),
    (Token::Bypass, P::Role, "holds a rail still"),
    (Token::Coupling, P::Role, "passes signal, blocks DC"),
    (Token::Timing, P::Role, "sets a time or a frequency"),
    (Token::Filter, P::Role, "shapes the response"),
    (Token::Feedback, P::Role, "sits in a feedback path"),
    (Token::Ntc, P::Compensation, "resistance falls as it warms"),
    (Token::Ptc, P::Compensation, "resistance rises as it warms"),
    (Token::Germanium, P::Material, "germanium"),
    (Token::Silicon, P::Material, "silicon"),
    (
        Token::Standard,
        P::Speed,
        "standard recovery, for 50 and 60 Hz",
    ),
    (Token::Fast, P::Speed, "fast recovery"),
    (Token::Ultrafast, P::Speed, "ultrafast recovery"),
    (
        Token::Schottky,
        P::Speed,
        "schottky, no recovery to speak of",
    ),
    (Token::Signal, P::Speed, "small-signal switching diode"),
    (Token::Socketed, P::Feature, "sits in a socket"),
    (
        Token::Risky,
        P::Feature,
        "often counterfeited: wants a lot number or a sample",
    ),
    (Token::LowLeakage, P::Feature, "low-leakage type"),
    (Token::LowImpedance, P::Feature, "low-impedance type"),
    (Token::Latching, P::Feature, "stays as it was switched"),
    (Token::Plated, P::CopperForm, "plated holes"),
    (Token::Unplated, P::CopperForm, "bare holes"),
    (
        Token::Unpowered,
        P::Condition,
        "with the unit off and discharged",
    ),
    (Token::Cold, P::Condition, "just switched on"),
    (Token::Warm, P::Condition, "after warming up"),
];

/// Words that follow a property's name and mean something only there.
pub const ARGUMENTS: &[(Property, &[Token])] = &[
    (P::MainsPlace, &[Token::Across, Token::Earth, Token::Live]),
    (
        P::Copper,
        &[Token::SingleSided, Token::DoubleSided, Token::Multilayer],
    ),
    (
        P::Per,
        &[Token::Schematic, Token::List, Token::Silk, Token::Found],
    ),
    (P::Expect, &[Token::Solved]),
    (P::Sides, &[Token::Sides]),
];

/// The mains capacitor classes, as IEC 60384-14 names them. *From memory.*
pub const MAINS_CLASSES: &[&str] = &["X1", "X2", "X3", "Y1", "Y2", "Y3", "Y4"];

/// The fuse speeds, as IEC 60127 letters them, fastest first. *From memory.*
pub const FUSE_SPEEDS: &[&str] = &["FF", "F", "M", "T", "TT"];

impl Property {
    /// The place of the property in the one order.
    ///
    /// The variants are declared in the order of the table, which a test holds.
    pub fn order(self) -> usize {
        self as usize
    }

    /// The property a word such as `radial` belongs to.
    pub fn of_choice(token: Token) -> Option<Property> {
        static PROPERTY: LazyLock<[Option<Property>; Token::COUNT]> = LazyLock::new(|| {
            let mut table = [None; Token::COUNT];
            for (token, property, _) in CHOICES {
                table[*token as usize] = Some(*property);
            }
            table
        });
        PROPERTY[token as usize]
    }

    /// The property that a value without a name states, for a part of this kind.
    ///
    /// A voltage is a rated voltage except where the kind's own value is one.
    pub fn of_bare_value(value: &Value, kind: Option<Kind>) -> Option<Property> {
        let dimension = match value {
            Value::Quantity(quantity) => quantity.dimension,
            Value::Range { low, .. } => low.dimension,
            Value::Tolerance(_) => return Some(P::Tolerance),
            Value::Body(_) => return Some(P::Body),
            Value::Pitch(_) => return Some(P::Pitch),
            Value::Number(_) | Value::Unreadable => return Some(P::Value),
            Value::NumberRange { .. } | Value::Money(_) | Value::Date(_) | Value::Time(_) => {
                return None;
            }
        };
        if let Some(kind) = kind
            && kind.row().value == Some(dimension)
        {
            return Some(P::Value);
        }
        Some(match dimension {
            Dimension::Capacitance | Dimension::Inductance => P::Value,
            Dimension::Resistance if kind.is_none_or(|kind| kind.row().leads != LeadSet::Polar) => {
                if kind.is_some_and(|kind| kind.row().value.is_some()) {
                    P::Resistance
                } else {
                    P::Value
                }
            }
            Dimension::Resistance => P::Resistance,
            Dimension::Voltage => P::Volts,
            Dimension::AcVoltage => P::AcVolts,
            Dimension::Current => P::Current,
            Dimension::Power => P::Power,
            Dimension::Frequency => P::Frequency,
            Dimension::Temperature => P::Temperature,
            _ => P::OtherQuantity,
        })
    }
}

/// The row of the property that `token` introduces in `place`.
pub fn takes(token: Token, place: Place) -> Option<&'static PropertyRow> {
    static ROWS: LazyLock<Vec<[Option<u8>; Place::ALL.len()]>> = LazyLock::new(|| {
        let mut rows = vec![[None; Place::ALL.len()]; Token::COUNT];
        for (index, row) in PROPERTIES.iter().enumerate() {
            if let Some(token) = row.token {
                for place in Place::ALL
                    .into_iter()
                    .filter(|place| row.belongs_in(*place))
                {
                    rows[token as usize][place as usize].get_or_insert(index as u8);
                }
            }
        }
        rows
    });
    ROWS[token as usize][place as usize].map(|index| &PROPERTIES[index as usize])
}
