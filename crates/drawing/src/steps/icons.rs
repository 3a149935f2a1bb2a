//! Tools as small pictures: an iron, scissors, a pin, a needle with its thread.

use kurbo::{BezPath, Point, Vec2};

use crate::line::LineKind;
use crate::marks;
use crate::scene::{Fill, Layer};

/// An iron seen from the side, its tip to the left, its sole's middle at `at`.
pub(crate) fn iron(layer: &mut Layer, at: Point) {
    let p = |x: f64, y: f64| at + Vec2::new(x, -y);
    let mut body = BezPath::new();
    body.move_to(p(-7.0, 0.0));
    body.curve_to(p(-4.5, 3.2), p(-1.0, 4.0), p(5.0, 4.0));
    body.line_to(p(5.6, 0.0));
    body.close_path();
    layer.shape(body, Fill::Paper, Some(LineKind::Cut));
    let mut handle = BezPath::new();
    handle.move_to(p(-2.0, 3.6));
    handle.curve_to(p(-2.4, 6.6), p(0.0, 6.8), p(5.4, 6.6));
    handle.line_to(p(5.2, 5.2));
    handle.curve_to(p(1.5, 5.4), p(0.2, 5.4), p(0.4, 3.9));
    handle.close_path();
    layer.shape(handle, Fill::Paper, Some(LineKind::Edge));
    layer.line([p(-6.2, 0.9), p(5.4, 0.9)], LineKind::Thin);
}

/// Scissors with their points at `at`, opened towards `direction` (of length one).
pub(crate) fn scissors(layer: &mut Layer, at: Point, direction: Vec2) {
    let across = Vec2::new(-direction.y, direction.x);
    let p = |x: f64, y: f64| at - direction * x + across * y;
    for side in [-1.0, 1.0] {
        layer.line([p(0.0, 0.9 * side), p(5.0, 0.0), p(7.6, -1.6 * side)], LineKind::Cut);
        layer.shape(marks::dot(p(9.0, -2.2 * side), 1.5), Fill::Paper, Some(LineKind::Edge));
    }
}

/// A pin across an edge, its head outside.
pub(crate) fn pin(layer: &mut Layer, edge: Point, inwards: Vec2) {
    layer.line([edge - inwards * 1.6, edge + inwards * 4.2], LineKind::Dimension);
    layer.shape(marks::dot(edge - inwards * 2.0, 0.8), Fill::Ink, None);
}

/// A needle with a thread that ends at `at`.
pub(crate) fn needle(layer: &mut Layer, at: Point) {
    let p = |x: f64, y: f64| at + Vec2::new(x, y);
    let mut thread = BezPath::new();
    thread.move_to(at);
    thread.curve_to(p(2.0, 3.0), p(4.0, -3.0), p(6.0, 1.0));
    layer.shape(thread, Fill::None, Some(LineKind::Dimension));
    layer.line([p(6.0, 1.0), p(12.5, -1.6)], LineKind::Edge);
}
