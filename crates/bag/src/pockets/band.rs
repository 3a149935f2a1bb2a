//! A full-width pocket on the outside, held in the side and base seams.

use super::full_width::{FullWidth, HEIGHT, HEM, TOP, Top, compartments, full_height, legs};
use super::kit::Ground;
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, choice};

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
        "A pocket as wide as the panel, held in the side and base seams. Handles that run up from \
         the base divide it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "on",
                "on",
                "Which side of the bag.",
                &[("front", "the front"), ("back", "the back"), ("both", "front and back")],
            ),
            HEIGHT,
            TOP,
            HEM,
            Param {
                key: "divisions",
                label: "compartments",
                help: "Into how many equal compartments it is stitched, besides what the handles \
                       divide.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
            },
        ];
        PARAMS
    }
}

impl Pocket for Band {
    fn is_inside(&self, _: &Values) -> bool {
        false
    }

    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![
            Ability::HangingFaces,
            Ability::BaseSeam,
            Ability::SideSeams,
            Ability::SquareCorners,
        ]
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
        let ordinal = ordinal(d, index);
        let full = FullWidth {
            stem: numbered("outside-pocket", ordinal),
            name: numbered_name("outside pocket", ordinal),
            noun: numbered_name("pocket", ordinal),
            height: full_height(d, &ground, values),
            top: Top::of(values),
        };
        if !full.fits(d, &ground, index) {
            return;
        }
        let fronts = full.make(d, &ground);
        let divisions = i64::from(values.count("divisions"));
        full.divide(d, &ground, &fronts, divisions);
        full.claim(d, &ground, &fronts, |d, face| {
            compartments(divisions, face, full.height, &legs(d))
        });
    }
}
