//! Every way to lay few rectangles on remnants: one after the other, largest first, at every place
//! where a rectangle can lie when all are pushed towards the corner. It answers whether they fit,
//! or that it took too long.

use super::{Place, Room, Thing};
use crate::effort::Fuel;
use crate::pack::Spot;

/// More places across or along are too many to try.
const MOST_PLACES: usize = 400;

/// Lays all, or proves that they do not fit; none when it takes more than so many steps.
pub(super) fn lay(
    things: &[Thing],
    rooms: &[Room],
    steps: &mut Fuel,
) -> Option<Option<Vec<Place>>> {
    let mut order: Vec<usize> = (0..things.len()).collect();
    order.sort_by_key(|&index| {
        (std::cmp::Reverse(things[index].area()), things[index].ways.clone(), index)
    });
    let grids: Option<Vec<_>> = rooms.iter().map(|room| Grid::new(room, things)).collect();
    let mut search = Every { things, rooms, grids: grids?, order, laid: Vec::new(), steps };
    let fits = search.next()?;
    Some(fits.then(|| {
        let mut places = vec![Place { stock: 0, spot: Spot::default() }; things.len()];
        for (&index, laid) in search.order.iter().zip(&search.laid) {
            places[index] = laid.place;
        }
        places
    }))
}

/// Where a rectangle can begin on a remnant: sums of widths, and of lengths, of others.
struct Grid {
    xs: Vec<i64>,
    ys: Vec<i64>,
}

impl Grid {
    fn new(room: &Room, things: &[Thing]) -> Option<Self> {
        let xs = sums(room.width, things, |way| way.0)?;
        let ys = sums(room.length, things, |way| way.1)?;
        Some(Self { xs, ys })
    }
}

fn sums(room: i64, things: &[Thing], side: impl Fn(&(i64, i64, bool)) -> i64) -> Option<Vec<i64>> {
    let mut sums = vec![0_i64];
    for thing in things {
        let sides: Vec<_> = thing.ways.iter().map(&side).collect();
        let more = sums.iter().flat_map(|sum| sides.iter().map(move |side| sum + side));
        let more: Vec<_> = more.filter(|&sum| sum < room).collect();
        sums.extend(more);
        sums.sort_unstable();
        sums.dedup();
        if sums.len() > MOST_PLACES {
            return None;
        }
    }
    Some(sums)
}

struct Laid {
    place: Place,
    width: i64,
    length: i64,
}

struct Every<'a> {
    things: &'a [Thing],
    rooms: &'a [Room],
    grids: Vec<Grid>,
    order: Vec<usize>,
    laid: Vec<Laid>,
    steps: &'a mut Fuel,
}

impl Every<'_> {
    /// Lays the next one in every way; whether all fit.
    fn next(&mut self) -> Option<bool> {
        let at = self.laid.len();
        let Some(&index) = self.order.get(at) else { return Some(true) };
        // Equal ones lie in the order of their places.
        let after = at
            .checked_sub(1)
            .filter(|&before| self.things[self.order[before]] == self.things[index]);
        let after = after.map(|before| key(&self.laid[before].place));
        for bin in 0..self.rooms.len() {
            for way in self.things[index].ways.clone() {
                for column in 0..self.grids[bin].xs.len() {
                    for row in 0..self.grids[bin].ys.len() {
                        self.steps.take(1)?;
                        let (x, y) = (self.grids[bin].xs[column], self.grids[bin].ys[row]);
                        let spot = Spot { x, y, turned: way.2 };
                        let place = Place { stock: self.rooms[bin].stock, spot };
                        let laid = Laid { place, width: way.0, length: way.1 };
                        let is_later = after.is_none_or(|after| key(&place) > after);
                        if is_later && self.is_free(bin, &laid) {
                            self.laid.push(laid);
                            if self.next()? {
                                return Some(true);
                            }
                            self.laid.pop();
                        }
                    }
                }
            }
        }
        Some(false)
    }

    fn is_free(&self, bin: usize, one: &Laid) -> bool {
        let (x, y) = (one.place.spot.x, one.place.spot.y);
        let room = &self.rooms[bin];
        let is_on = x + one.width <= room.width && y + one.length <= room.length;
        is_on
            && self.laid.iter().all(|other| {
                let spot = other.place.spot;
                other.place.stock != one.place.stock
                    || spot.x + other.width <= x
                    || x + one.width <= spot.x
                    || spot.y + other.length <= y
                    || y + one.length <= spot.y
            })
    }
}

const fn key(place: &Place) -> (usize, i64, i64, bool) {
    (place.stock, place.spot.x, place.spot.y, place.spot.turned)
}
