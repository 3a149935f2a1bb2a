//! Many pieces in strips: column generation for the bound and good strips, and a dive from parts of
//! strips to whole ones, at whose end the few that are left are chosen exactly.
//!
//! The bound holds whatever the prices are (Farley, "A note on bounding a class of linear
//! programming problems, including cutting stock problems", 1990): what all pieces are worth,
//! divided by the most that a strip can be worth for its height.

use super::cover::cheapest;
use super::kinds::{Block, Job, Strip, held};
use super::lattice::Lattice;
use super::loose::Loose;
use super::master::{Master, Pattern};
use super::price::Grid;
use crate::effort::Fuel;

/// More heights of strips are not priced.
const MOST_HEIGHTS: usize = 3_000;
/// Prices are counted in this part of a nanometre.
const PART: i64 = 64;
/// Rounds of column generation at most.
const MOST_ROUNDS: usize = 400;
/// Of how many heights the best strip is taken in one round.
const AT_A_TIME: usize = 6;
/// When so few sets of pieces are left, they are chosen exactly.
const FEW: usize = 1 << 12;

/// What column generation finds.
pub(crate) struct Generated {
    /// No choice of strips costs less.
    pub(crate) bound: i64,
    /// Strips worth choosing from.
    pub(crate) strips: Vec<Strip>,
}

/// Column generation for a job, with loose material; stops when `effort` is used up.
pub(crate) fn generate(job: &Job, loose: &[Loose], effort: &mut Fuel) -> Generated {
    let demand = job.demand();
    let mut strips = singles(job, &demand);
    let breadths: Vec<_> = loose.iter().map(|loose| loose.breadth).collect();
    let all = job.heights(&demand, &breadths, MOST_HEIGHTS);
    let heights = all.clone().unwrap_or_else(|| single_heights(job));
    let grid = Grid::new(job, loose, &heights);
    let mut needs = demand.clone();
    needs.extend(loose.iter().map(|one| u32::try_from(grid.lines(one.total)).unwrap_or(0)));
    let mut patterns: Vec<_> =
        strips.iter().map(|strip| pattern(strip, &demand, loose.len())).collect();
    for (row, one) in (demand.len()..).zip(loose) {
        let mut gives = vec![0; needs.len()];
        gives[row] = u32::try_from(grid.width()).unwrap_or(1).max(1);
        patterns.push(Pattern { gives, cost: one.breadth });
    }
    let mut master = Master::new(&needs, &patterns);
    let mut bound = 0;
    for _ in 0..MOST_ROUNDS {
        let prices = whole(&master.solve(&patterns));
        if effort.take(grid.effort()).is_none() {
            break;
        }
        let worth = grid.worth(&prices);
        if grid.is_exact() && all.is_some() {
            bound = bound.max(farley(&needs, &prices, &worth.of_heights));
        }
        let mut better: Vec<_> = worth
            .of_heights
            .iter()
            .filter(|(height, worth)| {
                i128::from(*worth) > i128::from(height * PART) * 1_000_001 / 1_000_000
            })
            .collect();
        better.sort_by(|one, other| {
            let (a, b) =
                (i128::from(one.1) * i128::from(other.0), i128::from(other.1) * i128::from(one.0));
            b.cmp(&a)
        });
        let before = patterns.len();
        for (height, _) in better.into_iter().take(AT_A_TIME) {
            let found = grid.pattern(&worth, *height, needs.len());
            let Some((mut found, strip)) = found else { continue };
            for (gives, need) in found.gives.iter_mut().zip(&needs) {
                *gives = (*gives).min(*need);
            }
            if !patterns.contains(&found) {
                patterns.push(found);
                strips.extend(strip);
            }
        }
        if patterns.len() == before {
            break;
        }
    }
    Generated { bound, strips }
}

/// Prices rounded down to whole parts.
#[expect(clippy::cast_possible_truncation, reason = "casts of floats saturate")]
#[expect(clippy::cast_precision_loss, reason = "hints only")]
fn whole(prices: &[f64]) -> Vec<i64> {
    let most = i64::MAX / 1_000_000;
    prices.iter().map(|price| ((price.max(0.0) * PART as f64) as i64).min(most)).collect()
}

/// The bound that whole prices give.
fn farley(needs: &[u32], prices: &[i64], of_heights: &[(i64, i64)]) -> i64 {
    let all: i128 =
        needs.iter().zip(prices).map(|(&need, &price)| i128::from(need) * i128::from(price)).sum();
    let bounds = of_heights.iter().filter(|(_, worth)| *worth > 0).map(|&(height, worth)| {
        let (height, worth) = (i128::from(height), i128::from(worth));
        (all * height + worth - 1) / worth
    });
    bounds.min().and_then(|bound| i64::try_from(bound).ok()).unwrap_or(0)
}

/// The heights of single pieces.
fn single_heights(job: &Job) -> Vec<i64> {
    let mut heights: Vec<_> =
        job.kinds.iter().flat_map(|kind| kind.ways.iter().map(|way| way.height)).collect();
    heights.sort_unstable();
    heights.dedup();
    heights
}

/// For each kind the best strip of nothing else, side by side in one way.
fn singles(job: &Job, demand: &[u32]) -> Vec<Strip> {
    let single = |(kind, &count): (usize, &u32)| {
        let ways = job.kinds[kind].ways.iter().enumerate();
        let best = ways.min_by_key(|(_, way)| {
            let fit = (job.width / way.width.max(1)).clamp(1, i64::from(count.max(1)));
            i128::from(way.height) * 1_000_000 / i128::from(fit)
        });
        let (way, lies) = best?;
        let fit = (job.width / lies.width.max(1)).clamp(1, i64::from(count.max(1)));
        let block = Block { width: lies.width, stack: vec![(kind, way)] };
        job.strip(vec![block; usize::try_from(fit).unwrap_or(1)])
    };
    demand.iter().enumerate().filter_map(single).collect()
}

fn pattern(strip: &Strip, demand: &[u32], loose: usize) -> Pattern {
    let mut gives = held(std::slice::from_ref(strip), demand.len());
    for (gives, need) in gives.iter_mut().zip(demand) {
        *gives = (*gives).min(*need);
    }
    gives.extend(std::iter::repeat_n(0, loose));
    Pattern { gives, cost: strip.height }
}

/// A choice at once: strips are opened with the tallest piece that is left, and filled.
pub(crate) fn greedy(job: &Job) -> Vec<Strip> {
    let mut left = job.demand();
    let mut strips = Vec::new();
    let tall = |kind: &usize| job.kinds[*kind].ways.iter().map(|way| way.height).min().unwrap_or(0);
    loop {
        let open = (0..left.len()).filter(|&kind| left[kind] > 0);
        let Some(kind) = open.max_by_key(tall) else { return strips };
        let ways = job.kinds[kind].ways.iter().enumerate();
        let way = ways.min_by_key(|(_, way)| way.height).map_or(0, |(way, _)| way);
        let first = Block { width: job.way((kind, way)).width, stack: vec![(kind, way)] };
        left[kind] -= 1;
        match job.strip(vec![first]) {
            Some(strip) => strips.push(fill(job, strip, &mut left)),
            None => return strips,
        }
    }
}

/// Puts more pieces into a strip wherever they still fit.
fn fill(job: &Job, mut strip: Strip, left: &mut [u32]) -> Strip {
    let high =
        |block: &Block| -> i64 { block.stack.iter().map(|&member| job.way(member).height).sum() };
    for (kind, left) in left.iter_mut().enumerate() {
        for (way, lies) in job.kinds[kind].ways.iter().enumerate() {
            while *left > 0 {
                let used: i64 = strip.blocks.iter().map(|block| block.width).sum();
                let can_be_trimmed = lies.width <= job.trim;
                let on_top = strip.blocks.iter_mut().find(|block| {
                    lies.width <= block.width
                        && block.width <= job.trim
                        && high(block) + lies.height <= strip.height
                });
                if let Some(block) = on_top {
                    block.stack.push((kind, way));
                } else if used + lies.width <= job.width
                    && (lies.height == strip.height || can_be_trimmed && lies.height < strip.height)
                {
                    strip.blocks.push(Block { width: lies.width, stack: vec![(kind, way)] });
                } else {
                    break;
                }
                *left -= 1;
            }
        }
    }
    let Strip { height, blocks } = strip;
    job.strip(blocks.clone()).unwrap_or(Strip { height, blocks })
}

/// A strip without what is not needed any more, filled up with what is; none when nothing is left
/// of it.
fn clipped(job: &Job, strip: &Strip, left: &mut [u32]) -> Option<Strip> {
    let mut blocks = strip.blocks.clone();
    for block in &mut blocks {
        block.stack.retain(|&(kind, _)| {
            let is_needed = left[kind] > 0;
            left[kind] -= u32::from(is_needed);
            is_needed
        });
    }
    let strip = job.strip(blocks)?;
    // A block that has become lower than a strip it cannot be trimmed in would have to be.
    let is_right = strip.blocks.iter().all(|block| {
        let high: i64 = block.stack.iter().map(|&member| job.way(member).height).sum();
        block.width <= job.trim || (block.stack.len() == 1 && high == strip.height)
    });
    is_right.then(|| fill(job, strip, left))
}

/// Chooses whole strips: what the programme takes whole is taken, then the strip it takes the
/// largest part of, again and again; what few pieces are left at last are chosen exactly.
pub(crate) fn dive(job: &Job, pool: &[Strip], variant: usize, effort: &mut Fuel) -> Vec<Strip> {
    let mut left = job.demand();
    let mut chosen: Vec<Strip> = Vec::new();
    let mut turns = 0;
    while left.iter().any(|&count| count > 0) {
        if let Some(rest) = exactly(job, &left, effort) {
            chosen.extend(rest);
            return chosen;
        }
        let (patterns, from) = choices(job, pool, &left);
        let mut master =
            Master::new(&left.iter().copied().filter(|&n| n > 0).collect::<Vec<_>>(), &patterns);
        effort.burn((patterns.len() * patterns.len()) as u64);
        master.solve(&patterns);
        let mut used = master.used();
        used.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        let is_whole = used.first().is_some_and(|(_, amount)| *amount >= 1.0 - 1e-6);
        let skip =
            if !is_whole && turns == 0 { variant.min(used.len().saturating_sub(1)) } else { 0 };
        turns += usize::from(!is_whole);
        let mut took = false;
        for (index, amount) in used.into_iter().skip(skip) {
            let times = if is_whole { (amount + 1e-6).floor() } else { 1.0 };
            let mut times = times;
            while times >= 1.0 {
                let mut rest = left.clone();
                if let Some(strip) = clipped(job, &from[index], &mut rest) {
                    chosen.push(strip);
                    left = rest;
                    took = true;
                }
                times -= 1.0;
            }
            if !is_whole {
                break;
            }
        }
        if !took {
            break;
        }
    }
    // Never comes to this while the programme has a solution.
    if left.iter().any(|&count| count > 0) {
        chosen = greedy(job);
    }
    chosen
}

/// The rest, chosen exactly, when little is left.
fn exactly(job: &Job, left: &[u32], effort: &mut Fuel) -> Option<Vec<Strip>> {
    // Only kinds of which something is left count.
    let kinds: Vec<usize> = (0..left.len()).filter(|&kind| left[kind] > 0).collect();
    let part = Job {
        kinds: kinds
            .iter()
            .map(|&kind| {
                let mut pieces = job.kinds[kind].clone();
                pieces.cuts.truncate(left[kind] as usize);
                pieces
            })
            .collect(),
        ..*job
    };
    let demand = part.demand();
    let lattice = Lattice::new(&part, &demand).filter(|lattice| lattice.size() <= FEW)?;
    let mut strips = lattice.choose(i64::MAX / 4, effort).0?;
    for member in strips.iter_mut().flat_map(|one| &mut one.blocks).flat_map(|one| &mut one.stack) {
        member.0 = kinds[member.0];
    }
    Some(strips)
}

/// Strips of the pool as far as they are needed, and one for each kind that is left before them, as
/// patterns over the kinds that are left.
fn choices(job: &Job, pool: &[Strip], left: &[u32]) -> (Vec<Pattern>, Vec<Strip>) {
    let kinds: Vec<usize> = (0..left.len()).filter(|&kind| left[kind] > 0).collect();
    let mut patterns: Vec<Pattern> = Vec::new();
    let mut from = Vec::new();
    let singles = singles(job, left);
    let of = |strip: &Strip| {
        let all = held(std::slice::from_ref(strip), left.len());
        kinds.iter().map(|&kind| all[kind]).collect::<Vec<_>>()
    };
    for &kind in &kinds {
        if let Some(strip) = singles.get(kind) {
            patterns.push(Pattern { gives: of(strip), cost: strip.height });
            from.push(strip.clone());
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    for strip in pool {
        let mut rest = left.to_vec();
        let Some(strip) = clipped(job, strip, &mut rest) else { continue };
        let gives = of(&strip);
        if seen.insert((gives.clone(), strip.height)) {
            patterns.push(Pattern { gives, cost: strip.height });
            from.push(strip);
        }
    }
    (patterns, from)
}

impl Lattice<'_> {
    /// The cheapest choice of strips, if it is cheaper than `enough` and is found with this effort,
    /// and a bound.
    pub(crate) fn choose(&self, enough: i64, effort: &mut Fuel) -> (Option<Vec<Strip>>, i64) {
        let Some(columns) = self.columns(effort) else { return (None, 0) };
        let cover = cheapest(self.demand(), &columns, enough, effort);
        let strips = cover.strips.and_then(|strips| {
            strips.iter().map(|column| self.strip(column.set, column.cost)).collect()
        });
        (strips, cover.bound)
    }
}
