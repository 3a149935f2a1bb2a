//! A patch pocket with a pleat along each side, which opens like bellows.

use measure::Length;

use super::kit::{BELOW, Ground, HEIGHT, ON, SIDE, Spot, WIDTH, needs_its_place, refuse};
use super::single::{Single, usual_hem};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{Attach, Fullness, PressSeam};
use crate::pattern::{Chapter, CopyId};

/// The kind.
pub(super) struct Bellows;
/// Its entry in the list.
pub(super) const KIND: Bellows = Bellows;

impl Kind for Bellows {
    fn name(&self) -> &'static str {
        "bellows"
    }
    fn title(&self) -> &'static str {
        "Bellows pocket"
    }
    fn help(&self) -> &'static str {
        "A patch of one layer with a pleat along each side: it lies flat when it is empty and opens \
         by the depth of its pleats. Flat at the base, where both pleats are stitched across."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIDE,
            ON,
            WIDTH,
            HEIGHT,
            BELOW,
            length(
                "depth",
                "opens by",
                "How far the front can stand off from the bag.",
                [Length::mm(12), Length::mm(120), Length::inch(1), Length::mm(25)],
            ),
        ];
        PARAMS
    }
}

impl Pocket for Bellows {
    fn is_inside(&self, values: &Values) -> bool {
        values.choice("side") == "inside"
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        needs_its_place(values)
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let ground = Ground::of(values, self.is_inside(values), outside, inside);
        let usual = [[Length::inch(5), Length::mm(120)], [Length::inch(7), Length::mm(180)]];
        let Some(spot) = Spot::of(d, &ground, (values, index), usual) else { return };
        let Spot { width, height, .. } = spot;
        let depth = values.length("depth");
        if depth * 2 > width {
            let message = format!(
                "pleats that open by {} lie on each other behind a pocket {} wide",
                d.show(depth),
                d.show(width)
            );
            let cure = format!("let it open by {} or less, or make it wider", d.show(width.half()));
            refuse(d, index, "depth", message, cure);
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("bellows-pocket", ordinal);
        let name = numbered_name("bellows pocket", ordinal);
        // Each pleat runs in by the depth and out again.
        let full = width + depth * 4;
        let single =
            Single { stem: &stem, name: &name, net: (full, height), hem: usual_hem(d) };
        let piece = single.piece(d, ground.role());
        let copies = ground.copies(d, piece, &name);
        single.make(d, &copies);
        single.take_in(d, &copies, (width, Fullness::Pleats(2)));
        single.press(d, &copies);
        crease(d, &stem, &copies);
        spot.place(d, &ground, (&stem, &name), &copies, (Attach::Pin, None));
        spot.stitch(d, &ground, (&stem, &name), &copies, None);
        spot.claim(d, &ground, &name, &copies, (width, vec![width]));
    }
}

/// The pleats are pressed all the way up and edgestitched, so that they fold back by themselves.
fn crease(d: &mut Drafter<'_>, stem: &str, copies: &[CopyId]) {
    let press = PressSeam {
        what: "both pleats sharply from the lower edge up to the hem, the folds toward the sides"
            .into(),
        copies: copies.to_vec(),
        mind: Some("edgestitch along each fold if the fabric does not hold a crease.".into()),
    };
    d.step(Chapter::Pockets, &format!("crease-{stem}"), press);
}
