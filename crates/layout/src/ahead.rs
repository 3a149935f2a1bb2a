//! A shorter packing by looking ahead: what may lie in the lowest valley is tried by packing all
//! that is left after it at once, and the packings begun that promise the shortest whole are gone
//! on with (beam search with the pilot method, Duin and Voß, "The pilot method", 1999): at first
//! one, and more in each run.
//!
//! The rule by which the rest is packed: the lowest valley first, and for it what fills it exactly,
//! then what makes a level edge with a wall of it, then the largest.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::pack::Packing;
use crate::pool::{Chains, Laid, Mark, Pool, area, per};
use crate::random::Random;
use crate::skyline::{Side, Skyline, Valley};

/// How many pieces are tried in a valley.
const TRIED: usize = 6;
/// Packings begun that are gone on with, at most.
const MOST: usize = 4_000;

/// The state of a search.
pub(crate) struct Ahead {
    pool: Pool,
    width: i64,
    /// Packings begun, all of the same number of pieces.
    begun: Vec<Begun>,
    chains: Chains,
    random: Random,
    runs: usize,
    beam: usize,
    /// What is shorter than this is an answer.
    best: i64,
    /// A packing to work on, and what has been laid since it was begun.
    rest: Begun,
    trail: Vec<Laid>,
}

/// A packing begun.
#[derive(Clone, Debug)]
struct Begun {
    skyline: Skyline,
    /// What is not laid yet, in the order in which it is wanted.
    left: Vec<Left>,
    reach: i64,
    last: Option<usize>,
}

/// Equal pieces that are not laid yet.
#[derive(Clone, Copy, Debug)]
struct Left {
    kind: usize,
    count: usize,
    ways: [(i64, i64); 2],
    is_free: bool,
}

/// A piece tried in the valley of a packing begun.
#[derive(Clone, Copy, Debug)]
struct Trial {
    cost: f64,
    begun: usize,
    at: usize,
    way: usize,
}

impl Ahead {
    pub(crate) fn new(pool: Pool, width: i64, best: i64, seed: u64) -> Self {
        let rest = Begun { skyline: Skyline::new(width), left: Vec::new(), reach: 0, last: None };
        let mut ahead = Self {
            pool,
            width,
            begun: Vec::new(),
            chains: Chains::default(),
            random: Random::new(seed),
            runs: 0,
            beam: 1,
            best,
            rest,
            trail: Vec::new(),
        };
        ahead.begin();
        ahead
    }

    /// Only what is shorter than this is an answer.
    pub(crate) const fn beat(&mut self, best: i64) {
        self.best = best;
    }

    /// Begins with bare fabric, and pieces in another order than before.
    fn begin(&mut self) {
        self.chains.clear();
        let mut left: Vec<_> = (self.pool.kinds.iter().enumerate())
            .map(|(index, kind)| Left {
                kind: index,
                count: kind.count(),
                ways: [kind.ways[0], kind.ways[kind.ways.len() - 1]],
                is_free: kind.ways.len() > 1,
            })
            .collect();
        let mut keys = vec![0.0; left.len()];
        for (key, of) in keys.iter_mut().zip(&left) {
            let (width, length) = of.ways[0];
            let (one, other) = match self.runs % 3 {
                0 => (width, length),
                1 => (width.max(length), width.max(length)),
                _ => (width + length, width + length),
            };
            // After the first runs the seed has a say.
            let noise = if self.runs < 3 { 0 } else { self.random.below(300) };
            *key = area(one, other) * (1.0 + per(noise) / 1000.0);
        }
        left.sort_by(|one, other| keys[other.kind].total_cmp(&keys[one.kind]));
        let skyline = Skyline::new(self.width);
        self.begun = vec![Begun { skyline, left, reach: 0, last: None }];
        self.beam = (self.beam + self.beam.div_ceil(2)).min(MOST);
        self.runs += 1;
    }

    /// Lays one more piece in each of the packings begun; a packing if it is shorter than all
    /// before, and how many pieces were looked at.
    pub(crate) fn step(&mut self) -> (Option<Packing>, u64) {
        let mut found = None;
        let mut work = 1;
        let mut trials = Vec::new();
        let mut begun = std::mem::take(&mut self.begun);
        for (index, one) in begun.iter_mut().enumerate() {
            one.skip_valleys();
            for (at, way) in one.wanted(TRIED) {
                self.rest.copy(one);
                self.trail.clear();
                let laid = self.rest.put(at, way);
                self.trail.push(laid);
                work += self.pack_rest();
                let reach = self.rest.reach;
                let cost = area(self.width, reach) + area_beneath(&self.rest.skyline);
                trials.push(Trial { cost, begun: index, at, way });
                if reach < self.best {
                    self.best = reach;
                    let laid = self.trail.iter().copied().chain(self.chains.back(one.last));
                    found = Some(self.pool.packing(laid));
                }
            }
        }
        trials.sort_by(|one, other| one.cost.total_cmp(&other.cost));
        let mut seen = BTreeSet::new();
        for trial in trials {
            if self.begun.len() >= self.beam {
                break;
            }
            let mut next = begun[trial.begun].clone();
            let laid = next.put(trial.at, trial.way);
            if seen.insert(next.mark()) {
                next.last = Some(self.chains.push(next.last, laid));
                self.begun.push(next);
            }
        }
        if self.begun.first().is_none_or(|one| one.left.is_empty()) {
            self.begin();
        }
        (found, work)
    }

    /// Packs all that is left by the rule.
    fn pack_rest(&mut self) -> u64 {
        let mut work = 0;
        while !self.rest.left.is_empty() {
            work += self.rest.left.len() as u64 + 4;
            let valley = self.rest.skyline.valley();
            match self.rest.best(valley) {
                Some((at, way)) => {
                    let laid = self.rest.put_in(valley, at, way);
                    self.trail.push(laid);
                }
                None if self.rest.skyline.give_up(valley) == 0 => break,
                None => {}
            }
        }
        work
    }
}

impl Begun {
    fn copy(&mut self, other: &Self) {
        self.skyline.copy(&other.skyline);
        self.left.clear();
        self.left.extend_from_slice(&other.left);
        self.reach = other.reach;
        self.last = other.last;
    }

    /// Gives up valleys that nothing fits.
    fn skip_valleys(&mut self) {
        while !self.left.is_empty() {
            let valley = self.skyline.valley();
            let fits = |one: &Left| one.ways.iter().any(|way| way.0 <= valley.room);
            if self.left.iter().any(fits) || self.skyline.give_up(valley) == 0 {
                break;
            }
        }
    }

    /// What the rule would lay in a valley.
    fn best(&self, valley: Valley) -> Option<(usize, usize)> {
        let mut best = None;
        let mut most = -1;
        for (at, one) in self.left.iter().enumerate() {
            let fit = fit(one.ways[0], valley);
            if fit > most {
                (most, best) = (fit, Some((at, 0)));
            }
            if one.is_free {
                let fit = self::fit(one.ways[1], valley);
                if fit > most {
                    (most, best) = (fit, Some((at, 1)));
                }
            }
            if most == PERFECT {
                break;
            }
        }
        best
    }

    /// What the rule would lay in the lowest valley first, second and so on.
    fn wanted(&self, most: usize) -> Vec<(usize, usize)> {
        let valley = self.skyline.valley();
        let mut list: Vec<_> = (self.left.iter().enumerate())
            .flat_map(|(at, one)| (0..1 + usize::from(one.is_free)).map(move |way| (at, way)))
            .map(|(at, way)| (fit(self.left[at].ways[way], valley), at, way))
            .filter(|&(fit, ..)| fit >= 0)
            .collect();
        list.sort_by_key(|&(fit, ..)| Reverse(fit));
        list.into_iter().take(most).map(|(_, at, way)| (at, way)).collect()
    }

    /// Lays a piece in the lowest valley.
    fn put(&mut self, at: usize, way: usize) -> Laid {
        let valley = self.skyline.valley();
        self.put_in(valley, at, way)
    }

    /// Lays a piece in a valley beside the wall whose edge it meets, else beside the higher one.
    fn put_in(&mut self, valley: Valley, at: usize, way: usize) -> Laid {
        let Left { kind, ways, count, .. } = self.left[at];
        if count > 1 {
            self.left[at].count -= 1;
        } else {
            self.left.remove(at);
        }
        let (_, length) = ways[way];
        let (left, right) = valley.walls;
        let is_right = length != left && (length == right || right > left);
        let side = if is_right { Side::Right } else { Side::Left };
        let x = self.skyline.lay_in(valley, ways[way], side);
        self.reach = self.reach.max(valley.y + length);
        Laid { kind, way, x, y: valley.y }
    }

    /// What tells it apart from others.
    fn mark(&self) -> u64 {
        let mut mark = Mark::new();
        for (x, y) in self.skyline.corners() {
            mark.mix(x.cast_unsigned());
            mark.mix(y.cast_unsigned());
        }
        for one in &self.left {
            mark.mix(one.kind as u64);
            mark.mix(one.count as u64);
        }
        mark.value()
    }
}

/// What fills a valley and makes one edge with a wall.
const PERFECT: i32 = 5;

/// How well a piece fits a valley; less than nothing when it does not.
fn fit((width, length): (i64, i64), valley: Valley) -> i32 {
    if width > valley.room {
        return -1;
    }
    let fills = if width == valley.room { 4 } else { 0 };
    let meets = length == valley.walls.0 || length == valley.walls.1;
    fills + i32::from(meets)
}

/// The area between the start of the fabric and the skyline.
#[expect(clippy::cast_precision_loss, reason = "only the search is guided by it")]
fn area_beneath(skyline: &Skyline) -> f64 {
    skyline.area() as f64
}
