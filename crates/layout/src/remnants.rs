//! Pieces laid on remnants: pieces of fabric that are there, each once. The question is whether
//! everything fits, on as few of them as can be; what does not fit is left over.
//!
//! Pieces are laid into the free rectangles of each remnant, in an order and with turns that a
//! search changes at random. For few pieces every way to lay them is tried, so that it is proven
//! when they do not fit. This is for rectangles; as soon as a piece or a remnant is an outline,
//! all are laid by [`crate::odd`].

mod every;

use std::collections::BTreeSet;

use measure::Length;

use crate::cuts::{Cut, Cuts, alternatives, can_be_cut};
use crate::effort::{Fuel, Stop};
use crate::pack::Spot;
use crate::random::Random;
use crate::{
    Cutting, Fit, Joined, Layout, NoLayout, Placement, Problem, Proof, Remnant, Shape, Stock,
    remnant, rotary, solve,
};

/// Steps of the search through every way in a first answer.
const STEPS: u64 = 20_000;
/// Rounds of search for a first answer.
const ROUNDS: u64 = 200;

/// A remnant, or a free part of one, with the gap added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Room {
    stock: usize,
    x: i64,
    y: i64,
    width: i64,
    length: i64,
}

/// Where a rectangle lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    stock: usize,
    spot: Spot,
}

/// A rectangle to lay, with the gap added: (width, length) for each way it may lie.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Thing {
    ways: Vec<(i64, i64, bool)>,
}

impl Thing {
    fn area(&self) -> i128 {
        self.ways.first().map_or(0, |way| i128::from(way.0) * i128::from(way.1))
    }
}

/// The best layout on remnants that is found with so much effort.
///
/// # Errors
/// When there is no solver for what is asked.
pub(crate) fn solve(
    problem: &Problem,
    seed: u64,
    effort: u64,
    stop: &Stop,
) -> Result<Layout, NoLayout> {
    let rooms = rooms(problem);
    let (problem_laid, mut left_over) = without_oversize(problem);
    let mut is_proven = !left_over.is_empty();
    let mut best: Option<(Rank, Cuts, Vec<Option<Place>>)> = None;
    let alternatives = alternatives(&problem_laid, widest(problem))?;
    for cuts in &alternatives {
        let things: Vec<_> = cuts.cuts.iter().map(|cut| thing(cut, problem.gap.to_nm())).collect();
        let (places, proven) = lay(&things, &rooms, (seed, effort), stop);
        is_proven |= proven && alternatives.len() == 1 && cuts.joins.is_empty();
        let places = without_broken(cuts, first_copies(cuts, &things, places));
        let rank = rank(&things, &places, &rooms);
        if best.as_ref().is_none_or(|(known, ..)| rank < *known) {
            best = Some((rank, cuts.clone(), places));
        }
    }
    if let Some((_, cuts, places)) = &best {
        left_over.extend(missing(cuts, places));
    }
    left_over.sort_unstable();
    left_over.dedup();
    let fit = Fit { is_proven: is_proven || left_over.is_empty(), left_over };
    let (cuts, places) = best.map_or_else(Default::default, |(_, cuts, places)| (cuts, places));
    let placed = cuts.cuts.iter().zip(&places).filter_map(|(cut, place)| {
        let place = (*place)?;
        Some(Placement { stock: place.stock, ..solve::place(problem, cut, place.spot) })
    });
    let placements = placed.collect();
    Ok(finish(problem, &cuts.joins, placements, fit))
}

/// A round of search: whenever their number has doubled, the problem is solved anew with as much
/// more effort. A layout that is better, or better proven.
pub(crate) fn round(
    problem: &Problem,
    best: &Layout,
    (rounds, seed): (u64, u64),
    stop: &Stop,
) -> Option<Layout> {
    let next = rounds + 1;
    if !next.is_power_of_two() {
        return None;
    }
    let solve = if problem.cutting == Cutting::Free { solve } else { rotary::remnants::solve };
    let found = solve(problem, seed.wrapping_add(next), next, stop).ok()?;
    if stop.is_stopped() {
        return None;
    }
    let value = |layout: &Layout| {
        let used: BTreeSet<_> = layout.placements.iter().map(|one| one.stock).collect();
        let area = |one: &Placement| measure::Area::rectangle(one.width, one.length);
        let laid =
            layout.placements.iter().map(area).fold(measure::Area::ZERO, |all, one| all + one);
        let rest = layout.remnant.map(|rest| measure::Area::rectangle(rest.width, rest.length));
        let is_proven = layout.fit.as_ref().is_some_and(|fit| fit.is_proven);
        (std::cmp::Reverse(laid), used.len(), std::cmp::Reverse(rest), !is_proven)
    };
    (value(&found) < value(best)).then_some(found)
}

/// Width and length of each remnant, or of the box around it.
pub(crate) fn sizes(problem: &Problem) -> Vec<(Length, Length)> {
    let Stock::Remnants(shapes) = &problem.stock else { return Vec::new() };
    shapes.iter().map(Shape::size).collect()
}

/// The remnants with the gap added both ways.
fn rooms(problem: &Problem) -> Vec<Room> {
    let gap = problem.gap;
    let room = |(stock, (width, length)): (usize, (Length, Length))| {
        let (width, length) = ((width + gap).to_nm(), (length + gap).to_nm());
        Room { stock, x: 0, y: 0, width, length }
    };
    sizes(problem).into_iter().enumerate().map(room).collect()
}

/// The width of the widest remnant: what is longer may be joined.
pub(crate) fn widest(problem: &Problem) -> Length {
    sizes(problem).into_iter().map(|(width, _)| width).max().unwrap_or(Length::ZERO)
}

/// The problem without pieces that fit on no remnant and cannot be joined; they are left over.
pub(crate) fn without_oversize(problem: &Problem) -> (Problem, Vec<(usize, u32)>) {
    let (rooms, widest) = (rooms(problem), widest(problem));
    let mut laid = problem.clone();
    let mut left_over = Vec::new();
    for (piece, item) in laid.pieces.iter_mut().enumerate() {
        let (width, length) = item.shape.size();
        let (width, length) = ((width + problem.gap).to_nm(), (length + problem.gap).to_nm());
        let fits = |room: &Room| {
            item.rotations.iter().any(|turn| {
                let (across, along) =
                    if turn.is_crosswise() { (length, width) } else { (width, length) };
                across <= room.width && along <= room.length
            })
        };
        let is_joined = item.join.is_some() && can_be_cut(item, problem.copies, widest);
        if !is_joined && !rooms.iter().any(fits) {
            let count = item.count.saturating_mul(problem.copies);
            left_over.extend((0..count).map(|copy| (piece, copy)));
            item.count = 0;
        }
    }
    (laid, left_over)
}

fn thing(cut: &Cut, gap: i64) -> Thing {
    let (width, length) = (cut.width.to_nm() + gap, cut.length.to_nm() + gap);
    let upright = cut.upright.map(|_| (width, length, false));
    let turned = cut.turned.map(|_| (length, width, true));
    Thing { ways: upright.into_iter().chain(turned).collect() }
}

/// How good it is: the area that does not fit, how many remnants are used, and the largest rest,
/// which is to be large.
type Rank = (i128, usize, std::cmp::Reverse<i128>);

fn rank(things: &[Thing], places: &[Option<Place>], rooms: &[Room]) -> Rank {
    let missing = things.iter().zip(places).filter(|(_, place)| place.is_none());
    let missing = missing.map(|(thing, _)| thing.area()).sum();
    let used: BTreeSet<_> = places.iter().flatten().map(|place| place.stock).collect();
    let whole = |room: &Room| i128::from(room.width) * i128::from(room.length);
    let free = rooms.iter().filter(|room| !used.contains(&room.stock)).map(whole).max();
    // Among the remnants in use the one whose pieces end soonest leaves the most.
    let rest = |room: &Room| {
        let on = things.iter().zip(places).filter_map(|(thing, place)| {
            let place = place.filter(|place| place.stock == room.stock)?;
            let way = thing.ways.iter().find(|way| way.2 == place.spot.turned)?;
            Some((place.spot.x + way.0, place.spot.y + way.1))
        });
        let (far_x, far_y) = on.fold((0, 0), |(x, y), (ex, ey)| (x.max(ex), y.max(ey)));
        let beside = i128::from(room.width - far_x) * i128::from(room.length);
        beside.max(i128::from(room.length - far_y) * i128::from(room.width))
    };
    let rest = rooms.iter().filter(|room| used.contains(&room.stock)).map(rest).max();
    (missing, used.len(), std::cmp::Reverse(free.unwrap_or(0) + rest.unwrap_or(0)))
}

/// Lays as much as can be; and whether it is proven that not everything fits.
fn lay(
    things: &[Thing],
    rooms: &[Room],
    (seed, effort): (u64, u64),
    stop: &Stop,
) -> (Vec<Option<Place>>, bool) {
    let area: i128 = things.iter().map(Thing::area).sum();
    let room: i128 = rooms.iter().map(|one| i128::from(one.width) * i128::from(one.length)).sum();
    let mut best = search(things, rooms, (seed, ROUNDS * effort), stop);
    if best.iter().all(Option::is_some) {
        return (best, false);
    }
    if area > room {
        return (best, true);
    }
    let mut steps = Fuel::new(STEPS * effort, stop);
    match every::lay(things, rooms, &mut steps) {
        Some(Some(places)) => best = places.into_iter().map(Some).collect(),
        Some(None) => return (best, true),
        None => {}
    }
    (best, false)
}

/// Changes order, turns and the order of the remnants at random, and keeps what is not worse.
fn search(
    things: &[Thing],
    rooms: &[Room],
    (seed, rounds): (u64, u64),
    stop: &Stop,
) -> Vec<Option<Place>> {
    let mut random = Random::new(seed);
    let mut order: Vec<usize> = (0..things.len()).collect();
    order.sort_by_key(|&index| (std::cmp::Reverse(things[index].area()), index));
    let mut bins: Vec<usize> = (0..rooms.len()).collect();
    bins.sort_by_key(|&bin| {
        std::cmp::Reverse(i128::from(rooms[bin].width) * i128::from(rooms[bin].length))
    });
    let mut prefers = vec![0; things.len()];
    let mut best = in_order(things, rooms, &order, &bins, &prefers);
    let mut now = rank(things, &best, rooms);
    for _ in 0..rounds.min(40_000_000 / (things.len() as u64 * things.len() as u64 + 1)) {
        if things.is_empty() || (now.0 == 0 && now.1 <= 1) || stop.is_stopped() {
            break;
        }
        let (one, other) = (random.below(order.len()), random.below(order.len()));
        let (from, to) = (random.below(bins.len()), random.below(bins.len()));
        let what = random.below(8);
        match what {
            0..=3 => order.swap(one, other),
            4..=5 => prefers[one] = 1 - prefers[one],
            _ => bins.swap(from, to),
        }
        let places = in_order(things, rooms, &order, &bins, &prefers);
        let rank = rank(things, &places, rooms);
        if rank <= now {
            now = rank;
            best = places;
        } else {
            match what {
                0..=3 => order.swap(one, other),
                4..=5 => prefers[one] = 1 - prefers[one],
                _ => bins.swap(from, to),
            }
        }
    }
    best
}

/// Lays one after the other into the free rectangle, of the first remnant that has one, that it
/// fits best.
fn in_order(
    things: &[Thing],
    rooms: &[Room],
    order: &[usize],
    bins: &[usize],
    prefers: &[usize],
) -> Vec<Option<Place>> {
    let mut free: Vec<Vec<Room>> = bins.iter().map(|&bin| vec![rooms[bin]]).collect();
    let mut places = vec![None; things.len()];
    for &index in order {
        let ways = &things[index].ways;
        let found = free.iter().enumerate().find_map(|(bin, free)| {
            let tried = (0..ways.len()).map(|turn| &ways[(turn + prefers[index]) % ways.len()]);
            let spots = tried.enumerate().flat_map(|(rank, way)| {
                free.iter().filter_map(move |room| {
                    let (beside, beyond) = (room.width - way.0, room.length - way.1);
                    let fits = beside >= 0 && beyond >= 0;
                    fits.then(|| ((rank, beside.min(beyond), beside.max(beyond)), *room, *way))
                })
            });
            spots.min_by_key(|(waste, room, _)| (*waste, *room)).map(|found| (bin, found))
        });
        let Some((bin, (_, room, way))) = found else { continue };
        let laid = Room { width: way.0, length: way.1, ..room };
        places[index] =
            Some(Place { stock: room.stock, spot: Spot { x: room.x, y: room.y, turned: way.2 } });
        take(&mut free[bin], laid);
    }
    places
}

/// Takes a rectangle away from all free rectangles, of which each is as large as can be.
fn take(free: &mut Vec<Room>, laid: Room) {
    let mut next: Vec<Room> = Vec::new();
    for room in free.iter() {
        let (far_x, far_y) = (room.x + room.width, room.y + room.length);
        let (laid_x, laid_y) = (laid.x + laid.width, laid.y + laid.length);
        if laid.x >= far_x || laid_x <= room.x || laid.y >= far_y || laid_y <= room.y {
            next.push(*room);
            continue;
        }
        let parts = [
            Room { width: laid.x - room.x, ..*room },
            Room { x: laid_x, width: far_x - laid_x, ..*room },
            Room { length: laid.y - room.y, ..*room },
            Room { y: laid_y, length: far_y - laid_y, ..*room },
        ];
        next.extend(parts.into_iter().filter(|part| part.width > 0 && part.length > 0));
    }
    let holds = |one: &Room, other: &Room| {
        one.x <= other.x
            && one.y <= other.y
            && one.x + one.width >= other.x + other.width
            && one.y + one.length >= other.y + other.length
    };
    next.sort_unstable();
    next.dedup();
    free.clear();
    free.extend(
        next.iter().filter(|room| !next.iter().any(|other| other != *room && holds(other, room))),
    );
}

/// Of equal pieces the first are laid and the last are left over.
fn first_copies(
    cuts: &Cuts,
    things: &[Thing],
    mut places: Vec<Option<Place>>,
) -> Vec<Option<Place>> {
    let equal = |one: usize, other: usize| {
        cuts.cuts[one].piece == cuts.cuts[other].piece && things[one] == things[other]
    };
    for index in 0..places.len() {
        if places[index].is_none() {
            let later = index + 1..places.len();
            let taken = later.rev().find(|&at| places[at].is_some() && equal(index, at));
            if let Some(at) = taken {
                places.swap(index, at);
            }
        }
    }
    places
}

/// Without the strips of which not all parts are there.
pub(crate) fn without_broken<T>(cuts: &Cuts, mut places: Vec<Option<T>>) -> Vec<Option<T>> {
    let is_missing = |places: &[Option<T>], piece: usize| {
        let of_piece = cuts.cuts.iter().zip(places).filter(|(cut, _)| cut.piece == piece);
        of_piece.into_iter().any(|(_, place)| place.is_none())
    };
    // One long strip is cut to length; when a part of it is missing all of it has to be cut anew.
    let joined: BTreeSet<usize> = cuts.joins.iter().map(|joined| joined.piece).collect();
    for piece in joined {
        if is_missing(&places, piece) {
            for (cut, place) in cuts.cuts.iter().zip(&mut places) {
                if cut.piece == piece {
                    *place = None;
                }
            }
        }
    }
    places
}

/// Which copies of which pieces are not laid.
pub(crate) fn missing<T>(cuts: &Cuts, places: &[Option<T>]) -> Vec<(usize, u32)> {
    let mut missing = Vec::new();
    for (cut, _) in cuts.cuts.iter().zip(places).filter(|(_, place)| place.is_none()) {
        let joined: Vec<&Joined> =
            cuts.joins.iter().filter(|joined| joined.piece == cut.piece).collect();
        if joined.is_empty() {
            missing.push((cut.piece, cut.copy));
        }
        missing.extend(joined.into_iter().map(|joined| (joined.piece, joined.copy)));
    }
    missing
}

/// The layout of what is laid.
pub(crate) fn finish(
    problem: &Problem,
    joins: &[Joined],
    placements: Vec<Placement>,
    fit: Fit,
) -> Layout {
    let is_there = |joined: &&Joined| !fit.left_over.contains(&(joined.piece, joined.copy));
    let nothing = Length::ZERO;
    Layout {
        joins: joins.iter().filter(is_there).cloned().collect(),
        cuts: Vec::new(),
        width: nothing,
        length: nothing,
        needed: nothing,
        bought: nothing,
        bound: nothing,
        proof: Proof::Shortest,
        remnant: rest(problem, &placements),
        fit: Some(fit),
        placements,
    }
}

/// The largest rectangle that is left of any remnant.
fn rest(problem: &Problem, placements: &[Placement]) -> Option<Remnant> {
    let Stock::Remnants(shapes) = &problem.stock else { return None };
    let of = |(stock, shape): (usize, &Shape)| {
        let on: Vec<_> = placements.iter().filter(|one| one.stock == stock).copied().collect();
        remnant::largest_free(shape, &on).map(|rest| Remnant { stock, ..rest })
    };
    let all = shapes.iter().enumerate().filter_map(of);
    let area = |rest: &Remnant| measure::Area::rectangle(rest.width, rest.length);
    // Of equal ones the first.
    all.reduce(|best, one| if area(&one) > area(&best) { one } else { best })
}
