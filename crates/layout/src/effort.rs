//! Work that a search may do, counted, so that several searches share a thread fairly and give the
//! same results on every machine; and how another thread ends it sooner.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::pack::Packing;

/// Tells a search from another thread to stop: see [`crate::Search::heed`]. Clones are one and the
/// same.
#[derive(Clone, Debug, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// The search ends its present step as soon as it can, and makes no other.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was told to stop.
    pub fn is_stopped(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Work that may still be done; none when it is to stop.
#[derive(Debug)]
pub(crate) struct Fuel {
    left: u64,
    stop: Stop,
}

impl Fuel {
    pub(crate) fn new(left: u64, stop: &Stop) -> Self {
        Self { left, stop: stop.clone() }
    }

    /// Takes so much; none when there is not as much.
    pub(crate) fn take(&mut self, work: u64) -> Option<()> {
        if self.stop.is_stopped() {
            self.left = 0;
        }
        self.left = self.left.checked_sub(work)?;
        Some(())
    }

    /// Takes so much, or what there is.
    pub(crate) fn burn(&mut self, work: u64) {
        self.left = self.left.saturating_sub(work);
    }

    pub(crate) fn add(&mut self, work: u64) {
        self.left += work;
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.left == 0 || self.stop.is_stopped()
    }
}

/// A search and the work it may still do. It goes on in steps of its own size, so that it may owe
/// work for a while.
pub(crate) struct Effort<T> {
    pub(crate) search: T,
    credit: i64,
    pub(crate) stop: Stop,
}

impl<T> Effort<T> {
    pub(crate) fn new(search: T) -> Self {
        Self { search, credit: 0, stop: Stop::default() }
    }

    /// Gives it so much more work; what it finds last, with `step` telling what each step costs.
    pub(crate) fn spend(
        &mut self,
        work: u64,
        mut step: impl FnMut(&mut T) -> (Option<Packing>, u64),
    ) -> Option<Packing> {
        self.credit = self.credit.saturating_add_unsigned(work);
        let mut found = None;
        while self.credit > 0 && !self.stop.is_stopped() {
            let (packing, cost) = step(&mut self.search);
            self.credit = self.credit.saturating_sub_unsigned(cost);
            found = packing.or(found);
        }
        found
    }
}
