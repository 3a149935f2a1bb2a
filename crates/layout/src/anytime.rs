//! The first layout and the search for better ones: each kind of problem has an engine of its own.

use crate::effort::Stop;
use crate::solve::usable_width;
use crate::{Layout, NoLayout, Problem, odd, sane, search, solve, verify};

/// A first layout, at once: several tidy and several tight ways to pack, of which the shortest is
/// taken; a short search follows when a shorter purchase is not ruled out. The same problem always
/// gives the same layout.
///
/// # Errors
/// When a piece does not fit in any allowed way, or the problem makes no sense.
pub fn first(problem: &Problem) -> Result<Layout, NoLayout> {
    sane::check(problem)?;
    sane::is_solved(problem)?;
    let usable = usable_width(problem);
    if !odd::is_odd(problem) {
        return solve::first(problem);
    }
    let layout = odd::first(problem, usable)?;
    debug_assert_eq!(verify(problem, &layout), Ok(()), "a first layout");
    Ok(layout)
}

/// A search for the shortest length to buy that can be asked for its best layout at any time. The
/// same problem, seed and number of rounds give the same layout, however the rounds are divided
/// into steps. It stays on the thread on which it began.
///
/// A page that shows layouts while they become better begins the search on a thread of its own,
/// calls [`Search::step`] with a few rounds at a time, sends [`Search::best`] on whenever that
/// returns true, and ends when [`Search::is_done`]. Dropping the search between two steps cancels
/// it. One step may take long where much is laid at once: a [`Stop`] that the search heeds ends it
/// early from any other thread.
pub struct Search(Engine);

enum Engine {
    Rectangles(Box<search::Search>),
    Odd(Box<odd::Search>),
    OddRemnants(Box<odd::remnants::Search>),
}

impl Search {
    /// Begins with a first answer.
    ///
    /// # Errors
    /// When a piece does not fit in any allowed way, or the problem makes no sense.
    pub fn begin(problem: &Problem, seed: u64) -> Result<Self, NoLayout> {
        sane::check(problem)?;
        sane::is_solved(problem)?;
        Ok(Self(if odd::is_odd(problem) {
            Engine::Odd(Box::new(odd::Search::begin(problem, usable_width(problem), seed)?))
        } else if odd::remnants::is_odd(problem) {
            Engine::OddRemnants(Box::new(odd::remnants::Search::begin(problem, seed)?))
        } else {
            Engine::Rectangles(Box::new(search::Search::begin(problem, seed)?))
        }))
    }

    /// Begins with a layout of the problem; none when it is not one.
    pub fn from_layout(problem: &Problem, layout: &Layout, seed: u64) -> Option<Self> {
        let is_right = sane::check(problem).is_ok() && verify(problem, layout).is_ok();
        if !is_right {
            return None;
        }
        let usable = usable_width(problem);
        Some(Self(if odd::is_odd(problem) {
            Engine::Odd(Box::new(odd::Search::from_layout(problem, usable, layout, seed)?))
        } else if odd::remnants::is_odd(problem) {
            let search = odd::remnants::Search::from_layout(problem, layout, seed)?;
            Engine::OddRemnants(Box::new(search))
        } else {
            Engine::Rectangles(Box::new(search::Search::from_layout(problem, layout, seed)?))
        }))
    }

    /// From now on a step ends early, with the best layout so far, as soon as it is told to stop
    /// from anywhere. What a step finds that was not stopped does not change by this.
    pub fn heed(&mut self, stop: &Stop) {
        match &mut self.0 {
            Engine::Rectangles(search) => search.heed(stop),
            Engine::Odd(search) => search.heed(stop),
            Engine::OddRemnants(search) => search.heed(stop),
        }
    }

    /// The best layout so far.
    pub const fn best(&self) -> &Layout {
        match &self.0 {
            Engine::Rectangles(search) => search.best(),
            Engine::Odd(search) => search.best(),
            Engine::OddRemnants(search) => search.best(),
        }
    }

    /// Whether the best layout is proven to be the shortest, so that nothing is left to do.
    pub fn is_done(&self) -> bool {
        match &self.0 {
            Engine::Rectangles(search) => search.is_done(),
            Engine::Odd(search) => search.is_done(),
            Engine::OddRemnants(search) => search.is_done(),
        }
    }

    /// How many rounds were searched.
    pub const fn rounds(&self) -> u64 {
        match &self.0 {
            Engine::Rectangles(search) => search.rounds(),
            Engine::Odd(search) => search.rounds(),
            Engine::OddRemnants(search) => search.rounds(),
        }
    }

    /// Goes on for so many rounds, or until it is done; whether the layout or its proof became
    /// better.
    pub fn step(&mut self, rounds: u32) -> bool {
        match &mut self.0 {
            Engine::Rectangles(search) => search.step(rounds),
            Engine::Odd(search) => search.step(rounds),
            Engine::OddRemnants(search) => search.step(rounds),
        }
    }
}
