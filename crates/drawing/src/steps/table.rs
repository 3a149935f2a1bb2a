//! Panels on the table: where each lies, which side is up, and how it is outlined.

use bag::assembly::{Assembly, Edging, SideOut};
use bag::operations::FaceSide;
use bag::pattern::{CopyId, Grain, Pattern, Span};
use kurbo::{Affine, Point, Vec2};
use measure::Length;

use super::story::Sheet;
use crate::scene::Fill;
use crate::space::length_of;
use crate::texture::Texture;

/// An allowance is drawn at least this wide, in mm on paper, so that it can be seen.
pub(super) const VISIBLE: f64 = 1.5;

/// A copy as it lies on the table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lain {
    pub(super) copy: CopyId,
    /// The copy's millimetres to the table's, both with y upwards.
    pub(super) lay: Affine,
    /// Which side is up.
    pub(super) up: FaceSide,
    /// Of a folded panel, only what lies to the left of this line, in the copy's coordinates.
    pub(super) half: Option<(Point, Point)>,
}

impl Lain {
    /// Whether a point of the copy is part of what lies here.
    pub(super) fn covers(&self, point: Point) -> bool {
        self.half.is_none_or(|(a, b)| (b - a).cross(point - a) >= 0.0)
    }
    /// The fill of this copy; `to_paper` brings the table to paper.
    pub(super) fn fill(&self, pattern: &Pattern, to_paper: Affine) -> Fill {
        let piece = pattern.piece_of(self.copy);
        let cloth = crate::pieces::cloth(pattern.material(piece.material).look);
        let texture = match self.up {
            FaceSide::Right => Texture::right(cloth),
            FaceSide::Wrong => Texture::wrong(cloth),
        };
        cloth_fill(texture, to_paper * self.lay, piece.grain)
    }
}

/// A texture laid so that its grain follows the piece's, at the texture's own size.
pub(super) fn cloth_fill(texture: Texture, lay: Affine, grain: Grain) -> Fill {
    let unit = |to: (f64, f64)| {
        let step = lay * Point::from(to) - lay * Point::ZERO;
        step / length_of(step).max(1e-9)
    };
    let (right, down) = (unit((1.0, 0.0)), unit((0.0, -1.0)));
    let (x, y) = match grain {
        Grain::Crosswise => (down, right * -1.0),
        Grain::Lengthwise | Grain::Free => (right, down),
    };
    let origin = lay * Point::ZERO;
    Fill::Cloth(texture, Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y]))
}

/// Both ends of a stretch in the copy's coordinates.
pub(super) fn ends(pattern: &Pattern, span: Span) -> (Point, Point) {
    let net = &pattern.piece_of(span.copy).net;
    (net.point_along(span.edge, span.from).to_mm(), net.point_along(span.edge, span.to).to_mm())
}

/// Lays the line `here` on the line `there`, start on start; mirrored if it lies the other way up.
pub(super) fn onto(here: (Point, Point), there: (Point, Point), mirrored: bool) -> Affine {
    let flip =
        if mirrored { Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 0.0]) } else { Affine::IDENTITY };
    let (a, b) = (flip * here.0, flip * here.1);
    let (from, to) = (b - a, there.1 - there.0);
    let long = (length_of(from) * length_of(to)).max(1e-9);
    let (cos, sin) = (from.dot(to) / long, from.cross(to) / long);
    let turn = Affine::new([cos, sin, -sin, cos, 0.0, 0.0]);
    let turned = turn * a;
    Affine::translate(there.0 - turned) * turn * flip
}

/// Lays the panels of a sheet edge to edge, the first as `first` says.
pub(super) fn spread(work: &Assembly<'_>, sheet: &Sheet, first: Lain) -> Vec<Lain> {
    let mut lain = vec![first];
    let mut next = 0;
    while next < lain.len() {
        let here = lain[next];
        next += 1;
        for glue in &work.glues {
            let (this, other) = match here.copy {
                copy if glue.a.copy == copy => (glue.a, glue.b),
                copy if glue.b.copy == copy => (glue.b, glue.a),
                _ => continue,
            };
            let known = lain.iter().any(|it| it.copy == other.copy);
            if known || !sheet.contains(&other.copy) {
                continue;
            }
            let (a, b) = ends(work.pattern, this);
            let place = (here.lay * a, here.lay * b);
            let mirrored = here.up == FaceSide::Wrong;
            let lay = onto(ends(work.pattern, other), place, mirrored);
            lain.push(Lain { copy: other.copy, lay, up: here.up, half: None });
        }
    }
    lain
}

/// The outline of a copy as it lies, in its own coordinates: with the allowances that can be seen,
/// drawn at least `least` mm wide.
pub(super) fn outline(
    work: &Assembly<'_>,
    copy: CopyId,
    least: f64,
    folded_over: bool,
) -> Vec<Point> {
    let piece = work.pattern.piece_of(copy);
    let least = Length::from_mm_f64(least);
    let allowances: Vec<Length> = (0..piece.net.edge_count())
        .map(|edge| {
            let allowance = piece.edges.get(edge).map_or(Length::ZERO, |it| it.allowance);
            if allowance.is_positive() && is_seen(work, copy, edge, folded_over) {
                allowance.max(least)
            } else {
                Length::ZERO
            }
        })
        .collect();
    let outline = piece.net.offset(&allowances);
    let outline = outline.as_ref().unwrap_or(&piece.net);
    outline.flattened(0.5).into_iter().map(measure::Point::to_mm).collect()
}

/// Whether the allowance of an edge can be seen.
pub(super) fn is_seen(work: &Assembly<'_>, copy: CopyId, edge: usize, folded_over: bool) -> bool {
    let stretches = work.stretches(copy, edge);
    let sewn = stretches
        .iter()
        .any(|it| matches!(it.edging, Edging::Joined(_) | Edging::Closed(_) | Edging::Gap(_)));
    if sewn {
        return match work.side_out(copy) {
            SideOut::Flat => folded_over,
            SideOut::Wrong => true,
            SideOut::Right => false,
        };
    }
    stretches.iter().all(|it| matches!(it.edging, Edging::Raw | Edging::Basted(..)))
}

/// A stretch of an edge as a line of points, in the copy's coordinates, moved inwards by `inset` mm
/// (outwards if negative).
pub(super) fn along(pattern: &Pattern, span: Span, inset: f64) -> Vec<Point> {
    let net = &pattern.piece_of(span.copy).net;
    let edge = net.edge(span.edge);
    let steps = if edge.is_straight() { 1 } else { 24 };
    (0..=steps)
        .map(|step| {
            let at = span.from + (span.to - span.from) * step / steps;
            let way = edge.direction_along(at);
            net.point_along(span.edge, at).to_mm() + Vec2::new(-way.y, way.x) * inset
        })
        .collect()
}

/// The part of a polygon to the left of the line from `a` to `b`.
pub(super) fn left_of(polygon: &[Point], a: Point, b: Point) -> Vec<Point> {
    let side = |point: Point| (b - a).cross(point - a);
    let mut kept = Vec::new();
    for (index, from) in polygon.iter().enumerate() {
        let to = polygon[(index + 1) % polygon.len()];
        let (d0, d1) = (side(*from), side(to));
        if d0 >= 0.0 {
            kept.push(*from);
        }
        if (d0 > 0.0 && d1 < 0.0) || (d0 < 0.0 && d1 > 0.0) {
            kept.push(from.lerp(to, d0 / (d0 - d1)));
        }
    }
    kept
}

/// Mirrors at the line from `a` to `b`.
pub(super) fn mirror(a: Point, b: Point) -> Affine {
    let step = b - a;
    let long = step.hypot2().max(1e-9);
    let (c, s) = ((step.x * step.x - step.y * step.y) / long, 2.0 * step.x * step.y / long);
    Affine::translate(a.to_vec2())
        * Affine::new([c, s, s, -c, 0.0, 0.0])
        * Affine::translate(-a.to_vec2())
}
