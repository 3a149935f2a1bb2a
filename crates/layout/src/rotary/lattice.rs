//! Every strip there is, for few pieces: an exact dynamic programme over how many of each kind.
//!
//! For each height in turn, the least width that holds a set of pieces is the width of some block
//! and the least width of what is left; a set that fits into the strip's width costs the first such
//! height. Kept are sets to which nothing can be added at the same cost.

use crate::effort::Fuel;
use std::collections::BTreeMap;

use super::kinds::{Block, Job, Strip};
use super::packed::{self, first, least, one};

/// More heights, or more kinds of blocks at one height, are too many.
const MOST_HEIGHTS: usize = 400;
const MOST_BLOCKS: usize = 6_000;
/// More sets of pieces are too many.
const MOST_SETS: usize = 1 << 20;
/// No width: it does not fit.
const NONE: i64 = i64::MAX / 4;

/// A set of pieces that can be cut from one strip, and the height of that strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Column {
    pub(crate) set: u128,
    pub(crate) cost: i64,
}

/// Pieces that lie one above the other.
#[derive(Clone, Debug)]
struct Stack {
    set: u128,
    width: i64,
    members: Vec<(usize, usize)>,
}

/// All strips for a job and what is needed.
pub(crate) struct Lattice<'a> {
    job: &'a Job,
    demand: Vec<u32>,
    packed: u128,
    /// The place of one of a kind in the table of all sets.
    steps: Vec<usize>,
    sets: usize,
}

impl<'a> Lattice<'a> {
    /// None when there are too many kinds, pieces or sets.
    pub(crate) fn new(job: &'a Job, demand: &[u32]) -> Option<Self> {
        let packed = packed::pack(demand)?;
        let mut steps = Vec::new();
        let mut sets = 1_usize;
        for &count in demand {
            steps.push(sets);
            sets = sets.checked_mul(count as usize + 1).filter(|&sets| sets <= MOST_SETS)?;
        }
        Some(Self { job, demand: demand.to_vec(), packed, steps, sets })
    }

    /// How many of each kind are needed.
    pub(crate) fn demand(&self) -> &[u32] {
        &self.demand
    }

    /// How many sets there are.
    pub(crate) const fn size(&self) -> usize {
        self.sets
    }

    /// All strips to which nothing can be added at the same height; none when that takes more than
    /// `effort`, which is counted down.
    pub(crate) fn columns(&self, effort: &mut Fuel) -> Option<Vec<Column>> {
        let heights = self.job.heights(&self.demand, &[], MOST_HEIGHTS)?;
        let mut costs = vec![NONE; self.sets];
        costs[0] = 0;
        let mut widths = vec![NONE; self.sets];
        for &height in &heights {
            let stacks = self.stacks(height, self.packed)?;
            self.widths(height, &stacks, &mut widths, effort)?;
            for (cost, &width) in costs.iter_mut().zip(&widths) {
                if *cost == NONE && width <= self.job.width {
                    *cost = height;
                }
            }
        }
        let mut columns = Vec::new();
        let mut digits = vec![0; self.demand.len()];
        for (place, &cost) in costs.iter().enumerate() {
            let can_grow = |kind: usize| {
                digits[kind] < self.demand[kind] && costs[place + self.steps[kind]] == cost
            };
            if cost != NONE && place > 0 && !(0..digits.len()).any(can_grow) {
                columns.push(Column { set: packed::pack(&digits)?, cost });
            }
            self.count_up(&mut digits);
        }
        Some(columns)
    }

    /// The digits of the next set.
    fn count_up(&self, digits: &mut [u32]) {
        for (digit, &most) in digits.iter_mut().zip(&self.demand) {
            if *digit < most {
                *digit += 1;
                return;
            }
            *digit = 0;
        }
    }

    fn place(&self, set: u128) -> usize {
        self.steps
            .iter()
            .enumerate()
            .map(|(kind, step)| packed::of(set, kind) as usize * step)
            .sum()
    }

    /// The least width that holds each set in a strip of this height.
    fn widths(
        &self,
        height: i64,
        stacks: &[Stack],
        widths: &mut [i64],
        effort: &mut Fuel,
    ) -> Option<()> {
        let kinds = self.demand.len();
        // The narrowest first, each with the step of its set in the table.
        let holding: Vec<Vec<(&Stack, usize)>> = (0..kinds)
            .map(|kind| {
                let holds = stacks.iter().filter(|stack| packed::of(stack.set, kind) > 0);
                let mut all: Vec<_> = holds.map(|stack| (stack, self.place(stack.set))).collect();
                all.sort_by_key(|(stack, _)| stack.width);
                all
            })
            .collect();
        let areas: Vec<i128> = self.job.kinds.iter().map(least_area).collect();
        let room = i128::from(self.job.width) * i128::from(height);
        let (mut digits, mut set, mut area) = (vec![0; kinds], 0, 0);
        widths[0] = 0;
        for place in 1..self.sets {
            // The next set, and its area, by what changes.
            for ((kind, digit), &most) in digits.iter_mut().enumerate().zip(&self.demand) {
                if *digit < most {
                    *digit += 1;
                    set += one(kind);
                    area += areas[kind];
                    break;
                }
                set -= one(kind) * u128::from(most);
                area -= areas[kind] * i128::from(most);
                *digit = 0;
            }
            widths[place] = NONE;
            if area > room {
                continue;
            }
            let mut best = NONE;
            let mut looked = 1;
            for &(stack, step) in &holding[first(set)] {
                if stack.width >= best {
                    break;
                }
                let taken = least(stack.set, set);
                let step = if taken == stack.set { step } else { self.place(taken) };
                best = best.min(stack.width + widths[place - step]);
                looked += 1;
            }
            effort.take(looked)?;
            widths[place] = if best <= self.job.width { best } else { NONE };
        }
        Some(())
    }

    /// Blocks that fit into a strip of this height and to which nothing can be added without making
    /// them wider; none when there are too many.
    fn stacks(&self, height: i64, of: u128) -> Option<Vec<Stack>> {
        let ways: Vec<_> = (0..self.demand.len())
            .flat_map(|kind| (0..self.job.kinds[kind].ways.len()).map(move |way| (kind, way)))
            .filter(|&member| self.job.way(member).height <= height)
            .collect();
        let mut found: BTreeMap<u128, Stack> = BTreeMap::new();
        let mut members = Vec::new();
        self.pile(&ways, height, of, &mut members, &mut found)?;
        Some(found.into_values().collect())
    }

    /// Puts more on a stack, in the order of the ways.
    fn pile(
        &self,
        ways: &[(usize, usize)],
        left: i64,
        of: u128,
        members: &mut Vec<(usize, usize)>,
        found: &mut BTreeMap<u128, Stack>,
    ) -> Option<()> {
        self.keep(left, of, members, found)?;
        for (index, &(kind, way)) in ways.iter().enumerate() {
            let lies = self.job.way((kind, way));
            if packed::of(of, kind) > 0 && lies.height <= left && lies.width <= self.job.width {
                members.push((kind, way));
                self.pile(&ways[index..], left - lies.height, of - one(kind), members, found)?;
                members.pop();
            }
        }
        Some(())
    }

    /// Keeps a stack if it can be cut and is not held by another one as wide.
    fn keep(
        &self,
        left: i64,
        of: u128,
        members: &[(usize, usize)],
        found: &mut BTreeMap<u128, Stack>,
    ) -> Option<()> {
        let Some(width) = members.iter().map(|&member| self.job.way(member).width).max() else {
            return Some(());
        };
        let is_trimmed = members.len() > 1 || left > 0;
        if is_trimmed && width > self.job.trim {
            return Some(());
        }
        let could_grow = |kind: usize| {
            let fits = |way: &super::kinds::Way| way.height <= left && way.width <= width;
            packed::of(of, kind) > 0 && self.job.kinds[kind].ways.iter().any(fits)
        };
        if (0..self.demand.len()).any(could_grow) {
            return Some(());
        }
        let set = members.iter().fold(0, |set, &(kind, _)| set + one(kind));
        let stack = Stack { set, width, members: members.to_vec() };
        match found.entry(set) {
            std::collections::btree_map::Entry::Occupied(mut known) => {
                if known.get().width > width {
                    known.insert(stack);
                }
            }
            std::collections::btree_map::Entry::Vacant(free) => {
                free.insert(stack);
            }
        }
        (found.len() <= MOST_BLOCKS).then_some(())
    }

    /// A strip of at most this height that holds just this set, which is known to fit.
    pub(crate) fn strip(&self, set: u128, height: i64) -> Option<Strip> {
        let stacks = self.stacks(height, set)?;
        let mut known = BTreeMap::from([(0_u128, (0_i64, None))]);
        let width = least_width(set, &stacks, &mut known);
        if width > self.job.width {
            return None;
        }
        let mut blocks = Vec::new();
        let mut left = set;
        while left != 0 {
            let stack = &stacks[known.get(&left)?.1?];
            let taken = least(stack.set, left);
            let mut wanted = taken;
            let mut block = Vec::new();
            for &(kind, way) in &stack.members {
                if packed::of(wanted, kind) > 0 {
                    wanted -= one(kind);
                    block.push((kind, way));
                }
            }
            blocks.push(Block { width: stack.width, stack: block });
            left -= taken;
        }
        self.job.strip(blocks)
    }
}

/// The least width that holds a set, and with which stack it begins.
fn least_width(
    set: u128,
    stacks: &[Stack],
    known: &mut BTreeMap<u128, (i64, Option<usize>)>,
) -> i64 {
    if let Some(&(width, _)) = known.get(&set) {
        return width;
    }
    let kind = first(set);
    let mut best = (NONE, None);
    for (index, stack) in stacks.iter().enumerate() {
        if packed::of(stack.set, kind) > 0 && stack.width < best.0 {
            let rest = least_width(set - least(stack.set, set), stacks, known);
            if stack.width + rest < best.0 {
                best = (stack.width + rest, Some(index));
            }
        }
    }
    known.insert(set, best);
    best.0
}

fn least_area(kind: &super::kinds::Kind) -> i128 {
    let areas = kind.ways.iter().map(|way| i128::from(way.width) * i128::from(way.height));
    areas.min().unwrap_or(0)
}
