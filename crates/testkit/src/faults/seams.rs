//! Seams: joined to the wrong edge, the wrong way round, with the wrong faces, or in part only.

use std::sync::Arc;

use bag::assembly::Assembly;
use bag::operations::{EdgeFinish, FinishEdges, FrenchSeam, Gap, Join, Meeting};
use bag::pattern::{Pattern, Run, Span};
use measure::Length;

use super::edit::{change, step_sites, steps, steps_where};
use super::{Kind, Seeded};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("wrong-edge", "a seam sews an edge to another edge than it belongs to", wrong_edge),
    Kind::new(
        "panel-flipped",
        "one side of a seam runs the other way, so that right side meets wrong side",
        flipped,
    ),
    Kind::new(
        "sides-crossed",
        "the left side of one panel is sewn to the left side of the other",
        crossed,
    ),
    Kind::new(
        "wrong-sides-meet",
        "a plain seam is sewn with the wrong sides together",
        wrong_sides,
    )
    .harmless_if(
        "it joins panels that lie flat, and is bound afterwards: the binding shows on the right \
         side, and nothing is raw",
    ),
    Kind::new("seam-of-two-left-out", "of two seams in one step, one is left out", one_of_two),
    Kind::new("seam-stops-short", "a seam ends before its edge does", stops_short),
    Kind::new(
        "opening-too-many",
        "a seam leaves an opening that nothing turns through",
        stray_opening,
    ),
    Kind::new(
        "ease-undeclared",
        "a difference between two edges that is eased in without being told",
        ease_lost,
    ),
];

/// Steps that sew seams, plain or French.
fn seams(pattern: &Pattern) -> Vec<usize> {
    let mut seams = steps::<Join>(pattern);
    seams.extend(steps::<FrenchSeam>(pattern));
    seams.sort_unstable();
    seams
}

/// The pattern with the seams of one step changed.
fn with_seams(
    pattern: &Pattern,
    index: usize,
    edit: impl FnOnce(&mut Vec<[Run; 2]>) -> bool,
) -> Option<Pattern> {
    let mut changed = pattern.clone();
    let step = &mut changed.steps[index];
    if let Some(join) = step.as_a::<Join>() {
        let mut join = join.clone();
        edit(&mut join.seams).then_some(())?;
        step.operation = Arc::new(join);
    } else {
        let mut seam = step.as_a::<FrenchSeam>()?.clone();
        edit(&mut seam.seams).then_some(())?;
        step.operation = Arc::new(seam);
    }
    Some(changed)
}

fn wrong_edge(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&seams(pattern))?;
    let (side, by) = (rng.below(2), 1 + rng.below(3));
    let seam = rng.below(2);
    let changed = with_seams(pattern, index, |seams| {
        let Some(pair) = seams.get_mut(seam) else { return false };
        let run = &mut pair[side];
        let [span] = run.spans.as_slice() else { return false };
        let net = &pattern.piece_of(span.copy).net;
        let edge = (span.edge + by) % net.edge_count();
        let to = net.edge_length(edge);
        let whole = Span { copy: span.copy, edge, from: Length::ZERO, to };
        let whole = if span.from <= span.to { whole } else { whole.reversed() };
        let changed = edge != span.edge;
        run.spans = vec![whole];
        changed
    })?;
    let what = format!("`{}`, side {side}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn flipped(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&seams(pattern))?;
    let (seam, side) = (rng.below(2), rng.below(2));
    let changed = with_seams(pattern, index, |seams| {
        let Some(pair) = seams.get_mut(seam) else { return false };
        pair[side] = pair[side].reversed();
        true
    })?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn crossed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&seams(pattern))?;
    let changed = with_seams(pattern, index, |seams| {
        let [first, second] = seams.as_mut_slice() else { return false };
        // Two copies of one piece are alike on the table: to take the one for the other is none.
        let place =
            |run: &Run| run.spans.first().map(|span| (pattern.copy(span.copy).piece, span.edge));
        let differs = place(&first[1]) != place(&second[1]);
        std::mem::swap(&mut first[1], &mut second[1]);
        differs
    })?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn wrong_sides(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let right = steps_where(pattern, |join: &Join| join.meet == Meeting::RightSides);
    let index = *rng.pick(&right)?;
    let changed = change(pattern, index, |join: &mut Join| join.meet = Meeting::WrongSides)?;
    let what = format!("`{}`", pattern.steps[index].id);
    let sewn = pattern.steps[index].operation.copies();
    let flat = sewn.iter().all(|copy| Assembly::sew_first(pattern, index + 1).lies_flat(*copy));
    let bound = steps_where(pattern, |finish: &FinishEdges| {
        matches!(finish.how, EdgeFinish::Bound(_))
            && sewn.iter().all(|copy| finish.runs.iter().any(|run| run.copies().contains(copy)))
            && finish.runs.iter().all(|run| run.copies().iter().all(|copy| sewn.contains(copy)))
    });
    let harmless = flat && !bound.is_empty();
    Some(Seeded::new(changed, what, step_sites(pattern, index)).harmless_if(harmless))
}

fn one_of_two(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&seams(pattern))?;
    let left_out = rng.below(2);
    let changed = with_seams(pattern, index, |seams| {
        let two = seams.len() > 1;
        if two {
            seams.remove(left_out);
        }
        two
    })?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn stops_short(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&seams(pattern))?;
    let by = Length::mm(rng.between(5, 60));
    let changed = with_seams(pattern, index, |seams| {
        let pair = &mut seams[0];
        if pair[0].closed {
            return false;
        }
        for run in pair {
            let Some(span) = run.spans.last_mut() else { return false };
            if span.length() < by * 2 {
                return false;
            }
            span.to = if span.from <= span.to { span.to - by } else { span.to + by };
        }
        true
    })?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn stray_opening(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let whole = steps_where(pattern, |join: &Join| join.gaps.is_empty());
    let index = *rng.pick(&whole)?;
    let long = pattern.steps[index].as_a::<Join>()?.seams.first()?[0].length();
    let from = long * rng.between(2, 5) / 10;
    let gap = Gap { from, to: from + long / 10 };
    let changed = change(pattern, index, |join: &mut Join| join.gaps = vec![gap])?;
    let what = format!("in `{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn ease_lost(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<Join>(pattern))?;
    let by = Length::mm(rng.between(2, 20));
    let changed = change(pattern, index, |join: &mut Join| join.ease += by)?;
    let what = format!("`{}`, {} mm of ease", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}
