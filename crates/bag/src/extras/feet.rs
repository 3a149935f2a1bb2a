//! Feet under the base.

use measure::{Length, Point};

use super::{Bag, Extra, is_first, margin, refuse};
use crate::draft::Drafter;
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::AttachHardware;
use crate::pattern::{Chapter, CopyId, MarkShape, Notion, notion};

/// The kind.
pub(super) struct Feet;
/// Its entry in the list.
pub(super) const KIND: Feet = Feet;

impl Kind for Feet {
    fn name(&self) -> &'static str {
        "feet"
    }
    fn title(&self) -> &'static str {
        "Feet"
    }
    fn help(&self) -> &'static str {
        "Metal feet that keep the base off the ground, set through the outside before it is sewn, \
         with a square of firm interfacing or felt behind each, so that their prongs do not tear out."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "count",
                "how many",
                "How many feet.",
                &[("four", "one near each corner"), ("six", "two more in the middle of the sides")],
            ),
            length(
                "inset",
                "inset",
                "From the edges of the finished base to the middle of a foot.",
                [Length::mm(8), Length::mm(150), Length::inch(1), Length::mm(25)],
            ),
            length(
                "diameter",
                "width of a foot",
                "Width of a foot across.",
                [Length::mm(6), Length::mm(30), Length::inch_frac(1, 2), Length::mm(12)],
            ),
        ];
        PARAMS
    }
}

impl Extra for Feet {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        if !is_first(d, index, "feet") {
            return;
        }
        let Some(base) = bag.plan.base(d, bag.outside) else {
            let message = "feet stand under a base, and this bag has none that lies flat".to_owned();
            let cure = "choose a body with depth, or leave out the feet".to_owned();
            refuse(d, index, "kind", message, cure);
            return;
        };
        let (inset, diameter) = (values.length("inset"), values.length("diameter"));
        let room = diameter.half() + margin(d);
        let (width, depth) = base.size;
        let (x, y) = base.corner(inset);
        if inset < room || x < room || y < room {
            let message = format!(
                "feet {} wide and {} from the edges do not fit on a base {}",
                d.show(diameter),
                d.show(inset),
                measure::show_size(width, depth, d.system)
            );
            let most = width.min(depth).half() - room;
            let cure = format!(
                "set them between {} and {} from the edges, or take smaller ones",
                d.show(room),
                d.show(most.max(Length::ZERO))
            );
            refuse(d, index, "inset", message, cure);
            return;
        }
        let mut spots = vec![(-x, -y), (x, -y), (-x, y), (x, y)];
        if values.choice("count") == "six" {
            spots.extend([(Length::ZERO, -y), (Length::ZERO, y)]);
        }
        let mut at: Vec<(CopyId, Point)> = Vec::new();
        for (x, y) in spots {
            at.push(base.at(bag.outside, x, y));
        }
        at.sort_by_key(|(copy, _)| *copy);
        for (copy, point) in &at {
            d.mark_copy(*copy, "foot", MarkShape::Dot(*point));
        }
        let count = at.len();
        let attach = AttachHardware {
            what: "the feet".to_owned(),
            at,
            backing: "a square of firm interfacing or felt, three times as wide as a foot,".to_owned(),
        };
        d.step(Chapter::Panels, "attach-feet", attach);
        d.notion(Notion::of(&notion::BAG_FOOT, count).wide(diameter));
        d.notion(Notion::of(&notion::SCRAP, count).serving("the feet"));
    }
}
