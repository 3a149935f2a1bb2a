//! The cheapest choice of strips that gives all pieces: a search that always goes on with what
//! looks shortest (A*), guided by the prices of the covering programme. What all strips cost at
//! these prices is never more than they do, so the first full choice it comes to is the cheapest,
//! and when it is stopped, the least that still looks possible is a lower bound.

use crate::effort::Fuel;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use super::lattice::Column;
use super::master::{Master, Pattern};
use super::packed::{self, first, least};

/// A choice of strips.
#[derive(Clone, Debug)]
pub(crate) struct Cover {
    /// The sets cut from each strip, none of them twice, and the height of each strip; none when the
    /// search was stopped.
    pub(crate) strips: Option<Vec<Column>>,
    /// No choice is cheaper than this.
    pub(crate) bound: i64,
}

/// Finds the cheapest choice; stops when `effort` is used up, or when nothing is cheaper than
/// `enough`.
pub(crate) fn cheapest(
    demand: &[u32],
    columns: &[Column],
    enough: i64,
    effort: &mut Fuel,
) -> Cover {
    let kinds = demand.len();
    let Some(all) = packed::pack(demand) else { return Cover { strips: None, bound: 0 } };
    let prices = safe_prices(demand, columns);
    let worth = |set: u128| -> i64 {
        (0..kinds).map(|kind| i64::from(packed::of(set, kind)) * prices[kind]).sum()
    };
    let holding: Vec<Vec<&Column>> = (0..kinds)
        .map(|kind| columns.iter().filter(|column| packed::of(column.set, kind) > 0).collect())
        .collect();
    // What is left, by the least cost at which it was come to, and the strip that led there.
    let mut known: BTreeMap<u128, (i64, Option<Column>)> = BTreeMap::from([(all, (0, None))]);
    let mut open = BinaryHeap::from([(Reverse(worth(all)), Reverse(0_i64), all)]);
    let mut bound = 0;
    while let Some((Reverse(looks), Reverse(cost), left)) = open.pop() {
        bound = bound.max(looks);
        if left == 0 {
            return Cover { strips: Some(back(&known, all)), bound: cost };
        }
        if looks >= enough {
            return Cover { strips: None, bound: enough };
        }
        if known.get(&left).is_some_and(|&(known, _)| known < cost) {
            continue;
        }
        let holding = &holding[first(left)];
        if effort.take(holding.len() as u64 * 8 + 8).is_none() {
            return Cover { strips: None, bound };
        }
        for column in holding {
            let taken = least(column.set, left);
            let (rest, cost) = (left - taken, cost + column.cost);
            let looks = (cost + worth(rest)).max(looks);
            if looks >= enough || known.get(&rest).is_some_and(|&(known, _)| known <= cost) {
                continue;
            }
            known.insert(rest, (cost, Some(Column { set: taken, cost: column.cost })));
            open.push((Reverse(looks), Reverse(cost), rest));
        }
    }
    Cover { strips: None, bound: enough }
}

/// The strips that led to nothing being left.
fn back(known: &BTreeMap<u128, (i64, Option<Column>)>, all: u128) -> Vec<Column> {
    let mut strips = Vec::new();
    let mut left = 0;
    while left != all {
        let Some(&(_, Some(column))) = known.get(&left) else { break };
        strips.push(column);
        left += column.set;
    }
    strips.reverse();
    strips
}

/// Whole prices at which no strip is worth more than it costs.
#[expect(clippy::cast_possible_truncation, reason = "heights; casts of floats saturate")]
#[expect(clippy::cast_precision_loss, reason = "checked in whole numbers afterwards")]
fn safe_prices(demand: &[u32], columns: &[Column]) -> Vec<i64> {
    let kinds = demand.len();
    let pattern = |column: &Column| Pattern {
        gives: (0..kinds).map(|kind| packed::of(column.set, kind)).collect(),
        cost: column.cost,
    };
    let mut patterns = Vec::new();
    for kind in 0..kinds {
        // The best strip for this kind alone.
        let best =
            columns.iter().filter(|column| packed::of(column.set, kind) > 0).max_by(|a, b| {
                let (a_gives, b_gives) = (packed::of(a.set, kind), packed::of(b.set, kind));
                (i64::from(a_gives) * b.cost).cmp(&(i64::from(b_gives) * a.cost))
            });
        let Some(best) = best else { return vec![0; kinds] };
        let mut gives = vec![0; kinds];
        gives[kind] = packed::of(best.set, kind);
        patterns.push(Pattern { gives, cost: best.cost });
    }
    let mut master = Master::new(demand, &patterns);
    patterns.extend(columns.iter().map(pattern));
    let prices = master.solve(&patterns);
    let mut whole: Vec<i64> = prices.iter().map(|&price| price.max(0.0) as i64).collect();
    let worth = |whole: &[i64], column: &Column| -> i64 {
        let one = |(kind, price): (usize, &i64)| i64::from(packed::of(column.set, kind)) * price;
        whole.iter().enumerate().map(one).sum()
    };
    // Rounding may have left a strip worth a little more than it costs.
    for _ in 0..20 {
        let over = columns.iter().map(|one| worth(&whole, one) as f64 / one.cost as f64);
        let over = over.fold(0.0, f64::max);
        if columns.iter().all(|column| worth(&whole, column) <= column.cost) {
            return whole;
        }
        for price in &mut whole {
            *price = (*price as f64 / over * 0.999_999_9) as i64;
        }
    }
    vec![0; kinds]
}
