//! Whether rectangles whose ways are fixed fit on a fabric: what can be said before any search.
//!
//! Three changes that alter nothing about whether they fit. They all follow from one fact: pieces
//! fit if and only if the relations "left of" and "before" can be chosen so that no chain of pieces
//! is longer than the fabric (Fekete and Schepers, "A combinatorial characterization of
//! higher-dimensional orthogonal packing", 2004).
//! * Sizes may be counted in a common unit; where that is too fine, rounded down, which only makes
//!   it easier to fit.
//! * The fabric is no larger than the largest sum of sizes that it can hold.
//! * A piece may be as large as what is left beside the largest sum of others that can lie beside
//!   it (Boschetti and Mingozzi, "The two-dimensional finite bin packing problem", 2003).

use crate::bars::{Bars, Kind};

/// Sums are followed up to this many.
const MOST_SUMS: usize = 3_000;
/// The finest grid: so many units across or along at most.
const MOST_UNITS: i64 = 1 << 24;

/// Rectangles that lie as they lie, and the fabric they are to fit on; equal ones stand together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tight {
    pub(crate) width: i64,
    pub(crate) length: i64,
    /// Width, length, and how many.
    pub(crate) kinds: Vec<(i64, i64, usize)>,
}

impl Tight {
    /// The same question in units and with sizes as large as can be; none when they cannot fit.
    pub(crate) fn new(width: i64, length: i64, kinds: Vec<(i64, i64, usize)>) -> Option<Self> {
        let mut tight = Self { width, length, kinds };
        tight.kinds.retain(|kind| kind.2 > 0);
        if tight.kinds.iter().any(|kind| kind.0 > width || kind.1 > length) {
            return None;
        }
        tight.in_units();
        for _ in 0..2 {
            tight.grow();
            tight.turn();
            tight.grow();
            tight.turn();
        }
        (!tight.exceeds()).then_some(tight)
    }

    /// Whether area or bars in either direction show that they do not fit.
    fn exceeds(&self) -> bool {
        let area = |one: &(i64, i64, usize)| i128::from(one.0) * i128::from(one.1) * one.2 as i128;
        let all: i128 = self.kinds.iter().map(area).sum();
        if all > i128::from(self.width) * i128::from(self.length) {
            return true;
        }
        let kinds = |turn: bool| -> Vec<Kind> {
            let way = |one: &(i64, i64, usize)| if turn { (one.1, one.0) } else { (one.0, one.1) };
            let count = |one: &(i64, i64, usize)| i64::try_from(one.2).unwrap_or(i64::MAX);
            self.kinds.iter().map(|one| Kind { ways: vec![way(one)], count: count(one) }).collect()
        };
        Bars { kinds: &kinds(false), width: self.width, loose: 0, recesses: &[] }
            .exceed(self.length)
            || Bars { kinds: &kinds(true), width: self.length, loose: 0, recesses: &[] }
                .exceed(self.width)
    }

    fn in_units(&mut self) {
        let unit = |sizes: &mut dyn Iterator<Item = i64>, whole: i64| {
            sizes.fold(0, gcd).max(whole / MOST_UNITS + 1)
        };
        let across = unit(&mut self.kinds.iter().map(|kind| kind.0), self.width);
        let along = unit(&mut self.kinds.iter().map(|kind| kind.1), self.length);
        self.width /= across;
        self.length /= along;
        for kind in &mut self.kinds {
            (kind.0, kind.1) = (kind.0 / across, kind.1 / along);
        }
    }

    /// Across and along change places.
    fn turn(&mut self) {
        (self.width, self.length) = (self.length, self.width);
        for kind in &mut self.kinds {
            (kind.0, kind.1) = (kind.1, kind.0);
        }
    }

    /// Makes the fabric as narrow and the pieces as wide as can be.
    fn grow(&mut self) {
        let Some(sums) = sums(&self.kinds, self.width) else { return };
        self.width = sums.last().copied().unwrap_or(0);
        for index in 0..self.kinds.len() {
            let (width, _, count) = self.kinds[index];
            // All pieces of a kind one after the other; they are to stay equal.
            let mut grown = Vec::new();
            let mut kinds = self.kinds.clone();
            kinds[index].2 = count - 1;
            for _ in 0..count {
                let Some(sums) = with(&kinds, &grown, self.width - width) else { return };
                let beside = sums.last().copied().unwrap_or(0);
                grown.push(self.width - beside);
                kinds[index].2 = kinds[index].2.saturating_sub(1);
            }
            if grown.windows(2).all(|two| two[0] == two[1]) {
                self.kinds[index].0 = grown.first().copied().unwrap_or(width).max(width);
            }
        }
    }
}

/// The sums of widths up to a limit, with some pieces beside those of the kinds.
fn with(kinds: &[(i64, i64, usize)], more: &[i64], limit: i64) -> Option<Vec<i64>> {
    let mut all = kinds.to_vec();
    all.extend(more.iter().map(|&width| (width, 0, 1)));
    sums(&all, limit)
}

/// All sums of widths up to a limit, in order; none when there are too many.
fn sums(kinds: &[(i64, i64, usize)], limit: i64) -> Option<Vec<i64>> {
    let mut sums = vec![0];
    for &(width, _, count) in kinds {
        for _ in 0..count {
            let before = sums.len();
            let more: Vec<_> =
                sums.iter().map(|sum| sum + width).filter(|&sum| sum <= limit).collect();
            sums.extend(more);
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
    Some(sums)
}

/// The greatest common divisor.
fn gcd(one: i64, other: i64) -> i64 {
    let (mut one, mut other) = (one.abs(), other.abs());
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}
