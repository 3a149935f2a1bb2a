//! Handles. A kind of handle is its file and its word in this list.

use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// Handles.
pub trait Handles: Kind {
    /// Adds its pieces and steps.
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell);
}

kinds!(Handles: folded, webbing, none);
