//! The narrowest fabric on which a purchase still serves, and what to buy below it.

use measure::Length;

use crate::refine::search;
use crate::solve::{Solved, bought, solve};
use crate::{Problem, Stock, bound, sane};

/// The search for a layout where the first one is too long and the bound does not say why.
const ROUNDS: u32 = 100;

/// The narrowest usable width on which a purchase still serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Narrowest {
    /// The usable width as bought, on the ruler.
    pub width: Length,
    /// What to buy one step of the ruler below it; none when the pieces do not fit at all there.
    pub below: Option<Length>,
    /// Whether it is proven that the purchase does not serve one step below; else a layout may
    /// exist that was not found.
    pub is_proven: bool,
}

/// The narrowest usable width, a multiple of `step`, on which it is enough to buy `bought`; none
/// when that is not enough on the problem's own width.
///
/// Pieces are laid on ever narrower fabric from the problem's own width down, and the search stops
/// at the first width on which the purchase is not enough. (With joined strips a still narrower
/// fabric might serve again, since strips are cut and joined differently there; it is not looked
/// for.) Every width that is named has been laid out.
pub fn narrowest(problem: &Problem, bought: Length, step: Length) -> Option<Narrowest> {
    sane::check(problem).ok()?;
    let Stock::Bolt { width: own, .. } = &problem.stock;
    let step = step.max(Length::nm(1)).to_nm();
    let enough = problem.shrinkage.after_washing(bought) - problem.squaring;
    let mut serves = *own;
    let mut extent = serves_on(problem, *own, enough)?;
    loop {
        // The same layout serves on everything down to its own extent.
        let floor = before_washing(problem, extent, step);
        if floor < serves {
            serves = floor;
        }
        let next = Length::nm((serves.to_nm() - 1) / step * step);
        match serves_on(problem, next, enough) {
            Some(narrower) => (serves, extent) = (next, narrower),
            None => return Some(below(problem, serves, next, enough)),
        }
    }
}

/// The answer when the purchase serves on one width and not on the next.
fn below(problem: &Problem, width: Length, next: Length, enough: Length) -> Narrowest {
    let usable = problem.shrinkage.width_after_washing(next);
    let solved = if usable.is_positive() { solve(problem, usable, None).ok() } else { None };
    let is_proven = solved.as_ref().is_none_or(|solved| solved.bound > enough);
    let below = solved.map(|solved| bought(problem, solved.length(problem)));
    Narrowest { width, below, is_proven }
}

/// How much of the width a layout takes that is no longer than `enough` on fabric of this usable
/// width (as bought); none when none is found.
fn serves_on(problem: &Problem, width: Length, enough: Length) -> Option<Length> {
    let usable = problem.shrinkage.width_after_washing(width);
    if !usable.is_positive() {
        return None;
    }
    let solved = solve(problem, usable, Some(enough)).ok()?;
    if solved.length(problem) <= enough {
        return Some(extent(&solved));
    }
    if bound::bound(problem, usable) > enough {
        return None;
    }
    let packing = search(problem, usable, &solved, enough, ROUNDS, 0)?;
    let solved = Solved { packing, ..solved };
    (solved.length(problem) <= enough).then(|| extent(&solved))
}

/// How much of the usable width a packing takes. Joined strips are cut to the usable width, so
/// that they take all of it.
fn extent(solved: &Solved) -> Length {
    let ends =
        solved.cuts.cuts.iter().zip(&solved.packing.spots).map(|(cut, spot)| {
            Length::nm(spot.x) + if spot.turned { cut.length } else { cut.width }
        });
    ends.max().unwrap_or(Length::ZERO)
}

/// The least multiple of `step` that leaves `usable` after washing.
fn before_washing(problem: &Problem, usable: Length, step: i64) -> Length {
    let up = |nm: i64| Length::nm((nm + step - 1) / step * step);
    let lost = problem.shrinkage.crosswise;
    let across = crate::Shrinkage { lengthwise: lost, crosswise: 0 };
    up(across.before_washing(usable).to_nm())
}
