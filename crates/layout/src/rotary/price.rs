//! The strip that is worth the most at given prices, by dynamic programmes over widths and heights
//! on a grid: first the best stack for each width and height, then the best row of stacks for each
//! height. It may hold more of a kind than is needed.

use super::kinds::{Block, Job, Strip};
use super::loose::Loose;
use super::master::Pattern;

/// More lines of the grid are not counted one by one.
const MOST_LINES: i64 = 8_192;

/// A grid on which widths and heights can be counted.
pub(crate) struct Grid<'a> {
    job: &'a Job,
    loose: &'a [Loose],
    across: Scale,
    along: Scale,
    /// The heights that a strip may have, in lines.
    heights: Vec<i64>,
    /// The widths of blocks there are, in lines.
    widths: Vec<i64>,
}

/// Lengths counted in steps.
#[derive(Clone, Copy, Debug)]
struct Scale {
    step: i64,
    lines: i64,
    /// Whether every length is a whole number of steps; else they are rounded up.
    is_exact: bool,
}

impl Scale {
    fn new(whole: i64, parts: impl Iterator<Item = i64>) -> Self {
        let step = parts.fold(0, common).max(1);
        if whole / step <= MOST_LINES {
            return Self { step, lines: whole / step, is_exact: true };
        }
        let step = whole / MOST_LINES + 1;
        Self { step, lines: whole / step, is_exact: false }
    }

    fn of(self, length: i64) -> i64 {
        (length + self.step - 1) / self.step
    }
}

/// The greatest common divisor.
fn common(one: i64, other: i64) -> i64 {
    let (mut one, mut other) = (one, other);
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}

/// A piece in one way, on the grid.
#[derive(Clone, Copy, Debug)]
struct Thing {
    member: (usize, usize),
    width: i64,
    height: i64,
    price: i64,
}

/// What strips are worth at some prices.
pub(crate) struct Worth {
    /// For each height, in nanometres, the most that a strip can be worth.
    pub(crate) of_heights: Vec<(i64, i64)>,
    /// For each width of blocks, and height in lines, the best stack.
    stacks: Vec<Vec<i64>>,
    things: Vec<Thing>,
    /// What a line of each loose one is worth.
    loose: Vec<i64>,
}

impl<'a> Grid<'a> {
    /// A grid for a job in which these heights can occur.
    pub(crate) fn new(job: &'a Job, loose: &'a [Loose], heights: &[i64]) -> Self {
        let ways = || job.kinds.iter().flat_map(|kind| &kind.ways);
        let own = if loose.is_empty() { 0 } else { job.width };
        let across = Scale::new(job.width, ways().map(|way| way.width).chain([own]));
        let breadths = loose.iter().map(|loose| loose.breadth);
        let along = Scale::new(job.tallest, ways().map(|way| way.height).chain(breadths));
        let mut widths: Vec<_> =
            ways().map(|way| across.of(way.width)).filter(|&lines| lines <= across.lines).collect();
        if !loose.is_empty() {
            widths.push(1);
        }
        widths.sort_unstable();
        widths.dedup();
        let mut heights: Vec<_> = heights.iter().map(|&height| along.of(height)).collect();
        heights.retain(|&height| height <= along.lines);
        heights.dedup();
        Self { job, loose, across, along, heights, widths }
    }

    /// Whether nothing was rounded, so that no strip is worth more than is found here.
    pub(crate) const fn is_exact(&self) -> bool {
        self.across.is_exact && self.along.is_exact
    }

    /// How many lines across a loose strip of this length takes, rounded down.
    pub(crate) const fn lines(&self, length: i64) -> i64 {
        length / self.across.step
    }

    /// How many lines the whole width has.
    pub(crate) const fn width(&self) -> i64 {
        self.across.lines
    }

    /// How many steps one call takes, about.
    pub(crate) fn effort(&self) -> u64 {
        let (widths, heights) = (self.widths.len() as u64, self.heights.len() as u64);
        let lines = |scale: Scale| u64::try_from(scale.lines).unwrap_or(u64::MAX);
        widths * (heights * lines(self.across) + lines(self.along))
    }

    /// What strips are worth at these prices for each kind and each loose one (for a line of it).
    pub(crate) fn worth(&self, prices: &[i64]) -> Worth {
        let mut things = Vec::new();
        for (kind, (pieces, &price)) in self.job.kinds.iter().zip(prices).enumerate() {
            let ways = pieces.ways.iter().enumerate().filter(|_| price > 0);
            things.extend(ways.map(|(way, lies)| Thing {
                member: (kind, way),
                width: self.across.of(lies.width),
                height: self.along.of(lies.height),
                price,
            }));
        }
        let loose_prices = &prices[self.job.kinds.len()..];
        let stacks = self.stacks(&things, loose_prices);
        let of_heights = self
            .heights
            .iter()
            .map(|&height| {
                let row = self.row(height, &stacks, &things);
                (height * self.along.step, row[row.len() - 1])
            })
            .collect();
        Worth { of_heights, stacks, things, loose: loose_prices.to_vec() }
    }

    /// The best stack for each width and height.
    fn stacks(&self, things: &[Thing], loose_prices: &[i64]) -> Vec<Vec<i64>> {
        let lines = index(self.along.lines);
        let mut stacks: Vec<Vec<i64>> = Vec::new();
        for &width in &self.widths {
            let mut best = stacks.last().cloned().unwrap_or_else(|| vec![0; lines + 1]);
            let rigid = things.iter().filter(|thing| thing.width == width);
            let rigid = rigid.map(|thing| (index(thing.height), thing.price));
            let loose = self.loose.iter().zip(loose_prices);
            let loose =
                loose.map(|(one, price)| (index(self.along.of(one.breadth)), price * width));
            for (height, price) in rigid.chain(loose) {
                for at in height..=lines {
                    best[at] = best[at].max(best[at - height] + price);
                }
            }
            stacks.push(best);
        }
        stacks
    }

    /// What a block of this width is worth in a strip of this height.
    fn block(&self, at: usize, height: i64, stacks: &[Vec<i64>], things: &[Thing]) -> i64 {
        let width = self.widths[at];
        if width * self.across.step <= self.job.trim {
            return stacks[at][index(height)];
        }
        // Too wide to be trimmed: one piece just as high as the strip.
        let fits = things.iter().filter(|thing| thing.width == width && thing.height == height);
        fits.map(|thing| thing.price).max().unwrap_or(0)
    }

    /// The most that blocks side by side are worth, for every width.
    fn row(&self, height: i64, stacks: &[Vec<i64>], things: &[Thing]) -> Vec<i64> {
        let lines = index(self.across.lines);
        let mut row = vec![0; lines + 1];
        let mut narrower = 0;
        for (at, &width) in self.widths.iter().enumerate() {
            let worth = self.block(at, height, stacks, things);
            if worth <= narrower {
                continue;
            }
            narrower = worth;
            for to in index(width)..=lines {
                row[to] = row[to].max(row[to - index(width)] + worth);
            }
        }
        row
    }

    /// The best strip of a height, in nanometres, as a pattern over so many rows, and as a strip when
    /// nothing in it is loose. It may hold more of a kind than there is.
    pub(crate) fn pattern(
        &self,
        worth: &Worth,
        height: i64,
        rows: usize,
    ) -> Option<(Pattern, Option<Strip>)> {
        let lines = height / self.along.step;
        let row = self.row(lines, &worth.stacks, &worth.things);
        let mut left = row.len() - 1;
        let mut gives = vec![0_u32; rows];
        let mut blocks = Vec::new();
        while row[left] > 0 {
            if left > 0 && row[left - 1] == row[left] {
                left -= 1;
                continue;
            }
            let at = (0..self.widths.len()).find(|&at| {
                let width = index(self.widths[at]);
                let worth = self.block(at, lines, &worth.stacks, &worth.things);
                width <= left && worth > 0 && row[left - width] + worth == row[left]
            })?;
            let stack = self.stack(worth, at, lines, &mut gives)?;
            blocks.push(Block { width: 0, stack });
            left -= index(self.widths[at]);
        }
        if self.loose.is_empty() {
            let strip = self.job.strip(blocks)?;
            return Some((Pattern { gives, cost: strip.height }, Some(strip)));
        }
        Some((Pattern { gives, cost: height }, None))
    }

    /// The members of the best stack; what it gives is added.
    fn stack(
        &self,
        worth: &Worth,
        at: usize,
        height: i64,
        gives: &mut [u32],
    ) -> Option<Vec<(usize, usize)>> {
        let width = self.widths[at];
        if width * self.across.step > self.job.trim {
            let fits = worth.things.iter().filter(|one| one.width == width && one.height == height);
            let best = fits.max_by_key(|one| one.price)?;
            gives[best.member.0] += 1;
            return Some(vec![best.member]);
        }
        let best = &worth.stacks[at];
        let loose = self.loose.iter().zip(&worth.loose).enumerate();
        let loose: Vec<_> = loose
            .map(|(row, (one, price))| (row, index(self.along.of(one.breadth)), price * width))
            .filter(|(_, _, price)| *price > 0)
            .collect();
        let mut left = index(height);
        let mut members = Vec::new();
        while best[left] > 0 {
            let fits =
                |high: usize, price: i64| high <= left && best[left - high] + price == best[left];
            let thing = worth
                .things
                .iter()
                .find(|thing| thing.width <= width && fits(index(thing.height), thing.price));
            if let Some(thing) = thing {
                members.push(thing.member);
                gives[thing.member.0] += 1;
                left -= index(thing.height);
            } else if let Some(&(row, high, _)) = loose.iter().find(|one| fits(one.1, one.2)) {
                gives[self.job.kinds.len() + row] += u32::try_from(width).unwrap_or(0);
                left -= high;
            } else {
                left = left.checked_sub(1)?;
            }
        }
        Some(members)
    }
}

fn index(lines: i64) -> usize {
    usize::try_from(lines).unwrap_or(0)
}
