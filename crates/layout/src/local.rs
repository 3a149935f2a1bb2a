//! A better layout by search: the order in which pieces are laid, and which way up, is changed at
//! random and kept when it is not worse than it was some rounds ago (late acceptance, Burke and
//! Bykov, "The late acceptance hill-climbing heuristic", 2017). All arithmetic is in integers.

use measure::Length;

use crate::Problem;
use crate::cuts::Cuts;
use crate::pack::{Packing, Rect, Spot, in_order};
use crate::random::Random;
use crate::skyline::Skyline;
use crate::solve::{Solved, rect};

/// How many rounds ago a change is compared with.
const MEMORY: usize = 40;

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
    let mut local = Local::new(problem, usable, &solved.cuts, &solved.packing, seed);
    let stop = (enough + problem.gap).to_nm();
    let mut found = None;
    for _ in 0..rounds {
        if local.best <= stop {
            break;
        }
        found = local.round().or(found);
    }
    found
}

/// The state of a search.
pub(crate) struct Local {
    rects: Vec<Rect>,
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
    round: usize,
    /// The shortest length so far, with the last gap.
    best: i64,
}

/// What is to be small: the length, and the area up to the skyline, so that of layouts equally
/// long the one is better whose last rows are emptier.
type Cost = (i64, i128);

impl Local {
    /// Begins with a packing of these cuts.
    pub(crate) fn new(
        problem: &Problem,
        usable: Length,
        cuts: &Cuts,
        packing: &Packing,
        seed: u64,
    ) -> Self {
        let gap = problem.gap.to_nm();
        let rects: Vec<_> = cuts.cuts.iter().map(|cut| rect(cut, gap)).collect();
        let width = usable.to_nm() + gap;
        let mut order: Vec<_> = (0..rects.len()).collect();
        order.sort_by_key(|&index| (packing.spots[index].y, packing.spots[index].x));
        let start = (packing.length, i128::from(width) * i128::from(packing.length));
        Self {
            order,
            turned: packing.spots.iter().map(|spot| spot.turned).collect(),
            free: (0..rects.len()).filter(|&index| rects[index].is_free()).collect(),
            rects,
            skyline: Skyline::new(width),
            spots: packing.spots.clone(),
            width,
            now: start,
            memory: vec![start; MEMORY],
            random: Random::new(seed),
            round: 0,
            best: packing.length,
        }
    }

    /// Tries one change; a packing if it is shorter than all before.
    pub(crate) fn round(&mut self) -> Option<Packing> {
        if self.order.is_empty() {
            return None;
        }
        let change = self.change();
        self.apply(change);
        let length =
            in_order(&self.rects, &self.order, &self.turned, &mut self.skyline, &mut self.spots);
        let cost = (length, self.skyline.area());
        let slot = self.round % MEMORY;
        if self.weigh(cost) <= self.weigh(self.now)
            || self.weigh(cost) <= self.weigh(self.memory[slot])
        {
            self.now = cost;
        } else {
            self.undo(change);
        }
        self.memory[slot] = self.memory[slot].min(self.now);
        self.round += 1;
        (length < self.best).then(|| {
            self.best = length;
            Packing { spots: self.spots.clone(), length }
        })
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
