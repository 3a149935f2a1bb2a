//! A flap over the whole front.

use measure::Length;

use super::Closure;
use super::leaf::{Held, Leaf};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values, choice, length, optional};

/// The kind.
pub(super) struct Flap;
/// Its entry in the list.
pub(super) const KIND: Flap = Flap;

impl Kind for Flap {
    fn name(&self) -> &'static str {
        "flap"
    }
    fn title(&self) -> &'static str {
        "Flap"
    }
    fn help(&self) -> &'static str {
        "A flap of two layers that closes over the front with a snap or a turn lock: set into the \
         back rim, or stitched on to the back below a rim that is gathered, rolled or turned down. \
         Handles that run up over the outside come free below it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "narrower",
                "narrower by",
                "How much narrower than the rim it is, at each side.",
                [Length::mm(6), Length::mm(300), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            optional(
                "over",
                "over the front",
                "How far it hangs down over the front, from the rim; or from the lower edge of what is \
                 gathered, rolled or turned down there. Left out, far enough to cover its lock.",
                [Length::mm(60), Length::mm(800)],
            ),
            optional(
                "across",
                "across the mouth",
                "How far it goes from rim to rim; the depth of the bag if left out.",
                [Length::ZERO, Length::mm(600)],
            ),
            optional(
                "below",
                "lock below the rim",
                "From there down the front to the middle of what closes it; left out, toward the end of \
                 the flap, where the front is free, or else on a pocket there.",
                [Length::mm(25), Length::mm(760)],
            ),
            length(
                "radius",
                "corners",
                "Radius of its lower corners; nothing for square ones.",
                [Length::ZERO, Length::mm(200), Length::inch(2), Length::mm(50)],
            ),
            choice(
                "by",
                "closes by",
                "What closes it.",
                &[
                    ("magnetic-snap", "a magnetic snap"),
                    ("turn-lock", "a turn lock, its frame set through the flap"),
                    ("press-stud", "a press stud"),
                ],
            ),
            length(
                "diameter",
                "width of the lock",
                "Width of the snap or the turn lock.",
                [Length::mm(8), Length::mm(60), Length::inch_frac(3, 4), Length::mm(18)],
            ),
        ];
        PARAMS
    }
}

/// How far it is from rim to rim: the gussets at the rim, or the depth of a boxed base; where front
/// and back lie on each other, what their layers and a full bag take (common practice, no source).
fn depth(d: &Drafter<'_>, outside: &Shell) -> Length {
    if !d.rim_has_depth {
        return d.either(Length::inch_frac(1, 2), Length::mm(12));
    }
    let faces: Length = outside.faces.iter().map(|face| face.top_width).sum();
    let gussets = (outside.rim().length() - faces).half();
    gussets.max(d.base_rise * 2)
}

impl Closure for Flap {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::BareFront]
    }

    fn covers_rim(&self) -> bool {
        true
    }

    fn closed(&self, d: &Drafter<'_>, values: &Values, outside: &Shell) -> [Length; 2] {
        let leaf = leaf(d, values, outside).over(d, outside).settle(d, outside);
        let front = outside.faces.first().map_or(Length::ZERO, |front| front.rolled);
        [leaf.over + front, leaf.sewn_on.unwrap_or(Length::ZERO)]
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let leaf = leaf(d, values, outside).over(d, outside).settle(d, outside);
        d.settle("closure.across", leaf.across);
        if leaf.width < d.either(Length::inch(2), Length::mm(50)) {
            let message = format!("the flap would be {} wide", d.show(leaf.width.max(Length::ZERO)));
            let cure = "make it less narrow than the rim, or choose a tab";
            d.refuse("closure.narrower", message, cure.to_owned());
            return;
        }
        leaf.build(d, outside);
    }
}

/// The flap that is asked for, set into a rim that stands.
fn leaf(d: &Drafter<'_>, values: &Values, outside: &Shell) -> Leaf {
    let narrowest = outside.faces.iter().map(|face| face.top_width).min();
    Leaf {
        word: "flap",
        width: narrowest.unwrap_or(Length::ZERO) - values.length("narrower") * 2,
        over: d.either(Length::inch(8), Length::mm(200)),
        across: values.optional("across").unwrap_or_else(|| depth(d, outside)),
        radius: values.length("radius"),
        held: Held::of(values.choice("by")),
        diameter: values.length("diameter"),
        below: d.either(Length::inch_frac(13, 2), Length::mm(165)),
        asked: [values.optional("over"), values.optional("below")],
        keys: ["closure.over", "closure.below"],
        lower: [Length::ZERO; 2],
        least: Length::ZERO,
        sewn_on: None,
    }
}
