//! What may be asked of every sheet.

use crate::shop::Spares;

/// What may be asked of every sheet.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Settings {
    /// The paper.
    pub paper: Paper,
    /// Whether in big print.
    pub is_big: bool,
    /// What is wanted on it.
    pub wanted: Wanted,
    /// How the places of a step are sorted and grouped; none leaves it to the step.
    pub sort: Option<Sort>,
    /// How many parts to order beyond the need; none leaves it to the shelf.
    pub spares: Option<Spares>,
    /// How label sheets are cut, by its name in [`super::labels::CUTS`]; none
    /// takes the first cut of the paper.
    pub cut: Option<String>,
    /// How many labels of the first sheet are used already.
    pub used: usize,
}

/// A size of paper.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum Paper {
    /// ISO 216: 210 mm by 297 mm.
    #[default]
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

impl Paper {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }

    /// Width and height in millimetres, upright. ISO 216; ANSI/ASME Y14.1 size A.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }
}

/// What is wanted on a sheet, as it was asked for. An empty list wants
/// everything; several entries of one list want any of them, and several lists
/// want all of them at once. [`super::choice::Choice`] looks the names up.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Wanted {
    /// Names of steps.
    pub steps: Vec<String>,
    /// Names of boards or of their copies, ranges among them: `ch1..ch4`.
    pub boards: Vec<String>,
    /// Names of zones.
    pub zones: Vec<String>,
    /// Kinds of parts or families of kinds: `electrolytic`, `capacitor`.
    pub kinds: Vec<String>,
    /// Values, types, or names of shelf entries: `10uF`, `TL072`, `E-10-50`.
    pub values: Vec<String>,
}

impl Wanted {
    /// Whether everything is wanted.
    pub fn is_everything(&self) -> bool {
        self.lists().iter().all(|(_, list)| list.is_empty())
    }

    /// What was asked for in words: "board psu, kind electrolytic"; empty where
    /// everything is wanted. It stands on a sheet that does not show all.
    pub fn in_words(&self) -> String {
        let lists = self
            .lists()
            .into_iter()
            .filter(|(_, list)| !list.is_empty());
        let words = lists.map(|(what, list)| format!("{what} {}", list.join(" or ")));
        words.collect::<Vec<_>>().join(", ")
    }

    fn lists(&self) -> [(&'static str, &[String]); 5] {
        [
            ("step", &self.steps),
            ("board", &self.boards),
            ("zone", &self.zones),
            ("kind", &self.kinds),
            ("value", &self.values),
        ]
    }
}

/// What the places of a step are sorted and grouped by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sort {
    /// By what is in one bag, low bodies before tall ones.
    Value,
    /// By board.
    Board,
    /// By board and zone.
    Zone,
    /// By the height of the body, low ones first.
    Height,
    /// By name.
    Reference,
}

impl Sort {
    /// Every way, in the order above.
    pub const ALL: [Sort; 5] = [
        Sort::Value,
        Sort::Board,
        Sort::Zone,
        Sort::Height,
        Sort::Reference,
    ];

    /// Its name on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Sort::Value => "value",
            Sort::Board => "board",
            Sort::Zone => "zone",
            Sort::Height => "height",
            Sort::Reference => "reference",
        }
    }

    /// What it does, in one line.
    pub const fn says(self) -> &'static str {
        match self {
            Sort::Value => "all of one bag together, low bodies before tall ones",
            Sort::Board => "board by board",
            Sort::Zone => "board by board, zone by zone",
            Sort::Height => "low bodies before tall ones",
            Sort::Reference => "by name, C2 before C10",
        }
    }
}
