//! Strips first on remnants: each is fabric of its own length, with as many pieces as can be cut
//! from it. Pieces are given to the remnants in an order that a search changes at random; what can
//! be cut from one is asked of the same solver as for a bolt.

use std::collections::BTreeMap;

use measure::{Increments, Length};

use crate::effort::Stop;
use crate::random::Random;
use crate::{
    CutLine, Fit, Item, Layout, NoLayout, Off, Part, Placement, Problem, Shrinkage, Stock, remnants,
};

/// How many orders are tried for a first answer.
const ORDERS: u64 = 6;
/// What trying one more piece on a remnant may cost, and laying those that it gets at last.
const EFFORT: (u64, u64) = (20_000, 1_000_000);
/// By how much, in parts of a thousand, the size of a piece is changed at random for its place in
/// the order.
const NOISE: usize = 600;

/// A piece to cut: which one, which copy, and its area.
#[derive(Clone, Copy, Debug)]
struct Wanted {
    piece: usize,
    copy: u32,
    area: i128,
}

/// What is cut from each remnant.
struct Shared {
    layouts: Vec<Option<(Layout, Vec<Wanted>)>>,
    left_over: Vec<Wanted>,
}

/// The best layout on remnants that is found with so much effort; strips are not joined.
///
/// # Errors
/// None: what cannot be cut is left over. It stands in for [`remnants::solve`], which has some.
pub(crate) fn solve(
    problem: &Problem,
    seed: u64,
    effort: u64,
    stop: &Stop,
) -> Result<Layout, NoLayout> {
    let whole = unjoined(problem);
    let (laid, oversize) = remnants::without_oversize(&whole);
    let wanted = wanted(&laid);
    let sizes = remnants::sizes(problem);
    let areas: Vec<i128> = sizes.iter().map(|size| area(*size, problem.gap)).collect();
    let mut random = Random::new(seed);
    let mut shared_in_order = |at: u64| {
        let (order, rooms) = order(&wanted, &areas, at, &mut random);
        let shared = share(&laid, &sizes, &order, &rooms, stop);
        (shared.rank(&areas), shared)
    };
    let mut best = shared_in_order(0);
    for at in 1..ORDERS.saturating_mul(effort) {
        let (missing, used, _) = best.0;
        if (missing == 0 && used <= 1) || stop.is_stopped() {
            break;
        }
        let next = shared_in_order(at);
        if next.0 < best.0 {
            best = next;
        }
    }
    let (_, shared) = best;
    let mut left_over = oversize.clone();
    left_over.extend(shared.left_over.iter().map(|one| (one.piece, one.copy)));
    left_over.sort_unstable();
    let could_be_joined = |&(piece, _): &(usize, u32)| problem.pieces[piece].join.is_some();
    let room: i128 = areas.iter().sum();
    let need: i128 = wanted.iter().map(|one| one.area).sum();
    let is_proven =
        left_over.is_empty() || oversize.iter().any(|one| !could_be_joined(one)) || need > room;
    Ok(shared.layout(problem, &sizes, Fit { left_over, is_proven }))
}

/// The problem without joins: on remnants a strip is cut in one piece.
fn unjoined(problem: &Problem) -> Problem {
    let mut whole = problem.clone();
    for item in &mut whole.pieces {
        item.join = None;
    }
    whole
}

fn wanted(problem: &Problem) -> Vec<Wanted> {
    let of = |(piece, item): (usize, &Item)| {
        let area = area(item.shape.size(), problem.gap);
        let count = item.count.saturating_mul(problem.copies);
        (0..count).map(move |copy| Wanted { piece, copy, area })
    };
    problem.pieces.iter().enumerate().flat_map(of).collect()
}

/// An area to which the gap is added both ways, as to the fabric and to every piece on it.
fn area((width, length): (Length, Length), gap: Length) -> i128 {
    i128::from((width + gap).to_nm()) * i128::from((length + gap).to_nm())
}

/// The largest pieces first, on the smallest remnants first or last; later both by chance.
fn order(
    wanted: &[Wanted],
    areas: &[i128],
    at: u64,
    random: &mut Random,
) -> (Vec<Wanted>, Vec<usize>) {
    let mut noise = |area: i128| {
        let more = if at < 2 { 0 } else { random.below(NOISE) };
        area * (1000 + more as i128)
    };
    let mut order: Vec<(i128, Wanted)> = wanted.iter().map(|one| (noise(one.area), *one)).collect();
    order.sort_by_key(|(rank, one)| (-rank, one.piece, one.copy));
    let mut rooms: Vec<(i128, usize)> =
        areas.iter().enumerate().map(|(room, area)| (noise(*area), room)).collect();
    rooms.sort_unstable();
    if at % 2 == 1 {
        rooms.reverse();
    }
    (
        order.into_iter().map(|(_, one)| one).collect(),
        rooms.into_iter().map(|(_, room)| room).collect(),
    )
}

/// Gives each remnant in turn as many of the pieces that are left as can be cut from it.
fn share(
    problem: &Problem,
    sizes: &[(Length, Length)],
    order: &[Wanted],
    rooms: &[usize],
    stop: &Stop,
) -> Shared {
    let mut shared =
        Shared { layouts: vec![const { None }; sizes.len()], left_over: order.to_vec() };
    for &room in rooms {
        let size = sizes[room];
        let mut taken: Vec<Wanted> = Vec::new();
        let mut left = Vec::new();
        let mut room_left = area(size, problem.gap);
        // Equal pieces that do not fit any more need not be asked again.
        let mut full = None;
        for one in std::mem::take(&mut shared.left_over) {
            if one.area > room_left || full == Some(one.piece) || stop.is_stopped() {
                left.push(one);
                continue;
            }
            taken.push(one);
            if lay(problem, size, &taken, EFFORT.0, stop).is_some() {
                room_left -= one.area;
            } else {
                taken.pop();
                full = Some(one.piece);
                left.push(one);
            }
        }
        shared.left_over = left;
        let with_care = lay(problem, size, &taken, EFFORT.1, stop);
        let layout = with_care.or_else(|| lay(problem, size, &taken, EFFORT.0, &Stop::default()));
        if let Some(layout) = layout.filter(|_| !taken.is_empty()) {
            shared.layouts[room] = Some((layout, taken));
        } else {
            shared.left_over.extend(taken);
        }
    }
    shared
}

/// These pieces in strips on fabric of this size; none when they do not fit.
fn lay(
    problem: &Problem,
    (width, length): (Length, Length),
    taken: &[Wanted],
    effort: u64,
    stop: &Stop,
) -> Option<Layout> {
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    for one in taken {
        *counts.entry(one.piece).or_default() += 1;
    }
    let mut alone = problem.clone();
    // All of it is there to be cut, so that is what is "bought".
    alone.stock = Stock::bolt(width, Increments::new([length]).ok()?);
    alone.copies = 1;
    // A remnant is as large as it is: it is not washed and squared once more.
    alone.shrinkage = Shrinkage::NONE;
    alone.squaring = Length::ZERO;
    for (piece, item) in alone.pieces.iter_mut().enumerate() {
        item.count = counts.get(&piece).copied().unwrap_or(0);
    }
    let layout = super::solve(&alone, effort, stop).ok()?;
    (layout.length <= length).then_some(layout)
}

impl Shared {
    /// The area that is left over, how many remnants are used, and the area of those.
    fn rank(&self, areas: &[i128]) -> (i128, usize, i128) {
        let missing = self.left_over.iter().map(|one| one.area).sum();
        let used = || self.layouts.iter().zip(areas).filter(|(layout, _)| layout.is_some());
        (missing, used().count(), used().map(|(_, area)| area).sum())
    }

    /// All remnants as one layout.
    fn layout(self, problem: &Problem, sizes: &[(Length, Length)], fit: Fit) -> Layout {
        let mut placements: Vec<Placement> = Vec::new();
        let mut cuts: Vec<CutLine> = Vec::new();
        for (stock, layout) in self.layouts.into_iter().enumerate() {
            let Some((layout, taken)) = layout else { continue };
            let first = placements.len();
            let mut copies: BTreeMap<usize, Vec<u32>> = BTreeMap::new();
            for one in taken.iter().rev() {
                copies.entry(one.piece).or_default().push(one.copy);
            }
            for one in layout.placements {
                let copy = copies.get_mut(&one.piece).and_then(Vec::pop).unwrap_or(one.copy);
                let mirrored = problem.pieces[one.piece].mirror && copy % 2 == 1;
                placements.push(Placement { stock, copy, mirrored, ..one });
            }
            let part = |part: Part| Part { stock, ..part };
            let off = |off: Off| match off {
                Off::Piece(at) => Off::Piece(first + at),
                Off::Part(one) => Off::Part(part(one)),
                Off::Waste(one) => Off::Waste(part(one)),
            };
            cuts.extend(layout.cuts.into_iter().map(|cut| CutLine {
                part: part(cut.part),
                off: off(cut.off),
                left: off(cut.left),
                ..cut
            }));
        }
        debug_assert!(placements.iter().all(|one| one.stock < sizes.len()), "remnants there are");
        // All strips are cut before the first cross cut, as on a bolt.
        cuts.sort_by_key(|cut| cut.kind);
        Layout { cuts, ..remnants::finish(problem, &[], placements, fit) }
    }
}
