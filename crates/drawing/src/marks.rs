//! The marks of the trade and of technical drawing: dimensions, grain, folds, notches.

use kurbo::{BezPath, Point, Vec2};

use crate::line::LineKind;
use crate::scene::{Fill, Layer, closed};
use crate::space::length_of;
use crate::text::{Text, size};

/// Length of an arrowhead in mm, and half of its width: about 1 in 3, filled.
const HEAD: (f64, f64) = (2.2, 0.4);

/// How far an extension line overshoots its dimension line, and its gap to the outline, in mm.
const OVERSHOOT: f64 = 1.2;
const GAP: f64 = 0.8;

/// Distance between a dimension line and the middle of its lettering, in mm.
const LIFT: f64 = 2.2;

/// A filled arrowhead with its tip at `tip`, pointing along `direction` (of length one).
pub fn arrowhead(layer: &mut Layer, tip: Point, direction: Vec2) {
    let across = Vec2::new(-direction.y, direction.x) * HEAD.1;
    let foot = tip - direction * HEAD.0;
    layer.shape(closed([tip, foot + across, foot - across]), Fill::Ink, None);
}

/// A level dimension of the distance from `left` to `right`, drawn at height `y` (above or below
/// the points), its text above the line. A text wider than the distance stands beside it, to the
/// right.
pub fn dimension_across(layer: &mut Layer, left: Point, right: Point, y: f64, text: &str) {
    dimension(layer, left, right, Axis::Across(y), text);
}

/// An upright dimension of the distance from `top` to `bottom`, drawn at `x` (left or right of the
/// points), its text turned to read from below. A text longer than the distance stands beside it.
pub fn dimension_down(layer: &mut Layer, top: Point, bottom: Point, x: f64, text: &str) {
    dimension(layer, bottom, top, Axis::Upright(x), text);
}

/// Where a dimension line lies.
#[derive(Clone, Copy)]
enum Axis {
    /// Level, at this height.
    Across(f64),
    /// Upright, at this distance.
    Upright(f64),
}

fn dimension(layer: &mut Layer, from: Point, to: Point, axis: Axis, text: &str) {
    let foot = |point: Point| match axis {
        Axis::Across(y) => Point::new(point.x, y),
        Axis::Upright(x) => Point::new(x, point.y),
    };
    let (a, b) = (foot(from), foot(to));
    for (point, foot) in [(from, a), (to, b)] {
        let away = foot - point;
        let length = length_of(away);
        if length > GAP {
            let unit = away / length;
            layer.line([point + unit * GAP, foot + unit * OVERSHOOT], LineKind::Dimension);
        }
    }
    let length = length_of(b - a);
    if length < 1e-6 {
        return;
    }
    let unit = (b - a) / length;
    let turn = match axis {
        Axis::Across(_) => 0.0,
        Axis::Upright(_) => -90.0,
    };
    // Lettering stands on the left of the direction of reading, which is up on the page.
    let lift = Vec2::new(unit.y, -unit.x) * LIFT;
    let label = Text::new(text, a.midpoint(b) + lift).turned(turn);
    let room = length - 2.0 * HEAD.0;
    if room >= 1.0 {
        layer.line([a, b], LineKind::Dimension);
        arrowhead(layer, a, -unit);
        arrowhead(layer, b, unit);
    } else {
        // Too short for heads within: they point at it from outside.
        layer.line([a - unit * (HEAD.0 * 2.0), b + unit * (HEAD.0 * 2.0)], LineKind::Dimension);
        arrowhead(layer, a, unit);
        arrowhead(layer, b, -unit);
    }
    if label.width() <= length {
        layer.text(label);
    } else {
        let reach = HEAD.0 * 2.0;
        let start = b + unit * (reach + label.width() / 2.0 + 0.8);
        layer.line([b, b + unit * reach], LineKind::Dimension);
        layer.text(Text { at: start, ..label });
    }
}

/// A grain arrow of `length` mm centred on `middle`, along `direction` (of length one), with a head
/// at either end.
pub fn grain(layer: &mut Layer, middle: Point, direction: Vec2, length: f64) {
    let half = direction * (length / 2.0);
    let (a, b) = (middle - half, middle + half);
    layer.line([a, b], LineKind::Grain);
    arrowhead(layer, a, -direction);
    arrowhead(layer, b, direction);
}

/// An arrow with one head, for fabrics that have an up and a down.
pub fn one_way(layer: &mut Layer, middle: Point, direction: Vec2, length: f64) {
    let half = direction * (length / 2.0);
    layer.line([middle - half, middle + half], LineKind::Grain);
    arrowhead(layer, middle + half, direction);
}

/// A notch: a small triangle that stands on the cut edge at `at` and points inwards.
pub fn notch(layer: &mut Layer, at: Point, inwards: Vec2) {
    let across = Vec2::new(-inwards.y, inwards.x) * 1.1;
    layer.shape(closed([at - across, at + inwards * 2.2, at + across]), Fill::Ink, None);
}

/// A small cross at a point that is marked on the fabric.
pub fn cross(layer: &mut Layer, at: Point) {
    for (dx, dy) in [(1.4, 0.0), (0.0, 1.4)] {
        let arm = Vec2::new(dx, dy);
        layer.line([at - arm, at + arm], LineKind::Edge);
    }
}

/// A line from a note to what it speaks of, with a dot at its end.
pub fn leader(layer: &mut Layer, note: Point, at: Point) {
    layer.line([note, at], LineKind::Dimension);
    layer.shape(dot(at, 0.5), Fill::Ink, None);
}

/// A round dot.
pub fn dot(centre: Point, radius: f64) -> BezPath {
    // The usual factor for a quarter circle as a cubic: 4/3 · tan(π/8).
    const FACTOR: f64 = 0.552_284_75;
    let k = radius * FACTOR;
    let at = |x: f64, y: f64| centre + Vec2::new(x, y);
    let mut path = BezPath::new();
    path.move_to(at(radius, 0.0));
    path.curve_to(at(radius, k), at(k, radius), at(0.0, radius));
    path.curve_to(at(-k, radius), at(-radius, k), at(-radius, 0.0));
    path.curve_to(at(-radius, -k), at(-k, -radius), at(0.0, -radius));
    path.curve_to(at(k, -radius), at(radius, -k), at(radius, 0.0));
    path.close_path();
    path
}

/// How wide a stack of dimension lines is spaced, in mm: lettering and some air.
pub const DIMENSION_PITCH: f64 = size::LABEL + 3.5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::{Item, Scene};

    /// The texts of a scene drawn by `draw`, with their places.
    fn check(draw: impl Fn(&mut Layer)) -> Vec<(String, Point)> {
        let mut scene = Scene::new("test", "Test", "");
        draw(scene.layer("dimensions"));
        scene.texts().map(|text| (text.content.clone(), text.at)).collect()
    }

    #[test]
    fn a_dimension_names_its_distance_at_its_middle() {
        let (left, right) = (Point::new(0.0, 0.0), Point::new(40.0, 0.0));
        let texts = check(|layer| dimension_across(layer, left, right, -8.0, "21 in"));
        assert_eq!(texts, [("21 in".to_owned(), Point::new(20.0, -10.2))]);
        let (top, bottom) = (Point::new(0.0, 0.0), Point::new(0.0, 30.0));
        let texts = check(|layer| dimension_down(layer, top, bottom, -8.0, "17 in"));
        assert_eq!(texts, [("17 in".to_owned(), Point::new(-10.2, 15.0))]);
    }

    #[test]
    fn a_text_too_long_stands_beside() {
        let (left, right) = (Point::new(0.0, 0.0), Point::new(4.0, 0.0));
        let texts = check(|layer| dimension_across(layer, left, right, -8.0, "1 1/8 in"));
        assert!(texts[0].1.x > 8.0, "{texts:?}");
    }

    #[test]
    fn a_dimension_of_nothing_draws_no_line() {
        let mut scene = Scene::new("test", "Test", "");
        dimension_across(scene.layer("d"), Point::ZERO, Point::ZERO, 0.0, "0 in");
        assert!(scene.layers.iter().all(|layer| layer.items.is_empty()));
    }

    #[test]
    fn a_grain_arrow_has_two_heads_and_a_one_way_arrow_one() {
        let heads = |draw: fn(&mut Layer, Point, Vec2, f64)| {
            let mut scene = Scene::new("test", "Test", "");
            draw(scene.layer("grain"), Point::ZERO, Vec2::new(0.0, 1.0), 20.0);
            let items = &scene.layers[0].items;
            items.iter().filter(|i| matches!(i, Item::Shape { fill: Fill::Ink, .. })).count()
        };
        assert_eq!((heads(grain), heads(one_way)), (2, 1));
    }
}
