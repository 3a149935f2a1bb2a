//! Immediate ways to pack rectangles: shelves, the best piece for each valley of the skyline, and
//! the skyline in a given order. Sizes are nanometres with the gap already added.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::skyline::{Side, Skyline};

/// A rectangle and the ways it may lie; at least one of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Rect {
    /// Width and length when it lies upright.
    pub(crate) upright: Option<(i64, i64)>,
    /// Width and length when it lies turned.
    pub(crate) turned: Option<(i64, i64)>,
}

impl Rect {
    /// The ways it may lie: whether turned, width, length.
    pub(crate) fn ways(self) -> impl Iterator<Item = (bool, i64, i64)> {
        let upright = self.upright.map(|(width, length)| (false, width, length));
        let turned = self.turned.map(|(width, length)| (true, width, length));
        upright.into_iter().chain(turned)
    }

    /// The size when it lies turned or not; the other way when it may not lie so.
    fn size(self, turned: bool) -> Option<(bool, i64, i64)> {
        self.ways().find(|way| way.0 == turned).or_else(|| self.ways().next())
    }

    /// Whether it may lie both ways and that makes a difference.
    pub(crate) fn is_free(self) -> bool {
        self.upright.is_some() && self.turned.is_some() && self.upright != self.turned
    }
}

/// Where a rectangle lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Spot {
    pub(crate) x: i64,
    pub(crate) y: i64,
    pub(crate) turned: bool,
}

/// Where all rectangles lie, and how far they reach.
#[derive(Clone, Debug)]
pub(crate) struct Packing {
    pub(crate) spots: Vec<Spot>,
    pub(crate) length: i64,
}

/// The shortest of the immediate packings; the first that is no longer than `enough` is taken.
pub(crate) fn shortest(rects: &[Rect], width: i64, enough: i64) -> Packing {
    let is_free = rects.iter().any(|rect| rect.is_free());
    let mut best: Option<Packing> = None;
    for way in WAYS {
        if way.needs_freedom() && !is_free {
            continue;
        }
        let packing = way.pack(rects, width);
        if best.as_ref().is_none_or(|best| packing.length < best.length) {
            best = Some(packing);
        }
        if best.as_ref().is_some_and(|best| best.length <= enough) {
            break;
        }
    }
    best.unwrap_or(Packing { spots: Vec::new(), length: 0 })
}

/// Lays the rectangles in the given order, each turned or not as stated, each at the lowest place.
pub(crate) fn in_order(
    rects: &[Rect],
    order: &[usize],
    turned: &[bool],
    skyline: &mut Skyline,
    spots: &mut [Spot],
) -> i64 {
    skyline.clear();
    let mut reach = 0;
    for &index in order {
        let Some((turned, width, length)) = rects[index].size(turned[index]) else { continue };
        let Some(place) = skyline.lowest(width) else { continue };
        skyline.lay(place, width, length);
        spots[index] = Spot { x: place.x, y: place.y, turned };
        reach = reach.max(place.y + length);
    }
    reach
}

/// An immediate way to pack.
#[derive(Clone, Copy, Debug)]
enum Way {
    /// Rows as long as their longest piece, filled from the first row that has room.
    Shelves(Prefer),
    /// For each valley of the skyline the piece that fills it best.
    Valleys(Prefer),
    /// One after the other, the largest first, by some measure of size.
    Order(Size),
}

/// Which way up a piece is taken when it may lie both ways, and which of several pieces.
#[derive(Clone, Copy, Debug)]
enum Prefer {
    /// The wider one, lying flat.
    Wide,
    /// The longer one, standing.
    Long,
}

/// What is large.
#[derive(Clone, Copy, Debug)]
enum Size {
    Length,
    Width,
    Area,
    Around,
}

/// In order of tidiness: of packings that are equally long the first is taken.
const WAYS: [Way; 8] = [
    Way::Shelves(Prefer::Wide),
    Way::Shelves(Prefer::Long),
    Way::Valleys(Prefer::Wide),
    Way::Valleys(Prefer::Long),
    Way::Order(Size::Length),
    Way::Order(Size::Width),
    Way::Order(Size::Area),
    Way::Order(Size::Around),
];

impl Way {
    /// Whether it differs from the way before it only when pieces may lie both ways.
    fn needs_freedom(self) -> bool {
        matches!(self, Self::Shelves(Prefer::Long))
    }

    fn pack(self, rects: &[Rect], width: i64) -> Packing {
        match self {
            Self::Shelves(prefer) => shelves(rects, width, prefer),
            Self::Valleys(prefer) => valleys(rects, width, prefer),
            Self::Order(size) => by_size(rects, width, size),
        }
    }
}

impl Prefer {
    /// The way up in which a rectangle is taken.
    fn way(self, rect: Rect) -> Option<(bool, i64, i64)> {
        match self {
            Self::Wide => rect.ways().max_by_key(|&(turned, width, _)| (width, !turned)),
            Self::Long => rect.ways().max_by_key(|&(turned, _, length)| (length, !turned)),
        }
    }
}

fn shelves(rects: &[Rect], width: i64, prefer: Prefer) -> Packing {
    struct Shelf {
        y: i64,
        x: i64,
        length: i64,
    }
    let mut order: Vec<_> = (0..rects.len())
        .filter_map(|index| {
            prefer.way(rects[index]).map(|(_, across, along)| (index, across, along))
        })
        .collect();
    order.sort_by_key(|&(_, across, along)| Reverse((along, across)));
    let mut spots = vec![Spot::default(); rects.len()];
    let mut shelves: Vec<Shelf> = Vec::new();
    for (index, _, _) in order {
        let fits = |shelf: &Shelf, turned: bool| {
            rects[index].ways().find(|&(way, across, along)| {
                way == turned && shelf.x + across <= width && along <= shelf.length
            })
        };
        let Some((turned, across, along)) = prefer.way(rects[index]) else { continue };
        // The preferred way up in any row, else the other way up in any row, else a new row.
        let found = [turned, !turned].into_iter().find_map(|turned| {
            shelves.iter().enumerate().find_map(|(at, shelf)| Some((at, fits(shelf, turned)?)))
        });
        let (at, (turned, across, _)) = found.unwrap_or_else(|| {
            let y = shelves.last().map_or(0, |shelf| shelf.y + shelf.length);
            shelves.push(Shelf { y, x: 0, length: along });
            (shelves.len() - 1, (turned, across, along))
        });
        spots[index] = Spot { x: shelves[at].x, y: shelves[at].y, turned };
        shelves[at].x += across;
    }
    let length = shelves.last().map_or(0, |shelf| shelf.y + shelf.length);
    Packing { spots, length }
}

fn valleys(rects: &[Rect], width: i64, prefer: Prefer) -> Packing {
    // Equal rectangles are one kind, so that a class kit costs no more choices than one bag.
    let mut kinds: BTreeMap<Rect, Vec<usize>> = BTreeMap::new();
    for (index, &rect) in rects.iter().enumerate().rev() {
        kinds.entry(rect).or_default().push(index);
    }
    let mut skyline = Skyline::new(width);
    let mut spots = vec![Spot::default(); rects.len()];
    let (mut left, mut reach) = (rects.len(), 0);
    while left > 0 {
        let valley = skyline.valley();
        let room = valley.room;
        let fitting = kinds
            .iter()
            .filter(|(_, indices)| !indices.is_empty())
            .flat_map(|(&rect, _)| rect.ways().map(move |way| (rect, way)))
            .filter(|&(_, (_, across, _))| across <= room);
        let best = fitting.max_by_key(|&(_, (turned, across, along))| {
            let (first, second) = match prefer {
                Prefer::Wide => (across, along),
                Prefer::Long => (along, across),
            };
            // What fills the valley exactly leaves nothing behind.
            (across == room, first, second, !turned)
        });
        let Some((rect, (turned, across, along))) = best else {
            skyline.give_up(valley);
            continue;
        };
        let Some(index) = kinds.get_mut(&rect).and_then(Vec::pop) else { break };
        let x = skyline.lay_in(valley, (across, along), Side::Left);
        spots[index] = Spot { x, y: valley.y, turned };
        reach = reach.max(valley.y + along);
        left -= 1;
    }
    Packing { spots, length: reach }
}

fn by_size(rects: &[Rect], width: i64, size: Size) -> Packing {
    let key = |rect: Rect| {
        let largest = rect.ways().map(|(_, across, along)| match size {
            Size::Length => (i128::from(along), across),
            Size::Width => (i128::from(across), along),
            Size::Area => (i128::from(across) * i128::from(along), across),
            Size::Around => (i128::from(across) + i128::from(along), across),
        });
        Reverse(largest.max())
    };
    let mut order: Vec<_> = (0..rects.len()).collect();
    order.sort_by_key(|&index| key(rects[index]));
    let mut skyline = Skyline::new(width);
    let mut spots = vec![Spot::default(); rects.len()];
    let mut reach = 0;
    for index in order {
        // The way up that reaches less far; of equal ones the one that loses less.
        let best = rects[index]
            .ways()
            .filter_map(|way| Some((way, skyline.lowest(way.1)?)))
            .min_by_key(|&((turned, _, along), place)| (place.y + along, place.lost, turned));
        let Some(((turned, across, along), place)) = best else { continue };
        skyline.lay(place, across, along);
        spots[index] = Spot { x: place.x, y: place.y, turned };
        reach = reach.max(place.y + along);
    }
    Packing { spots, length: reach }
}
