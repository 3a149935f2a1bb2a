//! Closures. A closure is its file and its word in this list.

use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A closure.
pub trait Closure: Kind {
    /// Adds its pieces and steps.
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell);
}

kinds!(Closure: open);
