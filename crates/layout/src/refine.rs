//! A better layout by search: the order in which pieces are laid, and which way up, is changed at
//! random and kept when it is not worse than it was some rounds ago (late acceptance, Burke and
//! Bykov, "The late acceptance hill-climbing heuristic", 2017). All arithmetic is in integers.

use measure::Length;

use crate::cuts::{Cut, Cuts, ways};
use crate::pack::{Packing, Rect, Spot, in_order};
use crate::random::Random;
use crate::skyline::Skyline;
use crate::solve::{Solved, finish, rect, usable_width};
use crate::{Layout, Placement, Problem};

/// How many rounds ago a change is compared with.
const MEMORY: usize = 40;

/// A layout that is never worse than the given one: the same pieces and joined strips, laid anew
/// in `rounds` ways. The same input always gives the same layout. It stops early when no purchase
/// can be shorter and nothing shorter can be laid.
///
/// A layout that is not one of this problem is given back as it is.
pub fn refine(problem: &Problem, layout: &Layout, rounds: u32, seed: u64) -> Layout {
    let is_of_problem = layout.placements.iter().all(|one| one.piece < problem.pieces.len());
    if !is_of_problem || layout.length <= layout.bound {
        return layout.clone();
    }
    let usable = usable_width(problem);
    let cuts: Vec<_> = layout.placements.iter().map(|one| cut(problem, one, usable)).collect();
    let solved = Solved {
        packing: packing(problem, layout),
        cuts: Cuts { cuts, joins: layout.joins.clone() },
        bound: layout.bound,
    };
    match search(problem, usable, &solved, layout.bound, rounds, seed) {
        Some(packing) => {
            let better = finish(problem, usable, &Solved { packing, ..solved });
            debug_assert_eq!(crate::verify(problem, &better), Ok(()), "a refined layout");
            better
        }
        None => layout.clone(),
    }
}

/// The rectangle of a placement, and how else it might lie.
fn cut(problem: &Problem, one: &Placement, usable: Length) -> Cut {
    let (width, length) =
        if one.rotation.is_crosswise() { (one.length, one.width) } else { (one.width, one.length) };
    let (upright, turned) = ways(&problem.pieces[one.piece]);
    Cut {
        piece: one.piece,
        copy: one.copy,
        part: one.part,
        width,
        length,
        upright: upright.filter(|_| width <= usable),
        turned: turned.filter(|_| length <= usable),
    }
}

/// The packing of a layout.
fn packing(problem: &Problem, layout: &Layout) -> Packing {
    let spot = |one: &Placement| Spot {
        x: one.x.to_nm(),
        y: one.y.to_nm(),
        turned: one.rotation.is_crosswise(),
    };
    Packing {
        spots: layout.placements.iter().map(spot).collect(),
        length: (layout.length + problem.gap).to_nm(),
    }
}

/// Searches a packing that is shorter than the one in hand; stops when none can be shorter than
/// `enough`.
pub(crate) fn search(
    problem: &Problem,
    usable: Length,
    solved: &Solved,
    enough: Length,
    rounds: u32,
    seed: u64,
) -> Option<Packing> {
    let gap = problem.gap.to_nm();
    let rects: Vec<_> = solved.cuts.cuts.iter().map(|cut| rect(cut, gap)).collect();
    let width = usable.to_nm() + gap;
    let stop = enough.to_nm() + gap;
    let mut search = Search::new(&rects, width, &solved.packing, seed);
    let mut best = solved.packing.length;
    let mut found = None;
    for round in 0..rounds as usize {
        if best <= stop {
            break;
        }
        let length = search.round(round);
        if length < best {
            best = length;
            found = Some(Packing { spots: search.spots.clone(), length });
        }
    }
    found
}

/// The state of a search.
struct Search<'a> {
    rects: &'a [Rect],
    order: Vec<usize>,
    turned: Vec<bool>,
    /// Those that may be turned.
    free: Vec<usize>,
    skyline: Skyline,
    spots: Vec<Spot>,
    width: i64,
    now: Cost,
    memory: Vec<Cost>,
    random: Random,
}

/// What is to be small: the length, and the area up to the skyline, so that of layouts equally
/// long the one is better whose last rows are emptier.
type Cost = (i64, i128);

impl<'a> Search<'a> {
    fn new(rects: &'a [Rect], width: i64, packing: &Packing, seed: u64) -> Self {
        let mut order: Vec<_> = (0..rects.len()).collect();
        order.sort_by_key(|&index| (packing.spots[index].y, packing.spots[index].x));
        let start = (packing.length, i128::from(width) * i128::from(packing.length));
        Self {
            rects,
            order,
            turned: packing.spots.iter().map(|spot| spot.turned).collect(),
            free: (0..rects.len()).filter(|&index| rects[index].is_free()).collect(),
            skyline: Skyline::new(width),
            spots: packing.spots.clone(),
            width,
            now: start,
            memory: vec![start; MEMORY],
            random: Random::new(seed),
        }
    }

    /// Tries one change; the length it gives.
    fn round(&mut self, round: usize) -> i64 {
        let change = self.change();
        self.apply(change);
        let length =
            in_order(self.rects, &self.order, &self.turned, &mut self.skyline, &mut self.spots);
        let cost = (length, self.skyline.area());
        let slot = round % MEMORY;
        if self.weigh(cost) <= self.weigh(self.now)
            || self.weigh(cost) <= self.weigh(self.memory[slot])
        {
            self.now = cost;
        } else {
            self.undo(change);
        }
        self.memory[slot] = self.memory[slot].min(self.now);
        length
    }

    /// One number: the length counts a few times as much as the area beneath the skyline.
    fn weigh(&self, (length, area): Cost) -> i128 {
        i128::from(length) * i128::from(self.width) * 2 + area
    }

    fn change(&mut self) -> Change {
        let count = self.order.len();
        if !self.free.is_empty() && self.random.below(3) == 0 {
            return Change::Turn(self.free[self.random.below(self.free.len())]);
        }
        let (from, mut to) = (self.random.below(count), self.random.below(count));
        // Equal pieces change nothing; look on for another.
        for _ in 0..count {
            if self.rects[self.order[from]] != self.rects[self.order[to]] {
                break;
            }
            to = (to + 1) % count;
        }
        if self.random.below(2) == 0 { Change::Swap(from, to) } else { Change::Move(from, to) }
    }

    fn apply(&mut self, change: Change) {
        match change {
            Change::Turn(index) => self.turned[index] = !self.turned[index],
            Change::Swap(one, other) => self.order.swap(one, other),
            Change::Move(from, to) => {
                let index = self.order.remove(from);
                self.order.insert(to, index);
            }
        }
    }

    fn undo(&mut self, change: Change) {
        match change {
            Change::Turn(_) | Change::Swap(..) => self.apply(change),
            Change::Move(from, to) => self.apply(Change::Move(to, from)),
        }
    }
}

/// A change of the order, or of the way up.
#[derive(Clone, Copy, Debug)]
enum Change {
    Turn(usize),
    Swap(usize, usize),
    Move(usize, usize),
}
