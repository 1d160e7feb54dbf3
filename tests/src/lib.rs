//! Shared helpers of the workspace-wide tests.

pub mod published;
