//! What to do when a reading is out of its limits. All of it is *common
//! practice, no source*; none of it calls anything safe.

use super::Section;

/// What to do, first things first.
pub(super) fn of(section: Section) -> &'static [&'static str] {
    match section {
        Section::Ground => &[
            "do not give it power",
            "wait until the reading stands still: the meter charges the reservoirs first",
            "read it both ways round; low one way only is a junction, low both ways is a short",
            "look for a solder bridge, a part the wrong way round, a tantalum or a rectifier that is a short",
            "take the boards off the rail one by one, and read it again after each",
        ],
        Section::Power => &[
            "switch off: the lamp stays bright, the current stands above its limit, or something smells or warms",
            "empty the reservoirs before you touch anything",
            "look for what is warm, for a part the wrong way round, and for the rectifier",
            "go back to the resistance to ground",
        ],
        Section::Rails => &[
            "switch off before anything else is plugged to it",
            "none at all: the fuse, the transformer's winding, the rectifier, a wire left off",
            "too low: what comes before the regulator, then what the rail feeds",
            "too high: the regulator's common lead, its reference, a pass transistor that is a short",
        ],
        Section::Offsets => &[
            "switch off",
            "read the chip's own supply pins first; one missing puts its output hard over",
            "then the coupling capacitor before it: the wrong way round, or leaking",
            "then the chip: exchange it with its neighbour's, and see whether the offset goes with it",
        ],
        Section::Ripple => &[
            "at twice the mains frequency: the reservoir, or what draws too much from it",
            "at the mains frequency itself: half of the rectifier does not conduct",
            "higher: a bypass capacitor that is missing or dry, or a stage that oscillates",
            "read it again with the probe's ground at the rail's own ground",
        ],
        Section::Bias => &[
            "switch off when a current stands above its limit; nothing there gets better by waiting",
            "a trimmer starts at the end where the current is least",
            "read it again once it is warm: what is set cold drifts",
            "compare with a sister board; what differs there is the way to the cause",
        ],
        Section::Signal => &[
            "follow the signal from the input, stage by stage, and find the first that is wrong",
            "compare each stage with a sister board",
            "a stage that hums or crackles: its ground, its coupling capacitor, its joints",
        ],
    }
}
