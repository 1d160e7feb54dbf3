//! Where comments go.

use super::physical::{Content, Physical};
use crate::tree::{LineId, Tree};

/// The line that each comment on a line of its own is indented like.
///
/// A comment belongs to the line that follows. One that is typed deeper than
/// that line closes the block before it, and belongs to the deepest line of
/// that block that is not deeper than the comment.
pub(super) fn companions(
    tree: &Tree,
    levels: &[u32],
    physical: &[Physical],
) -> Vec<Option<LineId>> {
    let mut companions = vec![None; physical.len()];
    // The line before with all it belongs to, outermost first.
    let mut chain: Vec<LineId> = Vec::new();
    let mut next = 0;
    for (index, line) in physical.iter().enumerate() {
        match line.content {
            Content::Blank => {}
            Content::Record(id) => {
                chain.truncate(levels[id.index()] as usize);
                chain.push(id);
                next = id.index() + 1;
            }
            Content::Comment { indent, .. } => {
                let follows = tree.lines.get(next).map(|_| LineId(next as u32));
                companions[index] = companion(tree, levels, &chain, follows, indent);
            }
        }
    }
    companions
}

fn companion(
    tree: &Tree,
    levels: &[u32],
    chain: &[LineId],
    follows: Option<LineId>,
    indent: u32,
) -> Option<LineId> {
    // The lines that end where `follows` begins.
    let closed = match follows {
        Some(next) if indent <= tree.line(next).indent => return follows,
        Some(next) => chain
            .get(levels[next.index()] as usize + 1..)
            .unwrap_or_default(),
        None => chain,
    };
    let reached = closed.partition_point(|id| tree.line(*id).indent <= indent);
    reached
        .checked_sub(1)
        .and_then(|at| closed.get(at).copied())
        .or(follows)
        .or(chain.first().copied())
}

/// How much further right than the shortest line of a run a comment may be pushed.
const SPREAD: u32 = 24;

/// The columns of the comments that stand behind the lines of a run, given
/// the widths of the lines: one column for all, but for lines much longer than
/// the shortest.
pub(super) fn trailing_column(widths: &[u32]) -> u32 {
    let shortest = widths.iter().min().copied().unwrap_or(0);
    let longest = widths
        .iter()
        .filter(|width| **width <= shortest + SPREAD)
        .max();
    longest.map_or(0, |width| width + 2)
}
