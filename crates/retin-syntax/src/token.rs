//! The tokens of a line, and the one list of reserved words.
//!
//! Every reserved word of the language is a row here and nowhere else: the
//! lexer, the parser, completion, the reference and the editor grammars read
//! this list or are tested against it. What a word may be used for (a kind, a
//! property, a verb) is said in [`crate::tables`].

use logos::Logos;

macro_rules! tokens {
    ($( $name:ident $text:literal, )*) => {
        /// What one token is. Tokens carry no text: the span does.
        #[derive(Logos, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug)]
        #[logos(skip r"[ \t]+")]
        #[repr(u16)]
        pub enum Token {
            /// A word that is neither reserved nor shaped like a number.
            #[regex(r#"[^\s,()"\x00-\x1f\x7f]+"#, priority = 1)]
            Word,
            /// A word that begins like a number, `10uF`, `+15`, `±5%`, `.01`, or is `?`.
            #[regex(r#"[+\-±]*\.?[0-9][^\s,()"\x00-\x1f\x7f]*"#, priority = 3)]
            #[token("?", priority = 9)]
            Number,
            /// A word that is a unit or a currency standing alone, as in `10 µF`.
            Unit,
            /// Text in double quotes.
            #[regex(r#""[^"\n\r]*""#)]
            Text,
            /// A double quote that is not closed on its line.
            #[regex(r#""[^"\n\r]*"#, priority = 2)]
            OpenText,
            /// From `#` to the end of the line.
            #[regex(r"#[^\n\r]*", priority = 5, allow_greedy = true)]
            Comment,
            /// From a leading `|` to the end of the line.
            #[regex(r"\|[^\n\r]*", priority = 5, allow_greedy = true)]
            Prose,
            /// `,`
            #[token(",")]
            Comma,
            /// `(`
            #[token("(")]
            Open,
            /// `)`
            #[token(")")]
            Close,
            /// The end of a line.
            #[regex(r"\r?\n|\r")]
            Newline,
            /// A character that no line may contain.
            Stray,
            $(
                #[doc = concat!("`", $text, "`")]
                #[token($text, priority = 20)]
                $name,
            )*
        }

        /// Every reserved word with its token, in the order of the list.
        pub const RESERVED: &[(&str, Token)] = &[ $( ($text, Token::$name), )* ];

        impl Token {
            /// How many different tokens there are, for tables that are indexed by one.
            pub const COUNT: usize = Token::Stray as usize + 1 + RESERVED.len();

            /// The spelling of a reserved word.
            pub fn reserved_text(self) -> Option<&'static str> {
                match self {
                    $( Token::$name => Some($text), )*
                    _ => None,
                }
            }
        }
    };
}

tokens! {
    // Headings.
    Use "use",
    Model "model",
    Board "board",
    Wiring "wiring",
    Link "link",
    Shelf "shelf",
    Packages "packages",
    Devices "devices",
    Job "job",
    Found "found",
    Plan "plan",
    Steps "steps",
    Targets "targets",
    Log "log",

    // Kinds of part.
    Electrolytic "electrolytic",
    Bipolar "bipolar",
    Tantalum "tantalum",
    Polymer "polymer",
    Film "film",
    Paper "paper",
    Ceramic "ceramic",
    Mica "mica",
    MainsCapacitor "mains-capacitor",
    TrimmerCapacitor "trimmer-capacitor",
    Resistor "resistor",
    Network "network",
    Thermistor "thermistor",
    Varistor "varistor",
    Pot "pot",
    Trimmer "trimmer",
    Fader "fader",
    Inductor "inductor",
    Transformer "transformer",
    Diode "diode",
    Zener "zener",
    Bridge "bridge",
    Led "led",
    Npn "npn",
    Pnp "pnp",
    NJfet "n-jfet",
    PJfet "p-jfet",
    NMosfet "n-mosfet",
    PMosfet "p-mosfet",
    Thyristor "thyristor",
    Triac "triac",
    Opamp "opamp",
    Logic "logic",
    Regulator "regulator",
    NegativeRegulator "negative-regulator",
    Optocoupler "optocoupler",
    Chip "chip",
    Valve "valve",
    Relay "relay",
    Switch "switch",
    Connector "connector",
    Socket "socket",
    Fuse "fuse",
    Lamp "lamp",
    Battery "battery",
    Crystal "crystal",
    Motor "motor",
    Loudspeaker "loudspeaker",
    Movement "movement",

    // Families of kinds, for selectors.
    Capacitor "capacitor",
    Control "control",
    Semiconductor "semiconductor",
    Transistor "transistor",
    IntegratedCircuit "integrated-circuit",
    Part "part",

    // Properties that are written with their name.
    Revision "revision",
    Built "built",
    Mains "mains",
    Maker "maker",
    Headroom "headroom",
    Changed "changed",
    Copper "copper",
    Size "size",
    Per "per",
    Rail "rail",
    Net "net",
    Zone "zone",
    Joints "joints",
    As "as",
    Life "life",
    Ripple "ripple",
    Esr "esr",
    Leakage "leakage",
    Code "code",
    Marked "marked",
    Device "device",
    Package "package",
    Leads "leads",
    Gangs "gangs",
    Travel "travel",
    Shaft "shaft",
    Matched "matched",
    Room "room",
    Row "row",
    Supply "supply",
    Bandwidth "bandwidth",
    Slew "slew",
    Noise "noise",
    Recovery "recovery",
    Reverse "reverse",
    Gain "gain",
    Vbe "vbe",
    Source "source",
    Have "have",
    Coming "coming",
    Spare "spare",
    Pack "pack",
    Lot "lot",
    Sampled "sampled",
    Bin "bin",
    At "at",
    Section "section",
    Arrived "arrived",
    Serial "serial",
    Owner "owner",
    Complaint "complaint",
    Agreed "agreed",
    Rate "rate",
    Margin "margin",
    Inside "inside",
    Order "order",

    // Words that are themselves a property's value.
    Radial "radial",
    Axial "axial",
    SnapIn "snap-in",
    ScrewTerminal "screw-terminal",
    SurfaceMount "surface-mount",
    Upright "upright",
    Linear "linear",
    ReverseLog "reverse-log",
    Reservoir "reservoir",
    Bypass "bypass",
    Coupling "coupling",
    Timing "timing",
    Filter "filter",
    Feedback "feedback",
    SingleSided "single-sided",
    DoubleSided "double-sided",
    Multilayer "multilayer",
    Plated "plated",
    Unplated "unplated",
    Splined "splined",
    Round "round",
    Flatted "flatted",
    Slotted "slotted",
    Standard "standard",
    Fast "fast",
    Ultrafast "ultrafast",
    Schottky "schottky",
    Signal "signal",
    Germanium "germanium",
    Silicon "silicon",
    Across "across",
    Earth "earth",
    Live "live",
    Unfitted "unfitted",
    Socketed "socketed",
    Risky "risky",
    LowLeakage "low-leakage",
    LowImpedance "low-impedance",
    SolderSide "solder-side",
    Ntc "NTC",
    Ptc "PTC",
    Latching "latching",

    // Sources of a claim.
    Schematic "schematic",
    List "list",
    Silk "silk",
    Meter "meter",
    Beep "beep",
    Go "go",
    By "by",

    // Plans.
    Replace "replace",
    Add "add",
    Remove "remove",
    Keep "keep",
    Leave "leave",
    Absent "absent",
    Accept "accept",
    For "for",
    Place "place",
    Every "every",
    Everything "everything",
    From "from",
    With "with",
    And "and",
    In "in",
    Of "of",
    Series "series",
    Parallel "parallel",
    On "on",
    Except "except",
    Because "because",
    To "to",
    After "after",

    // Steps.
    Photograph "photograph",
    Discharge "discharge",
    Clean "clean",
    Repair "repair",
    Fit "fit",
    Solder "solder",
    Inspect "inspect",
    Measure "measure",
    Power "power",
    Adjust "adjust",
    Test "test",
    Caution "caution",

    // Targets.
    Above "above",
    Below "below",
    Expect "expect",
    Solved "solved",
    Unpowered "unpowered",
    Cold "cold",
    Warm "warm",

    // The log.
    Next "next",
    Day "day",
    Removed "removed",
    Fitted "fitted",
    Measured "measured",
    Damaged "damaged",
    Repaired "repaired",
    Cleaned "cleaned",
    Powered "powered",
    Inspected "inspected",
    Adjusted "adjusted",
    Photographed "photographed",
    Approved "approved",
    Ordered "ordered",
    Discharged "discharged",
    Tested "tested",
    Soldered "soldered",
    Noted "noted",
    Corrected "corrected",
    Returned "returned",
    Wire "wire",
    Both "both",
    Sides "sides",

    // Directions on a board, as its component side is looked at.
    North "north",
    South "south",
    East "east",
    West "west",
    NorthEast "north-east",
    NorthWest "north-west",
    SouthEast "south-east",
    SouthWest "south-west",
}

impl Token {
    /// Whether the token is a word that a name may be spelled with.
    pub fn is_wordlike(self) -> bool {
        !matches!(
            self,
            Token::OpenText
                | Token::Comment
                | Token::Prose
                | Token::Comma
                | Token::Open
                | Token::Close
                | Token::Newline
                | Token::Stray
        )
    }
}
