//! A bag with a gusset of two sides and a base.

use measure::Length;

use super::Body;
use super::gusset::CORNER;
use super::two_panel_params::{DEPTH, EASE, HEIGHT, HOLDS, SIZE, STANDS, WIDTH};
use crate::draft::{Drafter, Gusset, Plan};
use crate::kinds::{Kind, Param, Values, length};

/// The kind.
pub(super) struct InParts;
/// Its entry in the list.
pub(super) const KIND: InParts = InParts;

impl Kind for InParts {
    fn name(&self) -> &'static str {
        "gusset-in-parts"
    }
    fn title(&self) -> &'static str {
        "Bag with a gusset in three parts"
    }
    fn help(&self) -> &'static str {
        "Front and back, and between them two sides and a base, so that the sides may be narrower \
         at the top and the base of another fabric (`[fabric.base]`)."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIZE,
            WIDTH,
            HEIGHT,
            DEPTH,
            length(
                "taper",
                "narrower at the top by",
                "How much narrower the sides of the gusset are at the top than at the base.",
                [Length::ZERO, Length::mm(400), Length::ZERO, Length::ZERO],
            ).along(),
            CORNER,
            HOLDS,
            STANDS,
            EASE,
        ];
        PARAMS
    }
}

impl Body for InParts {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        Some(Box::new(Gusset::plan(d, values, true)?))
    }
}
