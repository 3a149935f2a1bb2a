//! The bar relaxation, a proven lower bound of the length.
//!
//! Cut the fabric along every line across it: on each line lie pieces whose widths together are
//! no more than the fabric's, and each piece lies on as many lines as it is long. If the pieces may
//! be cut into such lines (bars), which takes no more length than to lay them whole, the least
//! length is a one-dimensional cutting-stock problem over patterns of bars, a linear programme
//! (Scheithauer, "LP-based bounds for the container and multi-container loading problem", 1999),
//! solved here by column generation.
//!
//! A bar may be a stretch of a piece that is wider elsewhere. All of the piece lies on the fabric, so
//! that on either side of a line, beyond its first and its last bar, as much is left as the pieces of
//! these reach out elsewhere: the recess of the bar. Two bars, or one, on each line lose theirs.
//!
//! The programme is solved in floating point and trusted for nothing: its dual prices are rounded
//! to integers, and the most that a line can be worth at these prices is found exactly. What all
//! pieces are worth, divided by that, is a valid bound whatever the prices are.

/// Equal rectangles, each of which lies in one of these ways (width, length).
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Kind {
    pub(crate) ways: Vec<(i64, i64)>,
    pub(crate) count: i64,
}

/// What is to be cut into bars.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bars<'a> {
    pub(crate) kinds: &'a [Kind],
    /// The width of the fabric.
    pub(crate) width: i64,
    /// An area that may be cut into bars of any width: strips that are joined anywhere.
    pub(crate) loose: i128,
    /// How far the piece of a bar reaches beyond it, on the side where it does so less, by kind and
    /// way. Empty when all bars are as wide as their pieces. Loose bars fill recesses.
    pub(crate) recesses: &'a [Vec<i64>],
}

/// More kinds than this are not bounded by bars; it would take too long.
const MOST_KINDS: usize = 64;
/// Patterns that are tried at most.
const MOST_PATTERNS: usize = 400;
/// The most nodes of the search for the best pattern, beyond which the prices are given up; and of
/// all such searches together where bars have recesses, which are slower to find.
const MOST_NODES: u32 = 30_000;
const ALL_NODES: u32 = 1_000_000;
/// Prices are counted in this part of what a line is worth. Small fractions are whole numbers of
/// it, as 720 720 is divided by every number up to 16.
const WORTH: i128 = NICE << 41;
const NICE: i128 = 720_720;
/// Below this a price counts as nothing, and two prices count as equal.
const TINY: f64 = 1e-9;

impl Bars<'_> {
    /// A lower bound of the length.
    pub(crate) fn bound(self) -> i64 {
        self.bound_until(i64::MAX)
    }

    /// Whether the bars show that more than this length is needed.
    pub(crate) fn exceed(self, length: i64) -> bool {
        self.bound_until(length) > length
    }

    /// A lower bound; no better one is looked for once it is above `enough`.
    fn bound_until(self, enough: i64) -> i64 {
        let rows = self.kinds.len() + usize::from(self.loose > 0);
        if rows == 0 || rows > MOST_KINDS || self.width <= 0 {
            return 0;
        }
        let mut programme = Programme::new(self);
        let (mut best, mut nodes) = (0, 0);
        for _ in 0..MOST_PATTERNS {
            let prices = programme.prices();
            // A row that is worth less than nothing is met too well: let it be.
            if let Some(row) = (0..rows).find(|&row| prices[row] < -TINY) {
                let mut column = vec![0.0; rows];
                column[row] = -1.0;
                if !programme.enter(&column, 0.0) {
                    break;
                }
                continue;
            }
            let rates = self.rates(&prices);
            let Some((worth, pattern)) = self.best_pattern(&rates, &mut nodes) else { break };
            best = best.max(self.bound_at(&rates, worth));
            let is_long = !self.recesses.is_empty() && nodes > ALL_NODES;
            if best > enough || is_long || worth <= WORTH + (WORTH >> 30) {
                break;
            }
            if !programme.enter(&self.column(&pattern), 1.0) {
                break;
            }
        }
        best
    }

    fn recess(self, kind: usize, way: usize) -> i64 {
        let recess = self.recesses.get(kind).and_then(|ways| ways.get(way));
        recess.copied().filter(|_| self.loose == 0).unwrap_or(0)
    }

    /// Whole prices of a bar of each kind and way, and of a unit of loose width.
    fn rates(self, prices: &[f64]) -> Rates {
        let rate = |price: f64, length: i64| snap(price / per(length));
        let of_kind = |(kind, &price): (&Kind, &f64)| {
            kind.ways.iter().map(|way| rate(price, way.1)).collect()
        };
        Rates {
            bars: self.kinds.iter().zip(prices).map(of_kind).collect(),
            loose: prices.get(self.kinds.len()).map_or(0, |&price| {
                // Prices of the last row are for the whole width; rounded down is still a price.
                snap(price) / i128::from(self.width)
            }),
        }
    }

    /// The bound that prices give when no line is worth more than `worth`, rounded up.
    fn bound_at(self, rates: &Rates, worth: i128) -> i64 {
        let pieces: i128 = self
            .kinds
            .iter()
            .zip(&rates.bars)
            .map(|(kind, rates)| {
                let whole = kind.ways.iter().zip(rates).map(|(way, rate)| i128::from(way.1) * rate);
                whole.min().unwrap_or(0) * i128::from(kind.count)
            })
            .sum();
        let all = pieces + self.loose * rates.loose;
        if worth <= 0 { 0 } else { i64::try_from((all + worth - 1) / worth).unwrap_or(0) }
    }

    /// The most that a line across can be worth, and a pattern that is; none when it takes too
    /// long to find.
    fn best_pattern(self, rates: &Rates, nodes: &mut u32) -> Option<(i128, Pattern)> {
        let mut entries = Vec::new();
        for (index, (kind, rates_of)) in self.kinds.iter().zip(&rates.bars).enumerate() {
            for (way, (&(width, _), &rate)) in kind.ways.iter().zip(rates_of).enumerate() {
                // What the bar is worth more than loose width in its place.
                let gain = rate - rates.loose * i128::from(width);
                if gain > 0 && width <= self.width {
                    let recess = self.recess(index, way);
                    entries.push(Entry { kind: index, way, width, recess, gain });
                }
            }
        }
        entries.sort_by(|one, other| {
            let (a, b) = (one.gain * i128::from(other.width), other.gain * i128::from(one.width));
            b.cmp(&a)
        });
        let mut filling = Filling {
            entries: &entries,
            left: self.kinds.iter().map(|kind| kind.count).collect(),
            taken: vec![0; entries.len()],
            best: 0,
            best_taken: vec![0; entries.len()],
            nodes: 0,
        };
        let is_whole = filling.fill(0, self.width, 0, Ends::NONE);
        *nodes += filling.nodes;
        if !is_whole {
            return None;
        }
        let (best, taken) = (filling.best, filling.best_taken);
        let mut pattern = Pattern { bars: Vec::new(), loose: self.width };
        for (entry, &times) in entries.iter().zip(&taken).filter(|(_, times)| **times > 0) {
            pattern.bars.push((entry.kind, entry.way, times));
            pattern.loose -= entry.width * times;
        }
        Some((best + rates.loose * i128::from(self.width), pattern))
    }

    /// What a unit of length of a pattern gives of each row.
    fn column(self, pattern: &Pattern) -> Vec<f64> {
        let mut column = vec![0.0; self.kinds.len()];
        for &(kind, way, times) in &pattern.bars {
            column[kind] += per(times) / per(self.kinds[kind].ways[way].1);
        }
        if self.loose > 0 {
            column.push(per(pattern.loose) / per(self.width));
        }
        column
    }
}

/// An integer as a number to calculate with.
#[expect(clippy::cast_precision_loss, reason = "prices are checked with integers afterwards")]
fn per(nm: i64) -> f64 {
    nm as f64
}

/// A price as a whole number, exact when it is a small fraction.
#[expect(clippy::cast_possible_truncation, reason = "a price is at most about one")]
#[expect(clippy::cast_precision_loss, reason = "prices are checked with integers afterwards")]
fn snap(price: f64) -> i128 {
    let nice = price.max(0.0) * NICE as f64;
    let whole = nice.round();
    if (nice - whole).abs() < 1e-5 {
        (whole as i128) * (WORTH / NICE)
    } else {
        (price.max(0.0) * WORTH as f64) as i128
    }
}

/// Whole prices.
struct Rates {
    /// Of a bar, by kind and way.
    bars: Vec<Vec<i128>>,
    /// Of a unit of loose width.
    loose: i128,
}

/// Bars side by side: kind, way and how many, and the width that is left.
struct Pattern {
    bars: Vec<(usize, usize, i64)>,
    loose: i64,
}

/// A bar that may be put on a line.
struct Entry {
    kind: usize,
    way: usize,
    width: i64,
    recess: i64,
    gain: i128,
}

/// The two least recesses of some bars.
#[derive(Clone, Copy)]
struct Ends(i64, i64);

impl Ends {
    /// Of no bars.
    const NONE: Self = Self(i64::MAX, i64::MAX);

    /// With one bar more.
    fn with(self, recess: i64) -> Self {
        if recess < self.0 { Self(recess, self.0) } else { Self(self.0, self.1.min(recess)) }
    }

    /// What is lost at the ends of a line with these bars; both are the same bar when it is the only
    /// one.
    fn lost(self) -> i64 {
        match self {
            Self(i64::MAX, _) => 0,
            Self(only, i64::MAX) => 2 * only,
            Self(one, other) => one + other,
        }
    }
}

/// The search for the bars that are worth most, side by side.
struct Filling<'a> {
    entries: &'a [Entry],
    /// How many of each kind there still are.
    left: Vec<i64>,
    taken: Vec<i64>,
    best: i128,
    best_taken: Vec<i64>,
    nodes: u32,
}

impl Filling<'_> {
    /// Tries all ways to fill the room; whether it came to the end.
    fn fill(&mut self, from: usize, room: i64, value: i128, ends: Ends) -> bool {
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return false;
        }
        if value > self.best && ends.lost() <= room {
            self.best = value;
            self.best_taken.clone_from(&self.taken);
        }
        for index in from..self.entries.len() {
            let Entry { kind, width, recess, gain, .. } = self.entries[index];
            // The entries are in order of what they are worth for their width.
            if i128::from(room) * gain <= (self.best - value) * i128::from(width) {
                return true;
            }
            for times in (1..=(room / width).min(self.left[kind])).rev() {
                self.left[kind] -= times;
                self.taken[index] = times;
                let more = if times > 1 { ends.with(recess) } else { ends }.with(recess);
                let (room, value) = (room - width * times, value + gain * i128::from(times));
                let goes_on = self.fill(index + 1, room, value, more);
                self.left[kind] += times;
                self.taken[index] = 0;
                if !goes_on {
                    return false;
                }
            }
        }
        true
    }
}

/// The linear programme with the patterns in hand: the least total length of patterns that gives
/// every row what it needs, by the revised simplex method with the inverse of the basis.
struct Programme {
    inverse: Vec<Vec<f64>>,
    /// What a unit of each basic column costs: one for a pattern, nothing for a surplus.
    costs: Vec<f64>,
    amounts: Vec<f64>,
}

impl Programme {
    /// Begins with a pattern of only one kind for each.
    fn new(bars: Bars<'_>) -> Self {
        let mut gives = Vec::new();
        let mut needs = Vec::new();
        for (index, kind) in bars.kinds.iter().enumerate() {
            let give = kind.ways.iter().enumerate().map(|(way, &(width, length))| {
                let room = bars.width - 2 * bars.recess(index, way);
                per((room / width.max(1)).min(kind.count)) / per(length)
            });
            gives.push(give.fold(0.0, f64::max));
            needs.push(per(kind.count));
        }
        if bars.loose > 0 {
            gives.push(1.0);
            #[expect(clippy::cast_precision_loss, reason = "prices are checked afterwards")]
            needs.push(bars.loose as f64 / per(bars.width));
        }
        let rows = gives.len();
        let mut inverse = vec![vec![0.0; rows]; rows];
        for (row, &give) in gives.iter().enumerate() {
            inverse[row][row] = if give > 0.0 { 1.0 / give } else { 0.0 };
        }
        let amounts = needs.iter().zip(&gives).map(|(need, give)| need / give.max(1e-300));
        Self { inverse, costs: vec![1.0; rows], amounts: amounts.collect() }
    }

    /// What each row is worth now.
    fn prices(&self) -> Vec<f64> {
        let rows = self.costs.len();
        (0..rows)
            .map(|row| (0..rows).map(|at| self.costs[at] * self.inverse[at][row]).sum())
            .collect()
    }

    /// Takes a column into the basis; false when no amount of it is the limit.
    fn enter(&mut self, column: &[f64], cost: f64) -> bool {
        let rows = self.costs.len();
        let turned: Vec<f64> = (0..rows)
            .map(|at| self.inverse[at].iter().zip(column).map(|(a, b)| a * b).sum())
            .collect();
        let leaving = (0..rows)
            .filter(|&at| turned[at] > TINY * turned.iter().fold(0.0_f64, |m, t| m.max(t.abs())))
            .min_by(|&one, &other| {
                let ratio = |at: usize| self.amounts[at] / turned[at];
                ratio(one).total_cmp(&ratio(other))
            });
        let Some(leaving) = leaving else { return false };
        let step = self.amounts[leaving] / turned[leaving];
        let pivot: Vec<f64> =
            self.inverse[leaving].iter().map(|value| value / turned[leaving]).collect();
        let rows = self.inverse.iter_mut().zip(&mut self.amounts).zip(&turned).enumerate();
        for (_, ((row, amount), turned)) in rows.filter(|(at, _)| *at != leaving) {
            *amount -= step * turned;
            for (value, pivot) in row.iter_mut().zip(&pivot) {
                *value -= turned * pivot;
            }
        }
        self.inverse[leaving] = pivot;
        self.amounts[leaving] = step;
        self.costs[leaving] = cost;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bound(width: i64, kinds: &[(i64, i64, i64)]) -> i64 {
        let kinds: Vec<_> = kinds
            .iter()
            .map(|&(width, length, count)| Kind { ways: vec![(width, length)], count })
            .collect();
        Bars { kinds: &kinds, width, loose: 0, recesses: &[] }.bound()
    }

    #[test]
    fn pieces_too_wide_to_lie_side_by_side_add_up() {
        assert_eq!(bound(42, &[(22, 10, 3)]), 30);
        // Two side by side, and the third beside nothing: the bars of three pieces share.
        assert_eq!(bound(42, &[(21, 10, 3)]), 15);
        assert_eq!(bound(42, &[(21, 17, 2), (12, 9, 2)]), 26);
    }

    #[test]
    fn sevenths_need_not_be_whole() {
        // Six of seven across: the seventh is spread, 7/6 of the length, rounded up.
        assert_eq!(bound(6, &[(1, 12, 7)]), 14);
        assert_eq!(bound(17, &[(1, 100, 18)]), 106);
    }

    #[test]
    fn it_knows_what_no_single_weight_knows() {
        // On 10: 6 with 3, 4 with 5, and nothing else beside 6 and 5.
        // 6+4 = 10 fits, so the pieces of 6 and 5 share the pieces of 4.
        assert_eq!(bound(10, &[(6, 10, 1), (5, 10, 1), (4, 10, 1)]), 20);
        assert_eq!(bound(10, &[(6, 10, 2), (5, 10, 2), (4, 10, 1)]), 30);
    }

    #[test]
    fn a_piece_that_may_be_turned_takes_the_better_way_in_part() {
        let kinds = [Kind { ways: vec![(6, 4), (4, 6)], count: 1 }];
        assert_eq!(Bars { kinds: &kinds, width: 6, loose: 0, recesses: &[] }.bound(), 4);
        let kinds = [Kind { ways: vec![(6, 4), (4, 6)], count: 4 }];
        // Area alone: 96 / 8.
        assert_eq!(Bars { kinds: &kinds, width: 8, loose: 0, recesses: &[] }.bound(), 12);
    }

    #[test]
    fn what_a_piece_reaches_beyond_its_bar_is_left_at_an_end_of_the_line() {
        // On 10 a bar of 6, of a piece that is 8 wide, has no room beside it for one of 4.
        let kinds =
            [Kind { ways: vec![(6, 10)], count: 1 }, Kind { ways: vec![(4, 10)], count: 1 }];
        let with = |recess: i64| {
            let recesses = [vec![recess], vec![0]];
            Bars { kinds: &kinds, width: 10, loose: 0, recesses: &recesses }.bound()
        };
        assert_eq!([with(0), with(1)], [10, 20]);
        // Between two others it loses nothing.
        let kinds =
            [Kind { ways: vec![(6, 10)], count: 1 }, Kind { ways: vec![(2, 10)], count: 2 }];
        let recesses = [vec![1], vec![0]];
        assert_eq!(Bars { kinds: &kinds, width: 10, loose: 0, recesses: &recesses }.bound(), 10);
    }

    #[test]
    fn loose_width_fills_what_is_left() {
        let kinds = [Kind { ways: vec![(6, 10)], count: 1 }];
        assert_eq!(Bars { kinds: &kinds, width: 10, loose: 40, recesses: &[] }.bound(), 10);
        assert_eq!(Bars { kinds: &kinds, width: 10, loose: 60, recesses: &[] }.bound(), 12);
        assert_eq!(Bars { kinds: &[], width: 10, loose: 55, recesses: &[] }.bound(), 6);
    }
}
