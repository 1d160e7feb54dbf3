//! The physics of ageing parts and of repairs: small pure functions.
//!
//! One topic a file. Every function states its units in its types, its source
//! and where it stops being valid; outside of that it answers
//! [`units::OutOfValidity`], never a wrong number. [`catalogue`] lists what the
//! command line and the editor can offer.

pub mod asking;
pub mod case_pitch;
pub mod catalogue;
pub mod corner;
pub mod decibel;
pub mod discharge;
pub mod electrolytic_life;
pub mod end_of_life;
pub mod leakage;
pub mod loss_factor;
pub mod opamp_offset;
pub mod preferred;
pub mod reform;
pub mod regulator;
pub mod resistor;
pub mod ripple;
pub mod slew;
pub mod substitute;
pub mod timing;
pub mod tolerance;
pub mod trace;
pub mod units;
pub mod voltage_limits;
pub mod wire;

#[cfg(test)]
mod laws;
