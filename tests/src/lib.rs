//! Shared helpers of the workspace-wide tests.

pub mod command;
pub mod derive;
pub mod ebnf;
pub mod generate;
pub mod nasty;
pub mod published;
pub mod python;
pub mod specimen;
pub mod whole_job;
