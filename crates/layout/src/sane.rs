//! Refuses problems that make no sense, so that the solvers can count without overflow.

use measure::Length;

use crate::{Cutting, Item, JoinPlace, NoLayout, Problem, Shape, Shrinkage, Stock, odd};

/// Nothing that is cut or sold is longer than this.
const LONGEST: Length = Length::mm(1_000_000);

/// The most pieces in one problem; a class kit has hundreds.
const MOST_PIECES: u64 = 20_000;

/// The most pieces that are laid by their true outlines at once; what each pair of them weighs is
/// kept while a search goes on.
const MOST_ODD: u64 = 2_000;

/// Whether the problem makes sense.
pub(crate) fn check(problem: &Problem) -> Result<(), NoLayout> {
    let faults = [
        (
            problem.stock.width().is_some_and(|width| !is_size(width)),
            "the usable width must be more than nothing and at most 1 km",
        ),
        (
            matches!(&problem.stock, Stock::Remnants(all) if !are_remnants(all)),
            "there must be 1 to 1000 remnants, each more than nothing and at most 1 km either way, \
             with outlines that do not cross or touch themselves",
        ),
        (
            matches!(problem.stock, Stock::Bolt { repeat: (across, along), .. }
                if !is_room(across) || !is_room(along)),
            "the pattern repeat cannot be negative or above 1 km",
        ),
        (
            matches!(problem.cutting, Cutting::StripsFirst { longest_cut: Some(longest) }
                if !is_size(longest)),
            "the longest cut must be more than nothing and at most 1 km",
        ),
        (!is_room(problem.gap), "the gap between pieces cannot be negative or above 1 km"),
        (!is_room(problem.squaring), "the squaring allowance cannot be negative or above 1 km"),
        (problem.copies == 0, "at least one set of pieces must be cut"),
        (
            problem.shrinkage.lengthwise.max(problem.shrinkage.crosswise) > Shrinkage::MOST,
            "shrinkage above 50 % is not taken; check the number",
        ),
    ];
    if let Some((_, what)) = faults.iter().find(|(is_wrong, _)| *is_wrong) {
        return Err(NoLayout::Nonsense((*what).to_owned()));
    }
    let pieces: u64 = problem.pieces.iter().map(|item| u64::from(item.count)).sum();
    if pieces.saturating_mul(u64::from(problem.copies)) > MOST_PIECES {
        let what = format!("more than {MOST_PIECES} pieces at once; lay fewer sets at a time");
        return Err(NoLayout::Nonsense(what));
    }
    match problem.pieces.iter().find_map(fault) {
        Some(what) => Err(NoLayout::Nonsense(what)),
        None => Ok(()),
    }
}

/// Whether there is a solver for what the problem asks.
pub(crate) fn is_solved(problem: &Problem) -> Result<(), NoLayout> {
    let unsolved = |what: &str| Err(NoLayout::Unsolved(what.to_owned()));
    match &problem.stock {
        Stock::Remnants(all)
            if problem.cutting != Cutting::Free
                && all.iter().any(|one| matches!(one, Shape::Outline(_))) =>
        {
            return unsolved(
                "strips are cut across a rectangle: give the rectangle that each remnant is squared \
                 to, or cut in any order",
            );
        }
        Stock::Bolt { fold: true, repeat, .. }
            if *repeat != (Length::ZERO, Length::ZERO)
                && problem.pieces.iter().any(|item| item.group.is_some()) =>
        {
            return unsolved(
                "a print cannot be matched on folded fabric, where the layer beneath is not seen; \
                 lay it flat",
            );
        }
        Stock::Bolt { .. } | Stock::Remnants(_) => {}
    }
    let pieces: u64 = problem.pieces.iter().map(|item| u64::from(item.count)).sum();
    let is_odd = odd::is_odd(problem) || odd::remnants::is_odd(problem);
    if is_odd && pieces.saturating_mul(u64::from(problem.copies)) > MOST_ODD {
        let what = format!(
            "more than {MOST_ODD} pieces at once with outlines, on folded fabric or on a print that \
             has to match; lay fewer sets at a time"
        );
        return Err(NoLayout::Unsolved(what));
    }
    let is_free = problem.cutting == Cutting::Free && problem.stock.width().is_some();
    if problem.pieces.iter().any(|item| item.on_fold) && !is_free {
        return unsolved("pieces lie on the fold of a bolt only, and are cut in any order there");
    }
    let has_print = matches!(problem.stock, Stock::Bolt { repeat, .. }
        if repeat != (Length::ZERO, Length::ZERO));
    if has_print && problem.pieces.iter().any(|item| item.group.is_some()) && !is_free {
        return unsolved("a print is matched only where pieces are cut in any order");
    }
    Ok(())
}

fn are_remnants(all: &[Shape]) -> bool {
    let is_right = |shape: &Shape| {
        let (width, length) = shape.size();
        let is_simple = match shape {
            Shape::Rect { .. } => true,
            Shape::Outline(outline) => outline.is_simple(),
        };
        is_size(width) && is_size(length) && is_simple
    };
    (1..=1000).contains(&all.len()) && all.iter().all(is_right)
}

/// What is wrong with one piece.
fn fault(item: &Item) -> Option<String> {
    let (width, length) = item.shape.size();
    let is_outline = matches!(item.shape, Shape::Outline(_));
    let what = if !is_size(width) || !is_size(length) {
        "its width and length must be more than nothing and at most 1 km"
    } else if item.rotations.iter().next().is_none() {
        "it may lie in no way at all; allow at least one rotation"
    } else if let Shape::Outline(outline) = &item.shape
        && !outline.is_simple()
    {
        "its outline crosses or touches itself; give the corners in order round the piece"
    } else if item.join.is_some() && is_outline {
        "only rectangles can be joined from strips; cut it in one piece"
    } else if item.join.is_some_and(|join| !is_room(join.allowance)) {
        "the allowance of its joins cannot be negative or above 1 km"
    } else if item
        .join
        .is_some_and(|join| matches!(join.place, JoinPlace::WithinEnd(within) if !is_room(within)))
    {
        "the distance of its joins from the ends cannot be negative or above 1 km"
    } else {
        return None;
    };
    Some(format!("{}: {what}", item.name))
}

fn is_size(length: Length) -> bool {
    length.is_positive() && length <= LONGEST
}

fn is_room(length: Length) -> bool {
    length >= Length::ZERO && length <= LONGEST
}
