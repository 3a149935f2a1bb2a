//! Openings for turning: left out, too small, never closed, closed too soon.

use bag::assembly::Assembly;
use bag::operations::{CloseGap, Join, StitchDown, Through, Turn};
use bag::pattern::Pattern;
use measure::Length;

use super::edit::{change, moved, slip, step_sites, steps, steps_where, without};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new(
        "opening-dropped",
        "a seam is sewn all along, with no opening to turn through",
        dropped,
    ),
    Kind::new("opening-too-small", "an opening that no few fingers go through", small).warned(),
    Kind::new("opening-never-closed", "the opening stays open in the finished bag", unclosed),
    Kind::new("opening-closed-too-soon", "the opening is closed before turning", closed_early),
    Kind::new("turned-through-another", "the turning names a step that left no opening", elsewhere),
    Kind::new("closes-another", "the closing names a step that left no opening", closes_another),
    Kind::new("turning-left-out", "a body stays wrong side out", unturned),
];

fn with_gaps(pattern: &Pattern) -> Vec<usize> {
    steps_where(pattern, |join: &Join| !join.gaps.is_empty())
}

/// A step and the steps that name it: those that turn through its opening or close it.
fn opening_sites(pattern: &Pattern, index: usize) -> Vec<Site> {
    let id = &pattern.steps[index].id;
    let mut sites = step_sites(pattern, index);
    for (other, step) in pattern.steps.iter().enumerate() {
        let turns =
            step.as_a::<Turn>().is_some_and(|turn| turn.through == Through::Opening(id.clone()));
        let closes = step.as_a::<CloseGap>().is_some_and(|close| close.left_by == *id)
            || step.as_a::<StitchDown>().is_some_and(|down| down.closes.as_ref() == Some(id));
        if turns || closes {
            sites.extend(step_sites(pattern, other));
        }
    }
    sites
}

fn dropped(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&with_gaps(pattern))?;
    let changed = change(pattern, index, |join: &mut Join| join.gaps.clear())?;
    let what = format!("of `{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, opening_sites(pattern, index)))
}

fn small(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&with_gaps(pattern))?;
    let left = slip(rng, 5, 35);
    let changed = change(pattern, index, |join: &mut Join| {
        for gap in &mut join.gaps {
            gap.to = gap.from + left.min(gap.to - gap.from - Length::MM);
        }
    })?;
    let what = format!("of `{}`, {} mm", pattern.steps[index].id, left.to_mm());
    Some(Seeded::new(changed, what, opening_sites(pattern, index)))
}

fn closing(pattern: &Pattern) -> Vec<usize> {
    let mut closing = steps::<CloseGap>(pattern);
    closing.extend(steps_where(pattern, |down: &StitchDown| down.closes.is_some()));
    closing
}

fn unclosed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&closing(pattern))?;
    let step = &pattern.steps[index];
    let left_by = match (step.as_a::<CloseGap>(), step.as_a::<StitchDown>()) {
        (Some(close), _) => close.left_by.clone(),
        (_, Some(down)) => down.closes.clone()?,
        _ => return None,
    };
    let changed = if step.as_a::<CloseGap>().is_some() {
        without(pattern, index)
    } else {
        change(pattern, index, |down: &mut StitchDown| down.closes = None)?
    };
    let mut sites = step_sites(pattern, index);
    sites.push(Site::Step(left_by));
    Some(Seeded::new(changed, format!("by `{}`", step.id), sites))
}

fn closed_early(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<CloseGap>(pattern))?;
    let close = pattern.steps[index].as_a::<CloseGap>()?;
    let turns = |turn: &Turn| turn.through == Through::Opening(close.left_by.clone());
    let turn = *steps_where(pattern, turns).first()?;
    let sites = [step_sites(pattern, index), step_sites(pattern, turn)].concat();
    let what = format!("`{}` before `{}`", pattern.steps[index].id, pattern.steps[turn].id);
    Some(Seeded::new(moved(pattern, index, turn), what, sites))
}

/// A seam that leaves no opening.
fn whole_seam(pattern: &Pattern, rng: &mut Rng) -> Option<String> {
    let whole = steps_where(pattern, |join: &Join| join.gaps.is_empty());
    rng.pick(&whole).map(|index| pattern.steps[*index].id.clone())
}

fn elsewhere(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let turning = steps_where(pattern, |turn: &Turn| turn.through != Through::Rim);
    let index = *rng.pick(&turning)?;
    let other = whole_seam(pattern, rng)?;
    let what = format!("`{}` through `{other}`", pattern.steps[index].id);
    let through = Through::Opening(other);
    let changed = change(pattern, index, |turn: &mut Turn| turn.through = through)?;
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn closes_another(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<CloseGap>(pattern))?;
    let other = whole_seam(pattern, rng)?;
    let what = format!("`{}` closes `{other}`", pattern.steps[index].id);
    let changed = change(pattern, index, |close: &mut CloseGap| close.left_by = other)?;
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn unturned(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<Turn>(pattern))?;
    let turn = pattern.steps[index].as_a::<Turn>()?;
    let mut sites = step_sites(pattern, index);
    let work = Assembly::sew_first(pattern, index);
    let turned = turn.bodies.iter().flat_map(|body| work.body_copies(*body));
    sites.extend(turned.map(Site::Copy));
    // A body that is not turned shows in the next step at the latest.
    sites.extend(pattern.steps.get(index + 1).map(|step| Site::Step(step.id.clone())));
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, sites))
}
