//! The physics against values printed by others: one file a source, named there
//! with its mark.

mod physics {
    pub mod astable_555_page;
    pub mod astm_b258;
    pub mod bad_examples;
    pub mod cirris;
    pub mod cornell_dubilier;
    pub mod dijia;
    pub mod discharge_pages;
    pub mod electrolytic_databook;
    pub mod eseries_manual;
    pub mod esr_arithmetic;
    pub mod fairchild_ka317;
    pub mod floyd;
    pub mod funktion_one;
    pub mod grob;
    pub mod hobby_reforming;
    pub mod hyperphysics;
    pub mod ipc2221;
    pub mod ipc2221_arithmetic;
    pub mod jianghai;
    pub mod keltron;
    pub mod kemet_esl;
    pub mod kendeil;
    pub mod lelon_rga;
    pub mod lessons_circuits;
    pub mod lessons_wire;
    pub mod life_arithmetic;
    pub mod lm317_pages;
    pub mod malvino;
    pub mod ness_engineering;
    pub mod nptel;
    pub mod openstax;
    pub mod panasonic;
    pub mod pcdandf;
    pub mod rc_filter_page;
    pub mod regulator_sheets;
    pub mod rftools;
    pub mod ripple_pages;
    pub mod rubycon;
    pub mod samwha_sd;
    pub mod slew_textbooks;
    pub mod ti_ne555;
    pub mod touch_voltages;
    pub mod uliengineering;
    pub mod vishay_515d;
    pub mod vk6fh_decibels;
    pub mod wire_arithmetic;
}

use retin_tests::published::{Mark, Source};

fn sources() -> Vec<Source> {
    use physics::*;
    vec![
        astable_555_page::source(),
        astm_b258::source(),
        cirris::source(),
        cornell_dubilier::source(),
        dijia::source(),
        discharge_pages::source(),
        electrolytic_databook::source(),
        eseries_manual::source(),
        esr_arithmetic::source(),
        fairchild_ka317::source(),
        floyd::source(),
        funktion_one::source(),
        grob::source(),
        hobby_reforming::source(),
        hyperphysics::source(),
        ipc2221::source(),
        ipc2221_arithmetic::source(),
        jianghai::source(),
        keltron::source(),
        kemet_esl::source(),
        kendeil::source(),
        lelon_rga::source(),
        lessons_circuits::source(),
        lessons_wire::source(),
        life_arithmetic::source(),
        lm317_pages::source(),
        malvino::source(),
        ness_engineering::source(),
        nptel::source(),
        openstax::source(),
        panasonic::source(),
        pcdandf::source(),
        rc_filter_page::source(),
        regulator_sheets::source(),
        rftools::source(),
        ripple_pages::source(),
        rubycon::source(),
        samwha_sd::source(),
        slew_textbooks::source(),
        ti_ne555::source(),
        touch_voltages::keithley(),
        touch_voltages::osha(),
        touch_voltages::hse(),
        touch_voltages::ul_solutions(),
        uliengineering::source(),
        vishay_515d::source(),
        vk6fh_decibels::source(),
        wire_arithmetic::source(),
    ]
}

#[test]
fn every_printed_value_is_met() {
    let mut missed = Vec::new();
    for source in sources() {
        for check in &source.checks {
            if !check.holds() {
                missed.push(format!(
                    "{}: {}: printed {}, computed {:?}",
                    source.name, check.what, check.printed, check.computed
                ));
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn nothing_is_asserted_from_memory() {
    for source in sources() {
        assert_ne!(source.mark, Mark::FromMemory, "{}", source.name);
        assert!(!source.checks.is_empty(), "{}", source.name);
    }
}

#[test]
fn checks_and_sources_are_counted() {
    let sources = sources();
    let count = |mark: Mark| {
        let of_mark = sources.iter().filter(|source| source.mark == mark);
        let checks: usize = of_mark.clone().map(|source| source.checks.len()).sum();
        (of_mark.count(), checks)
    };
    // Sources and check values by mark; a change here is to be made on purpose.
    assert_eq!(
        [
            count(Mark::Published),
            count(Mark::Reported),
            count(Mark::Computed),
            count(Mark::CommonPractice),
        ],
        [(23, 491), (19, 91), (5, 50), (1, 2)]
    );
    let checks: usize = sources.iter().map(|source| source.checks.len()).sum();
    assert!(sources.len() >= 18 && checks >= 150);
    let mut names: Vec<_> = sources.iter().map(|source| source.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), sources.len(), "a source stands twice");
}
