//! Handles: twisted, uneven, too short, caught, not reaching the seam, set too late.

use std::sync::Arc;

use bag::operations::{BoxAndX, FaceSide, FoldStrip, Foot, Line, Place, Placed, StitchDown};
use bag::pattern::{CopyId, HandleClaim, Pattern, PieceId};
use measure::{Length, Point};

use super::edit::{
    change, corners, is_webbing, moved, piece_sites, recut, slip, step_sites, steps, steps_where,
    without,
};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("strap-twisted", "one end of a strap is turned over", twisted).harmless_if(
        "the strap is woven and fastened by this one end: both of its faces are right sides",
    ),
    Kind::new("strap-wrong-side-up", "a strap is laid with its wrong side up", wrong_side)
        .harmless_if(
            "the strap is folded into four layers or woven: both of its faces are right sides",
        ),
    Kind::new(
        "leg-off-its-place",
        "one leg of a handle stands nearer to the centre than the other",
        uneven,
    )
    .harmless_if(EYE),
    Kind::new("leg-higher", "one leg of a handle is fastened higher than the other", higher)
        .harmless_if(EYE),
    Kind::new(
        "handles-differ",
        "the legs of one handle stand farther apart than those of the other",
        wider,
    )
    .harmless_if(EYE),
    Kind::new("one-strap-shorter", "the two straps are cut to different lengths", shorter_one),
    Kind::new(
        "both-straps-shorter",
        "both straps are cut shorter or longer than the drop needs",
        shorter_both,
    ),
    Kind::new(
        "strap-of-another-width",
        "the strips of the straps are cut wider or narrower",
        other_width,
    ),
    Kind::new(
        "strap-caught-in-the-rim",
        "the stitching down of a strap runs on into the rim's seam",
        caught,
    ),
    Kind::new(
        "strap-end-free",
        "an end of a strap does not reach the seam that should hold it",
        free_end,
    ),
    Kind::new(
        "handles-after-the-side-seams",
        "the handles are placed on a bag that is a tube already",
        too_late,
    )
    .harmless_if(
        "the handles are set at the rim, which is still open: the machine gets at it all round",
    ),
    Kind::new(
        "fold-left-out",
        "the strips of the handles are not folded: their long edges stay raw",
        unfolded,
    ),
    Kind::new(
        "folded-from-another-width",
        "the folding names another width than the strips have",
        fold_width,
    ),
    Kind::new("handle-on-one-side", "only one of the two handles is placed", one_handle),
    Kind::new("box-left-out", "nothing is sewn across a strap where its pull comes", unboxed),
    Kind::new("box-off-the-strap", "the box with the cross lies beside the strap", box_beside),
];

const EYE: &str = "it is a difference of less than 1 mm, which no eye sees on a bag";

/// Steps that place straps, with the index of such an item.
fn straps(pattern: &Pattern) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    for index in steps::<Place>(pattern) {
        let place = pattern.steps[index].as_a::<Place>();
        let items = place.map_or(&[][..], |place| place.items.as_slice());
        found.extend(
            (0..items.len()).filter(|at| !items[*at].feet.is_empty()).map(|at| (index, at)),
        );
    }
    found
}

/// A strap by the step that places it and the index of the item, with the item.
fn one_of<'p>(pattern: &'p Pattern, rng: &mut Rng) -> Option<((usize, usize), &'p Placed)> {
    let (index, at) = *rng.pick(&straps(pattern))?;
    let place = pattern.steps[index].as_a::<Place>()?;
    Some(((index, at), place.items.get(at)?))
}

/// The pattern with a strap's placing changed, and its step.
fn with_strap(
    pattern: &Pattern,
    (index, at): (usize, usize),
    what: &str,
    edit: impl FnOnce(&mut Placed),
) -> Option<Seeded> {
    let changed = change(pattern, index, |place: &mut Place| edit(&mut place.items[at]))?;
    let what = format!("`{}`, handle {at}{what}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn twisted(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (strap, item) = one_of(pattern, rng)?;
    let end = rng.below(item.feet.len());
    let alone = item.feet.len() == 1 && is_webbing(pattern, pattern.copy(item.what).piece);
    let seeded = with_strap(pattern, strap, "", |item| {
        item.feet[end].face_up = item.feet[end].face_up.other();
    })?;
    Some(seeded.harmless_if(alone))
}

fn wrong_side(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (strap, _) = one_of(pattern, rng)?;
    let seeded = with_strap(pattern, strap, "", |item| {
        item.face_up = FaceSide::Wrong;
        item.feet.iter_mut().for_each(|foot| foot.face_up = FaceSide::Wrong);
    })?;
    Some(seeded.harmless_if(true))
}

/// Half a millimetre to two centimetres; half of them harmless would be too many, so few are.
fn off(rng: &mut Rng) -> Length {
    if rng.below(8) == 0 { Length::nm(500_000) } else { slip(rng, 3, 25) }
}

fn moved_foot(
    pattern: &Pattern,
    rng: &mut Rng,
    by: Length,
    edit: impl FnOnce(&mut Foot, Length),
) -> Option<Seeded> {
    let end = rng.below(2);
    let what = format!(", by {} mm", by.to_mm());
    let (strap, _) = one_of(pattern, rng)?;
    let seeded = with_strap(pattern, strap, &what, |item| {
        let end = end.min(item.feet.len() - 1);
        edit(&mut item.feet[end], by);
    })?;
    Some(seeded.harmless_if(by < Length::MM))
}

fn uneven(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let by = off(rng);
    let by = if rng.flip() { by } else { -by };
    let small = by.abs();
    let seeded = moved_foot(pattern, rng, by, |foot, by| {
        foot.at = Point::new(foot.at.x + by, foot.at.y);
    })?;
    Some(seeded.harmless_if(small < Length::MM))
}

fn higher(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let by = off(rng);
    moved_foot(pattern, rng, by, |foot, by| {
        foot.at = Point::new(foot.at.x, foot.at.y + by);
    })
}

fn wider(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let by = off(rng);
    let (strap, item) = one_of(pattern, rng)?;
    if item.feet.len() != 2 {
        return None;
    }
    let what = format!(", each leg by {} mm", by.to_mm());
    let mut seeded = with_strap(pattern, strap, &what, |item| {
        if let [a, b] = item.feet.as_mut_slice() {
            let sign = if a.at.x < b.at.x { 1 } else { -1 };
            a.at = Point::new(a.at.x - by * sign, a.at.y);
            b.at = Point::new(b.at.x + by * sign, b.at.y);
        }
    })?;
    // Which of the two is out of place, nobody can say: both are.
    seeded.sites.extend(pattern.claims.handles.iter().map(|handle| Site::Copy(handle.strap)));
    Some(seeded.harmless_if(by < Length::MM))
}

/// The piece that the straps are cut from.
fn strap_piece(pattern: &Pattern) -> Option<PieceId> {
    pattern.claims.handles.first().map(|handle| pattern.copy(handle.strap).piece)
}

/// The outline of a strap with its longer way changed.
fn lengthened(pattern: &Pattern, piece: PieceId, by: Length, along: bool) -> Vec<Point> {
    let (width, height) = pattern.piece(piece).net_size();
    let up = (width < height) == along;
    let middle = if up { height.half() } else { width.half() };
    let points = corners(pattern, piece);
    let far = |point: &Point| if up { point.y > middle } else { point.x > middle };
    let away = |point: Point| match (far(&point), up) {
        (false, _) => point,
        (true, true) => Point::new(point.x, point.y + by),
        (true, false) => Point::new(point.x + by, point.y),
    };
    points.into_iter().map(away).collect()
}

fn signed(rng: &mut Rng, least: i64, most: i64) -> Length {
    let by = slip(rng, least, most);
    if rng.flip() { by } else { -by }
}

fn handle_sites(pattern: &Pattern, piece: PieceId) -> Vec<Site> {
    let mut sites = piece_sites(pattern, piece);
    sites.push(Site::Parameter("handles.drop"));
    sites
}

fn shorter_one(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = strap_piece(pattern)?;
    let strap: CopyId = pattern.copies_of(piece).last()?;
    if pattern.count(piece) < 2 {
        return None;
    }
    let by = signed(rng, 4, 60);
    let mut changed = pattern.clone();
    let mut own = pattern.piece(piece).clone();
    own.id.push_str("-2");
    changed.pieces.push(own);
    let other = PieceId(changed.pieces.len() - 1);
    changed.copies[strap.0].piece = other;
    let changed = recut(&changed, other, lengthened(pattern, piece, by, true))?;
    let what = format!("by {} mm", by.to_mm());
    Some(Seeded::new(changed, what, handle_sites(pattern, piece)))
}

fn shorter_both(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = strap_piece(pattern)?;
    let by = signed(rng, 4, 100);
    let changed = recut(pattern, piece, lengthened(pattern, piece, by, true))?;
    let what = format!("by {} mm", by.to_mm());
    Some(Seeded::new(changed, what, handle_sites(pattern, piece)))
}

fn other_width(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = strap_piece(pattern)?;
    if is_webbing(pattern, piece) {
        return None;
    }
    let by = signed(rng, 6, 24);
    let changed = recut(pattern, piece, lengthened(pattern, piece, by, false))?;
    let what = format!("by {} mm", by.to_mm());
    Some(Seeded::new(changed, what, handle_sites(pattern, piece)))
}

/// The handle that a strap makes.
fn claim_of(pattern: &Pattern, strap: CopyId) -> Option<&HandleClaim> {
    pattern.claims.handles.iter().find(|handle| handle.strap == strap)
}

fn caught(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let holds_straps =
        |down: &StitchDown| down.items.iter().any(|item| claim_of(pattern, item.what).is_some());
    let index = *rng.pick(&steps_where(pattern, holds_straps))?;
    let mut sites = step_sites(pattern, index);
    let step = pattern.steps[index].clone();
    let mut down = step.as_a::<StitchDown>()?.clone();
    let strap = claim_of(pattern, down.items.first()?.what)?;
    let rim = strap.feet[0].y;
    // A rim that is turned down has no seam there.
    let (low, high) = pattern.piece_of(strap.on).net.bounds();
    if rim != low.y && rim != high.y {
        return None;
    }
    // The stitches of one leg run on up to the rim of the top panel.
    let item = down.items.iter_mut().rfind(|item| item.what == strap.strap)?;
    let line: &mut Line = item.lines.iter_mut().max_by_key(|line| line.to.y.max(line.from.y))?;
    if item.onto == strap.on {
        let upper = if line.to.y > line.from.y { &mut line.to } else { &mut line.from };
        *upper = Point::new(upper.x, rim);
    } else {
        return None;
    }
    let mut changed = pattern.clone();
    changed.steps[index].operation = Arc::new(down);
    // It shows when the rim is sewn.
    let on = strap.on;
    let sews =
        changed.steps.iter().skip(index).filter(|step| step.operation.copies().contains(&on));
    sites.extend(sews.map(|step| Site::Step(step.id.clone())));
    Some(Seeded::new(changed, format!("by `{}`", pattern.steps[index].id), sites))
}

fn free_end(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, at) = *rng.pick(&straps(pattern))?;
    let end = rng.below(2);
    let levels = pattern.steps[index].as_a::<Place>()?.items[at].level.len();
    if end >= levels {
        return None;
    }
    let changed = change(pattern, index, |place: &mut Place| {
        place.items[at].level.remove(end);
    })?;
    let what = format!("`{}`, handle {at}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn too_late(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, _) = *rng.pick(&straps(pattern))?;
    let side = pattern.steps.iter().rposition(|step| step.id.starts_with("outside-"))?;
    if side < index {
        return None;
    }
    let changed = moved(pattern, index, side + 1);
    let strap_steps = pattern.steps.iter().enumerate().filter(|(_, step)| {
        step.operation.copies().iter().any(|copy| claim_of(pattern, *copy).is_some())
    });
    let sites = strap_steps.flat_map(|(at, _)| step_sites(pattern, at)).collect();
    let at_rim = pattern.claims.handles.iter().all(|handle| !handle.from_base);
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites).harmless_if(at_rim))
}

fn unfolded(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<FoldStrip>(pattern))?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, step_sites(pattern, index)))
}

fn fold_width(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<FoldStrip>(pattern))?;
    let by = signed(rng, 4, 20);
    let changed = change(pattern, index, |fold: &mut FoldStrip| fold.cut_width += by)?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn one_handle(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, at) = *rng.pick(&straps(pattern))?;
    let place = pattern.steps[index].as_a::<Place>()?;
    let strap = place.items[at].what;
    let mut sites = step_sites(pattern, index);
    let next = pattern.steps.iter().skip(index).filter(|s| s.operation.copies().contains(&strap));
    sites.extend(next.map(|step| Site::Step(step.id.clone())));
    let changed = change(pattern, index, |place: &mut Place| {
        place.items.remove(at);
    })?;
    Some(Seeded::new(changed, format!("`{}`, handle {at}", pattern.steps[index].id), sites))
}

fn unboxed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxAndX>(pattern))?;
    let mut sites = step_sites(pattern, index);
    sites.push(Site::Parameter("handles"));
    let what = format!("`{}`", pattern.steps[index].id);
    let boxes = pattern.steps[index].as_a::<BoxAndX>()?.boxes.len();
    // All of them, or the one of a single leg.
    let changed = if rng.flip() || boxes < 2 {
        without(pattern, index)
    } else {
        let at = rng.below(boxes);
        change(pattern, index, |boxed: &mut BoxAndX| {
            boxed.boxes.remove(at);
        })?
    };
    Some(Seeded::new(changed, what, sites))
}

fn box_beside(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxAndX>(pattern))?;
    let by = signed(rng, 12, 60);
    let at = rng.below(pattern.steps[index].as_a::<BoxAndX>()?.boxes.len());
    let changed = change(pattern, index, |boxed: &mut BoxAndX| {
        let low = &mut boxed.boxes[at].2;
        *low = Point::new(low.x + by, low.y);
    })?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}
