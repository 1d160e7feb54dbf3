//! Shared helpers of the workspace-wide tests.

pub mod command;
pub mod generate;
pub mod published;
pub mod python;
pub mod whole_job;
