//! A better layout, with a proof, in a given number of rounds.

use crate::{Layout, Problem, Search};

/// A layout that is never worse than the given one, nor less well proven: the same pieces and
/// joined strips, laid anew in `rounds` ways. The same input always gives the same layout. It stops
/// early when it is proven that nothing shorter can be laid.
///
/// A layout that is not one of this problem is given back as it is.
pub fn refine(problem: &Problem, layout: &Layout, rounds: u32, seed: u64) -> Layout {
    if rounds == 0 || layout.length <= layout.bound {
        return layout.clone();
    }
    let Some(mut search) = Search::from_layout(problem, layout, seed) else {
        return layout.clone();
    };
    search.step(rounds);
    search.best().clone()
}
