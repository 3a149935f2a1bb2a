//! No handles.

use super::Handles;
use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Param, Values};

/// The kind.
pub(super) struct NoHandles;
/// Its entry in the list.
pub(super) const KIND: NoHandles = NoHandles;

impl Kind for NoHandles {
    fn name(&self) -> &'static str {
        "none"
    }
    fn title(&self) -> &'static str {
        "No handles"
    }
    fn help(&self) -> &'static str {
        "For a bag that is carried in another bag, or stands on a shelf."
    }
    fn params(&self) -> &'static [Param] {
        &[]
    }
}

impl Handles for NoHandles {
    fn build(&self, _: &mut Drafter<'_>, _: &Values, _: &Shell) {}
}
