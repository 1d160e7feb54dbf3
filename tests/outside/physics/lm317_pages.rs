//! LM317 resistors worked on public pages (reported): circuit-innovations.co.uk,
//! electro-tech-online.com, smpstroubleshooting.com, learningaboutelectronics.com.

use retin::physics::regulator::r2_for;
use retin::physics::units::{Amps, Ohms, Volts};
use retin_tests::published::{Check, Mark, Source, Within};

pub fn source() -> Source {
    Source {
        name: "LM317 examples on public pages",
        mark: Mark::Reported,
        checks: vec![
            Check::of(
                "8.5 V with 220 Ω, ohms",
                1276.0,
                Within::LastDigit(1.0),
                || Ok(r2_for(Volts::new(8.5)?, Ohms::new(220.0)?, Amps::new(0.0)?)?.get()),
            ),
            Check::of(
                "12 V with 240 Ω, ohms",
                2064.0,
                Within::LastDigit(1.0),
                || Ok(r2_for(Volts::new(12.0)?, Ohms::new(240.0)?, Amps::new(0.0)?)?.get()),
            ),
            Check::of(
                "15 V by R2 = 192·V − 240, ohms",
                2640.0,
                Within::LastDigit(1.0),
                || Ok(r2_for(Volts::new(15.0)?, Ohms::new(240.0)?, Amps::new(0.0)?)?.get()),
            ),
            Check::of(
                "5 V with 240 Ω, ohms",
                720.0,
                Within::LastDigit(1.0),
                || Ok(r2_for(Volts::new(5.0)?, Ohms::new(240.0)?, Amps::new(0.0)?)?.get()),
            ),
        ],
    }
}
