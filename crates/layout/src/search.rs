//! A search that can be asked for its best layout at any time: a first answer, better ones, and a
//! proof that nothing shorter need be looked for.
//!
//! Local search, two searches that build packings up piece by piece, and a proof take turns; what
//! each may do in a turn is counted in work, not in time. The proof asks first whether the pieces fit on the next
//! shorter length that the shop sells, and then, when they do not, whether they fit on anything
//! shorter at all. Where they do fit, the proof has found a better layout.

use measure::Length;

use crate::ahead::Ahead;
use crate::beam::Beam;
use crate::cuts::{Cut, Cuts, ways};
use crate::effort::{Effort, Stop};
use crate::local::Local;
use crate::pack::{Packing, Spot};
use crate::pool::Pool;
use crate::prove::{Laid, Prover, Verdict};
use crate::solve::{Solved, bought, finish, first, rect, usable_width};
use crate::{
    Cutting, Layout, NoLayout, Placement, Problem, Proof, Stock, bound, remnants, rotary, sane,
};

/// After so many rounds of local search those that build up have their turn, and after so many the
/// proof: it does better with few long turns.
const TURN: u64 = 16;
const PROOF_TURN: u64 = 64;
/// How many steps of proof there are in a turn at first, and at most; with many pieces, of which
/// each makes a step take longer, at most so many for all of them together.
const STEPS: (u32, u32) = (200, 2_000);
const STEPS_OF_ALL: u32 = 30_000;
/// How many pieces filling up looks at, for each piece there is, in about a sixth of the time of a
/// step of proof, and how many in a turn at most: beside a proof, which takes long itself, and without.
const LOOKS: u64 = 50;
const MOST_LOOKS: (u64, u64) = (2_000_000, 250_000);
/// How much more the others get where the pieces fill nearly all of the fabric, the first of so
/// many parts: there a proof is hardly to be had, and a layout may be.
const TIMES: u64 = 12;
const FULL: i128 = 50;
/// Looking ahead looks at so many pieces while filling up looks at one.
const AHEAD: u64 = 4;
/// Looking ahead serves many pieces better than filling up; beyond so many it gets most of the work.
const MANY: usize = 60;

/// A search for the shortest length to buy. The same problem, seed and number of rounds give the
/// same layout, however the rounds are divided into steps. To cancel it, drop it. It
/// stays on the thread on which it began.
pub(crate) struct Search {
    problem: Problem,
    usable: Length,
    best: Layout,
    cuts: Cuts,
    local: Local,
    ahead: Effort<Ahead>,
    beam: Effort<Beam>,
    proof: Option<(Length, Prover)>,
    /// The longest length at which no proof was to be had.
    given_up: Option<Length>,
    rounds: u64,
    steps: u32,
    seed: u64,
    stop: Stop,
}

impl Search {
    /// Begins with a first answer.
    ///
    /// # Errors
    /// When a piece does not fit in any allowed way, or the problem makes no sense.
    pub(crate) fn begin(problem: &Problem, seed: u64) -> Result<Self, NoLayout> {
        Ok(Self::with(problem, first(problem)?, seed))
    }

    /// Begins with a layout of the problem; none when it is not one.
    pub(crate) fn from_layout(problem: &Problem, layout: &Layout, seed: u64) -> Option<Self> {
        let is_right = sane::check(problem).is_ok() && crate::verify(problem, layout).is_ok();
        is_right.then(|| Self::with(problem, layout.clone(), seed))
    }

    fn with(problem: &Problem, layout: Layout, seed: u64) -> Self {
        let usable = usable_width(problem);
        let cuts: Vec<_> = layout.placements.iter().map(|one| cut(problem, one, usable)).collect();
        let cuts = Cuts { cuts, joins: layout.joins.clone() };
        let local = Local::new(problem, usable, &cuts, &packing(problem, &layout), seed);
        let gap = problem.gap.to_nm();
        let rects: Vec<_> = cuts.cuts.iter().map(|cut| rect(cut, gap)).collect();
        let (pool, width) = (Pool::new(&rects), usable.to_nm() + gap);
        let (least, best) = (layout.bound.to_nm() + gap, layout.length.to_nm() + gap);
        let ahead = Effort::new(Ahead::new(pool.clone(), width, best, seed));
        let beam = Effort::new(Beam::new(pool, width, (least, best), seed));
        let mut search = Self {
            problem: problem.clone(),
            usable,
            best: layout,
            cuts,
            local,
            ahead,
            beam,
            proof: None,
            given_up: None,
            rounds: 0,
            steps: STEPS.0,
            seed,
            stop: Stop::default(),
        };
        if search.best.proof != Proof::Shortest && problem.cutting == Cutting::Free {
            search.bound(bound::by_bars(problem, usable));
        }
        search.tell();
        search
    }

    /// Ends a step early when it is told to stop.
    pub(crate) fn heed(&mut self, stop: &Stop) {
        self.stop = stop.clone();
        self.ahead.stop = stop.clone();
        self.beam.stop = stop.clone();
    }

    /// The best layout so far.
    pub(crate) const fn best(&self) -> &Layout {
        &self.best
    }

    /// Whether nothing is left to do: the best layout is proven to be the shortest, or, for strips
    /// first and remnants, everything was tried.
    pub(crate) fn is_done(&self) -> bool {
        let is_tried = self.is_solved_anew() && self.rounds >= rotary::ROUNDS;
        let is_shortest = self.best.fit.is_none() && self.best.proof == Proof::Shortest;
        is_shortest || is_tried
    }

    /// How many rounds were searched.
    pub(crate) const fn rounds(&self) -> u64 {
        self.rounds
    }

    /// Goes on for so many rounds, or until it is done; whether the layout or its proof became
    /// better.
    pub(crate) fn step(&mut self, rounds: u32) -> bool {
        let before = (self.best.length, self.best.bound);
        if self.is_solved_anew() {
            return self.step_anew(rounds);
        }
        for _ in 0..rounds {
            if self.is_done() || self.stop.is_stopped() {
                break;
            }
            if let Some(packing) = self.local.round() {
                self.take(packing);
            }
            self.rounds += 1;
            if self.rounds.is_multiple_of(TURN) {
                self.turn();
            }
        }
        before != (self.best.length, self.best.bound)
    }

    /// Whether this is a problem that is solved anew with ever more effort: strips first, or
    /// remnants.
    fn is_solved_anew(&self) -> bool {
        self.problem.cutting != Cutting::Free || self.problem.stock.width().is_none()
    }

    /// Solves anew; whether that was better.
    fn step_anew(&mut self, rounds: u32) -> bool {
        let mut is_better = false;
        for _ in 0..rounds {
            if self.is_done() || self.stop.is_stopped() {
                break;
            }
            let better = match self.problem.stock {
                Stock::Remnants(_) => {
                    let at = (self.rounds, self.seed);
                    remnants::round(&self.problem, &self.best, at, &self.stop)
                }
                Stock::Bolt { .. } => {
                    rotary::round(&self.problem, &self.best, self.rounds, &self.stop)
                }
            };
            if let Some(better) = better {
                self.best = better;
                is_better = true;
                debug_assert_eq!(crate::verify(&self.problem, &self.best), Ok(()), "solved anew");
            }
            self.rounds += 1;
        }
        is_better
    }

    /// The turn of all but local search.
    fn turn(&mut self) {
        let count = self.cuts.cuts.len();
        let times = if self.is_full() { TIMES } else { 1 };
        let steps = u64::from(self.steps) * TURN / PROOF_TURN;
        let most = if self.target().is_some() { MOST_LOOKS.0 } else { MOST_LOOKS.1 };
        let looks = (steps * times * LOOKS * count as u64).min(most);
        if self.rounds.is_multiple_of(PROOF_TURN) {
            self.prove();
            let most = STEPS.1.min(STEPS_OF_ALL / u32::try_from(count.max(1)).unwrap_or(1));
            self.steps = (self.steps + self.steps / 4).min(most.max(STEPS.0));
        }
        if !self.is_done() && !self.beam.search.is_done() {
            let looks = if count > MANY { looks / 8 } else { looks };
            if let Some(packing) = self.beam.spend(looks, Beam::step) {
                self.take(packing);
            }
        }
        if !self.is_done()
            && let Some(packing) = self.ahead.spend(looks * AHEAD, Ahead::step)
        {
            self.take(packing);
        }
    }

    /// Whether the pieces, if they fit on a shorter length, would fill nearly all of it.
    fn is_full(&self) -> bool {
        let gap = self.problem.gap;
        let bare = |width: Length, length: Length| {
            i128::from((width + gap).to_nm()) * i128::from((length + gap).to_nm())
        };
        let pieces: i128 = self.cuts.cuts.iter().map(|cut| bare(cut.width, cut.length)).sum();
        let target = self.wanted().unwrap_or(self.best.bound);
        (bare(self.usable, target) - pieces) * FULL <= pieces
    }

    /// One turn of the proof.
    fn prove(&mut self) {
        let Some(target) = self.target() else { return };
        if self.proof.as_ref().is_none_or(|(length, _)| *length != target) {
            let (gap, demand) = (self.problem.gap, bound::demand(&self.problem, self.usable));
            let (width, length) = ((self.usable + gap).to_nm(), (target + gap).to_nm());
            let prover = Prover::new(width, length, &demand.kinds, demand.loose);
            self.proof = Some((target, prover));
            self.steps = STEPS.0;
        }
        let Some((_, prover)) = &mut self.proof else { return };
        let verdict = prover.step(self.steps, &self.stop);
        match verdict {
            Verdict::Open => {}
            Verdict::Unknown => self.given_up = self.given_up.max(Some(target)),
            Verdict::No => {
                let shorter = target + Length::nm(1);
                self.bound(bound::raised(&self.problem, self.usable, shorter));
            }
            Verdict::Yes(laid) => match lay(&self.cuts, &self.problem, laid) {
                Some(packing) => self.take(packing),
                None => self.given_up = self.given_up.max(Some(target)),
            },
        }
    }

    /// The length at which the next question is whether the pieces fit; none when there is no
    /// question left that could be answered.
    fn target(&self) -> Option<Length> {
        let is_open = |&target: &Length| self.given_up.is_none_or(|most| most < target);
        self.wanted().filter(is_open)
    }

    /// The longest length that would be better: a shorter purchase, or anything shorter when there
    /// is none; none when nothing can be.
    fn wanted(&self) -> Option<Length> {
        let target = match self.best.proof {
            Proof::Shortest => return None,
            Proof::NoShorterPurchase => self.best.length - Length::nm(1),
            Proof::Within(_) => {
                let Stock::Bolt { increments, .. } = &self.problem.stock else { return None };
                let below = increments.steps().iter().map(|&step| {
                    let times = (self.best.bought - Length::nm(1)).to_nm() / step.to_nm();
                    step * times
                });
                let bought = below.max().unwrap_or(Length::ZERO);
                self.problem.shrinkage.after_washing(bought) - self.problem.squaring
            }
        };
        (target >= self.best.bound).then_some(target)
    }

    /// Takes a bound if it is better than the one there is. One above a length that can be had
    /// would be a mistake of the proof, and is not believed.
    fn bound(&mut self, bound: Length) {
        debug_assert!(bound <= self.best.length, "a bound above a layout's length");
        if bound > self.best.bound && bound <= self.best.length {
            let packing = packing(&self.problem, &self.best);
            self.set(packing, bound);
        }
    }

    /// Takes a packing that is shorter.
    fn take(&mut self, packing: Packing) {
        if packing.length < (self.best.length + self.problem.gap).to_nm() {
            self.set(packing, self.best.bound);
        }
    }

    fn set(&mut self, packing: Packing, bound: Length) {
        let solved = Solved { packing, bound, cuts: self.cuts.clone() };
        self.best = finish(&self.problem, self.usable, &solved);
        debug_assert_eq!(crate::verify(&self.problem, &self.best), Ok(()), "a better layout");
        debug_assert!(bought(&self.problem, self.best.bound) <= self.best.bought, "its bound");
        self.tell();
    }

    /// Tells the searches what is known by now.
    fn tell(&mut self) {
        let gap = self.problem.gap;
        let (least, best) = ((self.best.bound + gap).to_nm(), (self.best.length + gap).to_nm());
        let target = self.wanted().map(|target| (target + gap).to_nm());
        self.ahead.search.beat(best);
        self.beam.search.look_between(least, best, target);
    }
}

/// The rectangles of a proof as a packing of the cuts; none when they are not the same.
fn lay(cuts: &Cuts, problem: &Problem, mut laid: Vec<Laid>) -> Option<Packing> {
    let gap = problem.gap.to_nm();
    let mut spots = vec![Spot::default(); cuts.cuts.len()];
    let mut order: Vec<usize> = (0..cuts.cuts.len()).collect();
    // Those that may lie only one way choose first.
    order.sort_by_key(|&index| {
        cuts.cuts[index].upright.is_some() && cuts.cuts[index].turned.is_some()
    });
    for index in order {
        let cut = &cuts.cuts[index];
        let (width, length) = (cut.width.to_nm() + gap, cut.length.to_nm() + gap);
        let ways = [(cut.upright, (width, length)), (cut.turned, (length, width))];
        let found = laid.iter().enumerate().find_map(|(at, one)| {
            let fits =
                |way: &(Option<_>, (i64, i64))| way.0.is_some() && way.1 == (one.width, one.length);
            ways.iter().position(fits).map(|way| (at, way == 1))
        });
        let (at, turned) = found?;
        let one = laid.swap_remove(at);
        spots[index] = Spot { x: one.x, y: one.y, turned };
    }
    let ends = cuts.cuts.iter().zip(&spots).map(|(cut, spot)| {
        let length = if spot.turned { cut.width } else { cut.length };
        spot.y + length.to_nm() + gap
    });
    let length = ends.max().unwrap_or(0);
    laid.is_empty().then_some(Packing { spots, length })
}

/// The rectangle of a placement, and how else it might lie.
pub(crate) fn cut(problem: &Problem, one: &Placement, usable: Length) -> Cut {
    let (width, length) =
        if one.rotation.is_crosswise() { (one.length, one.width) } else { (one.width, one.length) };
    let (upright, turned) = ways(&problem.pieces[one.piece]);
    Cut {
        piece: one.piece,
        copy: one.copy,
        part: one.part,
        width,
        length,
        upright: upright.filter(|_| width <= usable),
        turned: turned.filter(|_| length <= usable),
    }
}

/// The packing of a layout.
fn packing(problem: &Problem, layout: &Layout) -> Packing {
    let spot = |one: &Placement| Spot {
        x: one.x.to_nm(),
        y: one.y.to_nm(),
        turned: one.rotation.is_crosswise(),
    };
    Packing {
        spots: layout.placements.iter().map(spot).collect(),
        length: (layout.length + problem.gap).to_nm(),
    }
}
