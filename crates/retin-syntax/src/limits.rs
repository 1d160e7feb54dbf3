//! How large things may get. The reference lists these limits.

/// Largest file, in bytes.
pub const FILE_BYTES: usize = 16 * 1024 * 1024;

/// Longest line, in bytes.
pub const LINE_BYTES: usize = 4096;

/// Deepest nesting of lines.
pub const DEPTH: usize = 8;

/// Longest chain of files that use one another.
pub const USE_DEPTH: usize = 32;

/// Most names that one range may stand for.
pub const RANGE_MEMBERS: usize = 10_000;
