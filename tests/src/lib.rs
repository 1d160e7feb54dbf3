//! Shared helpers of the workspace-wide tests.

pub mod published;
pub mod python;
