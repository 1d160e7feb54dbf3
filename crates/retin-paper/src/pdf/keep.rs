//! Which rows of a group stand together, so that no heading is left without its
//! first rows, and no last row or foot stands alone on the next page, nor what leads
//! on from a table.

use retin::sheets::document::Group;

/// How a row is kept.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Kept {
    /// How many rows stand together from this one on, the foot counted as one, and
    /// the tail, and the boxes below a row as well; 1 for this one alone, 0 where a row before it
    /// has taken it in.
    pub with_next: usize,
    /// Whether it is so long that it must be broken over two pages.
    pub is_long: bool,
}

/// How the rows of a group are kept on pages of this height, in millimetres.
/// `heights` gives how high each is, with the boxes below it; `tail` how much of what
/// follows has to stand with the last one, where it fits.
pub(super) fn group(group: &Group, heights: &[f64], tail: f64, page: f64) -> Vec<Kept> {
    let count = heights.len();
    let mut kept: Vec<Kept> = heights
        .iter()
        .map(|height| Kept {
            with_next: 1,
            is_long: *height > page * 0.6,
        })
        .collect();
    // What leads on may take more of a page: a row alone before it is worse.
    let most = page * 0.7;
    let has_tail = tail > 0.0 && heights.last().is_some_and(|it| it + tail <= most);
    let more = usize::from(group.foot.is_some()) + usize::from(has_tail);
    let fits = |rows: std::ops::Range<usize>| {
        let has_tail = has_tail && rows.end == count;
        let height = heights[rows].iter().sum::<f64>();
        if has_tail {
            height + tail <= most
        } else {
            height < page / 3.0
        }
    };
    // From the end: the last two rows with the foot and the tail; then the first two with the
    // heading, or all where there are no more than three.
    let last = if count <= 3 && fits(0..count) {
        0
    } else if count >= 2 && fits(count - 2..count) {
        count - 2
    } else {
        count.saturating_sub(1)
    };
    join(&mut kept, last, count, more);
    if last >= 2 && fits(0..2) {
        join(&mut kept, 0, 2, 0);
    }
    let below: Vec<usize> = group
        .rows
        .iter()
        .map(|row| usize::from(!row.below.is_empty()))
        .collect();
    for (index, kept) in kept.iter_mut().enumerate() {
        let end = (index + kept.with_next).min(count);
        kept.with_next += below[index..end].iter().sum::<usize>();
    }
    kept
}

/// Makes rows stand together, and `more` rows that follow them.
fn join(kept: &mut [Kept], from: usize, to: usize, more: usize) {
    let rows = &mut kept[from..to];
    if rows.iter().any(|row| row.is_long) {
        return;
    }
    for row in rows.iter_mut() {
        row.with_next = 0;
    }
    if let Some(first) = rows.first_mut() {
        first.with_next = to - from + more;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use retin::sheets::document::{Row, Words};

    fn kept(rows: usize, has_foot: bool, tail: f64) -> Vec<usize> {
        let group_of = Group {
            rows: vec![
                Row {
                    cells: vec!["psu.C1".into()],
                    is_done: false,
                    ..Row::default()
                };
                rows
            ],
            foot: has_foot.then(|| Words::plain("left: 7")),
            ..Group::default()
        };
        let kept = group(&group_of, &vec![6.8; rows], tail, 240.0);
        kept.iter().map(|kept| kept.with_next).collect()
    }

    #[test]
    fn first_and_last_rows_stand_in_twos() {
        assert_eq!(kept(7, true, 0.0), [2, 0, 1, 1, 1, 3, 0]);
        assert_eq!(kept(4, false, 0.0), [2, 0, 2, 0]);
        assert_eq!(kept(3, true, 0.0), [4, 0, 0]);
        assert_eq!(kept(1, true, 0.0), [2]);
        assert!(kept(0, true, 0.0).is_empty());
    }

    #[test]
    fn what_leads_on_stands_with_the_last_rows_where_it_fits() {
        assert_eq!(kept(4, false, 12.0), [2, 0, 3, 0]);
        assert_eq!(kept(1, true, 12.0), [3]);
        assert_eq!(kept(4, false, 70.0), [2, 0, 3, 0]);
        // Too much for two rows with it, and for one.
        assert_eq!(kept(4, false, 160.0), [2, 0, 1, 2]);
        assert_eq!(kept(4, false, 200.0), [2, 0, 2, 0]);
        assert!(kept(0, false, 12.0).is_empty());
    }

    #[test]
    fn a_row_longer_than_a_page_is_let_go() {
        let long = Group {
            rows: vec![Row {
                cells: vec!["word".into()],
                ..Row::default()
            }],
            foot: Some(Words::plain("left: 1")),
            ..Group::default()
        };
        assert_eq!(
            group(&long, &[300.0], 12.0, 240.0),
            [Kept {
                with_next: 1,
                is_long: true
            }]
        );
    }
}
