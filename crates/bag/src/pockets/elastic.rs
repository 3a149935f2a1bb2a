//! A patch pocket drawn in by an elastic at its top.

use measure::Length;

use super::kit::{BELOW, Ground, HEIGHT, ON, SIDE, Spot, WIDTH, needs_its_place, refuse};
use super::pouch::the;
use super::single::{Single, turn_under};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::face::{RIM, whole};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length};
use crate::operations::{Attach, Fullness, InsertElastic};
use crate::pattern::{Chapter, CopyId, Notion, notion};

/// The kind.
pub(super) struct Elastic;
/// Its entry in the list.
pub(super) const KIND: Elastic = Elastic;

impl Kind for Elastic {
    fn name(&self) -> &'static str {
        "elastic"
    }
    fn title(&self) -> &'static str {
        "Elasticated pocket"
    }
    fn help(&self) -> &'static str {
        "A patch of one layer, cut wider than it lies: an elastic in the hem of its top edge holds \
         what goes in, and the lower edge is pleated or gathered. For bottles, umbrellas, wool."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIDE,
            ON,
            WIDTH,
            HEIGHT,
            BELOW,
            Param {
                key: "fuller",
                label: "fuller by",
                help: "How much wider it is cut than it lies: half as wide again is usual.",
                quantity: Quantity::Percent { most: 15_000, default: 5_000 },
                grows: None,
            },
            length(
                "elastic",
                "elastic",
                "Width of the elastic; the casing is made a little wider.",
                [Length::mm(5), Length::mm(40), Length::inch_frac(3, 8), Length::mm(10)],
            ),
            choice(
                "lower",
                "lower edge",
                "How its fullness is taken in.",
                &[("pleats", "in two pleats"), ("gathers", "gathered")],
            ),
        ];
        PARAMS
    }
}

impl Pocket for Elastic {
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
        let share = values.percent("fuller");
        if share < LEAST_FULL {
            let message = format!(
                "cut {} % wider than it lies, an elastic has hardly anything to draw in",
                share / 100
            );
            let cure = format!("cut it at least {} % wider", LEAST_FULL / 100);
            refuse(d, index, "fuller", message, cure);
            return;
        }
        let elastic = values.length("elastic");
        let hem = (
            d.either(Length::inch_frac(1, 4), Length::mm(6)),
            elastic + d.either(Length::inch_frac(1, 4), Length::mm(6)),
        );
        if hem.1 * 2 > height {
            let message = format!(
                "a casing {} deep takes more than half of a pocket {} high",
                d.show(hem.1),
                d.show(height)
            );
            refuse(d, index, "elastic", message, "take a narrower elastic".to_owned());
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("elastic-pocket", ordinal);
        let name = numbered_name("elasticated pocket", ordinal);
        let full = d.snap(width + width * i64::from(share) / 10_000);
        let single = Single { stem: &stem, name: &name, net: (full, height), hem };
        let piece = single.piece(d, ground.role());
        let copies = ground.copies(d, piece, &name);
        single.make(d, &copies);
        insert(d, &single, &copies, (width, elastic));
        let how = if values.choice("lower") == "gathers" {
            Fullness::Gathers
        } else {
            Fullness::Pleats(2)
        };
        single.take_in(d, &copies, (width, how));
        single.press(d, &copies);
        spot.place(d, &ground, (&stem, &name), &copies, (Attach::Pin, None));
        spot.stitch(d, &ground, (&stem, &name), &copies, None);
        spot.claim(d, &ground, &name, &copies, (width, vec![width]));
    }
}

/// With less than a fifth more, an elastic draws in the bag instead of the pocket (common practice,
/// no source).
const LEAST_FULL: u32 = 2_000;

/// The elastic is as long as the pocket lies wide, and reaches into both side allowances; the casing
/// is 1/4 in (6 mm) wider than the elastic, of which half goes to the row of stitches that closes
/// it (common practice, no source).
fn insert(
    d: &mut Drafter<'_>,
    single: &Single<'_>,
    copies: &[CopyId],
    (to, width): (Length, Length),
) {
    let ends = turn_under(d);
    let long = to + ends * 2;
    let name = single.name;
    let elastic = Notion::of(&notion::ELASTIC, copies.len()).wide(width).long(long);
    d.notion(elastic.serving(&format!("the {name}")));
    let insert = InsertElastic {
        what: format!("the top edge of {}", the(name, copies.len())),
        casings: copies.iter().map(|copy| whole(d, *copy, RIM)).collect(),
        width,
        length: long,
        ends,
        stitch: d.stitch("seam"),
    };
    d.step(Chapter::Pockets, &format!("elastic-{}", single.stem), insert);
}
