//! No closure at all.

use super::Closure;
use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Param, Values};

/// The kind.
pub(super) struct Open;
/// Its entry in the list.
pub(super) const KIND: Open = Open;

impl Kind for Open {
    fn name(&self) -> &'static str {
        "open"
    }
    fn title(&self) -> &'static str {
        "Open top"
    }
    fn help(&self) -> &'static str {
        "The bag stays open at the top."
    }
    fn params(&self) -> &'static [Param] {
        &[]
    }
}

impl Closure for Open {
    fn build(&self, _: &mut Drafter<'_>, _: &Values, _: &Shell, _: Option<&Shell>) {}
}
