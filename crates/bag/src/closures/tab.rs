//! A tab from the back over the front, with a snap.

use measure::Length;

use super::Closure;
use super::leaf::{Held, Leaf};
use super::shared::DIAMETER;
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values, choice, length, optional};

/// The kind.
pub(super) struct Tab;
/// Its entry in the list.
pub(super) const KIND: Tab = Tab;

impl Kind for Tab {
    fn name(&self) -> &'static str {
        "tab"
    }
    fn title(&self) -> &'static str {
        "Tab with snap"
    }
    fn help(&self) -> &'static str {
        "A tab of two layers that closes over the front with a snap: set into the back rim, or \
         stitched on to the back below a rim that is gathered, rolled or turned down."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "width",
                "tab width",
                "Finished width.",
                [Length::mm(25), Length::mm(200), Length::inch(2), Length::mm(50)],
            ),
            optional(
                "over",
                "over the front",
                "How far it hangs down over the front, from the rim to its end; or from the lower edge of \
                 what is gathered, rolled or turned down there. Left out, far enough to cover its snap.",
                [Length::mm(30), Length::mm(300)],
            ),
            length(
                "across",
                "across the mouth",
                "How far it goes from rim to rim when the bag is closed; more for a bag that is full.",
                [Length::ZERO, Length::mm(200), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            optional(
                "below",
                "snap below the rim",
                "From there down the front to the middle of the snap; left out, a little above the end \
                 of the tab, where the front is free, or else on a pocket there.",
                [Length::mm(12), Length::mm(280)],
            ),
            choice(
                "end",
                "its end is",
                "The shape of its end.",
                &[("rounded", "a half circle"), ("square", "square")],
            ),
            choice(
                "by",
                "closes by",
                "What closes it.",
                &[("magnetic-snap", "a magnetic snap"), ("press-stud", "a press stud")],
            ),
            DIAMETER,
        ];
        PARAMS
    }
}

impl Closure for Tab {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::OpenFront]
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let width = values.length("width");
        let leaf = Leaf {
            word: "tab",
            width,
            over: d.either(Length::inch_frac(5, 2), Length::mm(65)),
            across: values.length("across"),
            radius: if values.choice("end") == "rounded" { width.half() } else { Length::ZERO },
            held: Held::of(values.choice("by")),
            diameter: values.length("diameter"),
            below: d.either(Length::inch_frac(7, 4), Length::mm(45)),
            asked: [values.optional("over"), values.optional("below")],
            keys: ["closure.over", "closure.below"],
            lower: [Length::ZERO; 2],
            least: Length::ZERO,
            sewn_on: None,
        };
        leaf.over(d, outside).settle(d, outside).build(d, outside);
    }
}
