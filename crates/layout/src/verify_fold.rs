//! The verifier's part for folded fabric and for prints that have to match.
//!
//! On folded fabric every cut goes through both layers. Opened out, what is cut is its own mirror
//! image about the fold: beside each piece its mirror image is cut as well, and is the same piece
//! (on the fold), another piece of the same kind, or a spare one, and nothing else may lie there.

use measure::Length;

use crate::faults::Fault;
use crate::verify_outlines::Solid;
use crate::{Cutting, Layout, Placement, Problem, Stock};

/// How far a piece may be from the mirror image that it stands for, in nanometres.
const SAME: i128 = 2_000;

/// Whether everything that is cut through both layers is accounted for.
pub(crate) fn check_fold(problem: &Problem, layout: &Layout, faults: &mut Vec<Fault>) {
    let Stock::Bolt { fold: true, .. } = problem.stock else { return };
    // Strips across the whole width come off as one piece, folded or not; how many layers each cut
    // goes through is checked with the cuts.
    if problem.cutting != Cutting::Free {
        return;
    }
    let solids: Vec<Option<Solid>> =
        layout.placements.iter().map(|one| solid(problem, one)).collect();
    for (index, one) in layout.placements.iter().enumerate() {
        let Some(image) = solids[index].as_ref().map(|solid| solid.mirrored(layout.width)) else {
            continue;
        };
        let item = &problem.pieces[one.piece];
        let is_on = lies_on(one, one, layout.width) && stands_for(&solids[index], &image);
        let mut is_wrong = item.on_fold && !is_on;
        for (other, two) in layout.placements.iter().enumerate() {
            if other == index && is_on {
                continue;
            }
            let is_partner = other != index
                && two.piece == one.piece
                && lies_on(one, two, layout.width)
                && stands_for(&solids[other], &image);
            let is_apart = || {
                let boxes = beside(one, two, layout.width, problem.gap);
                let shapes = solids[other].as_ref();
                boxes || shapes.is_some_and(|solid| solid.is_apart(&image, problem.gap))
            };
            is_wrong |= !is_partner && !is_apart();
        }
        if is_wrong {
            faults.push(Fault::Fold { placement: index });
        }
    }
}

fn solid(problem: &Problem, one: &Placement) -> Option<Solid> {
    problem.pieces.get(one.piece).map(|item| Solid::new(item, one))
}

fn stands_for(one: &Option<Solid>, image: &Solid) -> bool {
    one.as_ref().is_some_and(|one| one.is_like(image, SAME))
}

/// Whether the box of one lies where the mirror image of the other's is; the middle of the fabric
/// may lie between two nanometres.
fn lies_on(one: &Placement, two: &Placement, width: Length) -> bool {
    let across = (width - one.x - one.width - two.x).to_nm().abs();
    across <= 1 && one.y == two.y && one.width == two.width && one.length == two.length
}

/// Whether the box of one and the mirror image of the other's are the gap apart.
fn beside(one: &Placement, two: &Placement, width: Length, gap: Length) -> bool {
    let x = width - one.x - one.width;
    x + one.width + gap <= two.x
        || two.x + two.width + gap <= x
        || one.y + one.length + gap <= two.y
        || two.y + two.length + gap <= one.y
}

/// Whether pieces of a group lie at the same place of the print, the same way round.
pub(crate) fn check_match(problem: &Problem, layout: &Layout, faults: &mut Vec<Fault>) {
    let Stock::Bolt { repeat: (across, along), .. } = problem.stock else { return };
    let washed = |length: Length, lost: u32| {
        let left = i128::from(length.to_nm()) * (1_000_000 - i128::from(lost)) / 1_000_000;
        i64::try_from(left).unwrap_or(0)
    };
    let repeat =
        (washed(across, problem.shrinkage.crosswise), washed(along, problem.shrinkage.lengthwise));
    if repeat == (0, 0) {
        return;
    }
    let group = |one: &Placement| problem.pieces.get(one.piece).and_then(|i| i.group.as_deref());
    for (index, one) in layout.placements.iter().enumerate() {
        let Some(name) = group(one) else { continue };
        let first = layout.placements.iter().position(|first| group(first) == Some(name));
        let Some((other, first)) = first.and_then(|at| Some((at, layout.placements.get(at)?)))
        else {
            continue;
        };
        let is_off = |by: Length, repeat: i64| repeat > 0 && by.to_nm() % repeat != 0;
        let differs = is_off(one.x - first.x, repeat.0)
            || is_off(one.y - first.y, repeat.1)
            || one.rotation != first.rotation;
        if differs {
            faults.push(Fault::Match { one: other, other: index });
        }
    }
}
