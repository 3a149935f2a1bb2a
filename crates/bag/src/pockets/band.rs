//! A full-width pocket on the outside, held in the side and base seams.

use super::Pocket;
use super::full_width::{self, HEIGHT, HEM, TOP};
use super::kit::{Ground, ON_ENDS};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values};

/// The kind.
pub(super) struct Band;
/// Its entry in the list.
pub(super) const KIND: Band = Band;

impl Kind for Band {
    fn name(&self) -> &'static str {
        "band"
    }
    fn title(&self) -> &'static str {
        "Full-width outside pocket"
    }
    fn help(&self) -> &'static str {
        "A pocket as wide as the panel, held in the side and base seams; where the panel is folded at the \
         base, its lower edge is turned under and stitched down above that. Handles that run up from the \
         base divide it. On a round end it is held in the seam round that, below its top edge; on the \
         side of a gusset in both seams along it, and where that is one strip, its lower edge is stitched \
         across it above the base. For bottles, umbrellas, maps."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            ON_ENDS,
            HEIGHT,
            TOP,
            HEM,
            Param {
                key: "divisions",
                label: "compartments",
                help: "Into how many equal compartments it is stitched, besides what the handles \
                       divide.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Pocket for Band {
    fn is_inside(&self, _: &Values) -> bool {
        false
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        full_width::needs(values)
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        _: Option<&Shell>,
    ) {
        let ground = Ground::of(values, false, outside, None);
        full_width::build(d, values, index, &ground, ["outside-pocket", "outside pocket", "pocket"]);
    }
}
