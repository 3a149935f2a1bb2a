//! The measures of the finished bag, written beside its front.

use kurbo::{Point, Vec2};
use measure::{Length, show_length};

use super::Bag;
use crate::folding::{lies_on_side, reach_of_front};
use crate::line::LineKind;
use crate::marks;
use crate::scene::Layer;
use crate::space::{Space, length_of};
use crate::text::Text;

/// Width and height of the front, and the depth of the base where it is seen.
pub(super) fn draw(bag: &Bag<'_, '_>, layer: &mut Layer) {
    let claims = &bag.pattern().claims;
    let outer = &bag.outer;
    let Some(front) = outer.facets.first() else { return };
    if !outer.is_near(&bag.eye, front) {
        return;
    }
    let (low, _) = reach_of_front(&outer.facets);
    let middle = {
        let xs = front.polygon.iter().map(|corner| corner.x);
        let (least, most) =
            xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        (least + most) / 2.0
    };
    let half = claims.width.to_mm() / 2.0;
    if is_round(bag, front) {
        of_a_tube(bag, layer);
        return;
    }
    if lies_on_side(bag.pattern()) {
        of_a_barrel(bag, layer);
        return;
    }
    let show = |length: Length| show_length(length, bag.options.system);
    let along = |x: f64, z: f64| outer.place(front, Point::new(x, z));
    let (left, right) = (along(middle - half, low), along(middle + half, low));
    let below = Vec2::new(0.0, 7.0);
    let see = |point: Space| bag.eye.see(point);
    dimension_aside(layer, (see(left), see(right)), below, &show(claims.width));
    let mut top = along(middle - half, low + claims.height.to_mm());
    if outer.is_shut() || outer.drawn_in().is_some() {
        // Upright, although the front leans back towards the roll, or is drawn in.
        (top.x, top.y) = (left.x, left.y);
    }
    let clear = bag.extent().x0 - see(left).x.min(see(top).x);
    let aside = Vec2::new(clear - 7.0, 0.0);
    dimension_aside(layer, (see(left), see(top)), aside, &show(claims.height));
    if claims.depth.is_positive() {
        let back = front.frame.normal() * -claims.depth.to_mm();
        let edges = [right, left].map(|corner| [see(corner), see(corner + back)]);
        dimension_aside(layer, seen_edge(edges), below, &show(claims.depth));
    }
}

/// Of the lower edges at the right and the left end, from front to back, the one that bounds the
/// picture: the other lies behind the bag.
fn seen_edge([right, left]: [[Point; 2]; 2]) -> (Point, Point) {
    let [near, far] = if right[1].x >= right[0].x { right } else { left };
    (near, far)
}

/// Whether a bag is a round tube: as deep as wide, and its front no flat panel of that width.
fn is_round(bag: &Bag<'_, '_>, front: &crate::folding::Facet) -> bool {
    let claims = &bag.pattern().claims;
    let xs = front.polygon.iter().map(|corner| corner.x);
    let (least, most) =
        xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    claims.width == claims.depth && most - least < claims.width.to_mm() * 0.6
}

/// The measures of a round tube: as wide from every side, as it is seen.
fn of_a_tube(bag: &Bag<'_, '_>, layer: &mut Layer) {
    let (claims, outer) = (&bag.pattern().claims, &bag.outer);
    let show = |length: Length| show_length(length, bag.options.system);
    let (low, high) = bag.box_in_space();
    let base: Vec<Point> = outer
        .facets
        .iter()
        .flat_map(|facet| facet.polygon.iter().map(|at| outer.place(facet, *at)))
        .filter(|at| at.z < low.z + (high.z - low.z) * 0.05)
        .map(|at| bag.eye.see(at))
        .collect();
    let by_x = |a: &&Point, b: &&Point| a.x.total_cmp(&b.x);
    let ends = (base.iter().min_by(by_x), base.iter().max_by(by_x));
    let (Some(left), Some(right)) = ends else { return };
    let lowest = base.iter().map(|at| at.y).fold(f64::MIN, f64::max);
    let (from, to) = (Point::new(left.x, lowest), Point::new(right.x, lowest));
    dimension_aside(layer, (from, to), Vec2::new(0.0, 7.0), &show(claims.width));
    let up = bag.eye.see(Space::new(0.0, 0.0, claims.height.to_mm()))
        - bag.eye.see(Space::new(0.0, 0.0, 0.0));
    let clear = bag.extent().x0 - left.x;
    let aside = Vec2::new(clear - 7.0, 0.0);
    dimension_aside(layer, (*left, *left + up), aside, &show(claims.height));
}

/// The measures of a barrel on its side, along the box that stands around it.
fn of_a_barrel(bag: &Bag<'_, '_>, layer: &mut Layer) {
    let claims = &bag.pattern().claims;
    let show = |length: Length| show_length(length, bag.options.system);
    let (low, high) = bag.box_in_space();
    let corner = |x: f64, y: f64, z: f64| bag.eye.see(Space::new(x, y, z));
    let front = [corner(low.x, low.y, low.z), corner(high.x, low.y, low.z)];
    let below = Vec2::new(0.0, 5.0);
    dimension_aside(layer, (front[0], front[1]), below, &show(claims.width));
    let edge = |x: f64| [corner(x, low.y, low.z), corner(x, high.y, low.z)];
    let depth = seen_edge([edge(high.x), edge(low.x)]);
    dimension_aside(layer, depth, below, &show(claims.depth));
    // At the end of the box that is farthest left in the picture.
    let behind = edge(low.x)[1].x < front[0].x;
    let y = if behind { high.y } else { low.y };
    let (foot, up) = (corner(low.x, y, low.z), corner(low.x, y, high.z));
    let aside = Vec2::new(bag.extent().x0 - foot.x - 7.0, 0.0);
    dimension_aside(layer, (foot, up), aside, &show(claims.height));
}

/// A dimension of a slanting edge, drawn `aside` of it, its text along the line on the far side.
fn dimension_aside(layer: &mut Layer, (a, b): (Point, Point), aside: Vec2, text: &str) {
    let (from, to) = (a + aside, b + aside);
    let unit_aside = aside / length_of(aside).max(1e-9);
    for (edge, foot) in [(a, from), (b, to)] {
        layer.line([edge + unit_aside * 0.8, foot + unit_aside * 1.2], LineKind::Dimension);
    }
    let step = to - from;
    let length = length_of(step);
    if length < 1.0 {
        return;
    }
    let unit = step / length;
    layer.line([from, to], LineKind::Dimension);
    marks::arrowhead(layer, from, -unit);
    marks::arrowhead(layer, to, unit);
    // Text is read from the left or from below.
    let upright = unit.x.abs() < 1e-6;
    let reading = if upright { Vec2::new(0.0, -1.0) } else { unit * unit.x.signum() };
    let turn = libm::atan2(reading.y, reading.x).to_degrees();
    let beside = Vec2::new(-reading.y, reading.x);
    let out = if beside.dot(unit_aside) >= 0.0 { beside } else { beside * -1.0 };
    layer.text(Text::new(text, from.midpoint(to) + out * 3.0).turned(turn));
}
