//! Closures. A closure is its file and its word in this list.

use measure::Length;

use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A closure.
pub trait Closure: Kind {
    /// What it needs of the rest of the bag; see the table in `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }

    /// How far below the rim it comes on the front and on the back: what runs up over the outside
    /// comes free below that.
    fn closed(&self, _: &Drafter<'_>, _: &Values, _: &Shell) -> [Length; 2] {
        [Length::ZERO; 2]
    }

    /// Whether it lies over the rim of the front, so that nothing stands in it.
    fn covers_rim(&self) -> bool {
        false
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
