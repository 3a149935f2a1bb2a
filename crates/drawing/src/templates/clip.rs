//! What of a picture lies on one sheet of paper.

use kurbo::{Affine, BezPath, PathEl, Point, Rect};

use crate::scene::{Fill, Item, Scene, open};

/// How far a chord may lie from its curve, in mm: a fifth of the 0.1 mm to which templates are
/// true.
const TOLERANCE: f64 = 0.02;

/// Adds to `onto` what of `items` lies within `window`, moved by `by`. Lines end at the window;
/// filled shapes and lettering that reach into it are shown whole.
pub(super) fn add(onto: &mut Scene, layer: &str, items: &[Item], window: Rect, by: Affine) {
    for item in items {
        match item {
            Item::Shape { path, fill: Fill::None, line } => {
                for part in within(path, window) {
                    let part = Item::Shape { path: part, fill: Fill::None, line: *line };
                    onto.layer(layer).items.push(part.moved(by));
                }
            }
            Item::Shape { .. } | Item::Text(_) => {
                if !item.bounds().intersect(window).is_zero_area() {
                    onto.layer(layer).items.push(item.moved(by));
                }
            }
        }
    }
}

/// The parts of a path within a window, as open lines; a path wholly within it stays as it is.
fn within(path: &BezPath, window: Rect) -> Vec<BezPath> {
    use kurbo::Shape;
    let bounds = path.bounding_box();
    if window.union(bounds) == window {
        return vec![path.clone()];
    }
    if window.x0 > bounds.x1
        || window.x1 < bounds.x0
        || window.y0 > bounds.y1
        || window.y1 < bounds.y0
    {
        return Vec::new();
    }
    let mut parts: Vec<Vec<Point>> = Vec::new();
    let (mut start, mut from) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, TOLERANCE, |element| {
        let to = match element {
            PathEl::MoveTo(point) => {
                (start, from) = (point, point);
                return;
            }
            PathEl::LineTo(point) => point,
            PathEl::ClosePath => start,
            // `flatten` gives no curves.
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => return,
        };
        if let Some((a, b)) = part_within(from, to, window) {
            match parts.last_mut() {
                Some(part) if part.last() == Some(&a) => part.push(b),
                _ => parts.push(vec![a, b]),
            }
        }
        from = to;
    });
    parts.into_iter().map(open).collect()
}

/// The part of a straight line within a window (Liang and Barsky 1984).
fn part_within(a: Point, b: Point, window: Rect) -> Option<(Point, Point)> {
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (from, step, low, high) in
        [(a.x, b.x - a.x, window.x0, window.x1), (a.y, b.y - a.y, window.y0, window.y1)]
    {
        if step.abs() < 1e-12 {
            if from < low || from > high {
                return None;
            }
            continue;
        }
        let (enter, leave) = ((low - from) / step, (high - from) / step);
        first = first.max(enter.min(leave));
        last = last.min(enter.max(leave));
    }
    let at = |t: f64| {
        if t <= 0.0 {
            a
        } else if t >= 1.0 {
            b
        } else {
            a.lerp(b, t)
        }
    };
    (first < last).then(|| (at(first), at(last)))
}

/// The area that polygons share with a window, in mm² (Sutherland and Hodgman 1974). The polygons
/// are the ring of a piece and so do not overlap.
pub(super) fn shared_area(ring: &[Point], window: Rect) -> f64 {
    let mut points = ring.to_vec();
    for side in 0..4 {
        let inside = |p: Point| match side {
            0 => p.x >= window.x0,
            1 => p.x <= window.x1,
            2 => p.y >= window.y0,
            _ => p.y <= window.y1,
        };
        let cross = |a: Point, b: Point| {
            let t = match side {
                0 => (window.x0 - a.x) / (b.x - a.x),
                1 => (window.x1 - a.x) / (b.x - a.x),
                2 => (window.y0 - a.y) / (b.y - a.y),
                _ => (window.y1 - a.y) / (b.y - a.y),
            };
            a.lerp(b, t)
        };
        let mut kept = Vec::with_capacity(points.len() + 4);
        for (index, a) in points.iter().enumerate() {
            let b = points[(index + 1) % points.len()];
            if inside(*a) {
                kept.push(*a);
            }
            if inside(*a) != inside(b) {
                kept.push(cross(*a, b));
            }
        }
        points = kept;
    }
    let twice: f64 = points
        .iter()
        .enumerate()
        .map(|(index, a)| {
            let b = points[(index + 1) % points.len()];
            a.x * b.y - b.x * a.y
        })
        .sum();
    twice.abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::line::LineKind;
    use crate::scene::closed;

    const WINDOW: Rect = Rect::new(0.0, 0.0, 10.0, 10.0);

    #[test]
    fn a_square_across_the_window_leaves_two_sides_and_a_corner() {
        let square = closed([(5.0, 5.0), (20.0, 5.0), (20.0, 20.0), (5.0, 20.0)].map(Point::from));
        let mut scene = Scene::new("a", "a", "a");
        let item = Item::Shape { path: square, fill: Fill::None, line: Some(LineKind::Cut) };
        add(&mut scene, "lines", &[item], WINDOW, Affine::translate((100.0, 0.0)));
        let ends: Vec<BezPath> = scene.layers[0]
            .items
            .iter()
            .map(|item| match item {
                Item::Shape { path, .. } => path.clone(),
                Item::Text(_) => BezPath::new(),
            })
            .collect();
        let line = |points: [(f64, f64); 2]| open(points.map(Point::from));
        assert_eq!(ends, [line([(105.0, 5.0), (110.0, 5.0)]), line([(105.0, 10.0), (105.0, 5.0)])]);
    }

    #[test]
    fn areas_that_are_shared() {
        let ring = [(5.0, 5.0), (20.0, 5.0), (20.0, 20.0), (5.0, 20.0)].map(Point::from);
        assert!((shared_area(&ring, WINDOW) - 25.0).abs() < 1e-9);
        assert!(shared_area(&ring, Rect::new(0.0, 0.0, 4.0, 4.0)).abs() < 1e-9);
        let triangle = [(0.0, 0.0), (20.0, 0.0), (0.0, 20.0)].map(Point::from);
        assert!((shared_area(&triangle, WINDOW) - 100.0).abs() < 1e-9);
    }
}
