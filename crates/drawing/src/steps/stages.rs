//! How layers lie, seen from the cut end: one stage beside or below the other.

use bag::operations::{Layered, Stage};
use kurbo::{BezPath, Point, Vec2};
use measure::{Length, System, show_length};

use super::board::Board;
use crate::line::LineKind;
use crate::marks;
use crate::scene::Fill;
use crate::space::length_of;
use crate::text::{Anchor, Text, size};

/// Height of a level, and half the thickness of a layer as drawn, in mm.
const LEVEL: f64 = 2.6;
const HALF: f64 = 0.55;
/// Width of a stage.
const WIDE: f64 = 38.0;
/// How far a layer is rounded where it bends.
const ROUND: f64 = 0.9;

/// Draws the stages one below the other, from `top` down.
pub(super) fn draw(board: &mut Board, stages: &[Stage], top: Point, system: System) {
    let mut y = top.y;
    // One scale for all, so that the same measure is as long in each.
    let reach = |stage: &Stage| {
        let xs = || stage.layers.iter().flat_map(|it| it.path.iter().map(|at| at.0));
        (xs().min().unwrap_or(Length::ZERO), xs().max().unwrap_or(Length::ZERO))
    };
    let widest = stages.iter().map(|it| reach(it).1 - reach(it).0).max().unwrap_or(Length::ZERO);
    let scale = WIDE / widest.to_mm().max(1.0);
    for (index, stage) in stages.iter().enumerate() {
        let levels = || stage.layers.iter().flat_map(|it| it.path.iter().map(|at| at.1));
        let (low, high) = (levels().min().unwrap_or(0), levels().max().unwrap_or(0));
        let measured = stage.measures.iter().map(|it| it.2 - high).max().map_or(-2, |it| it.max(0));
        let says = format!("{}. {}", index + 1, stage.says);
        let says = if stages.len() == 1 { stage.says.clone() } else { says };
        let text = Text::new(says, Point::new(top.x, y + 1.5)).sized(size::NOTE);
        board.layer("stages").text(text.anchored(Anchor::Start));
        let above = if measured < 0 { 5.0 } else { 10.6 + f64::from(measured) * LEVEL };
        let ground = y + above + f64::from(high - low) * LEVEL;
        let at = |u: Length, level: i32| {
            Point::new(
                top.x + (u - reach(stage).0).to_mm() * scale,
                ground - f64::from(level - low) * LEVEL,
            )
        };
        for layer in &stage.layers {
            strip(board, layer, &at);
        }
        for (u, from, to) in &stage.stitches {
            let (a, b) = (at(*u, *from), at(*u, *to));
            let over = Vec2::new(0.0, 1.5);
            board.layer("stages").line([a + over, b - over], LineKind::Edge);
        }
        for (from, to, level) in &stage.measures {
            let (a, b) = (at(*from, *level), at(*to, *level));
            let line = a.y - 3.0;
            let text = show_length((*to - *from).abs(), system);
            let lift = Vec2::new(0.0, -HALF);
            marks::dimension_across(board.layer("stages"), a + lift, b + lift, line, &text);
        }
        y = ground + 4.5;
    }
}

/// One layer: a band with a thick line on its right side and a thin one on its wrong side.
fn strip(board: &mut Board, layer: &Layered, at: &impl Fn(Length, i32) -> Point) {
    let middle: Vec<Point> = layer.path.iter().map(|(u, level)| at(*u, *level)).collect();
    let rounded = round(&middle);
    let side = |by: f64| -> Vec<Point> {
        (0..rounded.len())
            .map(|index| {
                let before = rounded[index.saturating_sub(1)];
                let after = rounded[(index + 1).min(rounded.len() - 1)];
                let step = after - before;
                // To the left of the path, on paper where y grows downwards.
                let left = Vec2::new(step.y, -step.x) / length_of(step).max(1e-9);
                rounded[index] + left * by
            })
            .collect()
    };
    let (left, right) = (side(HALF), side(-HALF));
    let mut band = left.clone();
    band.extend(right.iter().rev());
    board.layer("stages").shape(crate::scene::closed(band), Fill::Paper, None);
    let (good, other) = if layer.right_on_left { (left, right) } else { (right, left) };
    board.layer("stages").line(good, LineKind::New);
    board.layer("stages").line(other, LineKind::Dimension);
}

/// The path with its corners rounded a little.
fn round(points: &[Point]) -> Vec<Point> {
    let mut path = Vec::new();
    for (index, point) in points.iter().enumerate() {
        if index == 0 || index + 1 == points.len() {
            path.push(*point);
            continue;
        }
        let (before, after) = (points[index - 1] - *point, points[index + 1] - *point);
        let reach = ROUND.min(length_of(before) / 2.0).min(length_of(after) / 2.0);
        let from = *point + before / length_of(before).max(1e-9) * reach;
        let to = *point + after / length_of(after).max(1e-9) * reach;
        let mut curve = BezPath::new();
        curve.move_to(from);
        for step in 0..=6 {
            let t = f64::from(step) / 6.0;
            path.push(from.lerp(*point, t).lerp(point.lerp(to, t), t));
        }
    }
    path
}
