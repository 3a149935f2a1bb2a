//! A bag with a gusset in one strip.

use measure::Length;

use super::Body;
use super::two_panel_params::{DEPTH, EASE, HEIGHT, HOLDS, SIZE, STANDS, WIDTH};
use crate::draft::{Drafter, Gusset, Plan};
use crate::kinds::{Kind, Param, Values, optional};

/// The kind.
pub(super) struct OneStrip;
/// Its entry in the list.
pub(super) const KIND: OneStrip = OneStrip;

/// Radius of the corners at the base.
pub(super) const CORNER: Param = optional(
    "corner",
    "rounded corners",
    "Radius of the corners at the base, at the stitching line; left out, they are square.",
    [Length::mm(15), Length::mm(300)],
).along();

impl Kind for OneStrip {
    fn name(&self) -> &'static str {
        "gusset"
    }
    fn title(&self) -> &'static str {
        "Bag with a gusset in one strip"
    }
    fn help(&self) -> &'static str {
        "Front and back, and one strip between them that goes down one side, along the base and \
         up the other, clipped at the corners. A bag with crisp edges that is as deep at the top \
         as at the base."
    }
    fn params(&self) -> &'static [Param] {
        &[SIZE, WIDTH, HEIGHT, DEPTH, CORNER, HOLDS, STANDS, EASE]
    }
}

impl Body for OneStrip {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        Some(Box::new(Gusset::plan(d, values, false)?))
    }
}
