//! Pieces on a strip of fabric, which may lie on each other while a search goes on: how much they
//! do, and where along a line one of them overlaps least.
//!
//! Along a line, the depth to which a piece reaches into a convex forbidden polygon rises and falls
//! once, as a concave function. So the sum over all polygons is least where a polygon begins or ends:
//! just the places where pieces touch need be looked at.

use super::apart::Apart;
use super::convex::{Convex, Spot};

/// Where a piece lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Lie {
    /// Which of the forms.
    pub(crate) form: usize,
    /// The lower left corner of its box.
    pub(crate) at: Spot,
}

/// What binds a coordinate of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bind {
    /// Nothing.
    Free,
    /// It lies just here.
    At(i64),
    /// It lies at the group's place plus a multiple of the repeat.
    Every { repeat: i64, group: usize },
}

/// A piece that is laid.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    /// The forms it may have, at least one.
    pub(crate) forms: Vec<usize>,
    /// What binds it across and along.
    pub(crate) bind: [Bind; 2],
    /// Whether it never moves.
    pub(crate) is_fixed: bool,
}

/// The direction of a move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Axis {
    Across,
    Along,
}

/// The state of a search.
pub(crate) struct Board {
    pub(crate) apart: Apart,
    pub(crate) units: Vec<Unit>,
    pub(crate) lies: Vec<Lie>,
    /// Width and length of the fabric.
    pub(crate) size: Spot,
    /// Nothing lies nearer to the beginning across: room for scissors at a fold.
    pub(crate) start: i64,
    /// Where each group's pattern lies.
    pub(crate) phases: Vec<Spot>,
    /// What an overlap of two pieces counts, by pairs.
    weights: Vec<f64>,
    walls: Vec<Wall>,
    /// Stretches of a line that are barred.
    barred: Vec<(i64, i64)>,
}

/// A stretch of a line that lies within a forbidden polygon.
#[derive(Clone, Copy)]
struct Wall {
    low: i64,
    high: i64,
    weight: f64,
    other: usize,
    part: usize,
}

impl Board {
    pub(crate) fn new(apart: Apart, units: Vec<Unit>, size: Spot, groups: usize) -> Self {
        let lies = units.iter().map(|unit| Lie { form: unit.forms[0], at: (0, 0) }).collect();
        let weights = vec![1.0; units.len() * units.len()];
        Self {
            apart,
            units,
            lies,
            size,
            start: 0,
            phases: vec![(0, 0); groups],
            weights,
            walls: Vec::new(),
            barred: Vec::new(),
        }
    }

    /// The places a piece may have in this form in one direction, from the least to the greatest;
    /// none when it does not fit.
    pub(crate) fn range(&self, unit: usize, form: usize, axis: Axis) -> Option<(i64, i64)> {
        let size = &self.apart.forms[form].size;
        let (start, whole, own) = match axis {
            Axis::Across => (self.start, self.size.0, size.0),
            Axis::Along => (0, self.size.1, size.1),
        };
        let high = self.down(unit, axis, whole - own);
        let low = self.up(unit, axis, start);
        (low <= high).then_some((low, high))
    }

    fn bind(&self, unit: usize, axis: Axis) -> (Bind, i64) {
        let bind = self.units[unit].bind;
        let (bind, phase): (Bind, fn(Spot) -> i64) = match axis {
            Axis::Across => (bind[0], |spot| spot.0),
            Axis::Along => (bind[1], |spot| spot.1),
        };
        match bind {
            Bind::Every { group, .. } => (bind, phase(self.phases[group])),
            Bind::Free | Bind::At(_) => (bind, 0),
        }
    }

    /// The nearest lawful place that is not less.
    pub(crate) fn up(&self, unit: usize, axis: Axis, place: i64) -> i64 {
        match self.bind(unit, axis) {
            (Bind::Free, _) => place,
            (Bind::At(only), _) => only,
            (Bind::Every { repeat, .. }, phase) => place + (phase - place).rem_euclid(repeat),
        }
    }

    /// The nearest lawful place that is not greater.
    pub(crate) fn down(&self, unit: usize, axis: Axis, place: i64) -> i64 {
        match self.bind(unit, axis) {
            (Bind::Free, _) => place,
            (Bind::At(only), _) => only,
            (Bind::Every { repeat, .. }, phase) => place - (place - phase).rem_euclid(repeat),
        }
    }

    pub(crate) fn weight(&self, one: usize, other: usize) -> f64 {
        self.weights[one * self.units.len() + other]
    }

    pub(crate) fn set_weight(&mut self, one: usize, other: usize, weight: f64) {
        let n = self.units.len();
        self.weights[one * n + other] = weight;
        self.weights[other * n + one] = weight;
    }

    pub(crate) fn even_weights(&mut self) {
        self.weights.fill(1.0);
    }

    /// How much two pieces overlap, unweighted.
    pub(crate) fn between(&self, one: usize, other: usize) -> f64 {
        self.reach(self.lies[one], self.lies[other])
    }

    fn reach(&self, lie: Lie, other: Lie) -> f64 {
        let overlap = self.apart.overlap(other.form, lie.form);
        let (x, y) = (lie.at.0 - other.at.0, lie.at.1 - other.at.1);
        if x <= overlap.low.0 || x >= overlap.high.0 || y <= overlap.low.1 || y >= overlap.high.1 {
            return 0.0;
        }
        overlap.scale * overlap.parts.iter().map(|part| part.depth((x, y))).sum::<f64>()
    }

    /// How much a piece would overlap all others if it lay so, weighted; more than `enough` is not
    /// counted further.
    pub(crate) fn loss(&self, unit: usize, lie: Lie, enough: f64) -> f64 {
        let mut loss = 0.0;
        for (other, &there) in self.lies.iter().enumerate() {
            if other == unit {
                continue;
            }
            let reach = self.reach(lie, there);
            if reach > 0.0 {
                loss += reach * self.weight(unit, other);
                if loss >= enough {
                    break;
                }
            }
        }
        loss
    }

    /// Whether a piece would lie free of the first `count` others.
    pub(crate) fn is_free(&self, unit: usize, lie: Lie) -> bool {
        self.loss(unit, lie, f64::MIN_POSITIVE) <= 0.0
    }

    /// Calls `each` with the forbidden stretches of the line through a place that come of some
    /// pieces: the piece, the polygon, and where it begins and ends.
    fn bars(
        &self,
        (unit, lie): (usize, Lie),
        axis: Axis,
        others: impl Iterator<Item = usize>,
        mut each: impl FnMut(usize, usize, (i64, i64)),
    ) {
        for other in others.filter(|other| *other != unit) {
            let there = self.lies[other];
            let overlap = self.apart.overlap(there.form, lie.form);
            let (x, y) = (lie.at.0 - there.at.0, lie.at.1 - there.at.1);
            let is_off = match axis {
                Axis::Across => y <= overlap.low.1 || y >= overlap.high.1,
                Axis::Along => x <= overlap.low.0 || x >= overlap.high.0,
            };
            if is_off {
                continue;
            }
            for (part, polygon) in overlap.parts.iter().enumerate() {
                let (found, from) = match axis {
                    Axis::Across => (polygon.across(y), there.at.0),
                    Axis::Along => (polygon.along(x), there.at.1),
                };
                if let Some((low, high)) = found {
                    each(other, part, (low + from, high + from));
                }
            }
        }
    }

    /// The forbidden stretches of the line through a place that come of all other pieces.
    fn find_walls(&mut self, unit: usize, lie: Lie, axis: Axis) {
        let mut walls = std::mem::take(&mut self.walls);
        walls.clear();
        self.bars((unit, lie), axis, 0..self.lies.len(), |other, part, (low, high)| {
            let scale = self.apart.overlap(self.lies[other].form, lie.form).scale;
            let weight = scale * self.weight(unit, other);
            walls.push(Wall { low, high, weight, other, part });
        });
        self.walls = walls;
    }

    fn wall(&self, form: usize, wall: &Wall) -> (&Convex, Spot) {
        let there = self.lies[wall.other];
        (&self.apart.overlap(there.form, form).parts[wall.part], there.at)
    }

    /// The place on the line through `lie` with the least overlap, and how much that is; of equals
    /// the least place.
    pub(crate) fn best_on_line(&mut self, unit: usize, lie: Lie, axis: Axis) -> Option<(Lie, f64)> {
        let (first, last) = self.range(unit, lie.form, axis)?;
        self.find_walls(unit, lie, axis);
        self.walls.retain(|wall| wall.low < last && wall.high > first);
        let to = |place: i64| {
            let at = match axis {
                Axis::Across => (place, lie.at.1),
                Axis::Along => (lie.at.0, place),
            };
            Lie { form: lie.form, at }
        };
        let mut best: Option<(Lie, f64)> = None;
        for place in self.ends(unit, axis, (first, last)) {
            let there = to(place);
            let enough = best.map_or(f64::INFINITY, |(_, loss)| loss);
            let mut loss = 0.0;
            for wall in self.walls.iter().filter(|wall| wall.low < place && place < wall.high) {
                let (polygon, from) = self.wall(lie.form, wall);
                let place = (there.at.0 - from.0, there.at.1 - from.1);
                loss += wall.weight * polygon.depth(place);
                if loss >= enough {
                    break;
                }
            }
            if loss < enough {
                best = Some((there, loss));
                if loss <= 0.0 {
                    return best;
                }
            }
        }
        let mut barred: Vec<_> = self.walls.iter().map(|wall| (wall.low, wall.high)).collect();
        barred.sort_unstable();
        match self.past(&barred, (unit, axis), first) {
            place if place <= last => Some((to(place), 0.0)),
            _ => best,
        }
    }

    /// The places in a range where the walls of some piece begin or end, in order.
    fn ends(&self, unit: usize, axis: Axis, (first, last): (i64, i64)) -> Vec<i64> {
        let mut places: Vec<i64> = vec![first, last];
        let mut add = |low: i64, high: i64| {
            for place in [low, high] {
                let (down, up) = (self.down(unit, axis, place), self.up(unit, axis, place));
                places.extend((first..=last).contains(&down).then_some(down));
                places.extend((down != up && (first..=last).contains(&up)).then_some(up));
            }
        };
        // Walls of one piece follow each other.
        let mut of: Option<(usize, i64, i64)> = None;
        for wall in &self.walls {
            match &mut of {
                Some((other, low, high)) if *other == wall.other => {
                    *low = wall.low.min(*low);
                    *high = wall.high.max(*high);
                }
                _ => {
                    if let Some((_, low, high)) = of {
                        add(low, high);
                    }
                    of = Some((wall.other, wall.low, wall.high));
                }
            }
        }
        if let Some((_, low, high)) = of {
            add(low, high);
        }
        places.sort_unstable();
        places.dedup();
        places
    }

    /// The least lawful place from here on that no stretch covers, or one beyond all places;
    /// stretches are in order.
    fn past(&self, barred: &[(i64, i64)], (unit, axis): (usize, Axis), from: i64) -> i64 {
        let mut place = self.up(unit, axis, from);
        if let (Bind::At(only), _) = self.bind(unit, axis) {
            let covered = barred.iter().any(|&(low, high)| low < only && only < high);
            return if covered { i64::MAX } else { only };
        }
        for &(low, high) in barred {
            if low >= place {
                break;
            }
            if high > place {
                place = self.up(unit, axis, high);
            }
        }
        place
    }

    /// The least free place on the line through `lie`, not below `from`, seen from some pieces.
    pub(crate) fn first_free(
        &mut self,
        unit: usize,
        lie: Lie,
        axis: Axis,
        from: i64,
        others: impl Iterator<Item = usize>,
    ) -> Option<i64> {
        let (first, last) = self.range(unit, lie.form, axis)?;
        let from = first.max(from);
        let mut barred = std::mem::take(&mut self.barred);
        barred.clear();
        self.bars((unit, lie), axis, others, |_, _, bar| {
            if bar.1 > first {
                barred.push(bar);
            }
        });
        barred.sort_unstable();
        // Rounding up to a lawful place may lead into a later stretch, which is still to come.
        let place = self.past(&barred, (unit, axis), from);
        self.barred = barred;
        (place <= last).then_some(place)
    }

    /// Takes where the patterns lie from where the pieces lie.
    pub(crate) fn find_phases(&mut self) {
        for (unit, lie) in self.units.iter().zip(&self.lies) {
            for bind in unit.bind {
                if let Bind::Every { group, .. } = bind {
                    self.phases[group] = lie.at;
                }
            }
        }
    }

    /// The length that is used.
    pub(crate) fn reach_along(&self) -> i64 {
        let ends = self.units.iter().zip(&self.lies).filter(|(unit, _)| !unit.is_fixed);
        ends.map(|(_, lie)| lie.at.1 + self.apart.forms[lie.form].size.1).max().unwrap_or(0)
    }
}
