//! Shared helpers of the workspace-wide tests.
