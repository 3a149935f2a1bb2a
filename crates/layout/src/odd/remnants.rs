//! Pieces laid by their true outlines on remnants, which may be outlines themselves.
//!
//! All remnants lie on one board, one behind the other along its length. Between and beside them,
//! and between the outline of a remnant and the box around it, is *ground*: fixed pieces on which
//! nothing may lie. So remnants need no engine of their own. What is laid lowest first is on the
//! first remnants, and the separation search, with a length that stays as it is, asks whether
//! everything fits.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use measure::{Area, Length, Segment};

use super::apart::{Apart, Form};
use super::begin::{self, press};
use super::board::{Axis, Bind, Board, Lie, Unit};
use super::convex::{Spot, bounds, whole};
use super::job::{Follows, Parts};
use super::orders;
use super::parts::{self, Around};
use super::separate::Separator;
use crate::cuts::{Cuts, alternatives};
use crate::effort::Stop;
use crate::random::Random;
use crate::remnants::{finish, missing, widest, without_broken, without_oversize};
use crate::{Fit, Layout, NoLayout, Placement, Problem, Shape, Stock};

/// What lies between two remnants on the board, beside the gap, in nanometres.
const BETWEEN: i64 = 20_000_000;
/// How much larger ground may be than what is no fabric, in parts per million.
const LARGER: f64 = 200.0;
/// How many pieces the separation search moves in vain, for each piece there is, and beside that.
const PATIENCE: (u64, u64) = (300, 40);
/// After so many rounds everything was tried.
const ROUNDS: u64 = 200_000;
/// In a first answer so many orders are tried, and pieces moved.
const FIRST: (usize, u64) = (8, 100);
/// With more pieces than this a first answer tries one order.
const MANY: usize = 60;

/// Whether a problem is solved here: on remnants, with an outline among pieces or remnants.
pub(crate) fn is_odd(problem: &Problem) -> bool {
    let Stock::Remnants(shapes) = &problem.stock else { return false };
    if problem.cutting != crate::Cutting::Free {
        return false;
    }
    let mut shapes = shapes.iter().chain(problem.pieces.iter().map(|item| &item.shape));
    shapes.any(|shape| matches!(shape, Shape::Outline(_)))
}

/// A first layout.
pub(crate) fn first(problem: &Problem) -> Result<Layout, NoLayout> {
    let mut search = Search::begin(problem, 0)?;
    let pieces = search.sets.iter().map(|cuts| cuts.cuts.len()).max().unwrap_or(0);
    if pieces <= MANY {
        for _ in 0..FIRST.0 {
            search.try_order();
        }
        search.step(u32::try_from(FIRST.1).unwrap_or(0));
    }
    Ok(search.best)
}

/// Remnants on a board.
struct Bed {
    parts: Parts,
    board: Board,
    bins: Vec<Bin>,
}

/// A remnant on the board.
#[derive(Clone, Copy, Debug)]
struct Bin {
    stock: usize,
    /// Where it begins along the board.
    from: i64,
    /// What lies there as seen from the lower left corner of its box: of curves the chords are
    /// laid, whose box is a little smaller.
    corner: Spot,
}

/// How good a layout is: the area that is left over, how many remnants are used, and the area of
/// the largest rest, which is to be large.
type Rank = (i128, usize, Reverse<i128>);

/// A search for a way in which everything fits, on fewer remnants, with a larger rest.
pub(crate) struct Search {
    problem: Problem,
    /// The cuts to lay: with joins only where they are needed, and with all there may be.
    sets: Vec<Cuts>,
    /// What fits on no remnant.
    oversize: Vec<(usize, u32)>,
    /// Whether it is proven that not everything fits.
    is_proven: bool,
    best: Layout,
    rank: Rank,
    trial: Option<Trial>,
    random: Random,
    rounds: u64,
    stop: Stop,
}

/// A separation search that goes on.
struct Trial {
    set: usize,
    parts: Parts,
    bins: Vec<Bin>,
    separator: Separator,
    left: u64,
}

impl Search {
    /// Begins with a first layout: the largest remnants first.
    pub(crate) fn begin(problem: &Problem, seed: u64) -> Result<Self, NoLayout> {
        let (laid, oversize) = without_oversize(problem);
        let sets = alternatives(&laid, widest(problem))?;
        let is_proven = !oversize.is_empty() || exceeds(&laid);
        let everything = laid.pieces.iter().enumerate().flat_map(|(piece, item)| {
            (0..item.count.saturating_mul(problem.copies)).map(move |copy| (piece, copy))
        });
        let mut left_over: Vec<_> = everything.chain(oversize.iter().copied()).collect();
        left_over.sort_unstable();
        let nothing = Fit { is_proven: left_over.is_empty() || is_proven, left_over };
        let best = finish(problem, &[], Vec::new(), nothing);
        let rank = (i128::MAX, 0, Reverse(0));
        let random = Random::new(seed ^ 0x7265_6d6e_616e_7473);
        let problem = problem.clone();
        let mut search = Self {
            problem,
            sets,
            oversize,
            is_proven,
            best,
            rank,
            trial: None,
            random,
            rounds: 0,
            stop: Stop::default(),
        };
        let bins = search.by_area();
        for set in 0..search.sets.len() {
            let mut bed = search.bed(set, &bins)?;
            let pieces = search.sets[set].cuts.len();
            for order in orders_of(&bed.board, pieces) {
                let laid = begin::lay_some(&mut bed.board, &order);
                search.take(set, &bed.parts, &bed.board, &bed.bins, &laid);
                if pieces > MANY {
                    break;
                }
            }
        }
        Ok(search)
    }

    /// Begins with a layout of the problem, which is kept until a better one is found.
    pub(crate) fn from_layout(problem: &Problem, layout: &Layout, seed: u64) -> Option<Self> {
        let mut search = Self::begin(problem, seed).ok()?;
        let rank = rank(problem, layout);
        let is_proven = layout.fit.as_ref().is_some_and(|fit| fit.is_proven);
        // A proof is taken over only where it can be given again.
        if rank <= search.rank && (search.is_proven || !is_proven || rank.0 == 0) {
            (search.rank, search.best) = (rank, layout.clone());
            if let Some(fit) = &mut search.best.fit {
                fit.is_proven |= search.is_proven;
            }
        }
        Some(search)
    }

    /// Ends a step early when it is told to stop.
    pub(crate) fn heed(&mut self, stop: &Stop) {
        self.stop = stop.clone();
    }

    pub(crate) const fn best(&self) -> &Layout {
        &self.best
    }

    /// Whether everything lies on one remnant, or everything was tried.
    pub(crate) fn is_done(&self) -> bool {
        let is_tidy = self.rank.0 == 0 && self.rank.1 <= 1 && self.shapes().len() == 1;
        is_tidy || self.rounds >= ROUNDS || self.sets.iter().all(|cuts| cuts.cuts.is_empty())
    }

    pub(crate) const fn rounds(&self) -> u64 {
        self.rounds
    }

    pub(crate) fn step(&mut self, rounds: u32) -> bool {
        let before = self.rank;
        for _ in 0..rounds {
            if self.is_done() || self.stop.is_stopped() {
                break;
            }
            self.round();
            self.rounds += 1;
        }
        before != self.rank
    }

    /// Moves one piece, or lays all anew in another order.
    fn round(&mut self) {
        let Some(mut trial) = self.trial.take() else { return self.try_order() };
        if trial.separator.round() {
            let lies = trial.separator.best().lies.clone();
            let board = &mut trial.separator.board;
            board.lies = lies;
            press(board);
            let all = vec![true; board.units.len()];
            self.take(trial.set, &trial.parts, &trial.separator.board, &trial.bins, &all);
            return;
        }
        trial.left -= 1;
        self.trial = Some(trial).filter(|trial| trial.left > 0);
    }

    /// Lays all in an order, on remnants in an order, both drawn at random; what finds no place is
    /// then laid anywhere, for the separation search to begin with.
    fn try_order(&mut self) {
        let set = self.random.below(self.sets.len());
        let Some(bins) = self.some_bins(set) else { return };
        let Ok(Bed { parts, mut board, bins }) = self.bed(set, &bins) else { return };
        let pieces = self.sets[set].cuts.len();
        let mut orders = orders_of(&board, pieces);
        let mut order = orders.swap_remove(self.random.below(orders.len()));
        for _ in 0..self.random.below(pieces / 2 + 1) {
            let at = self.random.below(order.len());
            order.swap(at, (at + 1 + self.random.below(3)) % pieces);
        }
        let laid = begin::lay_some(&mut board, &order);
        self.take(set, &parts, &board, &bins, &laid);
        if laid.iter().all(|is_laid| *is_laid) {
            return;
        }
        for unit in (0..pieces).filter(|unit| !laid[*unit]) {
            board.lies[unit] = self.anywhere(&board, unit);
        }
        let separator = Separator::to_fit(board, self.random.bits());
        let left = PATIENCE.0 + PATIENCE.1 * pieces as u64;
        self.trial = Some(Trial { set, parts, bins, separator, left });
    }

    fn anywhere(&mut self, board: &Board, unit: usize) -> Lie {
        let forms = &board.units[unit].forms;
        let form = forms[self.random.below(forms.len())];
        let mut place = |axis| {
            let part = (self.random.bits() >> 11) as f64 / (1_u64 << 53) as f64;
            let range = board.range(unit, form, axis);
            range.map_or(0, |(low, high)| low + whole((high - low) as f64 * part))
        };
        Lie { form, at: (place(Axis::Across), place(Axis::Along)) }
    }

    fn shapes(&self) -> &[Shape] {
        match &self.problem.stock {
            Stock::Remnants(shapes) => shapes,
            Stock::Bolt { .. } => &[],
        }
    }

    /// All remnants, the largest first.
    fn by_area(&self) -> Vec<usize> {
        let shapes = self.shapes();
        let mut bins: Vec<usize> = (0..shapes.len()).collect();
        bins.sort_by_key(|&at| (Reverse(area(&shapes[at]).to_nm2()), at));
        bins
    }

    /// Remnants to lay on next: all of them as long as something is left over, else one less than
    /// are used, on which everything might fit, or as many where none can be spared.
    fn some_bins(&mut self, set: usize) -> Option<Vec<usize>> {
        let mut bins = self.by_area();
        if self.rank.0 > 0 {
            let last = bins.len() - 1;
            for _ in 0..self.random.below(bins.len()) {
                let at = self.random.below(last.max(1));
                bins.swap(at, (at + 1).min(last));
            }
            return Some(bins);
        }
        let wanted: i128 = self.sets[set].cuts.iter().map(|cut| self.area_of(cut.piece)).sum();
        for spared in [1, 0] {
            let count = self.rank.1.saturating_sub(spared);
            for _ in 0..20 {
                if count == 0 {
                    break;
                }
                let mut some = bins.clone();
                while some.len() > count {
                    // Small ones are spared rather than large ones.
                    let one = self.random.below(some.len());
                    let other = self.random.below(some.len());
                    some.remove(one.max(other));
                }
                let room: i128 = some.iter().map(|&at| area(&self.shapes()[at]).to_nm2()).sum();
                if room >= wanted && self.could_hold(set, &some) {
                    return Some(some);
                }
            }
        }
        None
    }

    fn area_of(&self, piece: usize) -> i128 {
        self.problem.pieces.get(piece).map_or(0, |item| area(&item.shape).to_nm2())
    }

    /// Whether each piece fits within the box of one of these remnants.
    fn could_hold(&self, set: usize, bins: &[usize]) -> bool {
        self.sets[set].cuts.iter().all(|cut| {
            let ways = self.problem.pieces[cut.piece].rotations;
            bins.iter().any(|&at| {
                let (width, length) = self.shapes()[at].size();
                ways.iter().any(|way| {
                    let (across, along) = if way.is_crosswise() {
                        (cut.length, cut.width)
                    } else {
                        (cut.width, cut.length)
                    };
                    across <= width && along <= length
                })
            })
        })
    }

    /// Remnants on a board, in this order.
    fn bed(&self, set: usize, bins: &[usize]) -> Result<Bed, NoLayout> {
        let shapes = self.shapes();
        let width = bins.iter().map(|&at| shapes[at].size().0).max().unwrap_or(Length::ZERO);
        let cuts = &self.sets[set].cuts;
        let (parts, mut board) =
            Parts::on_board(&self.problem, width, cuts, None, Follows::Closely)?;
        let between = self.problem.gap.to_nm() + BETWEEN;
        let mut ground = Vec::new();
        let (mut from, mut placed) = (0, Vec::new());
        for (at, &bin) in bins.iter().enumerate() {
            if at > 0 {
                ground.push((level(width.to_nm(), between), (0, from)));
                from += between;
            }
            let (mut corner, mut size) = ((0, 0), shapes[bin].size());
            if let Shape::Outline(outline) = &shapes[bin] {
                let mut corners = parts::corners(outline);
                let (low, high) = bounds(&corners);
                corners.iter_mut().for_each(|place| *place = (place.0 - low.0, place.1 - low.1));
                corner = low;
                size = (Length::nm(high.0 - low.0), Length::nm(high.1 - low.1));
                let is_curved = outline.segments().any(|(_, kind, _)| kind != Segment::Line);
                for (corners, low) in outside(&corners, (size.0.to_nm(), size.1.to_nm())) {
                    let around = Around::ground(corners, is_curved, LARGER);
                    ground.push((form(around), (low.0, low.1 + from)));
                }
            }
            let (across, along) = (size.0.to_nm(), size.1.to_nm());
            if across < width.to_nm() {
                ground.push((level(width.to_nm() - across, along), (across, from)));
            }
            placed.push(Bin { stock: bin, from, corner });
            from += along;
        }
        board = with_ground(board, ground, self.problem.gap.to_nm());
        board.size.1 = from;
        Ok(Bed { parts, board, bins: placed })
    }

    /// Takes what is laid if that is better, and right.
    fn take(&mut self, set: usize, parts: &Parts, board: &Board, bins: &[Bin], laid: &[bool]) {
        let cuts = &self.sets[set];
        let on = |one: Placement| {
            let bin = *bins.iter().rev().find(|bin| bin.from <= one.y.to_nm())?;
            let x = one.x + Length::nm(bin.corner.0);
            let y = one.y + Length::nm(bin.corner.1 - bin.from);
            Some(Placement { stock: bin.stock, x, y, ..one })
        };
        let mut places: Vec<Option<Placement>> =
            parts.each(board, &board.lies).into_iter().map(|one| one.and_then(on)).collect();
        for (place, is_laid) in places.iter_mut().zip(laid) {
            if !is_laid {
                *place = None;
            }
        }
        self.first_copies(cuts, &mut places);
        let places = without_broken(cuts, places);
        let mut left_over = missing(cuts, &places);
        left_over.extend(&self.oversize);
        left_over.sort_unstable();
        left_over.dedup();
        let lost: i128 = left_over.iter().map(|&(piece, _)| self.area_of(piece)).sum();
        let used: BTreeSet<_> = places.iter().flatten().map(|one| one.stock).collect();
        if (lost, used.len()) > (self.rank.0, self.rank.1) {
            return;
        }
        let fit = Fit { is_proven: self.is_proven || left_over.is_empty(), left_over };
        let placements = places.into_iter().flatten().collect();
        let layout = finish(&self.problem, &cuts.joins, placements, fit);
        let rank = rank(&self.problem, &layout);
        if rank < self.rank && crate::verify(&self.problem, &layout).is_ok() {
            (self.rank, self.best) = (rank, layout);
        }
    }

    /// Of equal pieces the first are laid and the last are left over.
    fn first_copies(&self, cuts: &Cuts, places: &mut [Option<Placement>]) {
        for index in 0..places.len() {
            let cut = &cuts.cuts[index];
            let is_alike = |other: usize| {
                let other = &cuts.cuts[other];
                let is_same =
                    self.problem.pieces[cut.piece].mirror && (cut.copy % 2 != other.copy % 2);
                (cut.piece, cut.width, cut.length) == (other.piece, other.width, other.length)
                    && !is_same
            };
            if places[index].is_none() {
                let mut later = (index + 1..places.len()).rev();
                let taken = later.find(|&at| places[at].is_some() && is_alike(at));
                if let Some(at) = taken {
                    let there = places[at].take();
                    places[index] =
                        there.map(|one| Placement { copy: cut.copy, part: cut.part, ..one });
                }
            }
        }
    }
}

/// How good a layout is.
fn rank(problem: &Problem, layout: &Layout) -> Rank {
    let left_over = layout.fit.iter().flat_map(|fit| &fit.left_over);
    let lost = left_over
        .filter_map(|&(piece, _)| problem.pieces.get(piece))
        .map(|item| area(&item.shape).to_nm2())
        .sum();
    let used: BTreeSet<_> = layout.placements.iter().map(|one| one.stock).collect();
    let rest = layout.remnant.map_or(0, |rest| Area::rectangle(rest.width, rest.length).to_nm2());
    (lost, used.len(), Reverse(rest))
}

fn area(shape: &Shape) -> Area {
    match shape {
        Shape::Rect { width, length } => Area::rectangle(*width, *length),
        Shape::Outline(outline) => outline.area(),
    }
}

/// Whether the pieces have more area than all remnants together: by more than what areas of curves
/// may be off. A strip may be joined, and has no less area then.
fn exceeds(problem: &Problem) -> bool {
    let Stock::Remnants(shapes) = &problem.stock else { return false };
    let room: f64 = shapes.iter().map(|shape| area(shape).to_mm2()).sum();
    let count = |count: u32| f64::from(count) * f64::from(problem.copies);
    let of = |item: &crate::Item| area(&item.shape).to_mm2() * count(item.count);
    let wanted: f64 = problem.pieces.iter().map(of).sum();
    wanted * (1.0 - 1e-6) > room * (1.0 + 1e-6)
}

/// Orders of the pieces, without the ground.
fn orders_of(board: &Board, pieces: usize) -> Vec<Vec<usize>> {
    let mut orders = orders(board);
    orders.iter_mut().for_each(|order| order.retain(|&unit| unit < pieces));
    orders
}

/// Level ground of a size.
fn level(width: i64, length: i64) -> Form {
    let around = Around::rectangle(Length::nm(width), Length::nm(length));
    Form { is_box: true, size: (width, length), ..form(around) }
}

/// Ground of a shape.
fn form(around: Around) -> Form {
    let (low, high) = bounds(&around.corners);
    Form {
        size: (high.0 - low.0, high.1 - low.1),
        corners: around.corners,
        margin: around.margin,
        is_box: false,
        is_ground: true,
    }
}

/// A board with ground that never moves.
fn with_ground(board: Board, ground: Vec<(Form, Spot)>, gap: i64) -> Board {
    let Board { apart, mut units, mut lies, size, .. } = board;
    let mut forms = apart.forms;
    for (form, at) in ground {
        let known = forms.iter().position(|known| *known == form).unwrap_or_else(|| {
            forms.push(form);
            forms.len() - 1
        });
        units.push(Unit { forms: vec![known], bind: [Bind::Free; 2], is_fixed: true });
        lies.push(Lie { form: known, at });
    }
    let mut board = Board::new(Apart::new(forms, gap), units, size, 0);
    board.lies = lies;
    board
}

/// What lies between a polygon, counter-clockwise, and the box around it from the origin: polygons,
/// counter-clockwise, each with the lower left corner of its box at the origin, and where it was.
fn outside(polygon: &[Spot], size: Spot) -> Vec<(Vec<Spot>, Spot)> {
    // How far along the sides of the box a place on them is, counter-clockwise from the origin.
    let around = |(x, y): Spot| {
        if y == 0 {
            Some(x)
        } else if x == size.0 {
            Some(size.0 + y)
        } else if y == size.1 {
            Some(size.0 + size.1 + (size.0 - x))
        } else if x == 0 {
            Some(2 * size.0 + size.1 + (size.1 - y))
        } else {
            None
        }
    };
    let whole = 2 * (size.0 + size.1);
    let corners = [
        (size.0, (size.0, 0)),
        (size.0 + size.1, size),
        (2 * size.0 + size.1, (0, size.1)),
        (whole, (0, 0)),
    ];
    let n = polygon.len();
    let touching: Vec<usize> = (0..n).filter(|&at| around(polygon[at]).is_some()).collect();
    let mut found = Vec::new();
    for (index, &first) in touching.iter().enumerate() {
        let last = touching[(index + 1) % touching.len()];
        let count = (last + n - first - 1) % n + 1;
        let (Some(start), Some(end)) = (around(polygon[first]), around(polygon[last])) else {
            continue;
        };
        // Along the box from the first to the last, then back along the polygon.
        let end = if end > start { end } else { end + whole };
        let turned =
            (0..2).flat_map(|turn| corners.map(|(at, corner)| (at + turn * whole, corner)));
        let passed = turned.filter(|(at, _)| start < *at && *at < end).map(|(_, corner)| corner);
        let mut pocket = vec![polygon[first]];
        pocket.extend(passed);
        pocket.extend((0..count).map(|by| polygon[(last + n - by) % n]));
        let (low, _) = bounds(&pocket);
        for place in &mut pocket {
            *place = (place.0 - low.0, place.1 - low.1);
        }
        if doubled(&pocket) > 0 {
            found.push((pocket, low));
        }
    }
    found
}

fn doubled(polygon: &[Spot]) -> i128 {
    let ends = polygon.iter().cycle().skip(1);
    let cross = |(a, b): (&Spot, &Spot)| {
        i128::from(a.0) * i128::from(b.1) - i128::from(a.1) * i128::from(b.0)
    };
    polygon.iter().zip(ends).map(cross).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total(polygon: &[Spot], size: Spot) -> i128 {
        let pockets = outside(polygon, size);
        pockets.iter().map(|(pocket, _)| doubled(pocket)).sum::<i128>() + doubled(polygon)
    }

    #[test]
    fn outline_and_ground_fill_the_box() {
        let ell = [(0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30)];
        assert_eq!(outside(&ell, (40, 30)).len(), 1);
        assert_eq!(total(&ell, (40, 30)), 2 * 40 * 30);
        let diamond = [(20, 0), (40, 15), (20, 30), (0, 15)];
        assert_eq!(outside(&diamond, (40, 30)).len(), 4);
        assert_eq!(total(&diamond, (40, 30)), 2 * 40 * 30);
        let triangle = [(0, 0), (40, 0), (0, 30)];
        assert_eq!(outside(&triangle, (40, 30)).len(), 1);
        assert_eq!(total(&triangle, (40, 30)), 2 * 40 * 30);
        // A notch in one side, and another that begins at another corner.
        let notched = [(30, 30), (0, 30), (0, 0), (10, 0), (20, 20), (30, 0), (40, 0), (40, 30)];
        assert_eq!(outside(&notched, (40, 30)).len(), 1);
        assert_eq!(total(&notched, (40, 30)), 2 * 40 * 30);
        // Touching the same side from both ends of the walk.
        let leaf = [(0, 10), (20, 0), (40, 30), (10, 25)];
        assert_eq!(total(&leaf, (40, 30)), 2 * 40 * 30);
    }
}
