//! A slip pocket as wide as the lining, held in its side and base seams.

use super::Pocket;
use super::full_width::{self, HEIGHT, HEM, TOP};
use super::kit::{Ground, ON_ENDS};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values};

/// The kind.
pub(super) struct Slip;
/// Its entry in the list.
pub(super) const KIND: Slip = Slip;

impl Kind for Slip {
    fn name(&self) -> &'static str {
        "slip"
    }
    fn title(&self) -> &'static str {
        "Slip pocket, full width, inside"
    }
    fn help(&self) -> &'static str {
        "A pocket inside as wide as the bag, held in the side and base seams of the lining, or of \
         the bag itself if it has none, where handles that run up from the base divide it; or in the \
         seams of the side of a gusset. On a panel that is folded at the base its lower edge is turned \
         under and stitched down. For papers, and the quickest of all to sew."
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
                help: "Into how many equal compartments it is stitched.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Pocket for Slip {
    fn is_inside(&self, _: &Values) -> bool {
        true
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
        inside: Option<&Shell>,
    ) {
        let ground = Ground::of(values, true, outside, inside);
        full_width::build(d, values, index, &ground, ["slip-pocket", "slip pocket", "slip pocket"]);
    }
}
