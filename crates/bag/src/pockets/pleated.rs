//! A patch pocket with pleats in its lower edge.

use measure::Length;

use super::kit::{BELOW, Ground, HEIGHT, ON, SIDE, Spot, WIDTH, needs_its_place, refuse};
use super::single::{Single, usual_hem};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Attach, Fullness};

/// The kind.
pub(super) struct Pleated;
/// Its entry in the list.
pub(super) const KIND: Pleated = Pleated;

impl Kind for Pleated {
    fn name(&self) -> &'static str {
        "pleated"
    }
    fn title(&self) -> &'static str {
        "Patch pocket with pleats"
    }
    fn help(&self) -> &'static str {
        "A patch of one layer whose lower edge is pleated, so that the pocket stands off the bag and \
         holds something thick."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIDE,
            ON,
            WIDTH,
            HEIGHT,
            BELOW,
            length(
                "room",
                "fuller by",
                "How much wider it is cut than it lies; what goes in may be about half as thick.",
                [Length::mm(15), Length::mm(200), Length::inch(2), Length::mm(50)],
            ),
            choice(
                "pleats",
                "pleats",
                "How the fullness is folded at the lower edge.",
                &[("two", "one near either side"), ("one", "one in the middle")],
            ),
        ];
        PARAMS
    }
}

impl Pocket for Pleated {
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
        let room = values.length("room");
        if room > width {
            let message = format!(
                "pleats that take in {} lie on each other in a pocket {} wide",
                d.show(room),
                d.show(width)
            );
            let cure = format!("take in {} or less, or make it wider", d.show(width));
            refuse(d, index, "room", message, cure);
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("pleated-pocket", ordinal);
        let name = numbered_name("pleated pocket", ordinal);
        let net = (width + room, height);
        let single = Single { stem: &stem, name: &name, net, hem: usual_hem(d) };
        let piece = single.piece(d, ground.role());
        let copies = ground.copies(d, piece, &name);
        single.make(d, &copies);
        let count = if values.choice("pleats") == "one" { 1 } else { 2 };
        single.take_in(d, &copies, (width, Fullness::Pleats(count)));
        single.press(d, &copies);
        spot.place(d, &ground, (&stem, &name), &copies, (Attach::Pin, None));
        spot.stitch(d, &ground, (&stem, &name), &copies, None);
        spot.claim(d, &ground, &name, &copies, (width, vec![width]));
    }
}
