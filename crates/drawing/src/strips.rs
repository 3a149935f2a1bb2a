//! What the knife cuts of pieces that are joined from strips: each strip with a name of its own, the
//! same in the cut list and on the layout.

use layout::{Layout, Placement, Problem, Rotation};
use measure::Length;

/// Strips of one length that are cut for a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// What it is called: "handle, long strip".
    pub name: String,
    /// How many are cut.
    pub count: u32,
    /// Width × height as cut.
    pub size: (Length, Length),
}

/// The strips that are cut for a piece, the longest first; none for a piece that is cut whole.
pub fn strips(problem: &Problem, layout: &Layout, piece: usize) -> Vec<Strip> {
    let joined = |joined: &layout::Joined| joined.piece == piece && joined.stretches.len() > 1;
    let Some(item) = problem.pieces.get(piece) else { return Vec::new() };
    let placed = || layout.placements.iter().filter(|placement| placement.piece == piece);
    let is_whole = !layout.joins.iter().any(joined)
        && placed().all(|placement| cut_size(placement) == item.shape.size());
    if is_whole {
        return Vec::new();
    }
    let mut sizes: Vec<(Length, Length)> = placed().map(cut_size).collect();
    sizes.sort_unstable_by(|a, b| b.cmp(a));
    sizes.dedup();
    let all = sizes.len();
    let name = |index: usize| match (all, index) {
        (1, _) => format!("{}, strip", item.name),
        (2, 0) => format!("{}, long strip", item.name),
        (2, _) => format!("{}, short strip", item.name),
        (_, index) => format!("{}, strip {}", item.name, index + 1),
    };
    let count = |size| placed().filter(|placement| cut_size(placement) == size).count();
    sizes
        .into_iter()
        .enumerate()
        .map(|(index, size)| Strip {
            name: name(index),
            count: u32::try_from(count(size)).unwrap_or(u32::MAX),
            size,
        })
        .collect()
}

/// What is cut at a place: the piece, or one of its strips.
pub fn name(problem: &Problem, layout: &Layout, placement: &Placement) -> String {
    let size = cut_size(placement);
    let strip =
        strips(problem, layout, placement.piece).into_iter().find(|strip| strip.size == size);
    match (strip, problem.pieces.get(placement.piece)) {
        (Some(strip), _) => strip.name,
        (None, Some(item)) => item.name.clone(),
        (None, None) => String::new(),
    }
}

/// Width × height of what is cut at a place, before it is turned to lie there.
pub fn cut_size(placement: &Placement) -> (Length, Length) {
    match placement.rotation {
        Rotation::None | Rotation::Half => (placement.width, placement.length),
        Rotation::Quarter | Rotation::ThreeQuarters => (placement.length, placement.width),
    }
}

#[cfg(test)]
mod tests {
    use layout::{Item, Join, JoinAngle, JoinPlace, Rotations, Stock};
    use measure::Increments;

    use super::*;

    /// Two strips, 5 × 53 in, joined with 1/2 in seams, on cloth 42 in wide: common practice, no
    /// source: from selvedge to selvedge, and two short strips.
    #[test]
    fn a_joined_strip_is_cut_as_strips_that_fit_the_cloth() {
        let inch = Length::inch;
        let size = (inch(5), inch(53));
        let join = Join {
            most: 1,
            allowance: Length::inch_frac(1, 2),
            angle: JoinAngle::Straight,
            place: JoinPlace::Anywhere,
        };
        let handle = Item::rectangle("handle", size, 2, Rotations::across_the_grain()).joined(join);
        let panel = Item::rectangle("panel", (inch(21), inch(16)), 2, Rotations::along_the_grain());
        let stock = Stock::bolt(inch(42), Increments::eighth_yards());
        let problem = Problem::new(stock, vec![handle, panel]);
        let layout = layout::first(&problem).unwrap();
        assert_eq!(strips(&problem, &layout, 1), []);
        let handle = strips(&problem, &layout, 0);
        assert!(handle.iter().all(|strip| strip.size.1 <= inch(42)), "{handle:?}");
        let total: Length = handle.iter().map(|strip| strip.size.1 * i64::from(strip.count)).sum();
        // Each handle loses a seam to each join.
        assert!(total >= inch(106) + inch(2), "{handle:?}");
        let cut: u32 = handle.iter().map(|strip| strip.count).sum();
        let laid = layout.placements.iter().filter(|placement| placement.piece == 0);
        assert_eq!(usize::try_from(cut), Ok(laid.clone().count()));
        for placement in laid {
            let name = name(&problem, &layout, placement);
            assert!(handle.iter().any(|strip| strip.name == name), "{name}");
        }
    }
}
