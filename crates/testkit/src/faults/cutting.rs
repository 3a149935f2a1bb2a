//! Pieces cut to another size or shape than drafted.

use bag::pattern::{Form, Pattern, PieceId};
use measure::{Length, Point};

use super::edit::{corners, is_binding, panels, piece_sites, recut, slip};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("edge-cut-short", "one corner of a piece is cut off its place, so that two of its edges differ from what they are sewn to", corner_moved),
    Kind::new("piece-too-wide", "a piece is cut wider or narrower than drafted, its other side untouched", width_changed),
    Kind::new("piece-too-high", "a piece is cut higher or lower than drafted", height_changed)
        .harmless_if("the piece is a lining and up to 1/2 in (12 mm) lower than the outside: that is the ease a lining may have"),
    Kind::new("edge-sewn-beyond-its-end", "a piece is shorter than the seam that a step sews along it", shrunk),
    Kind::new("fabric-too-narrow", "a fabric narrower than a piece that is cut from it", narrow_fabric),
    Kind::new("interfacing-too-narrow", "an interfacing narrower than the piece it stiffens", narrow_interfacing),
    Kind::new("binding-too-short", "a binding strip shorter than the edges that it binds", short_binding),
];

fn at_random(rng: &mut Rng, of: &[PieceId]) -> Option<PieceId> {
    rng.pick(of).copied()
}

fn corner_moved(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = at_random(rng, &panels(pattern))?;
    let mut points = corners(pattern, piece);
    let at = rng.below(points.len());
    let by = slip(rng, 3, 30);
    let by = if rng.flip() { by } else { -by };
    let across = rng.flip();
    let corner = points.get_mut(at)?;
    *corner = if across {
        Point::new(corner.x + by, corner.y)
    } else {
        Point::new(corner.x, corner.y + by)
    };
    let changed = recut(pattern, piece, points)?;
    let (name, way) = (&pattern.piece(piece).name, if across { "across" } else { "along" });
    let what = format!("{name}, corner {at}, {} mm {way}", by.to_mm());
    Some(Seeded::new(changed, what, piece_sites(pattern, piece)))
}

/// The points with those beyond the middle moved by so much.
fn stretched(points: Vec<Point>, by: Length, across: bool) -> Vec<Point> {
    let value = |point: &Point| if across { point.x } else { point.y };
    let low = points.iter().map(value).min().unwrap_or(Length::ZERO);
    let high = points.iter().map(value).max().unwrap_or(Length::ZERO);
    let middle = (low + high).half();
    let move_ = |point: Point| match (value(&point) > middle, across) {
        (false, _) => point,
        (true, true) => Point::new(point.x + by, point.y),
        (true, false) => Point::new(point.x, point.y + by),
    };
    points.into_iter().map(move_).collect()
}

fn resized(pattern: &Pattern, rng: &mut Rng, across: bool) -> Option<(PieceId, Length, Pattern)> {
    let piece = at_random(rng, &panels(pattern))?;
    let by = slip(rng, 3, 40);
    let by = if rng.flip() { by } else { -by };
    let changed = recut(pattern, piece, stretched(corners(pattern, piece), by, across))?;
    Some((piece, by, changed))
}

fn sized_sites(pattern: &Pattern, piece: PieceId) -> Vec<Site> {
    let mut sites = piece_sites(pattern, piece);
    // A size that several pieces give together is told at the promise that it breaks.
    sites.extend([Site::Parameter("body.width"), Site::Parameter("body.height")]);
    if pattern.piece(piece).name.contains("lining") {
        // A lining is compared with the outside where the one goes into the other.
        let drop_in = pattern.steps.iter().filter(|step| step.operation.word() == "drop-in");
        sites.extend(drop_in.map(|step| Site::Step(step.id.clone())));
    }
    sites
}

fn width_changed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (piece, by, changed) = resized(pattern, rng, true)?;
    let what = format!("{}, by {} mm", pattern.piece(piece).name, by.to_mm());
    Some(Seeded::new(changed, what, sized_sites(pattern, piece)))
}

fn height_changed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (piece, by, changed) = resized(pattern, rng, false)?;
    let ease = Length::mm(12);
    let is_lining = pattern.piece(piece).id == "lining-panel";
    let what = format!("{}, by {} mm", pattern.piece(piece).name, by.to_mm());
    let harmless = is_lining && by < Length::ZERO && -by <= ease;
    Some(Seeded::new(changed, what, sized_sites(pattern, piece)).harmless_if(harmless))
}

fn shrunk(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = at_random(rng, &panels(pattern))?;
    let by = slip(rng, 3, 30);
    let net = &pattern.piece(piece).net;
    let across = rng.flip();
    let points = stretched(corners(pattern, piece), -by, across);
    let shorter = measure::Outline::polygon(points).ok()?;
    if shorter.edge_count() != net.edge_count() {
        return None;
    }
    let mut changed = pattern.clone();
    changed.pieces[piece.0].net = shorter;
    let what = format!("{}, by {} mm", pattern.piece(piece).name, by.to_mm());
    Some(Seeded::new(changed, what, piece_sites(pattern, piece)))
}

fn narrow_fabric(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let fabrics: Vec<usize> = (0..pattern.materials.len())
        .filter(|at| matches!(pattern.materials[*at].form, Form::Fabric(_)))
        .collect();
    let at = *rng.pick(&fabrics)?;
    let of_it: Vec<PieceId> =
        pattern.piece_ids().filter(|id| pattern.piece(*id).material.0 == at).collect();
    let (width, height) = of_it
        .iter()
        .filter(|id| pattern.piece(**id).join.is_none())
        .map(|id| pattern.piece(*id).cut_size())
        .max_by_key(|size| size.0.min(size.1))?;
    let mut changed = pattern.clone();
    let Form::Fabric(cloth) = &mut changed.materials[at].form else { return None };
    cloth.usable_width = width.min(height) - slip(rng, 5, 60);
    cloth.bought_width = cloth.usable_width + Length::mm(50);
    let sites = of_it.iter().flat_map(|id| piece_sites(pattern, *id)).collect();
    let what = format!("{}, {} mm", changed.materials[at].name, width.min(height).to_mm());
    Some(Seeded::new(changed, what, sites))
}

fn narrow_interfacing(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let stiffened: Vec<PieceId> =
        panels(pattern).into_iter().filter(|id| pattern.piece(*id).interfacing.is_some()).collect();
    let piece = at_random(rng, &stiffened)?;
    let material = pattern.piece(piece).interfacing?.material;
    let (width, height) = pattern.piece(piece).interfacing_size()?;
    let mut changed = pattern.clone();
    let Form::Interfacing(cloth) = &mut changed.materials[material.0].form else { return None };
    cloth.usable_width = width.min(height) - slip(rng, 5, 60);
    let what = pattern.piece(piece).name.clone();
    Some(Seeded::new(changed, what, piece_sites(pattern, piece)))
}

fn short_binding(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let strips: Vec<PieceId> = pattern.piece_ids().filter(|id| is_binding(pattern, *id)).collect();
    let piece = at_random(rng, &strips)?;
    let points = corners(pattern, piece);
    let long = pattern.piece(piece).net_size().1;
    let changed =
        recut(pattern, piece, stretched(points, -(long * rng.between(3, 6) / 10), false))?;
    let mut sites = piece_sites(pattern, piece);
    let bound = pattern.steps.iter().filter(|step| step.operation.word() == "finish-edges");
    sites.extend(bound.map(|step| Site::Step(step.id.clone())));
    Some(Seeded::new(changed, "binding strip", sites))
}

/// Straps are changed with the handles.
#[cfg(test)]
mod tests {
    use super::super::edit::is_strap;
    use super::*;

    #[test]
    fn straps_are_left_to_their_own_kinds() {
        let samples = crate::corpus::combinations(8, 1);
        for sample in &samples {
            let panels = panels(&sample.pattern);
            assert!(panels.iter().all(|id| !is_strap(&sample.pattern, *id)));
        }
    }
}
