//! Handles. A kind of handle is its file and its word in this list.

use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// Handles.
pub trait Handles: Kind {
    /// What it needs of the rest of the bag; see the table in `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }

    /// Adds its pieces and steps.
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell);
}

kinds!(
    Handles: folded,
    webbing,
    padded,
    rolled,
    rings,
    eyelets,
    grab_loop,
    cross_body,
    backpack,
    none,
);
