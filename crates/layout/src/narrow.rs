//! The narrowest fabric on which a purchase still serves, and what to buy below it.

use measure::Length;

use crate::effort::Stop;
use crate::solve::{answer, bought, finish, short_search, solve};
use crate::{
    CutKind, Cutting, Fault, Layout, Problem, Shrinkage, Stock, bound, odd, rotary, sane, verify,
};

/// The narrowest usable width on which a purchase still serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Narrowest {
    /// The usable width as bought, on the ruler.
    pub width: Length,
    /// What a first layout buys one step of the ruler below it; none when the pieces do not fit at all there.
    pub below: Option<Length>,
    /// Whether it is proven that the purchase does not serve one step below; else a layout may
    /// exist that was not found.
    pub is_proven: bool,
}

impl Layout {
    /// The narrowest usable width, a multiple of `step`, on which it is still enough to buy what
    /// this layout of the problem buys. When the problem's own width is not on the ruler, it is
    /// the answer where nothing narrower serves.
    ///
    /// Pieces are laid on ever narrower fabric from the layout's own extent down, and the search
    /// stops at the first width on which the purchase is not enough. (With joined strips a still
    /// narrower fabric might serve again, since strips are cut and joined differently there; it is
    /// not looked for.) A width is only named when there is a layout for it.
    pub fn narrowest(&self, problem: &Problem, step: Length) -> Narrowest {
        if !is_asked(problem) {
            // Not a problem of which there could be a layout, or not one of free cutting on a bolt.
            let width = problem.stock.width().unwrap_or(Length::ZERO);
            return Narrowest { width, below: None, is_proven: false };
        }
        scan(problem, self.clone(), most_used(problem, self.bought), step)
    }
}

/// The narrowest usable width, a multiple of `step`, on which it is enough to buy `bought`; none
/// when no layout is found at once that makes that enough on the problem's own width. To ask about
/// the purchase of a layout in hand, which may be better, use [`Layout::narrowest`]; what is said
/// there holds here as well.
pub fn narrowest(problem: &Problem, bought: Length, step: Length) -> Option<Narrowest> {
    let width = problem.stock.width().filter(|_| is_asked(problem))?;
    let enough = most_used(problem, bought);
    let layout = serves_on(problem, width, enough)?;
    Some(scan(problem, layout, enough, step))
}

/// Whether the question has an answer: pieces that are cut in any order, from a bolt.
fn is_asked(problem: &Problem) -> bool {
    let is_bolt = problem.stock.width().is_some();
    is_bolt && sane::check(problem).is_ok() && sane::is_solved(problem).is_ok()
}

/// The longest use of a purchase: what is left of it after washing and squaring up.
fn most_used(problem: &Problem, bought: Length) -> Length {
    problem.shrinkage.after_washing(bought) - problem.squaring
}

/// Lays on ever narrower fabric, beginning with a layout that serves on the problem's own width.
fn scan(problem: &Problem, mut layout: Layout, enough: Length, step: Length) -> Narrowest {
    let mut serves = problem.stock.width().unwrap_or(Length::ZERO);
    // No ruler is finer, and the scan must end.
    let step = step.max(Length::nm(100_000)).to_nm();
    loop {
        // The same layout serves on everything down to its own extent.
        serves = serves.min(before_washing(problem, extent(&layout), step));
        let next = Length::nm((serves.to_nm() - 1) / step * step);
        match serves_on(problem, next, enough) {
            Some(narrower) => (serves, layout) = (next, narrower),
            None => {
                debug_assert_eq!(is_laid_on(problem, serves, layout), Ok(()), "the narrowest");
                return below(problem, serves, next, enough);
            }
        }
    }
}

/// Whether a layout is right on fabric of another width.
fn is_laid_on(problem: &Problem, width: Length, layout: Layout) -> Result<(), Vec<Fault>> {
    let mut there = problem.clone();
    if let Stock::Bolt { width: own, .. } = &mut there.stock {
        *own = width;
    }
    // Where the cuts end depends on the width.
    there.cutting = Cutting::Free;
    let width = problem.shrinkage.width_after_washing(width);
    let mut faults = verify(&there, &Layout { width, remnant: None, cuts: Vec::new(), ..layout })
        .err()
        .unwrap_or_default();
    // Fabric that is divided lengthwise for a short ruler has joins that the whole width has no need of.
    if problem.cutting != Cutting::Free {
        faults.retain(|fault| !matches!(fault, Fault::NotJoinable { .. }));
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// The answer when the purchase serves on one width and not on the next.
fn below(problem: &Problem, width: Length, next: Length, enough: Length) -> Narrowest {
    let usable = problem.shrinkage.width_after_washing(next);
    if problem.cutting != Cutting::Free {
        let there = in_strips(problem, next);
        let is_proven = there.as_ref().is_none_or(|there| there.bound > enough);
        return Narrowest { width, below: there.map(|there| there.bought), is_proven };
    }
    if odd::is_odd(problem) {
        let layout = if usable.is_positive() { odd::first(problem, usable).ok() } else { None };
        let is_proven = layout.as_ref().is_none_or(|layout| layout.bound > enough);
        return Narrowest { width, below: layout.map(|layout| layout.bought), is_proven };
    }
    let solved = if usable.is_positive() { answer(problem, usable).ok() } else { None };
    let is_proven = solved.as_ref().is_none_or(|solved| solved.bound > enough);
    let below = solved.map(|solved| bought(problem, solved.length(problem)));
    Narrowest { width, below, is_proven }
}

/// A layout that is no longer than `enough` on fabric of this usable width (as bought); none when
/// none is found at once.
fn serves_on(problem: &Problem, width: Length, enough: Length) -> Option<Layout> {
    let usable = problem.shrinkage.width_after_washing(width);
    if !usable.is_positive() {
        return None;
    }
    if problem.cutting != Cutting::Free {
        return in_strips(problem, width).filter(|there| there.length <= enough);
    }
    if odd::is_odd(problem) {
        return odd::serves(problem, usable, enough);
    }
    let mut solved = solve(problem, usable, Some(enough)).ok()?;
    if solved.length(problem) > enough {
        if bound::bound(problem, usable) > enough {
            return None;
        }
        solved.packing = short_search(problem, usable, &solved, enough)?;
    }
    (solved.length(problem) <= enough).then(|| finish(problem, usable, &solved))
}

/// What is laid at once, strips first, on fabric of this usable width (as bought).
fn in_strips(problem: &Problem, width: Length) -> Option<Layout> {
    let mut there = problem.clone();
    if let Stock::Bolt { width: own, .. } = &mut there.stock {
        *own = width;
    }
    sane::check(&there).ok()?;
    rotary::solve(&there, rotary::EFFORT / 4, &Stop::default()).ok()
}

/// How much of the width a layout takes. Joined strips are cut to the usable width, so that they
/// take all of it.
fn extent(layout: &Layout) -> Length {
    if layout.cuts.iter().any(|cut| cut.kind == CutKind::Divide) {
        // Lanes are cut anew for every width.
        return layout.width;
    }
    let ends = layout.placements.iter().map(|one| one.x + one.width);
    ends.max().unwrap_or(Length::ZERO)
}

/// The least multiple of `step` that leaves `usable` after washing.
fn before_washing(problem: &Problem, usable: Length, step: i64) -> Length {
    let up = |nm: i64| Length::nm((nm + step - 1) / step * step);
    let lost = problem.shrinkage.crosswise;
    let across = Shrinkage { lengthwise: lost, crosswise: 0 };
    up(across.before_washing(usable).to_nm())
}
