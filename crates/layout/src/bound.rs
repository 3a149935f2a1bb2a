//! Proven lower bounds of the length, valid for every lawful layout, gaps and joins included.
//!
//! Each piece grows by the gap in both directions and so does the fabric; then pieces may touch.
//! * *Area in weighed widths.* A dual feasible function `f` never makes widths that lie side by
//!   side on the fabric weigh more than its width, so every line across carries at most that
//!   weight, and the sum of `f(width) × length` divided by the fabric's weight is a lower bound
//!   (Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", 2001). The
//!   identity gives the area bound; the others weigh pieces up that are too wide to lie side by
//!   side.
//! * *Longest piece.*
//! * *Chains.* Pushed together, every piece lies on the start of the fabric or on another piece,
//!   so the length is a sum of lengths of pieces; the bound is raised to the next such sum.

use std::collections::BTreeSet;

use measure::Length;

use crate::bars::{Bars, Kind};
use crate::cuts::{strips, ways};
use crate::{JoinPlace, Problem};

/// Sums of lengths are followed up to this many; beyond them the bound is not raised.
const MOST_SUMS: usize = 2_000;

/// Parts are told apart up to this many.
const MOST_PARTS: i64 = 20;

/// Weights in more steps than this are not tried, which keeps them within an `i128`.
const MOST_STEPS: i64 = 1_000;

/// What a bound has to know of some equal pieces.
#[derive(Clone, Debug)]
enum Load {
    /// Rectangles that lie in one of these ways (width, length).
    Rigid { ways: Vec<(i64, i64)>, count: i64 },
    /// Strips across the width that are joined from parts of any lengths: the total of all parts
    /// of one of them at least, in at most so many parts, none longer than the fabric is wide.
    Strip { total: i64, breadth: i64, parts: i64, longest: i64, count: i64 },
    /// Strips that may be joined across the width or cut whole along it.
    Either { long: i64, breadth: i64, count: i64 },
}

/// A lower bound of the length of every lawful layout on this usable width.
pub(crate) fn bound(problem: &Problem, usable: Length) -> Length {
    let gap = problem.gap.to_nm();
    let loads = loads(problem, usable);
    if loads.is_empty() {
        return Length::ZERO;
    }
    let width = usable.to_nm() + gap;
    let weighed = weights(&loads, width).map(|weight| weight.bound(&loads, width)).max();
    let longest = loads.iter().map(Load::shortest_way).max();
    let bound = weighed.max(longest).unwrap_or(0);
    Length::nm(next_chain(&loads, bound).unwrap_or(bound) - gap)
}

/// The bound by bars, which is sharper and takes longer to find.
pub(crate) fn by_bars(problem: &Problem, usable: Length) -> Length {
    let Demand { kinds, loose } = demand(problem, usable);
    let gap = problem.gap.to_nm();
    let bars = Bars { kinds: &kinds, width: usable.to_nm() + gap, loose, recesses: &[] }.bound();
    raised(problem, usable, Length::nm(bars - gap))
}

/// A bound that is raised to the next length that pieces pushed together can have.
pub(crate) fn raised(problem: &Problem, usable: Length, bound: Length) -> Length {
    let gap = problem.gap;
    let next = next_chain(&loads(problem, usable), (bound + gap).to_nm());
    next.map_or(bound, |next| Length::nm(next) - gap)
}

/// The pieces, with the gap added, for bounds and proofs that know no joins.
#[derive(Clone, Debug)]
pub(crate) struct Demand {
    /// Rectangles, equal ones together.
    pub(crate) kinds: Vec<Kind>,
    /// The area of strips that are joined from parts of any length.
    pub(crate) loose: i128,
}

/// What has to be laid on this usable width.
pub(crate) fn demand(problem: &Problem, usable: Length) -> Demand {
    let mut demand = Demand { kinds: Vec::new(), loose: 0 };
    let area = |long: i64, breadth: i64, count: i64| {
        i128::from(long) * i128::from(breadth) * i128::from(count)
    };
    for load in loads(problem, usable) {
        match load {
            Load::Rigid { mut ways, count } => {
                ways.sort_unstable();
                ways.dedup();
                match demand.kinds.iter_mut().find(|kind| kind.ways == ways) {
                    Some(kind) => kind.count += count,
                    None => demand.kinds.push(Kind { ways, count }),
                }
            }
            Load::Strip { total, breadth, count, .. } => {
                demand.loose += area(total, breadth, count);
            }
            Load::Either { long, breadth, count } => demand.loose += area(long, breadth, count),
        }
    }
    // In an order that does not hang on the order of the pieces.
    demand.kinds.sort_by(|one, other| one.ways.cmp(&other.ways));
    demand
}

/// The pieces with the gap added.
fn loads(problem: &Problem, usable: Length) -> Vec<Load> {
    let gap = problem.gap.to_nm();
    let mut loads = Vec::new();
    for item in &problem.pieces {
        let count = i64::from(item.count) * i64::from(problem.copies);
        if count == 0 {
            continue;
        }
        let (width, length) = item.shape.size();
        let (upright, turned) = ways(item);
        let upright = upright.filter(|_| width <= usable).map(|_| (width, length));
        let turned = turned.filter(|_| length <= usable).map(|_| (length, width));
        let whole: Vec<_> = upright
            .into_iter()
            .chain(turned)
            .map(|(across, along)| (across.to_nm() + gap, along.to_nm() + gap))
            .collect();
        let Some(strips) = strips(item, problem.copies, usable).filter(|s| s.join.most > 0) else {
            loads.push(Load::Rigid { ways: whole, count });
            continue;
        };
        let breadth = strips.breadth.to_nm() + gap;
        if !whole.is_empty() {
            loads.push(Load::Either { long: strips.long.to_nm(), breadth, count });
        } else if strips.join.place == JoinPlace::Centre {
            // The halves may differ by a nanometre; the shorter one stands for both.
            let half = (strips.long + strips.taken()).half().to_nm() + gap;
            loads.push(Load::Rigid { ways: vec![(half, breadth)], count: count * 2 });
        } else {
            // A strip in several parts may count the gap only once: parts of two finished strips
            // can be cut as one.
            let joins = i64::from(strips.fewest_joins().unwrap_or(0));
            let total = strips.long.to_nm() + strips.taken().to_nm() * joins;
            let parts = i64::from(strips.join.most) + 1;
            let longest = strips.longest.to_nm();
            loads.push(Load::Strip { total, breadth, parts, longest, count });
        }
    }
    loads
}

impl Load {
    /// The length of the shorter of its ways.
    fn shortest_way(&self) -> i64 {
        match self {
            Self::Rigid { ways, .. } => ways.iter().map(|way| way.1).min().unwrap_or(0),
            Self::Strip { breadth, .. } | Self::Either { breadth, .. } => *breadth,
        }
    }
}

/// A dual feasible function on widths.
#[derive(Clone, Copy, Debug)]
enum Weight {
    /// Every width weighs what it measures.
    Plain,
    /// Less than the threshold weighs nothing; what leaves less than the threshold beside it weighs
    /// as much as the whole width.
    Threshold(i64),
    /// Widths in steps of the width over `k + 1` weigh as many steps over `k`.
    Steps(i64),
}

/// The functions that are tried: thresholds at the widths there are, and steps for few pieces side
/// by side and for as many as fit of each width.
fn weights(loads: &[Load], width: i64) -> impl Iterator<Item = Weight> {
    let rigid = loads.iter().filter_map(|load| match load {
        Load::Rigid { ways, .. } => Some(ways.iter().map(|way| way.0)),
        Load::Strip { .. } | Load::Either { .. } => None,
    });
    let widths: BTreeSet<i64> = rigid.flatten().chain([width / 2]).collect();
    let thresholds = widths.clone().into_iter().filter(move |&across| across <= width / 2);
    let steps: BTreeSet<i64> =
        widths.iter().map(|across| width / across.max(&1)).chain(1..=6).collect();
    let steps = steps.into_iter().filter(|k| (1..=MOST_STEPS).contains(k));
    [Weight::Plain]
        .into_iter()
        .chain(thresholds.map(Weight::Threshold))
        .chain(steps.map(Weight::Steps))
}

impl Weight {
    /// What the whole width weighs.
    fn whole(self, width: i64) -> i128 {
        let width = i128::from(width);
        match self {
            Self::Plain | Self::Threshold(_) => width,
            Self::Steps(k) => width * i128::from(k) * i128::from(k + 1),
        }
    }

    /// What a width weighs.
    fn of(self, across: i64, width: i64) -> i128 {
        let (x, w) = (i128::from(across), i128::from(width));
        match self {
            Self::Plain => x,
            Self::Threshold(least) if across > width - least => w,
            Self::Threshold(least) if across < least => 0,
            Self::Threshold(_) => x,
            Self::Steps(k) => {
                let k = i128::from(k);
                let steps = x * (k + 1);
                if steps % w == 0 { k * steps } else { steps / w * w * (k + 1) }
            }
        }
    }

    /// The most that one part can weigh less than it measures.
    fn loss(self, width: i64) -> i128 {
        match self {
            Self::Plain => 0,
            Self::Threshold(least) => i128::from(least),
            // At most one step over k + 1.
            Self::Steps(k) => i128::from(width) * i128::from(k),
        }
    }

    /// What a width weighs at least when it is cut into at most so many parts, each at most
    /// `longest`. Parts of a strip that are cut as one weigh at least as much together.
    fn of_parts(self, total: i64, parts: i64, longest: i64, width: i64) -> i128 {
        match self {
            Self::Threshold(least) if parts <= MOST_PARTS => {
                i128::from(over_threshold(total, parts, longest, width, least))
            }
            Self::Plain | Self::Threshold(_) | Self::Steps(_) => {
                let scale = self.whole(width) / i128::from(width);
                (i128::from(total) * scale - i128::from(parts) * self.loss(width)).max(0)
            }
        }
    }

    /// The bound this function gives, rounded up.
    fn bound(self, loads: &[Load], width: i64) -> i64 {
        let weigh = |load: &Load| match load {
            Load::Rigid { ways, count } => {
                let least = ways.iter().map(|way| self.of(way.0, width) * i128::from(way.1)).min();
                least.unwrap_or(0) * i128::from(*count)
            }
            Load::Strip { total, breadth, parts, longest, count } => {
                self.of_parts(*total, *parts, *longest, width)
                    * i128::from(*breadth)
                    * i128::from(*count)
            }
            Load::Either { long, breadth, count } => match self {
                Self::Plain => i128::from(*long) * i128::from(*breadth) * i128::from(*count),
                Self::Threshold(_) | Self::Steps(_) => 0,
            },
        };
        let total: i128 = loads.iter().map(weigh).sum();
        let whole = self.whole(width);
        i64::try_from((total + whole - 1) / whole).unwrap_or(0)
    }
}

/// The least weight under a threshold of parts that add up to `total`. Some parts weigh nothing and
/// are just below the threshold; of the others some are light, weigh what they measure and leave at
/// least the threshold beside them, and as few as possible are heavy and weigh the whole width.
fn over_threshold(total: i64, parts: i64, longest: i64, width: i64, least: i64) -> i64 {
    let light = (width - least).min(longest);
    let weight = |weightless: i64| {
        let rest = (total - weightless * (least - 1).max(0)).max(0);
        let others = parts - weightless;
        if rest > others * longest {
            return None;
        }
        let over = (rest - others * light).max(0);
        let heavy = if over == 0 { 0 } else { (over - 1) / (longest - light) + 1 };
        Some(rest.max(heavy * width))
    };
    (0..=parts).filter_map(weight).min().unwrap_or(total)
}

/// The least sum of lengths of pieces that is not below `bound`; none when there are too many sums
/// or parts of any length.
fn next_chain(loads: &[Load], bound: i64) -> Option<i64> {
    let mut sums = vec![0_i64];
    let mut next = i64::MAX;
    for load in loads {
        let (lengths, count): (Vec<i64>, i64) = match load {
            Load::Rigid { ways, count } => (ways.iter().map(|way| way.1).collect(), *count),
            Load::Strip { breadth, parts, count, .. } => (vec![*breadth], *count * *parts),
            Load::Either { .. } => return None,
        };
        for _ in 0..count {
            let before = sums.len();
            let longer = |&sum: &i64| lengths.iter().map(move |length| sum + length);
            let more: Vec<_> = sums.iter().flat_map(longer).collect();
            next = more.iter().copied().filter(|&sum| sum >= bound).fold(next, i64::min);
            sums.extend(more.into_iter().filter(|&sum| sum < bound));
            sums.sort_unstable();
            sums.dedup();
            if sums.len() > MOST_SUMS {
                return None;
            }
            if sums.len() == before {
                break;
            }
        }
    }
    (next < i64::MAX).then_some(next)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_parts_of_a_long_strip_are_both_too_long_to_lie_side_by_side() {
        // 57 in two parts of at most 34: the shorter is at least 23, over half of 34.
        assert_eq!(over_threshold(57, 2, 34, 34, 17), 68);
        // On 42 one part may be 20, just too short to weigh anything; the other then is heavy.
        assert_eq!(over_threshold(57, 2, 42, 42, 21), 42);
        assert_eq!(over_threshold(57, 2, 42, 42, 12), 57);
    }

    #[test]
    fn no_way_to_cut_a_strip_weighs_less() {
        for (total, width, least) in
            [(20, 12, 6), (20, 12, 5), (21, 11, 3), (9, 10, 4), (24, 12, 2)]
        {
            let of = |part| Weight::Threshold(least).of(part, width);
            let two = (0..=width).map(|one| (one, total - one));
            let lightest = two
                .filter(|&(_, other)| (0..=width).contains(&other))
                .map(|(one, other)| of(one) + of(other))
                .min();
            let bound = i128::from(over_threshold(total, 2, width, width, least));
            assert!(lightest.is_some_and(|lightest| bound <= lightest), "{total} on {width}");
        }
    }

    #[test]
    fn widths_side_by_side_never_weigh_more_than_the_fabric() {
        let width = 24;
        let all = (1..=12).map(Weight::Threshold).chain((1..=12).map(Weight::Steps));
        for weight in all {
            for one in 0..=width {
                for two in 0..=width - one {
                    let three = width - one - two;
                    let sum =
                        weight.of(one, width) + weight.of(two, width) + weight.of(three, width);
                    assert!(sum <= weight.whole(width), "{weight:?}: {one} {two} {three}");
                }
            }
        }
    }
}
