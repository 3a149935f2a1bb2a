//! Packings that waste no more than a given length allows, by beam search: the lowest valley is
//! filled in all ways, and of all packings begun those that promise most are gone on with, more in
//! each run. Pieces that fill their fabric without waste are found so, since what cannot be filled
//! is given up at once.

use std::collections::BTreeSet;

use crate::pack::Packing;
use crate::pool::{Chains, Laid, Mark, Pool, area, per};
use crate::random::Random;
use crate::skyline::{Side, Skyline, Valley};

/// Packings begun that are gone on with, at first and at most.
const FEWEST: usize = 8;
const MOST: usize = 1 << 14;
/// So many valleys in a row may be left unfilled.
const SKIPS: usize = 3;

/// The state of a search.
pub(crate) struct Beam {
    pool: Pool,
    width: i64,
    begun: Vec<Begun>,
    chains: Chains,
    random: Random,
    /// What makes kinds more or less wanted in this run.
    taste: Vec<f64>,
    runs: usize,
    beam: usize,
    /// The lengths to be looked at: less than the best, from the least on, and the one that counts.
    best: i64,
    least: i64,
    wanted: i64,
    /// The length that is tried in this run.
    target: i64,
    /// The longest length at which everything was tried.
    hopeless: i64,
    /// Whether anything was left out in this run.
    is_cut: bool,
}

/// A packing begun.
#[derive(Clone, Debug)]
struct Begun {
    skyline: Skyline,
    /// How many of each kind are left.
    left: Vec<usize>,
    last: Option<usize>,
    waste: f64,
    laid: f64,
}

/// A piece that may be laid next.
#[derive(Clone, Copy, Debug)]
struct Child {
    /// The less the better.
    cost: f64,
    begun: usize,
    kind: usize,
    way: usize,
    /// Valleys that are given up before.
    skips: usize,
}

impl Beam {
    /// Looks for packings shorter than `best`, no shorter than `least`.
    pub(crate) fn new(pool: Pool, width: i64, (least, best): (i64, i64), seed: u64) -> Self {
        let mut beam = Self {
            taste: vec![1.0; pool.kinds.len()],
            pool,
            width,
            begun: Vec::new(),
            chains: Chains::default(),
            random: Random::new(seed),
            runs: 0,
            beam: FEWEST,
            best,
            least,
            wanted: least,
            target: least,
            hopeless: 0,
            is_cut: false,
        };
        beam.begin();
        beam
    }

    /// Looks for packings between these lengths from now on, and for one that is no longer than
    /// `wanted` first.
    pub(crate) fn look_between(&mut self, least: i64, best: i64, wanted: Option<i64>) {
        (self.least, self.best) = (least, best);
        self.wanted = wanted.unwrap_or(least).max(least);
        if self.target < self.least || self.target >= self.best {
            self.begin();
        }
    }

    /// Whether there is nothing left to look for.
    pub(crate) const fn is_done(&self) -> bool {
        let longest = if self.best - 1 > self.least { self.best - 1 } else { self.least };
        self.best <= self.least || self.hopeless >= longest
    }

    /// Begins with bare fabric.
    fn begin(&mut self) {
        let open = self.best - 1 - self.least;
        let targets = [self.wanted, self.least, open / 2, open / 4, open * 3 / 4];
        let at = self.runs % targets.len();
        let target = if at < 2 { targets[at] } else { self.least + targets[at] };
        self.target =
            target.max(self.hopeless + 1).clamp(self.least, (self.best - 1).max(self.least));
        if at == 0 && self.runs > 0 {
            self.beam = (self.beam * 2).min(MOST);
        }
        if self.beam == MOST {
            // Not the same again.
            let random = &mut self.random;
            self.taste.fill_with(|| 1.0 + per(random.below(1000)) / 1000.0);
        }
        self.runs += 1;
        self.is_cut = false;
        self.chains.clear();
        self.begun = vec![Begun {
            skyline: Skyline::new(self.width),
            left: self.pool.kinds.iter().map(super::pool::Kind::count).collect(),
            last: None,
            waste: 0.0,
            laid: 0.0,
        }];
    }

    /// Lays one more piece in each of the packings begun; a packing if all pieces are laid, and how
    /// many were looked at.
    pub(crate) fn step(&mut self) -> (Option<Packing>, u64) {
        let mut work = 1;
        let spare = area(self.width, self.target) - self.pool.area;
        let mut children = Vec::new();
        for begun in 0..self.begun.len() {
            work += self.children(begun, spare, &mut children);
        }
        if self.beam * 2 < children.len() {
            let by_cost = |one: &Child, other: &Child| one.cost.total_cmp(&other.cost);
            children.select_nth_unstable_by(self.beam * 2, by_cost);
            children.truncate(self.beam * 2);
            self.is_cut = true;
        }
        children.sort_unstable_by(|one, other| {
            let names = |child: &Child| (child.begun, child.skips, child.kind, child.way);
            one.cost.total_cmp(&other.cost).then_with(|| names(one).cmp(&names(other)))
        });
        let before = std::mem::take(&mut self.begun);
        let mut seen = BTreeSet::new();
        for child in children {
            if self.begun.len() >= self.beam {
                self.is_cut = true;
                break;
            }
            let next = self.lay(&before[child.begun], child);
            work += 10;
            if next.waste <= spare + 0.5 && seen.insert(next.mark()) {
                self.begun.push(next);
            }
        }
        let Some(first) = self.begun.first() else {
            if !self.is_cut {
                self.hopeless = self.hopeless.max(self.target);
            }
            self.begin();
            return (None, work);
        };
        if first.left.iter().any(|&left| left > 0) {
            return (None, work);
        }
        let packings = self.begun.iter().map(|one| self.pool.packing(self.chains.back(one.last)));
        let found = packings.min_by_key(|packing| packing.length);
        self.best = found.as_ref().map_or(self.best, |found| self.best.min(found.length));
        self.begin();
        (found, work)
    }

    /// All pieces that may be laid next.
    fn children(&self, begun: usize, spare: f64, children: &mut Vec<Child>) -> u64 {
        let one = &self.begun[begun];
        let mut skyline = one.skyline.clone();
        let mut waste = one.waste;
        let mut work = 0;
        for skips in 0..=SKIPS {
            let valley = skyline.valley();
            let space = self.target - valley.y;
            let narrowest = self.narrowest(&one.left, space);
            for (kind, of) in self.pool.kinds.iter().enumerate() {
                if one.left[kind] == 0 {
                    continue;
                }
                for (way, &(width, length)) in of.ways.iter().enumerate() {
                    work += 1;
                    if width > valley.room || length > space {
                        continue;
                    }
                    // What stays beside it in the valley may be too narrow for all others.
                    let rest = valley.room - width;
                    let (near, far) = walls(valley);
                    let is_lost = rest > 0 && rest < narrowest;
                    let lost = if is_lost { area(rest, far.min(length)) } else { 0.0 };
                    if waste + lost > spare + 0.5 {
                        continue;
                    }
                    let steps = 1 + skyline.count() + usize::from(rest > 0)
                        - usize::from(near == length)
                        - usize::from(rest == 0 && far == length);
                    let laid = one.laid + of.area * self.taste[kind];
                    let cost = (waste + lost) * 2.0 / self.pool.area - laid / 2.0 / self.pool.area
                        + per(steps) / 50.0;
                    children.push(Child { cost, begun, kind, way, skips });
                }
            }
            let wall = skyline.give_up(valley);
            waste += area(valley.room, wall);
            if wall == 0 || waste > spare + 0.5 {
                break;
            }
        }
        work
    }

    /// The narrowest of those left that are no longer than the space.
    fn narrowest(&self, left: &[usize], space: i64) -> i64 {
        let kinds = self.pool.kinds.iter().zip(left).filter(|(_, left)| **left > 0);
        let ways = kinds.flat_map(|(kind, _)| &kind.ways).filter(|way| way.1 <= space);
        ways.map(|way| way.0).min().unwrap_or(i64::MAX)
    }

    fn lay(&mut self, before: &Begun, child: Child) -> Begun {
        let mut next = before.clone();
        for _ in 0..child.skips {
            next.give_up();
        }
        let valley = next.skyline.valley();
        let kind = &self.pool.kinds[child.kind];
        let size = kind.ways[child.way];
        let x = next.skyline.lay_in(valley, size, side(valley));
        next.left[child.kind] -= 1;
        next.laid += kind.area * self.taste[child.kind];
        // Valleys that nothing fits are given up at once.
        let narrowest = self.narrowest(&next.left, i64::MAX);
        while narrowest < i64::MAX && next.skyline.valley().room < narrowest && next.give_up() {}
        let laid = Laid { kind: child.kind, way: child.way, x, y: valley.y };
        next.last = Some(self.chains.push(before.last, laid));
        next
    }
}

impl Begun {
    /// Leaves the lowest valley unfilled; whether that can be.
    fn give_up(&mut self) -> bool {
        let valley = self.skyline.valley();
        let wall = self.skyline.give_up(valley);
        self.waste += area(valley.room, wall);
        wall > 0
    }

    /// What tells it apart from others.
    fn mark(&self) -> u64 {
        let mut mark = Mark::new();
        for (x, y) in self.skyline.corners() {
            mark.mix(x.cast_unsigned());
            mark.mix(y.cast_unsigned());
        }
        for &left in &self.left {
            mark.mix(left as u64);
        }
        mark.value()
    }
}

/// Pieces are laid beside the higher wall.
const fn side(valley: Valley) -> Side {
    if valley.walls.1 > valley.walls.0 { Side::Right } else { Side::Left }
}

/// The wall that pieces are laid beside, and the other one.
const fn walls(valley: Valley) -> (i64, i64) {
    match side(valley) {
        Side::Left => valley.walls,
        Side::Right => (valley.walls.1, valley.walls.0),
    }
}
