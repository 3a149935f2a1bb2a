//! Closures. A closure is its file and its word in this list.

use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A closure.
pub trait Closure: Kind {
    /// What it needs of the rest of the bag; see the table in `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }

    /// Adds its pieces and steps; `inside` is the lining, if there is one.
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, inside: Option<&Shell>);
}

kinds!(
    Closure: open,
    magnetic_snap,
    zip,
    tab,
    flap,
    button_loop,
    drawstring,
    ties,
    hook_and_loop,
);

pub(crate) mod leaf;
pub(crate) mod shared;
