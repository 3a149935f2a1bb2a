//! Steps swapped, moved, dropped and doubled.

use bag::operations::{MarkPieces, PressSeam, Topstitch, TrimCorners};
use bag::pattern::Pattern;

use super::edit::{moved, step_sites, without};
use super::independence::{RULES, either_order};
use super::{Kind, Seeded};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("steps-swapped", "two steps change places", swapped).harmless_if(RULES),
    Kind::new("step-moved", "one step is told earlier or later than it should be", shifted)
        .harmless_if(RULES),
    Kind::new("step-dropped", "a step is left out", dropped).harmless_if(
        "the step presses, trims corners or topstitches: the bag is whole without it, every edge \
         that it passes is sewn by another step, and only crispness is lost",
    ),
    Kind::new("step-doubled", "a step is told twice", doubled).harmless_if(
        "the step presses, trims corners, topstitches or marks: doing it again on the same line \
         changes nothing but time and thread",
    ),
];

/// Whether a step only makes crisp what other steps have sewn.
fn makes_crisp(pattern: &Pattern, index: usize) -> bool {
    let step = &pattern.steps[index];
    step.as_a::<PressSeam>().is_some()
        || step.as_a::<TrimCorners>().is_some()
        || step.as_a::<Topstitch>().is_some()
}

fn swapped(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (first, second) = two(pattern, rng)?;
    let mut changed = pattern.clone();
    changed.steps.swap(first, second);
    let harmless = (first..=second)
        .all(|other| either_order(pattern, first, other) && either_order(pattern, second, other));
    let what = format!("`{}` and `{}`", pattern.steps[first].id, pattern.steps[second].id);
    let sites = [step_sites(pattern, first), step_sites(pattern, second)].concat();
    Some(Seeded::new(changed, what, sites).harmless_if(harmless))
}

/// Two different steps, the earlier first; often neighbours, as slips are.
fn two(pattern: &Pattern, rng: &mut Rng) -> Option<(usize, usize)> {
    let count = pattern.steps.len();
    let first = rng.below(count.checked_sub(1)?);
    let reach = if rng.flip() { 2 } else { count - first - 1 };
    let second = first + 1 + rng.below(reach.min(count - first - 1));
    Some((first, second))
}

fn shifted(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (first, second) = two(pattern, rng)?;
    let (from, changed) = if rng.flip() {
        (first, moved(pattern, first, second + 1))
    } else {
        (second, moved(pattern, second, first))
    };
    let harmless = (first..=second).all(|other| either_order(pattern, from, other));
    let other = if from == first { second } else { first };
    let side = if from == first { "behind" } else { "before" };
    let what = format!("`{}` {side} `{}`", pattern.steps[from].id, pattern.steps[other].id);
    let mut sites = step_sites(pattern, from);
    // What should have come after it shows the fault when its turn comes.
    sites.extend((first..=second).flat_map(|index| step_sites(pattern, index).into_iter().take(1)));
    Some(Seeded::new(changed, what, sites).harmless_if(harmless))
}

fn dropped(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = rng.below(pattern.steps.len());
    let step = pattern.steps.get(index)?;
    let sites = step_sites(pattern, index);
    let harmless = makes_crisp(pattern, index);
    let what = format!("`{}`", step.id);
    Some(Seeded::new(without(pattern, index), what, sites).harmless_if(harmless))
}

fn doubled(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = rng.below(pattern.steps.len());
    let mut again = pattern.steps.get(index)?.clone();
    let mut sites = step_sites(pattern, index);
    let what = format!("`{}`", again.id);
    again.id.push_str("-again");
    sites.push(super::Site::Step(again.id.clone()));
    let mut changed = pattern.clone();
    let to =
        if rng.flip() { index + 1 } else { index + 1 + rng.below(pattern.steps.len() - index) };
    changed.steps.insert(to, again);
    let marks = pattern.steps[index].as_a::<MarkPieces>().is_some();
    Some(Seeded::new(changed, what, sites).harmless_if(marks || makes_crisp(pattern, index)))
}
