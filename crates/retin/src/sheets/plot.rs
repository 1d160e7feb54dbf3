//! Small plots: rows of marks over one axis, in black and white, each row with its
//! name on the left and its figures on the right. Every text has its own room, so
//! that none lies over another.

use super::drawing::{Anchor, Drawing, Look, Point, Shape};
use super::width::width;

/// Rows of marks over one axis.
#[derive(Clone, PartialEq, Debug)]
pub struct RowPlot {
    /// What it shows, in a sentence.
    pub says: String,
    /// What each sign stands for; only signs that are in a row are explained.
    pub legend: Vec<(Sign, &'static str)>,
    /// The axis.
    pub axis: Axis,
    /// The rows, from the top.
    pub rows: Vec<PlotRow>,
}

/// The axis below the rows.
#[derive(Clone, PartialEq, Debug)]
pub struct Axis {
    /// What it measures, with its unit.
    pub label: String,
    /// Its left end.
    pub low: f64,
    /// Its right end.
    pub high: f64,
    /// Where it is marked, and with what; a mark that has no room is left without.
    pub ticks: Vec<(f64, String)>,
}

/// A row.
#[derive(Clone, PartialEq, Debug)]
pub struct PlotRow {
    /// Its name, on the left.
    pub name: String,
    /// Its figures, on the right.
    pub figures: String,
    /// Its marks.
    pub marks: Vec<(f64, Sign)>,
    /// Its limits, where it has some; they are drawn as broken lines.
    pub limits: [Option<f64>; 2],
}

/// The form of a mark. No two are told apart by size or shade alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sign {
    /// An open square.
    Square,
    /// An open circle.
    Ring,
    /// A full circle.
    Disc,
}

/// How large a plot is drawn, in millimetres.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Size {
    /// How wide it is.
    pub width: f64,
    /// The most that it may be high; rows beyond go into further plots.
    pub height: f64,
    /// The size of its text.
    pub text: f64,
}

/// From one line of text to the next, in parts of its size.
const LEADING: f64 = 1.3;
/// How much room names on the left take at most, in parts of the width.
const NAMES: f64 = 0.30;
/// How much room figures on the right take at most, in parts of the width.
const FIGURES: f64 = 0.33;
/// Lines of shapes, in millimetres.
const THIN: f64 = 0.15;
const LINE: f64 = 0.25;

/// Draws a plot: as several drawings where its rows have no room on one.
pub fn draw(plot: &RowPlot, size: Size) -> Vec<Drawing> {
    let frame = Frame::of(plot, size);
    let room = size.height - frame.top - frame.below(plot);
    let mut drawings = Vec::new();
    let mut first = 0;
    while first < plot.rows.len() {
        let mut end = first;
        let mut high = 0.0;
        while end < plot.rows.len() && (end == first || high + frame.high(end) <= room) {
            high += frame.high(end);
            end += 1;
        }
        drawings.push(frame.draw(plot, first..end));
        first = end;
    }
    drawings
}

/// Where everything stands.
struct Frame {
    size: Size,
    /// Where the axis begins and ends.
    left: f64,
    right: f64,
    /// Where the rows begin.
    top: f64,
    names: Vec<Vec<String>>,
    figures: Vec<Vec<String>>,
    legend: Vec<(f64, f64, Sign, &'static str)>,
    label: Vec<String>,
}

impl Frame {
    fn of(plot: &RowPlot, size: Size) -> Frame {
        let text = size.text;
        let wrapped = |say: &dyn Fn(&PlotRow) -> String, share: f64| -> Vec<Vec<String>> {
            plot.rows
                .iter()
                .map(|row| wrap(&say(row), size.width * share, text))
                .collect()
        };
        let names = wrapped(&|row| row.name.clone(), NAMES);
        let figures = wrapped(&|row| row.figures.clone(), FIGURES);
        let widest = |columns: &[Vec<String>]| {
            let lines = columns.iter().flatten();
            lines.fold(0.0_f64, |most, line| most.max(width(line, false, text)))
        };
        let gap = text;
        let (left, right) = (
            widest(&names) + 1.5 * gap,
            size.width - widest(&figures) - 1.5 * gap,
        );
        let mut legend = Vec::new();
        let (mut x, mut y) = (0.0, text);
        for (sign, words) in &plot.legend {
            let is_used = plot
                .rows
                .iter()
                .any(|row| row.marks.iter().any(|mark| mark.1 == *sign));
            if !is_used {
                continue;
            }
            let wide = 1.5 * text + width(words, false, text) + 2.0 * gap;
            if x > 0.0 && x + wide > size.width {
                x = 0.0;
                y += LEADING * text;
            }
            legend.push((x, y, *sign, *words));
            x += wide;
        }
        Frame {
            size,
            left,
            right,
            top: if legend.is_empty() {
                0.5 * text
            } else {
                y + text
            },
            names,
            figures,
            legend,
            label: wrap(&plot.axis.label, size.width, text),
        }
    }

    /// How high a row is.
    fn high(&self, row: usize) -> f64 {
        let lines = self.names[row].len().max(self.figures[row].len()).max(1);
        (lines as f64 * LEADING + 0.4) * self.size.text
    }

    /// How much room the axis takes below the rows.
    fn below(&self, plot: &RowPlot) -> f64 {
        let ticks = if plot.axis.ticks.is_empty() { 0.0 } else { 1.0 };
        (ticks + self.label.len() as f64) * LEADING * self.size.text + 1.2 * self.size.text
    }

    /// Where a value stands across; what lies outside stands at the end.
    fn across(&self, axis: &Axis, value: f64) -> f64 {
        let share = (value - axis.low) / (axis.high - axis.low);
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.5
        };
        self.left + share * (self.right - self.left)
    }

    fn draw(&self, plot: &RowPlot, rows: std::ops::Range<usize>) -> Drawing {
        let text = self.size.text;
        let mut shapes = Vec::new();
        for (x, y, sign, words) in &self.legend {
            mark(&mut shapes, x + 0.6 * text, y - 0.33 * text, *sign, text);
            shapes.push(words_at(x + 1.5 * text, *y, text, Anchor::Start, words));
        }
        let bottom = self.top + rows.clone().map(|row| self.high(row)).sum::<f64>();
        let mut y = self.top;
        for row in rows {
            let (high, told) = (self.high(row), &plot.rows[row]);
            let middle = y + high / 2.0;
            lines_at(
                &mut shapes,
                0.0,
                middle,
                text,
                Anchor::Start,
                &self.names[row],
            );
            lines_at(
                &mut shapes,
                self.size.width,
                middle,
                text,
                Anchor::End,
                &self.figures[row],
            );
            for limit in told.limits.iter().flatten() {
                let x = self.across(&plot.axis, *limit);
                shapes.push(line((x, y), (x, y + high), Look::dashes(LINE)));
            }
            self.marks(&mut shapes, plot, told, middle);
            y += high;
        }
        self.axis(&mut shapes, &plot.axis, bottom);
        Drawing {
            width: self.size.width,
            height: bottom + self.below(plot),
            shapes,
            says: plot.says.clone(),
        }
    }

    /// The marks of a row, joined in their order by a line.
    fn marks(&self, shapes: &mut Vec<Shape>, plot: &RowPlot, row: &PlotRow, y: f64) {
        let known = row.marks.iter().filter(|mark| mark.0.is_finite());
        let points: Vec<(f64, f64, Sign)> = known
            .map(|mark| (mark.0, self.across(&plot.axis, mark.0), mark.1))
            .collect();
        for pair in points.windows(2) {
            shapes.push(line((pair[0].1, y), (pair[1].1, y), Look::line(THIN)));
        }
        let text = self.size.text;
        for (value, x, sign) in points {
            mark(shapes, x, y, sign, text);
            // An arrow: the value lies beyond the axis.
            let beyond = if value > plot.axis.high {
                1.0
            } else if value < plot.axis.low {
                -1.0
            } else {
                continue;
            };
            let at = |along: f64, down: f64| Point {
                x: x + beyond * along * text,
                y: y + down * text,
            };
            shapes.push(Shape::Path {
                points: vec![at(0.5, -0.35), at(0.95, 0.0), at(0.5, 0.35)],
                closed: true,
                look: Look::filled(0.0),
            });
        }
    }

    fn axis(&self, shapes: &mut Vec<Shape>, axis: &Axis, y: f64) {
        let text = self.size.text;
        shapes.push(line((self.left, y), (self.right, y), Look::line(LINE)));
        let mut taken = f64::NEG_INFINITY;
        let base = y + 0.6 * text + 0.8 * text;
        for (value, words) in &axis.ticks {
            let x = self.across(axis, *value);
            let half = width(words, false, text) / 2.0;
            shapes.push(line((x, y), (x, y + 0.5 * text), Look::line(LINE)));
            if x - half > taken && x - half >= 0.0 && x + half <= self.size.width {
                shapes.push(words_at(x, base, text, Anchor::Middle, words));
                taken = x + half + 0.5 * text;
            }
        }
        let lines = if axis.ticks.is_empty() { 0.0 } else { LEADING };
        for (index, label) in self.label.iter().enumerate() {
            let base = base + (lines + index as f64 * LEADING) * text;
            // In the middle of the axis, as far as the paper lets it.
            let half = width(label, false, text) / 2.0;
            let middle = (self.left + self.right) / 2.0;
            let x = middle.min(self.size.width - half).max(half);
            shapes.push(words_at(x, base, text, Anchor::Middle, label));
        }
    }
}

fn line(from: (f64, f64), to: (f64, f64), look: Look) -> Shape {
    Shape::Path {
        points: vec![
            Point {
                x: from.0,
                y: from.1,
            },
            Point { x: to.0, y: to.1 },
        ],
        closed: false,
        look,
    }
}

fn words_at(x: f64, y: f64, size: f64, anchor: Anchor, text: &str) -> Shape {
    Shape::Text {
        at: Point { x, y },
        size,
        anchor,
        is_strong: false,
        is_upright: false,
        text: text.to_owned(),
    }
}

/// Lines of text around a middle.
fn lines_at(
    shapes: &mut Vec<Shape>,
    x: f64,
    middle: f64,
    size: f64,
    anchor: Anchor,
    lines: &[String],
) {
    let first = middle - (lines.len() as f64 / 2.0) * LEADING * size;
    for (index, text) in lines.iter().enumerate() {
        let base = first + index as f64 * LEADING * size + 0.95 * size;
        shapes.push(words_at(x, base, size, anchor, text));
    }
}

fn mark(shapes: &mut Vec<Shape>, x: f64, y: f64, sign: Sign, text: f64) {
    let middle = Point { x, y };
    shapes.push(match sign {
        Sign::Square => {
            let half = 0.42 * text;
            Shape::Rectangle {
                corner: Point {
                    x: x - half,
                    y: y - half,
                },
                width: 2.0 * half,
                height: 2.0 * half,
                radius: 0.0,
                look: Look::line(LINE),
            }
        }
        Sign::Ring => Shape::Circle {
            middle,
            radius: 0.34 * text,
            look: Look::line(LINE),
        },
        Sign::Disc => Shape::Circle {
            middle,
            radius: 0.22 * text,
            look: Look::filled(0.0),
        },
    });
}

/// Breaks a text into lines that are no wider; a word that is wider is broken.
fn wrap(text: &str, room: f64, size: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    let fits = |line: &str| width(line, false, size) <= room;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let last = lines.last().cloned().unwrap_or_default();
        let joined = if last.is_empty() {
            word.to_owned()
        } else {
            format!("{last} {word}")
        };
        if fits(&joined) {
            lines.pop();
            lines.push(joined);
            continue;
        }
        if !last.is_empty() {
            lines.push(String::new());
        }
        for sign in word.chars() {
            let mut line = lines.last().cloned().unwrap_or_default();
            line.push(sign);
            if fits(&line) || line.chars().count() == 1 {
                lines.pop();
                lines.push(line);
            } else {
                lines.push(sign.to_string());
            }
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// Marks of an axis at round numbers: one, two or five times a power of ten apart,
/// about `count` of them.
pub fn round_ticks(low: f64, high: f64, count: usize) -> Vec<f64> {
    let reach = high - low;
    if !reach.is_finite() || reach <= 0.0 || count == 0 {
        return Vec::new();
    }
    let rough = reach / count as f64;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= rough)
        .unwrap_or(rough);
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last.min(first.saturating_add(50)))
        .map(|tick| tick as f64 * step)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A box around a text: left, top, right, bottom.
    type Box = (f64, f64, f64, f64);

    fn boxes(drawing: &Drawing) -> Vec<(Box, &str)> {
        drawing
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Text {
                    at,
                    size,
                    anchor,
                    text,
                    ..
                } => {
                    let wide = width(text, false, *size);
                    let left = match anchor {
                        Anchor::Start => at.x,
                        Anchor::Middle => at.x - wide / 2.0,
                        Anchor::End => at.x - wide,
                    };
                    let around = (left, at.y - 0.78 * size, left + wide, at.y + 0.24 * size);
                    Some((around, text.as_str()))
                }
                _ => None,
            })
            .collect()
    }

    fn any_row() -> impl Strategy<Value = PlotRow> {
        let number = prop_oneof![
            8 => -200.0..200.0_f64,
            1 => prop::sample::select(vec![f64::NAN, f64::INFINITY, -1e300, 1e300]),
        ];
        let sign = prop::sample::select(vec![Sign::Square, Sign::Ring, Sign::Disc]);
        (
            "[a-zA-Z0-9. +-]{0,50}",
            "[a-zA-Z0-9. ±µΩ-]{0,70}",
            prop::collection::vec((number, sign), 0..5),
            prop::option::of(-150.0..0.0_f64),
        )
            .prop_map(|(name, figures, marks, low)| PlotRow {
                name,
                figures,
                marks,
                limits: [low, low.map(|low| -low)],
            })
    }

    proptest! {
        #[test]
        fn no_text_lies_over_another_or_outside(
            rows in prop::collection::vec(any_row(), 1..60),
            label in "[a-z %]{0,90}",
            wide in 110.0..270.0_f64,
            text in 2.5..4.8_f64,
        ) {
            let plot = RowPlot {
                says: String::new(),
                legend: vec![
                    (Sign::Square, "when it came in"),
                    (Sign::Ring, "after the work, cold"),
                    (Sign::Disc, "after the work, warm"),
                ],
                axis: Axis {
                    label,
                    low: -150.0,
                    high: 150.0,
                    ticks: round_ticks(-150.0, 150.0, 9)
                        .into_iter()
                        .map(|tick| (tick, format!("{tick} %")))
                        .collect(),
                },
                rows,
            };
            let drawings = draw(&plot, Size { width: wide, height: 180.0, text });
            let drawn: usize = drawings.len();
            prop_assert!(drawn >= 1);
            for drawing in &drawings {
                prop_assert!(drawing.height <= 180.0 || drawings.len() >= plot.rows.len());
                let boxes = boxes(drawing);
                for (index, (one, words)) in boxes.iter().enumerate() {
                    prop_assert!(one.0 >= -1e-6 && one.2 <= drawing.width + 1e-6, "{words} sticks out");
                    prop_assert!(one.1 >= -1e-6 && one.3 <= drawing.height + 1e-6, "{words} sticks out");
                    for (other, more) in &boxes[index + 1..] {
                        let is_apart = one.2 <= other.0 + 1e-6
                            || other.2 <= one.0 + 1e-6
                            || one.3 <= other.1 + 1e-6
                            || other.3 <= one.1 + 1e-6;
                        prop_assert!(is_apart, "{words:?} lies over {more:?}");
                    }
                }
            }
        }

        #[test]
        fn ticks_are_round_and_lie_on_the_axis(low in -1e6..1e6_f64, reach in 1e-3..1e6_f64, count in 1_usize..20) {
            let ticks = round_ticks(low, low + reach, count);
            prop_assert!(ticks.len() <= count + 1);
            for tick in ticks {
                prop_assert!(tick >= low - reach * 1e-9 && tick <= low + reach * (1.0 + 1e-9));
            }
        }
    }

    #[test]
    fn a_value_beyond_the_axis_has_an_arrow() {
        let plot = RowPlot {
            says: String::new(),
            legend: Vec::new(),
            axis: Axis {
                label: "%".into(),
                low: 0.0,
                high: 150.0,
                ticks: Vec::new(),
            },
            rows: vec![PlotRow {
                name: "C1".into(),
                figures: "400 %".into(),
                marks: vec![(400.0, Sign::Disc)],
                limits: [Some(80.0), Some(120.0)],
            }],
        };
        let size = Size {
            width: 150.0,
            height: 100.0,
            text: 2.9,
        };
        let drawings = draw(&plot, size);
        let arrows = drawings[0].shapes.iter().filter(
            |shape| matches!(shape, Shape::Path { points, closed: true, .. } if points.len() == 3),
        );
        assert_eq!(arrows.count(), 1);
    }
}
