//! The verifier of what is left over on remnants: whatever is not laid is said to be left over, and
//! nothing else.

use std::collections::BTreeSet;

use measure::Length;

use crate::faults::Fault;
use crate::verify_outlines::Solid;
use crate::{Item, Layout, Placement, Problem, Shape, Stock};

/// Whether a placement, which does not begin before its remnant, lies on it.
pub(crate) fn lies_on(problem: &Problem, item: &Item, one: &Placement) -> bool {
    let Stock::Remnants(all) = &problem.stock else { return false };
    let Some(remnant) = all.get(one.stock) else { return false };
    let (width, length) = remnant.size();
    let is_in_box = one.x + one.width <= width && one.y + one.length <= length;
    is_in_box
        && match remnant {
            Shape::Rect { .. } => true,
            Shape::Outline(outline) => Solid::new(item, one).is_within(&Solid::fabric(outline)),
        }
}

/// Checks what is said of a layout on remnants as a whole; the copies that are left over.
pub(crate) fn check(
    problem: &Problem,
    layout: &Layout,
    faults: &mut Vec<Fault>,
) -> BTreeSet<(usize, u32)> {
    let is_on_remnants = matches!(problem.stock, Stock::Remnants(_));
    let Some(fit) = &layout.fit else {
        if is_on_remnants {
            faults.push(Fault::Fit);
        }
        return BTreeSet::new();
    };
    let left_over: BTreeSet<_> = fit.left_over.iter().copied().collect();
    let is_known = |&(piece, copy): &(usize, u32)| {
        let item = problem.pieces.get(piece);
        let count = item.map_or(0, |item| u64::from(item.count) * u64::from(problem.copies));
        u64::from(copy) < count
    };
    let is_laid = |&(piece, copy): &(usize, u32)| {
        let joined = layout.joins.iter().any(|one| (one.piece, one.copy) == (piece, copy));
        let has_joins = layout.joins.iter().any(|one| one.piece == piece);
        let placed = layout.placements.iter().any(|one| (one.piece, one.copy) == (piece, copy));
        joined || (placed && !has_joins)
    };
    let is_wrong = !is_on_remnants
        || left_over.len() != fit.left_over.len()
        || !left_over.iter().all(is_known)
        || left_over.iter().any(is_laid);
    let lengths = [layout.width, layout.length, layout.needed, layout.bought, layout.bound];
    if is_wrong || lengths != [Length::ZERO; 5] || (left_over.is_empty() && !fit.is_proven) {
        faults.push(Fault::Fit);
    }
    left_over
}

/// The rest is free and lies on its remnant.
pub(crate) fn check_rest(problem: &Problem, layout: &Layout, faults: &mut Vec<Fault>) {
    let (Some(rest), Stock::Remnants(all)) = (layout.remnant, &problem.stock) else { return };
    let is_on = all.get(rest.stock).is_some_and(|remnant| {
        let (width, length) = remnant.size();
        let is_in_box = rest.x >= Length::ZERO
            && rest.y >= Length::ZERO
            && rest.width.is_positive()
            && rest.length.is_positive()
            && rest.x + rest.width <= width
            && rest.y + rest.length <= length;
        let of_outline = |outline| {
            let rectangle = Solid::rectangle((rest.x, rest.y), (rest.width, rest.length));
            rectangle.is_within(&Solid::fabric(outline))
        };
        is_in_box
            && match remnant {
                Shape::Rect { .. } => true,
                Shape::Outline(outline) => of_outline(outline),
            }
    });
    let is_free = layout.placements.iter().all(|one| {
        one.stock != rest.stock
            || one.x + one.width <= rest.x
            || rest.x + rest.width <= one.x
            || one.y + one.length <= rest.y
            || rest.y + rest.length <= one.y
    });
    if !is_on || !is_free {
        faults.push(Fault::Remnant);
    }
}
