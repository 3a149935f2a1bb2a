//! A flap over the whole front.

use measure::Length;

use super::Closure;
use super::leaf::{Held, Leaf};
use super::shared::spans_the_mouth;
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
        "A flap of two layers, set into the back rim, that closes over the front with a snap or a \
         turn lock. Handles stand on the back, or beside it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "narrower",
                "narrower by",
                "How much narrower than the rim it is, at each side.",
                [Length::mm(6), Length::mm(300), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "over",
                "over the front",
                "How far it hangs down over the front, from the rim.",
                [Length::mm(60), Length::mm(800), Length::inch(8), Length::mm(200)],
            ),
            optional(
                "across",
                "across the mouth",
                "How far it goes from rim to rim; the depth of the bag if left out.",
                [Length::ZERO, Length::mm(600)],
            ),
            length(
                "below",
                "lock below the rim",
                "From the rim down the front to the middle of what closes it.",
                [Length::mm(25), Length::mm(760), Length::inch_frac(13, 2), Length::mm(165)],
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

/// How far it is from rim to rim: the gussets at the rim, or the depth of a boxed base.
fn depth(d: &Drafter<'_>, outside: &Shell) -> Length {
    let faces: Length = outside.faces.iter().map(|face| face.top_width).sum();
    let gussets = (outside.rim().length() - faces).half();
    gussets.max(d.base_rise * 2)
}

impl Closure for Flap {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        let mut needs = spans_the_mouth();
        needs.push(Ability::HangingFaces);
        needs
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let narrowest = outside.faces.iter().map(|face| face.top_width).min();
        let width = narrowest.unwrap_or(Length::ZERO) - values.length("narrower") * 2;
        if width < d.either(Length::inch(2), Length::mm(50)) {
            let message = format!("the flap would be {} wide", d.show(width.max(Length::ZERO)));
            let cure = "make it less narrow than the rim, or choose a tab";
            d.refuse("closure.narrower", message, cure.to_owned());
            return;
        }
        let across = values.optional("across").unwrap_or_else(|| depth(d, outside));
        let leaf = Leaf {
            word: "flap",
            width,
            over: values.length("over"),
            across,
            radius: values.length("radius").min(values.length("over").half()),
            held: Held::of(values.choice("by")),
            diameter: values.length("diameter"),
            below: values.length("below"),
            sewn_on: None,
        };
        leaf.build(d, outside);
    }
}
