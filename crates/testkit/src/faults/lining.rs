//! Outside and lining: put together with the wrong faces, out of size, or not at all.

use bag::operations::{CloseGap, DropIn, Join, Turn};
use bag::pattern::Pattern;
use measure::Length;

use super::edit::{change, recut, step_sites, steps, steps_where, without};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new(
        "outside-not-turned",
        "the outside goes into the lining wrong side out",
        outside_unturned,
    ),
    Kind::new(
        "lining-turned",
        "the lining is turned right side out before the outside goes in",
        lining_turned,
    ),
    Kind::new(
        "drop-in-left-out",
        "the rims are joined without the one bag lying in the other",
        not_dropped_in,
    ),
    Kind::new(
        "dropped-in-backwards",
        "the lining goes into the outside instead of the outside into the lining",
        backwards,
    ),
    Kind::new(
        "rims-of-different-length",
        "the lining is narrower or wider at the rim than the outside",
        rims_differ,
    ),
    Kind::new("rim-joined-backwards", "the lining's rim runs the other way round", rim_backwards),
    Kind::new(
        "rim-joined-askew",
        "front is sewn to back half way round, so that the side seams do not meet",
        rim_askew,
    ),
    Kind::new("rim-not-joined", "outside and lining are never joined", rim_unjoined),
    Kind::new("final-closing-left-out", "the opening in the lining is left open", unclosed),
];

/// The step that puts one body into another, its two copies, and the step that joins them.
fn together(pattern: &Pattern) -> Option<(usize, DropIn, usize)> {
    let drop_in = *steps::<DropIn>(pattern).first()?;
    let operation = pattern.steps[drop_in].as_a::<DropIn>()?.clone();
    let joins = steps_where(pattern, |join: &Join| join.seams.iter().any(|seam| seam[0].closed));
    let join = joins.into_iter().find(|index| *index > drop_in)?;
    Some((drop_in, operation, join))
}

fn sites(pattern: &Pattern, steps: &[usize]) -> Vec<Site> {
    steps.iter().flat_map(|index| step_sites(pattern, *index)).collect()
}

fn outside_unturned(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (drop_in, inner, join) = together(pattern)?;
    let turn = *steps_where(pattern, |turn: &Turn| turn.bodies == [inner.inner]).first()?;
    if turn > drop_in {
        return None;
    }
    let sites = sites(pattern, &[turn, drop_in, join]);
    Some(Seeded::new(without(pattern, turn), format!("`{}`", pattern.steps[turn].id), sites))
}

fn lining_turned(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (drop_in, inner, join) = together(pattern)?;
    let turn = *steps_where(pattern, |turn: &Turn| turn.bodies == [inner.inner]).first()?;
    let mut step = pattern.steps[turn].clone();
    step.id = "turn-lining".to_owned();
    let turning = step.as_a::<Turn>()?.clone();
    step.operation = std::sync::Arc::new(Turn { bodies: vec![inner.outer], ..turning });
    let mut changed = pattern.clone();
    changed.steps.insert(drop_in, step);
    let mut sites = sites(pattern, &[drop_in, join]);
    sites.push(Site::Step("turn-lining".to_owned()));
    Some(Seeded::new(changed, "before the outside goes in", sites))
}

fn not_dropped_in(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (drop_in, _, join) = together(pattern)?;
    let sites = sites(pattern, &[drop_in, join]);
    Some(Seeded::new(without(pattern, drop_in), "before the rim is joined", sites))
}

fn backwards(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (drop_in, _, join) = together(pattern)?;
    let changed = change(pattern, drop_in, |op: &mut DropIn| {
        std::mem::swap(&mut op.inner, &mut op.outer);
    })?;
    let what = format!("`{}`", pattern.steps[drop_in].id);
    Some(Seeded::new(changed, what, sites(pattern, &[drop_in, join])))
}

fn rims_differ(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (drop_in, op, join) = together(pattern)?;
    let piece = pattern.copy(op.outer).piece;
    let by = Length::mm(rng.between(2, 12));
    let by = if rng.flip() { by } else { -by };
    let points = super::edit::corners(pattern, piece);
    let middle = points.iter().map(|point| point.x).max()?.half();
    let top = points.iter().map(|point| point.y).max()?;
    // Wider at the rim, by as much on either side.
    let points = points.into_iter().map(|point| {
        let sign = if point.x < middle { -1 } else { 1 };
        let by = if point.y == top { by * sign } else { Length::ZERO };
        measure::Point::new(point.x + by, point.y)
    });
    let changed = recut(pattern, piece, points.collect())?;
    let sites = sites(pattern, &[drop_in, join]);
    Some(Seeded::new(changed, format!("by {} mm on either side", by.to_mm()), sites))
}

fn rim_backwards(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (_, _, join) = together(pattern)?;
    let side = rng.below(2);
    let changed = change(pattern, join, |join: &mut Join| {
        for seam in &mut join.seams {
            seam[side] = seam[side].reversed();
        }
    })?;
    let what = format!("`{}`, side {side}", pattern.steps[join].id);
    Some(Seeded::new(changed, what, sites(pattern, &[join])))
}

fn rim_askew(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (_, _, join) = together(pattern)?;
    let changed = change(pattern, join, |join: &mut Join| {
        // A quarter of the way round: the side seam of the one meets the middle of the other.
        for seam in &mut join.seams {
            let Some(first) = seam[1].spans.first().copied() else { continue };
            let middle = (first.from + first.to).half();
            seam[1].spans[0].from = middle;
            seam[1].spans.push(bag::pattern::Span { to: middle, ..first });
        }
    })?;
    let what = format!("`{}`", pattern.steps[join].id);
    Some(Seeded::new(changed, what, sites(pattern, &[join])))
}

fn rim_unjoined(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let (drop_in, _, join) = together(pattern)?;
    let mut sites = sites(pattern, &[drop_in, join]);
    let next = pattern.steps.get(join + 1);
    sites.extend(next.map(|step| Site::Step(step.id.clone())));
    Some(Seeded::new(without(pattern, join), format!("`{}`", pattern.steps[join].id), sites))
}

fn unclosed(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let index = *steps::<CloseGap>(pattern).last()?;
    let mut sites = sites(pattern, &[index]);
    sites.push(Site::Step(pattern.steps[index].as_a::<CloseGap>()?.left_by.clone()));
    Some(Seeded::new(without(pattern, index), format!("`{}`", pattern.steps[index].id), sites))
}
