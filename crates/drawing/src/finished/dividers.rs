//! The dividers within the finished bag, standing between the stitches that hold them.

use bag::assembly::Event;
use bag::operations::Line;
use bag::pattern::{CopyId, DividerClaim};
use kurbo::{Affine, Point};

use super::Bag;
use crate::body::Body;
use crate::line::LineKind;
use crate::scene::{Fill, Scene, closed};
use crate::space::{Eye, Space};
use crate::texture::Side;

/// An upright edge in space: its lower and its upper end.
type Edge = [Space; 2];

/// A part of a divider between two upright edges.
struct Wall {
    what: CopyId,
    edges: [Edge; 2],
}

/// Paints the dividers that stand in a body, farthest first.
pub(super) fn within(bag: &Bag<'_, '_>, body: &Body<'_, '_>, scene: &mut Scene) {
    let eye = &bag.eye;
    let mut walls = walls(body);
    let depth = |wall: &Wall| {
        let corners = wall.edges.iter().flatten();
        corners.map(|at| at.dot(eye.into)).sum::<f64>()
    };
    walls.sort_by(|a, b| depth(b).total_cmp(&depth(a)));
    let layer = scene.layer("dividers");
    for wall in &walls {
        let [[a, d], [b, c]] = wall.edges;
        let shape = [a, b, c, d].map(|at| eye.see(at));
        let fill = Fill::Cloth(body.texture(wall.what, Side::Right), lay(eye, [a, b, d]));
        layer.shape(closed(shape.to_vec()), fill, Some(LineKind::Edge));
    }
}

/// Lays texture space on a plane, from a corner along its base and up.
fn lay(eye: &Eye, [from, along, up]: [Space; 3]) -> Affine {
    let origin = eye.see(from);
    let step = |to: Space| (eye.see(to) - origin) / (eye.scale * (to - from).length().max(1e-9));
    let (right, down) = (step(along), step(up) * -1.0);
    Affine::new([right.x, right.y, down.x, down.y, origin.x, origin.y])
}

/// Every divider: one that runs from seam to seam in as many parts as others meet it.
fn walls(body: &Body<'_, '_>) -> Vec<Wall> {
    let claims = &body.pattern().claims.dividers;
    let middle = claims.iter().find(|claim| claim.front == claim.back);
    let along = middle.and_then(|claim| ends(body, claim));
    let mut walls = Vec::new();
    let mut crossings = vec![0.0, 1.0];
    for claim in claims.iter().filter(|claim| claim.front != claim.back) {
        let edge = |onto: CopyId| {
            let rows = rows(body, claim.copy, onto)?;
            if let Some(facet) = body.facet_near(onto, rows[0]) {
                return Some((rows.map(|at| body.place(facet, at)), None));
            }
            let net = &body.pattern().piece_of(onto).net;
            let share = rows[0].x / net.bounds().1.x.to_mm().max(1.0);
            // The layer behind is seen mirrored.
            let is_front = middle.is_some_and(|middle| middle.copy == onto);
            let share = if is_front { share } else { 1.0 - share };
            Some((at_share(along?, share), Some(share)))
        };
        if let (Some((one, _)), Some((other, share))) = (edge(claim.front), edge(claim.back)) {
            crossings.extend(share);
            walls.push(Wall { what: claim.copy, edges: [one, other] });
        }
    }
    if let (Some(claim), Some(ends)) = (middle, along) {
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.windows(2) {
            let edges = [pair[0], pair[1]].map(|share| at_share(ends, share));
            walls.push(Wall { what: claim.copy, edges });
        }
    }
    walls
}

/// The upright edge that stands so far from the one to the other.
fn at_share([from, to]: [Edge; 2], share: f64) -> Edge {
    [0, 1].map(|end| from[end] + (to[end] - from[end]) * share)
}

/// Where the rows that hold a divider run on a panel: the middle of them, from their lower end up.
fn rows(body: &Body<'_, '_>, divider: CopyId, onto: CopyId) -> Option<[Point; 2]> {
    let lines: &Vec<Line> = body.work.events.iter().find_map(|(_, event)| match event {
        Event::Stitched { what, onto: on, lines, .. }
            if *on == onto && what.contains(&divider) && !lines.is_empty() =>
        {
            Some(lines)
        }
        _ => None,
    })?;
    let ends: Vec<Point> = lines.iter().flat_map(|it| [it.from.to_mm(), it.to.to_mm()]).collect();
    let x = ends.iter().map(|at| at.x).sum::<f64>() / ends.len() as f64;
    let low = ends.iter().map(|at| at.y).fold(f64::MAX, f64::min);
    let high = ends.iter().map(|at| at.y).fold(f64::MIN, f64::max);
    Some([Point::new(x, low), Point::new(x, high)])
}

/// Both ends of a divider that runs from seam to seam, the left one first.
fn ends(body: &Body<'_, '_>, claim: &DividerClaim) -> Option<[Edge; 2]> {
    let (low, high) = body.pattern().piece_of(claim.copy).net.bounds();
    let (wide, tall) = ((high.x - low.x).to_mm(), (high.y - low.y).to_mm());
    let mut places = body.work.events.iter().filter_map(|(_, event)| match event {
        Event::Placed { what, onto, at, .. } if *what == claim.copy && *onto == claim.front => {
            Some(at.to_mm())
        }
        _ => None,
    });
    let (first, last) = (places.next()?, places.next_back()?);
    let edge = |x: f64, y: f64| {
        let ends = [Point::new(x, y), Point::new(x, y + tall)];
        let facet = body.facet_near(claim.front, ends[0].midpoint(ends[1]))?;
        Some(ends.map(|at| body.place(facet, at)))
    };
    Some([edge(first.x, first.y)?, edge(last.x + wide, last.y)?])
}
