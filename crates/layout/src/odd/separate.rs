//! The separation search: the strip is made a little shorter, pieces that then overlap are moved
//! one by one to where they overlap least, overlaps that stay count more and more, until nothing
//! overlaps; then the strip is made shorter again.
//!
//! The plan follows J. Gardeyn, G. Vanden Berghe and T. Wauters, "An open-source heuristic to
//! reboot 2D nesting research" (2025), arXiv 2509.13329: guided local search over sampled places.
//! Here pieces turn by quarters only, so that the forbidden places are known exactly beforehand,
//! and the best place on a line is found instead of being searched for.

use super::begin::press;
use super::board::{Axis, Bind, Board, Lie};
use super::convex::whole;
use crate::random::Random;

/// Places that are tried at random anywhere, and near where a piece lies.
const ANYWHERE: usize = 16;
const NEAR: usize = 6;
/// Places that are tried at corners of forbidden polygons.
const CORNERS: usize = 12;
/// The best so many of them are improved along lines.
const IMPROVED: usize = 3;
/// How much the weight of an overlap grows from sweep to sweep, and that of none falls.
const GROWTH: (f64, f64) = (1.2, 2.0);
const DECAY: f64 = 0.95;
/// After so many sweeps without less overlap the search begins anew from elsewhere: so many, and
/// more for each piece, up to a limit.
const PATIENCE: (u32, u32, u32) = (12, 3, 60);
/// So often it begins anew before the strip is made longer again: once, and once more for so many
/// pieces, up to a limit.
const TRIES: (u32, u32, u32) = (1, 6, 3);
/// By how much the strip is made shorter, in parts: at first, at most, and at least.
const SHORTER: (f64, f64, f64) = (0.02, 0.05, 0.000_3);

/// The search.
pub(crate) struct Separator {
    pub(crate) board: Board,
    random: Random,
    /// The best lies without overlap, and how far they reach; what a pattern's places then are.
    best: Solution,
    /// The lies with the least overlap at the present length.
    least: (f64, Solution),
    queue: Vec<usize>,
    idle: u32,
    tries: u32,
    shorter: f64,
    bound: i64,
    /// Pieces that may move.
    movable: Vec<usize>,
    /// A fixed length, which is not made shorter: the pieces are to fit, no more.
    is_to_fit: bool,
}

/// Where all pieces lie, where the patterns lie, and how far the pieces reach.
#[derive(Clone, Debug)]
pub(crate) struct Solution {
    pub(crate) lies: Vec<Lie>,
    pub(crate) phases: Vec<(i64, i64)>,
    pub(crate) length: i64,
}

impl Separator {
    /// Begins with lies that do not overlap; nothing shorter than the bound is looked for.
    pub(crate) fn new(mut board: Board, bound: i64, seed: u64) -> Self {
        press(&mut board);
        let best = solution(&board);
        Self::with(board, best, bound, seed, false)
    }

    /// Begins with lies that may overlap; whether the pieces fit on the board as it is.
    pub(crate) fn to_fit(board: Board, seed: u64) -> Self {
        let best = Solution { length: i64::MAX, ..solution(&board) };
        Self::with(board, best, 0, seed, true)
    }

    fn with(board: Board, best: Solution, bound: i64, seed: u64, is_to_fit: bool) -> Self {
        let units = board.units.iter().enumerate();
        let movable = units.filter(|(_, unit)| !unit.is_fixed).map(|(at, _)| at).collect();
        let mut search = Self {
            board,
            random: Random::new(seed ^ 0x6f64_645f_7069_6563),
            least: (f64::INFINITY, best.clone()),
            best,
            queue: Vec::new(),
            idle: 0,
            tries: 0,
            shorter: SHORTER.0,
            bound,
            movable,
            is_to_fit,
        };
        if is_to_fit {
            search.start_sweep();
        } else {
            search.shrink();
        }
        search
    }

    /// Goes on from lies that do not overlap, when they are better than the best; whether they are.
    pub(crate) fn begin_from(&mut self, lies: Vec<Lie>) -> bool {
        self.board.lies = lies;
        let is_better = self.press_and_keep();
        if is_better {
            self.tries = 0;
            self.shorter = SHORTER.0;
        } else {
            self.restore(self.best.clone());
        }
        self.go_on();
        is_better
    }

    /// The best lies so far.
    pub(crate) fn best(&self) -> &Solution {
        &self.best
    }

    /// Whether nothing is left to do.
    pub(crate) fn is_done(&self) -> bool {
        if self.is_to_fit { self.best.length < i64::MAX } else { self.best.length <= self.bound }
    }

    /// Moves one piece, or ends a sweep; whether there is a better solution now.
    pub(crate) fn round(&mut self) -> bool {
        if self.is_done() || self.movable.is_empty() {
            return false;
        }
        if let Some(unit) = self.queue.pop() {
            self.move_piece(unit);
            return false;
        }
        let total = self.weigh();
        if total <= 0.0 && self.is_lawful() {
            return self.succeed();
        }
        if total < self.least.0 * 0.98 {
            self.idle = 0;
        } else {
            self.idle += 1;
        }
        if total < self.least.0 {
            self.least = (total, solution(&self.board));
        }
        let pieces = u32::try_from(self.movable.len()).unwrap_or(u32::MAX);
        let patience = (PATIENCE.0 + PATIENCE.1.saturating_mul(pieces)).min(PATIENCE.2);
        if total <= 0.0 || self.idle > patience {
            // Where nothing overlaps, a print allows some piece no place on fabric of this length.
            self.fail();
        }
        self.start_sweep();
        false
    }

    /// Whether all pieces lie on the fabric, and as their prints ask.
    fn is_lawful(&self) -> bool {
        self.movable.iter().all(|&unit| {
            let lie = self.board.lies[unit];
            self.fits(unit, lie.form) && self.clamped(unit, lie.form, lie.at) == lie
        })
    }

    /// The pieces that overlap others, in random order.
    fn start_sweep(&mut self) {
        let board = &self.board;
        let overlaps = |unit: &usize| !board.is_free(*unit, board.lies[*unit]);
        let mut queue: Vec<usize> = self.movable.iter().copied().filter(overlaps).collect();
        for at in (1..queue.len()).rev() {
            queue.swap(at, self.random.below(at + 1));
        }
        self.queue = queue;
    }

    /// Nothing overlaps: what lies there is kept if it is the best, and the strip is made shorter by more
    /// than before; whether it is the best.
    fn succeed(&mut self) -> bool {
        let is_better = self.press_and_keep();
        self.tries = 0;
        self.shorter = (self.shorter * 1.25).min(SHORTER.1);
        self.go_on();
        is_better
    }

    /// Presses together what does not overlap, and keeps it if it is the best so far; whether it is.
    fn press_and_keep(&mut self) -> bool {
        press(&mut self.board);
        let found = solution(&self.board);
        let is_better = found.length < self.best.length;
        if is_better {
            self.best = found;
        }
        is_better
    }

    /// Makes the strip shorter than the best, if there is more to look for.
    fn go_on(&mut self) {
        if !self.is_done() {
            self.shrink();
        }
    }

    /// The overlap did not go away at this length.
    fn fail(&mut self) {
        self.tries += 1;
        self.idle = 0;
        if self.is_to_fit {
            self.restore(self.least.1.clone());
        } else if self.tries.is_multiple_of(self.most_tries()) {
            self.shorter = (self.shorter * 0.5).max(SHORTER.2);
            self.restore(self.best.clone());
            self.disrupt();
            self.shrink();
            return;
        } else {
            self.restore(self.least.1.clone());
        }
        self.disrupt();
        self.board.even_weights();
        self.least.0 = f64::INFINITY;
    }

    fn most_tries(&self) -> u32 {
        let pieces = u32::try_from(self.movable.len()).unwrap_or(u32::MAX);
        (TRIES.0 + pieces / TRIES.1).min(TRIES.2)
    }

    fn restore(&mut self, solution: Solution) {
        self.board.lies = solution.lies;
        self.board.phases = solution.phases;
    }

    /// Makes the strip shorter; pieces beyond a line that is drawn at random move up with its end.
    fn shrink(&mut self) {
        let by = (self.best.length as f64 * self.shorter).max(1.0);
        let length = (self.best.length - whole(by)).max(self.bound);
        let by = self.best.length - length;
        self.board.size.1 = length;
        let line = whole(self.best.length as f64 * self.random_part());
        for &unit in &self.movable {
            let lie = self.board.lies[unit];
            let down = if lie.at.1 >= line { by } else { 0 };
            self.board.lies[unit] = self.clamped(unit, lie.form, (lie.at.0, lie.at.1 - down));
        }
        self.board.even_weights();
        self.least = (f64::INFINITY, solution(&self.board));
        self.idle = 0;
        self.start_sweep();
    }

    fn random_part(&mut self) -> f64 {
        (self.random.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The nearest lawful place.
    fn clamped(&self, unit: usize, form: usize, at: (i64, i64)) -> Lie {
        let one = |axis, place: i64| match self.board.range(unit, form, axis) {
            Some((low, high)) => {
                self.board.down(unit, axis, place.clamp(low, high)).clamp(low, high)
            }
            None => place,
        };
        Lie { form, at: (one(Axis::Across, at.0), one(Axis::Along, at.1)) }
    }

    /// Two pieces change places, now and then more; a pattern is shifted.
    fn disrupt(&mut self) {
        for _ in 0..1 + self.random.below(2) {
            let one = self.movable[self.random.below(self.movable.len())];
            let other = self.movable[self.random.below(self.movable.len())];
            let (a, b) = (self.board.lies[one], self.board.lies[other]);
            self.board.lies[one] = self.clamped(one, a.form, b.at);
            self.board.lies[other] = self.clamped(other, b.form, a.at);
        }
        if !self.board.phases.is_empty() && self.random.below(2) == 0 {
            self.shift_pattern();
        }
    }

    /// A group's pattern is moved so that one of its pieces touches another, or anywhere.
    fn shift_pattern(&mut self) {
        let group = self.random.below(self.board.phases.len());
        let by = [self.random_part(), self.random_part()];
        let has = |bind: &Bind| matches!(bind, Bind::Every { group: of, .. } if *of == group);
        let units = self.movable.iter().copied();
        let members: Vec<usize> =
            units.filter(|&unit| self.board.units[unit].bind.iter().any(has)).collect();
        let Some(&leader) = members.get(self.random.below(members.len())) else { return };
        let bind = self.board.units[leader].bind;
        let mut lie = self.board.lies[leader];
        self.board.units[leader].bind = [Bind::Free; 2];
        if self.random.below(3) == 0 {
            let place = |axis, part: f64| match self.board.range(leader, lie.form, axis) {
                Some((low, high)) => low + whole((high - low) as f64 * part),
                None => 0,
            };
            lie.at = (place(Axis::Across, by[0]), place(Axis::Along, by[1]));
        }
        for axis in [Axis::Across, Axis::Along] {
            if let Some((found, _)) = self.board.best_on_line(leader, lie, axis) {
                lie = found;
            }
        }
        self.board.units[leader].bind = bind;
        let before = self.board.phases[group];
        self.board.phases[group] = lie.at;
        let has_room = |unit: &usize| self.fits(*unit, self.board.lies[*unit].form);
        if !members.iter().all(has_room) {
            self.board.phases[group] = before;
            return;
        }
        for unit in members {
            let lie = self.board.lies[unit];
            self.board.lies[unit] = self.clamped(unit, lie.form, lie.at);
        }
    }

    /// Moves a piece to the best place that is found, if that is not worse than where it lies.
    fn move_piece(&mut self, unit: usize) {
        let now = self.board.lies[unit];
        let mut best = (self.board.loss(unit, now, f64::INFINITY), now);
        if best.0 <= 0.0 {
            return;
        }
        let mut starts: Vec<(f64, Lie)> = vec![(best.0, now)];
        let sampled = ANYWHERE + NEAR + CORNERS;
        let forms = self.board.units[unit].forms.len();
        for sample in 0..sampled + forms {
            let Some(lie) = self.sample(unit, now, sample) else { continue };
            let enough = if starts.len() < IMPROVED {
                f64::INFINITY
            } else {
                starts.last().map_or(f64::INFINITY, |(loss, _)| *loss)
            };
            let loss = self.board.loss(unit, lie, enough);
            if loss < enough {
                let place = starts.partition_point(|(less, _)| *less <= loss);
                starts.insert(place, (loss, lie));
                starts.truncate(IMPROVED);
            }
            if loss <= 0.0 {
                break;
            }
        }
        for (loss, lie) in starts {
            let (loss, lie) = self.improve(unit, lie, loss);
            if loss < best.0 {
                best = (loss, lie);
            }
            if loss <= 0.0 {
                break;
            }
        }
        self.board.lies[unit] = best.1;
    }

    /// The `sample`th place to try: in each form where it lies, near, at a corner, anywhere.
    fn sample(&mut self, unit: usize, now: Lie, sample: usize) -> Option<Lie> {
        let forms = &self.board.units[unit].forms;
        if let Some(&form) = forms.get(sample) {
            return (form != now.form).then(|| self.clamped(unit, form, now.at));
        }
        let form = forms[self.random.below(forms.len())];
        let kind = sample - forms.len();
        let size = self.board.apart.forms[form].size;
        let part = [self.random_part(), self.random_part()];
        let at = if kind < NEAR {
            let near = |own: i64, part: f64| whole(own as f64 * (part - 0.5));
            (now.at.0 + near(size.0, part[0]), now.at.1 + near(size.1, part[1]))
        } else if kind < NEAR + CORNERS {
            let other = self.random.below(self.board.units.len());
            if other == unit {
                return None;
            }
            let there = self.board.lies[other];
            let parts = &self.board.apart.overlap(there.form, form).parts;
            let polygon = &parts[self.random.below(parts.len())];
            let corner = polygon.corners()[self.random.below(polygon.corners().len())];
            (there.at.0 + corner.0, there.at.1 + corner.1)
        } else {
            let (across, along) = (
                self.board.range(unit, form, Axis::Across)?,
                self.board.range(unit, form, Axis::Along)?,
            );
            let between =
                |(low, high): (i64, i64), part: f64| low + whole((high - low) as f64 * part);
            (between(across, part[0]), between(along, part[1]))
        };
        self.fits(unit, form).then(|| self.clamped(unit, form, at))
    }

    fn fits(&self, unit: usize, form: usize) -> bool {
        self.board.range(unit, form, Axis::Across).is_some()
            && self.board.range(unit, form, Axis::Along).is_some()
    }

    /// Goes to the best place on the lines through a place, in turns, until it is on both.
    fn improve(&mut self, unit: usize, mut lie: Lie, mut loss: f64) -> (f64, Lie) {
        let mut axis = if self.random.below(2) == 0 { Axis::Across } else { Axis::Along };
        let mut idle = 0;
        for _ in 0..8 {
            if idle == 2 || loss <= 0.0 {
                break;
            }
            match self.board.best_on_line(unit, lie, axis) {
                Some((found, less)) if less < loss => {
                    (lie, loss) = (found, less);
                    idle = 0;
                }
                _ => idle += 1,
            }
            axis = if axis == Axis::Across { Axis::Along } else { Axis::Across };
        }
        (loss, lie)
    }

    /// The unweighted overlap of all pieces; the weights of pairs grow with what they have of it.
    fn weigh(&mut self) -> f64 {
        let n = self.board.units.len();
        let mut overlaps = Vec::new();
        let (mut total, mut most) = (0.0, 0.0_f64);
        for one in 0..n {
            for other in one + 1..n {
                if self.board.units[one].is_fixed && self.board.units[other].is_fixed {
                    continue;
                }
                let overlap = self.board.between(one, other);
                if overlap > 0.0 {
                    total += overlap;
                    most = most.max(overlap);
                    overlaps.push((one, other, overlap));
                } else {
                    let weight = self.board.weight(one, other);
                    if weight > 1.0 {
                        self.board.set_weight(one, other, (weight * DECAY).max(1.0));
                    }
                }
            }
        }
        for (one, other, overlap) in overlaps {
            let growth = GROWTH.0 + (GROWTH.1 - GROWTH.0) * overlap / most;
            let weight = (self.board.weight(one, other) * growth).min(1e12);
            self.board.set_weight(one, other, weight);
        }
        total
    }
}

fn solution(board: &Board) -> Solution {
    Solution { lies: board.lies.clone(), phases: board.phases.clone(), length: board.reach_along() }
}
