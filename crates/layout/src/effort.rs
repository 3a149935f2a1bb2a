//! Work that a search may do, counted, so that several searches share a thread fairly and give the
//! same results on every machine.

use crate::pack::Packing;

/// A search and the work it may still do. It goes on in steps of its own size, so that it may owe
/// work for a while.
pub(crate) struct Effort<T> {
    pub(crate) search: T,
    credit: i64,
}

impl<T> Effort<T> {
    pub(crate) const fn new(search: T) -> Self {
        Self { search, credit: 0 }
    }

    /// Gives it so much more work; what it finds last, with `step` telling what each step costs.
    pub(crate) fn spend(
        &mut self,
        work: u64,
        mut step: impl FnMut(&mut T) -> (Option<Packing>, u64),
    ) -> Option<Packing> {
        self.credit = self.credit.saturating_add_unsigned(work);
        let mut found = None;
        while self.credit > 0 {
            let (packing, cost) = step(&mut self.search);
            self.credit = self.credit.saturating_sub_unsigned(cost);
            found = packing.or(found);
        }
        found
    }
}
