//! Stops the constraint solver after so many decisions and mistakes, so that the same search stops
//! at the same place on every machine, and can be gone on with.
//!
//! The solver can only be asked again when it stopped beneath at least one decision (found with
//! `pumpkin-core` 0.5.0: stopped with none, it stays in its "time is up" state and asserts at the
//! next call). So it is stopped right after a decision, and never elsewhere.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use pumpkin_core::DefaultBrancher;
use pumpkin_core::branching::{Brancher, BrancherEvent, SelectionContext};
use pumpkin_core::predicates::Predicate;
use pumpkin_core::results::SolutionReference;
use pumpkin_core::termination::TerminationCondition;
use pumpkin_core::variables::DomainId;

use crate::effort::Stop;

/// How many steps are left, and whether the search was told to stop before.
pub(crate) struct Steps {
    left: u32,
    stop: Stop,
    has_decided: Arc<AtomicBool>,
}

impl Steps {
    /// Allows so many from now on, fewer when it is told to stop.
    pub(crate) fn allow(&mut self, steps: u32, stop: &Stop) {
        self.left = steps;
        self.stop = stop.clone();
        self.has_decided.store(false, Ordering::Relaxed);
    }
}

impl TerminationCondition for Steps {
    fn should_stop(&mut self) -> bool {
        self.left = self.left.saturating_sub(1);
        let has_decided = self.has_decided.swap(false, Ordering::Relaxed);
        (self.left == 0 || self.stop.is_stopped()) && has_decided
    }
}

/// The solver's own way to decide, which tells when it has just decided something.
#[derive(Debug)]
pub(crate) struct Counted {
    inner: DefaultBrancher,
    has_decided: Arc<AtomicBool>,
}

impl Counted {
    /// Both ends of the line.
    pub(crate) fn new(inner: DefaultBrancher) -> (Self, Steps) {
        let has_decided = Arc::new(AtomicBool::new(false));
        let steps = Steps { left: 0, stop: Stop::default(), has_decided: Arc::clone(&has_decided) };
        (Self { inner, has_decided }, steps)
    }
}

impl Brancher for Counted {
    fn next_decision(&mut self, context: &mut SelectionContext<'_>) -> Option<Predicate> {
        let decision = self.inner.next_decision(context);
        self.has_decided.store(decision.is_some(), Ordering::Relaxed);
        decision
    }

    fn on_conflict(&mut self) {
        self.inner.on_conflict();
    }

    fn on_backtrack(&mut self) {
        self.inner.on_backtrack();
    }

    fn on_solution(&mut self, solution: SolutionReference<'_>) {
        self.inner.on_solution(solution);
    }

    fn on_unassign_integer(&mut self, variable: DomainId, value: i32) {
        self.inner.on_unassign_integer(variable, value);
    }

    fn on_appearance_in_conflict_predicate(&mut self, predicate: Predicate) {
        self.inner.on_appearance_in_conflict_predicate(predicate);
    }

    fn on_restart(&mut self) {
        self.inner.on_restart();
    }

    fn synchronise(&mut self, context: &mut SelectionContext<'_>) {
        self.inner.synchronise(context);
    }

    fn is_restart_pointless(&mut self) -> bool {
        self.inner.is_restart_pointless()
    }

    fn subscribe_to_events(&self) -> Vec<BrancherEvent> {
        self.inner.subscribe_to_events()
    }
}
