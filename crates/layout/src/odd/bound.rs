//! Lower bounds of the length that outlines need. Boxes would not do: another piece may lie within
//! the box of a round one.
//!
//! * *Area.* Pieces that are held apart by the gap stay free of each other when each grows by half
//!   of it all round, and lie on fabric that grows likewise. By the inequality of Brunn and
//!   Minkowski a set of area `A` that grows by `r` has at least the area `A + 2r√(πA) + πr²`.
//! * *Longest piece*, in the shortest way it may lie.
//! * *Bars.* Of each piece rectangles are taken that lie within it, one beyond the other, so that
//!   together they follow its sides. No two of them lie on each other, so they may be put on lines
//!   across (see [`crate::bars`]).
//! * *Rectangles within.* A rectangle inside a piece lies on no other piece, so a bound for such
//!   rectangles is one for the pieces. Between boxes the gap counts in one of the two directions;
//!   shapes that are a gap apart are at least the gap over √2 apart in one of them.

use std::f64::consts::PI;

use measure::{Increments, Length};

use super::within::{self, Slab, Wanted};
use crate::bars::{Bars, Kind};
use crate::{Item, Problem, Rotations, Shape, Stock, bound};

/// The bound at once: area, longest piece, and rectangles within by weights.
pub(crate) fn at_once(problem: &Problem, usable: Length) -> Length {
    let plain = by_area(problem, usable).max(by_longest(problem, usable));
    let within = rectangles(problem, usable).into_iter();
    let weighed = within.filter(|within| !within.pieces.is_empty());
    weighed.map(|within| bound::bound(&within, usable)).fold(plain, Length::max)
}

/// The bounds by bars, which take longer to find.
pub(crate) fn by_bars(problem: &Problem, usable: Length) -> Length {
    by_rectangles(problem, usable).max(by_slabs(problem, usable))
}

/// The most rows that a bound by bars of slabs may have, and the most and fewest for an outline.
const ROWS: usize = 60;
const SLABS: (usize, usize) = (32, 3);

/// The bound by bars of slabs: stretches of pieces that stay within them.
fn by_slabs(problem: &Problem, usable: Length) -> Length {
    let items = || problem.pieces.iter().filter(|item| item.count > 0);
    let outlines = items().filter(|item| matches!(item.shape, Shape::Outline(_))).count();
    if outlines == 0 {
        return Length::ZERO;
    }
    let rest = ROWS.saturating_sub(items().count() - outlines);
    let most = (rest / outlines).min(SLABS.0);
    if most < SLABS.1 {
        return Length::ZERO;
    }
    // Rectangles as for any other bound; only the room beside them counts here, since slabs of one
    // piece have none between them.
    let mut rectangles = problem.clone();
    rectangles.pieces.retain(|item| matches!(item.shape, Shape::Rect { .. }));
    rectangles.gap = Length::ZERO;
    for item in &mut rectangles.pieces {
        (item.on_fold, item.group) = (false, None);
    }
    let bound::Demand { mut kinds, loose } = bound::demand(&rectangles, usable);
    let mut recesses: Vec<Vec<i64>> = kinds.iter().map(|kind| vec![0; kind.ways.len()]).collect();
    for item in items() {
        let Shape::Outline(outline) = &item.shape else { continue };
        let first = kinds.len();
        for slab in within::slabs(outline, most) {
            let (ways, recess) = lies(item, slab, fitting(item, usable));
            let Some(&(across, along)) = ways.first() else { continue };
            // On a line there is one slab at most of a piece that lies upright.
            let is_upright = item.rotations.iter().all(|way| !way.is_crosswise());
            let alike = (first..kinds.len())
                .find(|&at| is_upright && recesses[at] == recess && kinds[at].ways[0].0 == across);
            match alike {
                Some(at) => kinds[at].ways[0].1 += along,
                None => {
                    let count = i64::from(item.count) * i64::from(problem.copies);
                    kinds.push(Kind { ways, count });
                    recesses.push(recess);
                }
            }
        }
    }
    let gap = problem.gap.to_nm();
    for way in kinds.iter_mut().flat_map(|kind| &mut kind.ways) {
        way.0 += gap;
    }
    let width = usable.to_nm() + gap;
    Length::nm(Bars { kinds: &kinds, width, loose, recesses: &recesses }.bound())
}

/// How a slab of a piece may lie, and how far the piece reaches beyond it in each of these ways, on
/// the side where it does so less: either may be to the left when it is turned.
fn lies(item: &Item, slab: Slab, fitting: Rotations) -> (Vec<(i64, i64)>, Vec<i64>) {
    let (width, length) = item.shape.size();
    let (across, along) = slab.size();
    let upright = fitting.iter().any(|way| !way.is_crosswise());
    let crosswise = fitting.iter().any(crate::Rotation::is_crosswise);
    let recess = |low: i64, high: i64, whole: Length| low.min(whole.to_nm() - high);
    let ways = [
        upright.then(|| ((across, along), recess(slab.low.0, slab.high.0, width))),
        crosswise.then(|| ((along, across), recess(slab.low.1, slab.high.1, length))),
    ];
    ways.into_iter().flatten().unzip()
}

/// The bound by bars of rectangles within the pieces, which takes longer to find.
fn by_rectangles(problem: &Problem, usable: Length) -> Length {
    let within = rectangles(problem, usable).into_iter();
    let barred = within.filter(|within| !within.pieces.is_empty());
    barred.map(|within| bound::by_bars(&within, usable)).fold(Length::ZERO, Length::max)
}

fn count(problem: &Problem, item: &Item) -> f64 {
    f64::from(item.count) * f64::from(problem.copies)
}

/// Pieces that are joined count with what has to be there of them at least: the whole rectangle.
fn by_area(problem: &Problem, usable: Length) -> Length {
    let gap = problem.gap.to_mm();
    let grown = |item: &Item| {
        let area = match &item.shape {
            Shape::Rect { width, length } => width.to_mm() * length.to_mm(),
            Shape::Outline(outline) => outline.area().to_mm2(),
        };
        let round =
            if item.join.is_some() { 0.0 } else { gap * (PI * area).sqrt() + PI * gap * gap / 4.0 };
        (area + round) * count(problem, item)
    };
    let area: f64 = problem.pieces.iter().map(grown).sum();
    // A hair less, so that rounding in `f64` cannot make the bound too high.
    let length = area * (1.0 - 1e-12) / (usable.to_mm() + gap) - gap;
    Length::from_mm_f64(length.max(0.0)) - Length::nm(1)
}

fn by_longest(problem: &Problem, usable: Length) -> Length {
    let items = problem.pieces.iter().filter(|item| item.count > 0 && item.join.is_none());
    let shortest = |item: &Item| {
        let (width, length) = item.shape.size();
        let ways = fitting(item, usable);
        ways.iter().map(|way| if way.is_crosswise() { width } else { length }).min()
    };
    items.filter_map(shortest).max().unwrap_or(Length::ZERO)
}

/// The rotations in which a piece fits across.
fn fitting(item: &Item, usable: Length) -> Rotations {
    let (width, length) = item.shape.size();
    let fits = |way: &crate::Rotation| {
        let across = if way.is_crosswise() { length } else { width };
        across <= usable
    };
    Rotations::of(item.rotations.iter().filter(fits))
}

/// The problems of rectangles within the pieces: the largest, the longest, the widest ones.
fn rectangles(problem: &Problem, usable: Length) -> Vec<Problem> {
    let mut all: Vec<Vec<Item>> = vec![Vec::new(); Wanted::ALL.len()];
    for item in &problem.pieces {
        let ways = fitting(item, usable);
        let found = match &item.shape {
            Shape::Rect { .. } => {
                // A strip may be joined from shorter ones, and is then left as it is.
                all.iter_mut().for_each(|pieces| {
                    pieces.push(Item { on_fold: false, group: None, ..item.clone() });
                });
                continue;
            }
            Shape::Outline(outline) => within::rectangles(outline),
        };
        if ways.iter().next().is_none() {
            continue;
        }
        for (pieces, found) in all.iter_mut().zip(found) {
            let rectangle = |size| Item::rectangle(&item.name, size, item.count, ways);
            pieces.extend(found.map(rectangle));
        }
    }
    // √½ > 0.707 106.
    let gap = i128::from(problem.gap.to_nm()) * 707_106 / 1_000_000;
    let has_outline = problem.pieces.iter().any(|item| matches!(item.shape, Shape::Outline(_)));
    let gap = if has_outline { Length::nm(i64::try_from(gap).unwrap_or(0)) } else { problem.gap };
    let mut problems: Vec<Problem> = Vec::new();
    for pieces in all {
        let mut within = Problem::new(Stock::bolt(usable, Increments::ten_cm()), pieces);
        within.copies = problem.copies;
        within.gap = gap;
        if !problems.contains(&within) {
            problems.push(within);
        }
    }
    problems
}
