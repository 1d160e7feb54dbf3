//! Drawings as scalable vector graphics, in millimetres: one unit is one of them.

use maud::{Markup, html};
use retin::sheets::drawing::{Anchor, Drawing, Fill, Look, Point, Shape};
use std::fmt::Write as _;

/// The part of a drawing that is drawn in one go.
pub(crate) enum Layer<'a> {
    /// Shapes without text.
    Shapes(&'a [Shape]),
    /// Texts.
    Texts(&'a [Shape]),
}

/// A drawing's shapes and texts, from the lowest to the uppermost.
pub(crate) fn layers(drawing: &Drawing) -> impl Iterator<Item = Layer<'_>> {
    drawing
        .shapes
        .chunk_by(|one, other| is_text(one) == is_text(other))
        .map(|chunk| {
            if chunk.first().is_some_and(is_text) {
                Layer::Texts(chunk)
            } else {
                Layer::Shapes(chunk)
            }
        })
}

fn is_text(shape: &Shape) -> bool {
    matches!(shape, Shape::Text { .. })
}

/// A picture of shapes without text, as a file of its own.
pub(crate) fn picture(drawing: &Drawing, shapes: &[Shape]) -> String {
    let (width, height) = (number(drawing.width), number(drawing.height));
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width={ (width) "mm" } height={ (height) "mm" }
            viewBox={ "0 0 " (width) " " (height) } { (paths(shapes)) }
    }
    .into_string()
}

/// Shapes as paths. Neighbours that look alike and are not filled become one.
pub(crate) fn paths(shapes: &[Shape]) -> Markup {
    let alike = shapes.chunk_by(|one, other| {
        let look = look_of(one);
        look == look_of(other) && look.is_some_and(|look| matches!(look.fill, Fill::None))
    });
    html! {
        @for shapes in alike {
            @if let Some(look) = shapes.first().and_then(look_of) {
                path d=(way(shapes)) fill=(fill(look.fill)) stroke=[look.line.map(|_| "#000")]
                    stroke-width=[look.line.map(number)]
                    stroke-dasharray=[look.line.filter(|_| look.is_dashed).map(dashes)]
                    stroke-linejoin=[look.line.map(|_| "round")] {}
            }
        }
    }
}

/// Texts, each on its base line.
pub(crate) fn texts(shapes: &[Shape]) -> Markup {
    html! {
        @for shape in shapes {
            @if let Shape::Text { at, size, anchor, is_strong, is_upright, text } = shape {
                text x=(number(at.x)) y=(number(at.y)) font-size=(number(*size))
                    text-anchor=[match anchor {
                        Anchor::Start => None,
                        Anchor::Middle => Some("middle"),
                        Anchor::End => Some("end"),
                    }]
                    font-weight=[is_strong.then_some("700")]
                    transform=[is_upright.then(|| format!("rotate(-90 {} {})", number(at.x), number(at.y)))]
                    { (crate::measure::clean(text)) }
            }
        }
    }
}

fn look_of(shape: &Shape) -> Option<Look> {
    match shape {
        Shape::Path { look, .. } | Shape::Rectangle { look, .. } | Shape::Circle { look, .. } => {
            Some(*look)
        }
        Shape::Text { .. } => None,
    }
}

fn fill(fill: Fill) -> String {
    match fill {
        Fill::None => "none".into(),
        Fill::Grey(grey) => {
            let level = (grey.clamp(0.0, 1.0) * 255.0).round() as u8;
            format!("#{level:02x}{level:02x}{level:02x}")
        }
    }
}

fn dashes(line: f64) -> String {
    format!("{} {}", number(line * 4.0), number(line * 3.0))
}

/// The way along the outlines of shapes.
fn way(shapes: &[Shape]) -> String {
    let mut way = String::new();
    for shape in shapes {
        match shape {
            Shape::Path { points, closed, .. } => {
                for (index, point) in points.iter().enumerate() {
                    way.push(if index == 0 { 'M' } else { 'L' });
                    push(&mut way, *point);
                }
                if *closed {
                    way.push('Z');
                }
            }
            Shape::Rectangle {
                corner,
                width,
                height,
                radius,
                ..
            } => rectangle(&mut way, *corner, *width, *height, *radius),
            Shape::Circle { middle, radius, .. } => {
                let radius = number(*radius);
                let (left, right) = (middle.x - parsed(&radius), middle.x + parsed(&radius));
                way.push('M');
                push(
                    &mut way,
                    Point {
                        x: left,
                        y: middle.y,
                    },
                );
                for end in [right, left] {
                    let _ = write!(way, "A{radius} {radius} 0 0 1 ");
                    push(
                        &mut way,
                        Point {
                            x: end,
                            y: middle.y,
                        },
                    );
                }
                way.push('Z');
            }
            Shape::Text { .. } => {}
        }
    }
    way
}

fn rectangle(way: &mut String, corner: Point, width: f64, height: f64, radius: f64) {
    let radius = radius.clamp(0.0, width.min(height).max(0.0) / 2.0);
    let _ = write!(
        way,
        "M{} {}h{}",
        number(corner.x + radius),
        number(corner.y),
        number(width - 2.0 * radius)
    );
    let round = |way: &mut String, x: f64, y: f64| {
        if radius > 0.0 {
            let (x, y, radius) = (number(x * radius), number(y * radius), number(radius));
            let _ = write!(way, "a{radius} {radius} 0 0 1 {x} {y}");
        }
    };
    round(way, 1.0, 1.0);
    let _ = write!(way, "v{}", number(height - 2.0 * radius));
    round(way, -1.0, 1.0);
    let _ = write!(way, "h{}", number(2.0 * radius - width));
    round(way, -1.0, -1.0);
    let _ = write!(way, "v{}", number(2.0 * radius - height));
    round(way, 1.0, -1.0);
    way.push('Z');
}

fn push(way: &mut String, point: Point) {
    let _ = write!(way, "{} {}", number(point.x), number(point.y));
}

fn parsed(number: &str) -> f64 {
    number.parse().unwrap_or_default()
}

/// A number with at most four decimals: a tenth of a micrometre.
pub(crate) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing() -> Drawing {
        let at = |x, y| Point { x, y };
        Drawing {
            width: 60.0,
            height: 40.0,
            shapes: vec![
                Shape::Path {
                    points: vec![at(0.0, 0.0), at(50.0, 0.0)],
                    closed: false,
                    look: Look::line(0.2),
                },
                Shape::Circle {
                    middle: at(10.0, 10.0),
                    radius: 2.5,
                    look: Look::line(0.2),
                },
                Shape::Rectangle {
                    corner: at(20.0, 5.0),
                    width: 10.0,
                    height: 6.0,
                    radius: 1.0,
                    look: Look::filled(0.9),
                },
                Shape::Text {
                    at: at(10.0, 10.0),
                    size: 2.5,
                    anchor: Anchor::Middle,
                    is_strong: true,
                    is_upright: true,
                    text: "</text><script>alert(\"1\")</script>".into(),
                },
            ],
            says: "a test".into(),
        }
    }

    #[test]
    fn shapes_that_look_alike_are_one_path() {
        let paths = paths(&drawing().shapes).into_string();
        assert_eq!(paths.matches("<path ").count(), 2, "{paths}");
        assert!(
            paths.contains("M0 0L50 0M7.5 10A2.5 2.5 0 0 1 12.5 10"),
            "{paths}"
        );
    }

    #[test]
    fn text_never_becomes_markup() {
        let texts = texts(&drawing().shapes).into_string();
        assert!(!texts.contains("<script"), "{texts}");
    }
}
