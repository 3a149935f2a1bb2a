//! Lower bounds of the length that outlines need. Boxes would not do: another piece may lie within
//! the box of a round one.
//!
//! * *Area.* Pieces that are held apart by the gap stay free of each other when each grows by half
//!   of it all round, and lie on fabric that grows likewise. By the inequality of Brunn and
//!   Minkowski a set of area `A` that grows by `r` has at least the area `A + 2r√(πA) + πr²`.
//! * *Longest piece*, in the shortest way it may lie.
//! * *Rectangles within.* A rectangle inside a piece lies on no other piece, so a bound for such
//!   rectangles is one for the pieces. Between boxes the gap counts in one of the two directions;
//!   shapes that are a gap apart are at least the gap over √2 apart in one of them.

use std::f64::consts::PI;

use measure::{Increments, Length};

use super::within::{self, Wanted};
use crate::{Item, Problem, Rotations, Shape, Stock, bound};

/// The bound at once: area, longest piece, and rectangles within by weights.
pub(crate) fn at_once(problem: &Problem, usable: Length) -> Length {
    let plain = by_area(problem, usable).max(by_longest(problem, usable));
    let within = rectangles(problem, usable).into_iter();
    let weighed = within.filter(|within| !within.pieces.is_empty());
    weighed.map(|within| bound::bound(&within, usable)).fold(plain, Length::max)
}

/// The bound by bars of rectangles within the pieces, which takes longer to find.
pub(crate) fn by_rectangles(problem: &Problem, usable: Length) -> Length {
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
