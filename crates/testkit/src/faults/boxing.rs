//! Boxed corners: at a wrong depth, on one side only, too early, too late, twice.

use bag::assembly::{Assembly, SideOut};
use bag::operations::{BoxCorner, Turn};
use bag::pattern::Pattern;
use measure::Length;

use super::edit::{change, moved, slip, step_sites, steps, steps_where};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new(
        "boxed-at-a-wrong-depth",
        "the corners are boxed at another distance from the tip",
        tip,
    ),
    Kind::new(
        "boxed-line-told-wrong",
        "the step tells another length of line than the distance gives",
        told,
    ),
    Kind::new(
        "boxed-as-if-without-zip",
        "the corners at a zip are boxed as far from its seams as from the side seam",
        without_zip,
    ),
    Kind::new("one-layer-boxed-deeper", "outside and lining are boxed to different depths", deeper),
    Kind::new("one-corner-boxed", "only one of the two corners is boxed", one_corner),
    Kind::new("one-panel-boxed", "a corner is boxed on one of its two panels only", one_panel),
    Kind::new(
        "boxed-before-the-seams",
        "the corners are boxed before their seams are sewn",
        too_early,
    ),
    Kind::new("boxed-after-turning", "the corners are boxed when the right side is out", too_late),
    Kind::new("boxed-twice", "a corner is boxed, and boxed again", twice),
    Kind::new(
        "corner-boxed-at-the-rim",
        "the corner at the rim is boxed instead of the one at the base",
        at_rim,
    ),
    Kind::new(
        "boxing-left-raw",
        "the trimmed edge of a boxed corner stays raw in an unlined bag",
        unfinished,
    ),
];

/// Boxed corners show in the size of the bag.
fn sites(pattern: &Pattern, index: usize) -> Vec<Site> {
    let mut sites = step_sites(pattern, index);
    sites.push(Site::Parameter("body.depth"));
    sites
}

fn signed(rng: &mut Rng, from: Length) -> Length {
    let by = slip(rng, 4, 20);
    if rng.flip() && from > by + Length::mm(5) { -by } else { by }
}

fn tip(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let by = signed(rng, pattern.steps[index].as_a::<BoxCorner>()?.tip);
    let changed = change(pattern, index, |boxing: &mut BoxCorner| boxing.tip += by)?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn told(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let by = signed(rng, Length::ZERO);
    let changed = change(pattern, index, |boxing: &mut BoxCorner| boxing.depth += by)?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

/// As wide as the zip shows, the top then comes out too deep for its sides.
fn without_zip(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at_zip =
        |boxing: &BoxCorner| boxing.corners.iter().flatten().any(|corner| corner.beside.is_some());
    let index = *rng.pick(&steps_where(pattern, at_zip))?;
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        for corner in boxing.corners.iter_mut().flatten() {
            corner.beside = None;
        }
    })?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn deeper(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let boxings = steps::<BoxCorner>(pattern);
    if boxings.len() < 2 {
        return None;
    }
    let index = *rng.pick(&boxings)?;
    let boxing = pattern.steps[index].as_a::<BoxCorner>()?;
    let by = signed(rng, boxing.tip);
    let corner = *boxing.corners.first()?.first()?;
    let depth = match corner.beside {
        Some(_) => boxing.depth + by * 2,
        None => corner.half_depth(pattern, boxing.tip + by) * 2,
    };
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        boxing.tip += by;
        boxing.depth = depth;
        for beside in boxing.corners.iter_mut().flatten().filter_map(|it| it.beside.as_mut()) {
            *beside += by;
        }
    })?;
    let mut sites = sites(pattern, index);
    sites.extend(boxings.iter().map(|other| Site::Step(pattern.steps[*other].id.clone())));
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, sites))
}

fn one_corner(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let at = rng.below(2);
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        boxing.corners.remove(at.min(boxing.corners.len() - 1));
    })?;
    let what = format!("`{}`, without corner {at}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn one_panel(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let of_two = |boxing: &BoxCorner| boxing.corners.iter().all(|corner| corner.len() > 1);
    let index = *rng.pick(&steps_where(pattern, of_two))?;
    let (at, panel) = (rng.below(2), rng.below(2));
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        boxing.corners[at].remove(panel);
    })?;
    let what = format!("`{}`, corner {at}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn too_early(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let copies = pattern.steps[index].operation.copies();
    let sews = |index: &usize| {
        let step = &pattern.steps[*index];
        matches!(step.operation.word(), "join" | "french-seam")
            && step.operation.copies().iter().any(|copy| copies.contains(copy))
    };
    let seams: Vec<usize> = (0..index).filter(sews).collect();
    let to = *seams.get(seams.len().checked_sub(1 + rng.below(2))?)?;
    let what = format!("`{}` before `{}`", pattern.steps[index].id, pattern.steps[to].id);
    Some(Seeded::new(moved(pattern, index, to), what, sites(pattern, index)))
}

fn too_late(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let corner = pattern.steps[index].operation.copies().first().copied()?;
    let after = (index + 1..=pattern.steps.len())
        .find(|at| Assembly::sew_first(pattern, *at).side_out(corner) == SideOut::Right)?;
    let turn = pattern.steps[after - 1].as_a::<Turn>()?;
    let what = format!("`{}` after turning {}", pattern.steps[index].id, turn.what);
    Some(Seeded::new(moved(pattern, index, after), what, sites(pattern, index)))
}

fn twice(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let at = rng.below(2);
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        let again = boxing.corners[at.min(boxing.corners.len() - 1)].clone();
        boxing.corners.push(again);
    })?;
    let what = format!("`{}`, corner {at}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn at_rim(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<BoxCorner>(pattern))?;
    let at = rng.below(2);
    let unfolded = pattern.steps[index]
        .as_a::<BoxCorner>()?
        .corners
        .iter()
        .flatten()
        .all(|corner| corner.fold.is_none());
    if !unfolded {
        return None;
    }
    let changed = change(pattern, index, |boxing: &mut BoxCorner| {
        let at = at.min(boxing.corners.len() - 1);
        for corner in &mut boxing.corners[at] {
            corner.base = (corner.base + 2) % 4;
        }
    })?;
    let what = format!("`{}`, corner {at}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}

fn unfinished(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps_where(pattern, |boxing: &BoxCorner| boxing.finish.is_some()))?;
    let changed = change(pattern, index, |boxing: &mut BoxCorner| boxing.finish = None)?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites(pattern, index)))
}
