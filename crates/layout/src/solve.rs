//! From a problem to a layout: the first one, and what all solvers share.

use measure::Length;

use crate::cuts::{Cut, Cuts, alternatives};
use crate::effort::Stop;
use crate::local::search;
use crate::pack::{Packing, Rect, Spot, shortest};
use crate::{
    Cutting, Layout, NoLayout, Placement, Problem, Proof, Stock, bound, odd, remnant, remnants,
    rotary, sane,
};

/// A first layout, at once: several tidy and several tight ways to pack, of which the shortest is
/// taken; a short search follows when a shorter purchase is not ruled out. The same problem always
/// gives the same layout.
///
/// # Errors
/// When a piece does not fit in any allowed way, or the problem makes no sense.
pub(crate) fn first(problem: &Problem) -> Result<Layout, NoLayout> {
    sane::check(problem)?;
    sane::is_solved(problem)?;
    if matches!(problem.stock, Stock::Remnants(_)) {
        let layout = if problem.cutting != Cutting::Free {
            rotary::remnants::solve(problem, 0, 1, &Stop::default())?
        } else if odd::remnants::is_odd(problem) {
            odd::remnants::first(problem)?
        } else {
            remnants::solve(problem, 0, 1, &Stop::default())?
        };
        debug_assert_eq!(crate::verify(problem, &layout), Ok(()), "a first layout on remnants");
        return Ok(layout);
    }
    if problem.cutting != Cutting::Free {
        let layout = rotary::solve(problem, rotary::EFFORT, &Stop::default())?;
        debug_assert_eq!(crate::verify(problem, &layout), Ok(()), "a first layout in strips");
        return Ok(layout);
    }
    let usable = usable_width(problem);
    let solved = answer(problem, usable)?;
    let layout = finish(problem, usable, &solved);
    debug_assert_eq!(crate::verify(problem, &layout), Ok(()), "a first layout");
    Ok(layout)
}

/// Whether [`first`](crate::first) has an answer: everything fits on the bolt as it may be laid and joined, and no
/// cut is too long. It takes no time to speak of. On remnants there always is an answer.
pub fn fits(problem: &Problem) -> bool {
    if sane::check(problem).is_err() || sane::is_solved(problem).is_err() {
        return false;
    }
    match (&problem.stock, problem.cutting) {
        (Stock::Remnants(_), _) => true,
        (Stock::Bolt { .. }, Cutting::Free) => {
            let usable = usable_width(problem);
            alternatives(problem, usable).is_ok_and(|cuts| odd::fits(problem, usable, &cuts))
        }
        (Stock::Bolt { .. }, Cutting::StripsFirst { .. }) => rotary::fits(problem),
    }
}

/// Pieces packed on a usable width.
pub(crate) struct Solved {
    pub(crate) cuts: Cuts,
    pub(crate) packing: Packing,
    pub(crate) bound: Length,
}

impl Solved {
    /// The length used.
    pub(crate) fn length(&self, problem: &Problem) -> Length {
        reach(problem, &self.packing)
    }
}

/// The usable width that is left after washing; zero for remnants.
pub(crate) fn usable_width(problem: &Problem) -> Length {
    problem.shrinkage.width_after_washing(problem.stock.width().unwrap_or(Length::ZERO))
}

/// The least to buy for a length used, before it is rounded up to what is sold.
pub(crate) fn needed(problem: &Problem, length: Length) -> Length {
    if length.is_positive() {
        problem.shrinkage.before_washing(length + problem.squaring)
    } else {
        Length::ZERO
    }
}

/// What to buy for a length used.
pub(crate) fn bought(problem: &Problem, length: Length) -> Length {
    match &problem.stock {
        Stock::Bolt { increments, .. } => increments.round_up(needed(problem, length)),
        Stock::Remnants(_) => Length::ZERO,
    }
}

/// What [`first`] answers on a usable width.
pub(crate) fn answer(problem: &Problem, usable: Length) -> Result<Solved, NoLayout> {
    let solved = solve(problem, usable, None)?;
    let proof = proof(problem, solved.length(problem), solved.bound);
    if !matches!(proof, Proof::Within(_)) {
        return Ok(solved);
    }
    Ok(match short_search(problem, usable, &solved, solved.bound) {
        Some(packing) => Solved { packing, ..solved },
        None => solved,
    })
}

/// The short search that belongs to a first answer, the shorter the more pieces there are.
pub(crate) fn short_search(
    problem: &Problem,
    usable: Length,
    solved: &Solved,
    enough: Length,
) -> Option<Packing> {
    let pieces = solved.cuts.cuts.len().max(1);
    let rounds = u32::try_from(9_000 / pieces).unwrap_or(0).min(300);
    search(problem, usable, solved, enough, rounds, 0)
}

/// The best of the immediate packings: the smallest purchase, then the fewest joins, then the
/// shortest. With `enough` the bound is not computed, and the first packing that is no longer than
/// that is taken.
pub(crate) fn solve(
    problem: &Problem,
    usable: Length,
    enough: Option<Length>,
) -> Result<Solved, NoLayout> {
    let alternatives = alternatives(problem, usable)?;
    let bound = match enough {
        None => bound::bound(problem, usable),
        Some(_) => Length::ZERO,
    };
    let gap = problem.gap.to_nm();
    let stop = enough.unwrap_or(bound).to_nm() + gap;
    let mut best: Option<((Length, usize, Length), Solved)> = None;
    for cuts in alternatives {
        let rects: Vec<_> = cuts.cuts.iter().map(|cut| rect(cut, gap)).collect();
        let packing = shortest(&rects, usable.to_nm() + gap, stop);
        let length = reach(problem, &packing);
        let rank = (bought(problem, length), cuts.join_count(), length);
        if best.as_ref().is_none_or(|(best, _)| rank < *best) {
            best = Some((rank, Solved { cuts, packing, bound }));
        }
        if enough.is_some_and(|enough| length <= enough) {
            break;
        }
    }
    // There is always at least one alternative.
    best.map(|(_, solved)| solved).ok_or_else(|| NoLayout::TooWide(Vec::new()))
}

/// The rectangle of a cut, with the gap added.
pub(crate) fn rect(cut: &Cut, gap: i64) -> Rect {
    let (width, length) = (cut.width.to_nm() + gap, cut.length.to_nm() + gap);
    Rect {
        upright: cut.upright.map(|_| (width, length)),
        turned: cut.turned.map(|_| (length, width)),
    }
}

/// The length used by a packing: the last gap is not needed.
fn reach(problem: &Problem, packing: &Packing) -> Length {
    (Length::nm(packing.length) - problem.gap).max(Length::ZERO)
}

/// The layout of what has been solved.
pub(crate) fn finish(problem: &Problem, usable: Length, solved: &Solved) -> Layout {
    let placements: Vec<_> = solved
        .cuts
        .cuts
        .iter()
        .zip(&solved.packing.spots)
        .map(|(cut, spot)| place(problem, cut, *spot))
        .collect();
    let length = solved.length(problem);
    let bought = bought(problem, length);
    let washed = problem.shrinkage.after_washing(bought) - problem.squaring;
    Layout {
        joins: solved.cuts.joins.clone(),
        cuts: Vec::new(),
        fit: None,
        width: usable,
        length,
        needed: needed(problem, length),
        bought,
        bound: solved.bound,
        proof: proof(problem, length, solved.bound),
        remnant: remnant::largest(&placements, usable, washed),
        placements,
    }
}

pub(crate) fn place(problem: &Problem, cut: &Cut, spot: Spot) -> Placement {
    let rotation = if spot.turned { cut.turned } else { cut.upright };
    let (width, length) =
        if spot.turned { (cut.length, cut.width) } else { (cut.width, cut.length) };
    Placement {
        piece: cut.piece,
        copy: cut.copy,
        part: cut.part,
        stock: 0,
        rotation: rotation.unwrap_or(crate::Rotation::None),
        mirrored: problem.pieces[cut.piece].mirror && cut.copy % 2 == 1,
        x: Length::nm(spot.x),
        y: Length::nm(spot.y),
        width,
        length,
    }
}

/// What a bound proves of a length.
pub(crate) fn proof(problem: &Problem, length: Length, bound: Length) -> Proof {
    if length <= bound {
        Proof::Shortest
    } else if bought(problem, length) == bought(problem, bound) {
        Proof::NoShorterPurchase
    } else {
        Proof::within(length, bound)
    }
}
