//! The photographs that a sheet shows, read from the workspace.

use crate::version::{Place, Version};
use std::fs;
use std::path::{Component, Path};

/// Largest photograph that is read, in bytes.
const MOST_BYTES: u64 = 32 << 20;

/// The photograph at this path from the workspace's root; none where there is none,
/// it lies outside, or it is too large. One that only git has is not looked for.
pub(super) fn read(versions: &[Version], path: &str) -> Option<Vec<u8>> {
    let is_inside = Path::new(path)
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    if !is_inside {
        return None;
    }
    versions.iter().find_map(|version| {
        let Place::Disk { root, .. } = &version.place else {
            return None;
        };
        let file = root.join(path).canonicalize().ok()?;
        let is_small = fs::metadata(&file).ok()?.len() <= MOST_BYTES;
        if !is_small || !file.starts_with(root) {
            return None;
        }
        fs::read(file).ok()
    })
}
