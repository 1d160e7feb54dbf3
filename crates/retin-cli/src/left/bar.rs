//! A bar that shows how much is done. Its numbers stand beside it, so that it
//! says nothing that is not read as well.

/// Narrowest and widest bar, in characters.
const LEAST: usize = 8;
const MOST: usize = 24;

/// How wide a bar may be beside texts of this width; none where there is no room.
pub(super) fn width(terminal: usize, texts: usize) -> Option<usize> {
    let room = terminal.saturating_sub(texts);
    (room >= LEAST).then_some(room.min(MOST))
}

/// A bar. It is full only where everything is done, and empty only where nothing is.
pub(super) fn bar(width: usize, done: usize, all: usize, is_plain: bool) -> String {
    let (full, empty) = if is_plain { ('#', '.') } else { ('█', '░') };
    let filled = if done >= all {
        width
    } else if done == 0 {
        0
    } else {
        (width * done / all).clamp(1, width.saturating_sub(1))
    };
    std::iter::repeat_n(full, filled)
        .chain(std::iter::repeat_n(empty, width - filled))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_full_only_where_everything_is_done() {
        assert_eq!(bar(10, 0, 40, true), "..........");
        assert_eq!(bar(10, 1, 40, true), "#.........");
        assert_eq!(bar(10, 20, 40, true), "#####.....");
        assert_eq!(bar(10, 39, 40, true), "#########.");
        assert_eq!(bar(10, 40, 40, true), "##########");
        assert_eq!(bar(8, 3, 8, false), "███░░░░░");
    }

    #[test]
    fn a_bar_takes_the_room_there_is() {
        assert_eq!(width(80, 40), Some(24));
        assert_eq!(width(52, 40), Some(12));
        assert_eq!(width(45, 40), None);
        assert_eq!(width(20, 40), None);
    }
}
