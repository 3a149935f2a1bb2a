//! Strips first, for a rotary cutter: strips across the whole width, then cross cuts through a
//! strip, then each piece is trimmed to its size.
//!
//! A strip is cut up by cross cuts into blocks, and a block by trims into pieces one above the
//! other. No strip is higher than the tallest piece. When the longest cut is less than the width,
//! the fabric is cut folded, selvedge on selvedge and once more, and when that is not enough it is
//! first divided lengthwise into equal lanes. The bound is for layouts of this kind.
//!
//! Sizes in here are whole nanometres with the gap added to every piece and to the fabric, so that
//! pieces may touch: each cut takes a gap away.

mod cover;
mod kinds;
mod kits;
mod lanes;
mod lattice;
mod lines;
mod loose;
mod master;
mod packed;
mod price;
pub(crate) mod remnants;

use measure::Length;

use self::kinds::{Job, Strip};
use self::lanes::Lanes;
use self::lattice::Lattice;
use crate::cuts::{Cuts, alternatives};
use crate::effort::{Fuel, Stop};
use crate::{
    Cutting, JoinPlace, Layout, LongCut, NoLayout, Placement, Problem, Stock, bound, remnant, solve,
};

/// What the first answer may cost, in steps of about a nanosecond.
pub(crate) const EFFORT: u64 = 4_000_000;
/// After so many rounds of search everything was tried.
pub(crate) const ROUNDS: u64 = 1 << 11;

/// Pieces in strips.
struct Solved {
    cuts: Cuts,
    job: Job,
    strips: Vec<Strip>,
}

/// The best layout in strips that is found with this effort.
///
/// # Errors
/// When a piece does not fit in any allowed way.
pub(crate) fn solve(problem: &Problem, effort: u64, stop: &Stop) -> Result<Layout, NoLayout> {
    let (lanes, longest) = lie(problem);
    let all = every_alternative(problem, lanes.width)
        .map_err(|none| too_short_a_ruler(problem, longest, none))?;
    let is_one = all.len() == 1 && loose::joined(problem, lanes.width).pieces.is_empty();
    let mut best: Option<((Length, usize, Length), Solved)> = None;
    let mut none = NoLayout::TooWide(Vec::new());
    let mut bound = 0;
    let share = effort / (all.len() as u64 + u64::from(!is_one));
    for cuts in all {
        let job = match Job::new(&cuts, lanes.width, problem.gap, longest) {
            Ok(job) => job,
            Err(cut) => {
                none = long_cut(problem, &cuts, cut, longest);
                continue;
            }
        };
        let (strips, proven) = choose(&job, share, stop);
        if is_one {
            bound = proven;
        }
        let length = lanes.length(&strips, problem.gap);
        let rank = (solve::bought(problem, length), cuts.join_count(), length);
        if best.as_ref().is_none_or(|(best, _)| rank < *best) {
            best = Some((rank, Solved { cuts, job, strips }));
        }
    }
    let (_, solved) = best.ok_or(none)?;
    if !is_one {
        bound = loose_bound(problem, &lanes, longest, Fuel::new(share, stop));
    }
    let bound = Length::nm(lanes.share(bound)) - problem.gap;
    Ok(finish(problem, &lanes, longest, &solved, bound))
}

/// How the fabric lies, and the longest cut there may be.
fn lie(problem: &Problem) -> (Lanes, Option<Length>) {
    let longest = match problem.cutting {
        Cutting::StripsFirst { longest_cut } => longest_cut,
        Cutting::Free => None,
    };
    let is_folded = matches!(problem.stock, Stock::Bolt { fold: true, .. });
    (Lanes::new(solve::usable_width(problem), problem.gap, longest, is_folded), longest)
}

/// Whether there is a layout at all.
pub(crate) fn fits(problem: &Problem) -> bool {
    let (lanes, longest) = lie(problem);
    every_alternative(problem, lanes.width).is_ok_and(|all| {
        all.iter().any(|cuts| Job::new(cuts, lanes.width, problem.gap, longest).is_ok())
    })
}

/// A round of search: whenever there are four times as many, the problem is solved anew with as
/// much more effort. A layout that is better, or better proven.
pub(crate) fn round(problem: &Problem, best: &Layout, rounds: u64, stop: &Stop) -> Option<Layout> {
    let next = rounds + 1;
    // The first answer has had the effort of the first round.
    if !next.is_power_of_two() || next.ilog2() % 2 == 1 || next == 1 {
        return None;
    }
    let found = solve(problem, EFFORT * next, stop).ok()?;
    if stop.is_stopped() {
        return None;
    }
    let bound = found.bound.max(best.bound);
    let rank = |layout: &Layout| (layout.bought, layout.joins.len(), layout.length);
    let is_better = rank(&found) < rank(best);
    if !is_better && bound == best.bound {
        return None;
    }
    let mut layout = if is_better { found } else { best.clone() };
    layout.bound = bound.min(layout.length);
    layout.proof = solve::proof(problem, layout.length, layout.bound);
    Some(layout)
}

/// Strips for a job and a bound of what they cost.
fn choose(job: &Job, effort: u64, stop: &Stop) -> (Vec<Strip>, i64) {
    let cost = |strips: &[Strip]| strips.iter().map(|strip| strip.height).sum::<i64>();
    let demand = job.demand();
    let mut best = kits::greedy(job);
    let mut proven = 0;
    let mut left = Fuel::new(effort / 2, stop);
    if let Some(lattice) = Lattice::new(job, &demand) {
        let (found, bound) = lattice.choose(cost(&best), &mut left);
        proven = bound;
        if let Some(strips) = found {
            best = strips;
        }
        if proven >= cost(&best) {
            return (best, proven);
        }
    }
    left.add(effort / 2);
    let generated = kits::generate(job, &[], &mut left);
    proven = proven.max(generated.bound);
    for variant in 0..4 {
        if proven >= cost(&best) || (variant > 0 && left.is_empty()) {
            break;
        }
        let found = kits::dive(job, &generated.strips, variant, &mut left);
        if cost(&found) < cost(&best) {
            best = found;
        }
    }
    (best, proven)
}

/// The ways to cut the pieces: as in any order, and also every strip that may be joined anywhere
/// from two halves.
fn every_alternative(problem: &Problem, lane: Length) -> Result<Vec<Cuts>, NoLayout> {
    let mut all = alternatives(problem, lane)?;
    let mut halves = problem.clone();
    for join in halves.pieces.iter_mut().filter_map(|item| item.join.as_mut()) {
        if join.place == JoinPlace::Anywhere {
            join.place = JoinPlace::Centre;
        }
    }
    if halves != *problem
        && let Ok(more) = alternatives(&halves, lane)
    {
        let is_new = |cuts: &Cuts| !all.iter().any(|known| known.joins == cuts.joins);
        let more: Vec<_> = more.into_iter().filter(is_new).collect();
        all.extend(more);
    }
    Ok(all)
}

/// A bound for problems with strips that can be joined in several ways: their material may be cut
/// into parts of any length.
fn loose_bound(problem: &Problem, lanes: &Lanes, longest: Option<Length>, mut left: Fuel) -> i64 {
    let joined = loose::joined(problem, lanes.width);
    let mut rigid = problem.clone();
    for &piece in &joined.pieces {
        rigid.pieces[piece].count = 0;
    }
    let Ok(all) = alternatives(&rigid, lanes.width) else { return 0 };
    let Some(Ok(mut job)) =
        all.first().map(|cuts| Job::new(cuts, lanes.width, problem.gap, longest))
    else {
        return 0;
    };
    let breadths = joined.loose.iter().map(|one| one.breadth);
    job.tallest = breadths.fold(job.tallest, i64::max).max(tallest(problem, lanes, longest));
    kits::generate(&job, &joined.loose, &mut left).bound
}

/// How high the tallest piece may lie, joined or whole.
fn tallest(problem: &Problem, lanes: &Lanes, longest: Option<Length>) -> i64 {
    let of = |cuts: &Cuts| {
        Job::new(cuts, lanes.width, problem.gap, longest).map_or(0, |job| job.tallest)
    };
    every_alternative(problem, lanes.width).map_or(0, |all| all.iter().map(of).max().unwrap_or(0))
}

/// Why a piece does not fit on lanes: where it would fit on the whole width, the ruler is too short
/// for lanes that are wide enough.
fn too_short_a_ruler(problem: &Problem, longest: Option<Length>, none: NoLayout) -> NoLayout {
    let usable = solve::usable_width(problem);
    let (Some(longest), NoLayout::TooWide(pieces)) = (longest, &none) else { return none };
    let Some(one) = pieces.first().filter(|one| one.wide_enough <= usable) else { return none };
    let (usable, gap) = ((usable + problem.gap).to_nm(), problem.gap.to_nm());
    let lanes = (usable / (one.wide_enough.to_nm() + gap).max(1)).max(1);
    let lane = usable / lanes - gap;
    let layers = i64::from(lanes::MOST_LAYERS);
    let through = Length::nm((lane + layers - 1) / layers);
    let along = if one.wide_enough == one.width { one.length } else { one.width };
    NoLayout::LongCut(LongCut {
        piece: one.piece,
        name: one.name.clone(),
        needs: through.max(along),
        longest,
    })
}

/// A piece that needs a longer cut than there may be.
fn long_cut(problem: &Problem, cuts: &Cuts, cut: usize, longest: Option<Length>) -> NoLayout {
    let cut = &cuts.cuts[cut];
    let ways = [cut.upright.map(|_| cut.length), cut.turned.map(|_| cut.width)];
    NoLayout::LongCut(LongCut {
        piece: cut.piece,
        name: problem.pieces[cut.piece].name.clone(),
        needs: ways.into_iter().flatten().min().unwrap_or(cut.length),
        longest: longest.unwrap_or(Length::ZERO),
    })
}

/// The layout of chosen strips.
fn finish(
    problem: &Problem,
    lanes: &Lanes,
    longest: Option<Length>,
    solved: &Solved,
    bound: Length,
) -> Layout {
    let usable = solve::usable_width(problem);
    let length = lanes.length(&solved.strips, problem.gap);
    let bought = solve::bought(problem, length);
    let far = problem.shrinkage.after_washing(bought) - problem.squaring;
    let laid = lanes.lay(&solved.strips, problem.gap);
    let (placements, order) = place(problem, solved, &laid);
    let fabric = (usable, far.max(length));
    let cuts = lines::lines(problem.gap, longest, lanes, fabric, &solved.job, &laid, &order);
    let free = bound::bound(problem, usable).max(bound);
    let bound = bound::raised(problem, usable, free.max(Length::ZERO)).min(length);
    Layout {
        joins: solved.cuts.joins.clone(),
        cuts,
        fit: None,
        width: usable,
        length,
        needed: solve::needed(problem, length),
        bought,
        bound,
        proof: solve::proof(problem, length, bound),
        remnant: remnant::largest(&placements, usable, far),
        placements,
    }
}

/// Where every cut piece lies: placements in the order of the cuts, and for each strip, block and
/// member in turn which placement it is.
fn place(problem: &Problem, solved: &Solved, laid: &[lanes::Laid]) -> (Vec<Placement>, Vec<usize>) {
    let job = &solved.job;
    let mut next = vec![0; job.kinds.len()];
    let mut placements: Vec<Option<Placement>> = vec![None; solved.cuts.cuts.len()];
    let mut order = Vec::new();
    for strip in laid {
        let mut x = strip.x.to_nm();
        for block in &strip.strip.blocks {
            let mut y = strip.y.to_nm();
            for &(kind, way) in &block.stack {
                let lies = job.kinds[kind].ways[way];
                let index = job.kinds[kind].cuts[next[kind]];
                next[kind] += 1;
                let cut = &solved.cuts.cuts[index];
                let spot = crate::pack::Spot { x, y, turned: lies.turned };
                placements[index] = Some(solve::place(problem, cut, spot));
                order.push(index);
                y += lies.height;
            }
            x += block.width;
        }
    }
    // Every strip holds just what is needed, so that none is missing.
    debug_assert!(placements.iter().all(Option::is_some), "every cut is placed");
    (placements.into_iter().flatten().collect(), order)
}
