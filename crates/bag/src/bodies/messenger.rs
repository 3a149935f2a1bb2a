//! A bag with a gusset and a flap over its whole front, stitched on to the back.

use measure::Length;

use super::Body;
use super::two_panel_params::{EASE, HOLDS, SIZE, STANDS};
use crate::closures::leaf::{Held, Leaf};
use crate::draft::{Ability, Base, Drafter, Gusset, Juts, Layer, Plan, Shell};
use crate::kinds::{Kind, Param, Values, choice, length, optional};

/// The kind.
pub(super) struct Messenger;
/// Its entry in the list.
pub(super) const KIND: Messenger = Messenger;

impl Kind for Messenger {
    fn name(&self) -> &'static str {
        "messenger"
    }
    fn title(&self) -> &'static str {
        "Messenger bag"
    }
    fn help(&self) -> &'static str {
        "Front and back with a gusset in one strip, and a flap as wide as the front, stitched on to \
         the back below its rim. Its strap hangs from the ends of the gusset, and goes across the \
         body."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIZE,
            length(
                "width",
                "width",
                "Width of the finished front, or of a cut panel.",
                [Length::mm(150), Length::mm(700), Length::inch(14), Length::mm(360)],
            ).size(),
            length(
                "height",
                "height",
                "Height of the finished front, or of a cut panel.",
                [Length::mm(120), Length::mm(700), Length::inch(11), Length::mm(280)],
            ).size(),
            length(
                "depth",
                "depth",
                "Width of the finished gusset.",
                [Length::mm(40), Length::mm(300), Length::inch(4), Length::mm(100)],
            ).size(),
            optional(
                "corner",
                "rounded corners",
                "Radius of the bottom corners at the stitching line; left out, they are square.",
                [Length::mm(12), Length::mm(200)],
            ).along(),
            HOLDS,
            STANDS,
            EASE,
            optional(
                "over",
                "flap over the front",
                "How far the flap hangs down over the front, from the rim; left out, far enough to \
                 cover its lock.",
                [Length::mm(60), Length::mm(650)],
            ).along(),
            length(
                "narrower",
                "flap narrower by",
                "How much narrower than the front the flap is, at each side, to stay clear of the seams.",
                [Length::mm(6), Length::mm(60), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "sewn-on",
                "flap stitched on",
                "How far below the rim the flap is stitched to the back.",
                [Length::mm(25), Length::mm(200), Length::inch_frac(3, 2), Length::mm(40)],
            ),
            length(
                "radius",
                "corners of the flap",
                "Radius of its lower corners; nothing for square ones.",
                [Length::ZERO, Length::mm(150), Length::inch(2), Length::mm(50)],
            ).along(),
            choice(
                "by",
                "closes by",
                "What closes the flap.",
                &[
                    ("magnetic-snap", "a magnetic snap"),
                    ("turn-lock", "a turn lock, its frame set through the flap"),
                    ("press-stud", "a press stud"),
                ],
            ),
            optional(
                "lock",
                "lock below the rim",
                "From the rim down the front to the middle of what closes it; left out, toward the end of \
                 the flap, where the front is free.",
                [Length::mm(25), Length::mm(600)],
            ).along(),
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

impl Body for Messenger {
    fn usual_handles(&self) -> &'static str {
        "cross-body"
    }

    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let gusset = Gusset::plan(d, values, false)?;
        let sewn_on = values.length("sewn-on");
        let room = d.either(Length::inch_frac(1, 2), Length::mm(12));
        // The rows that hold the flap lie below a hem, and well above the base.
        let hem = d.rim_hem.unwrap_or(Length::ZERO);
        let most = gusset.panel.1 - gusset.corner - room;
        if sewn_on < hem + room || sewn_on > most {
            let message = format!(
                "a flap stitched on {} below the rim lies on the hem or reaches the base",
                d.show(sewn_on)
            );
            let cure = format!(
                "stitch it on between {} and {} below the rim",
                d.show(hem + room),
                d.show(most.max(Length::ZERO))
            );
            d.refuse("body.sewn-on", message, cure);
            return None;
        }
        let flap = Leaf {
            word: "flap",
            width: gusset.panel.0 - values.length("narrower") * 2,
            over: d.either(Length::inch(8), Length::mm(200)),
            across: gusset.depth,
            radius: values.length("radius"),
            held: Held::of(values.choice("by")),
            diameter: values.length("diameter"),
            below: d.either(Length::inch_frac(13, 2), Length::mm(165)),
            asked: [values.optional("over"), values.optional("lock")],
            keys: ["body.over", "body.lock"],
            lower: [Length::ZERO; 2],
            least: Length::ZERO,
            sewn_on: Some(sewn_on),
        };
        Some(Box::new(Planned { gusset, flap }))
    }
}

/// A planned bag.
struct Planned {
    gusset: Gusset,
    flap: Leaf,
}

impl Plan for Planned {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.gusset.shell(d, layer);
        self.flap.settle(d, &shell).keep_clear(&mut shell);
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, _: Option<&Shell>) {
        let before = d.found();
        self.flap.settle(d, outside).build(d, outside);
        let names = [("closure.below", "body.lock"), ("closure.kind", "body.narrower")];
        d.rename_parameters(before, &names);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.gusset.sew(d, shell, opening)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.gusset.claim(d, outside);
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<crate::extras::PipedSeam> {
        self.gusset.piped(d, outside)
    }

    fn base_rise(&self) -> Length {
        self.gusset.base_rise()
    }

    fn juts(&self) -> Juts {
        self.gusset.juts()
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        self.gusset.base(d, outside)
    }

    fn offers(&self) -> Vec<Ability> {
        // Under the flap nothing stands on the rim of front and back; its ends at the sides are
        // free, and so is the mouth. A tab or a tie closes it under the flap.
        let not = [Ability::StandingRim, Ability::BareFront];
        self.gusset.offers().into_iter().filter(|ability| !not.contains(ability)).collect()
    }

    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        self.gusset.bound_seams(d, outside)
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::{Design, Severity};

    /// Square and rounded corners, every lock, every lining: it sews without an error, and the halves
    /// of the lock meet.
    #[test]
    fn it_is_sewn_with_every_lining_and_lock() {
        for lining in crate::linings::ALL {
            for (by, corner) in
                [("magnetic-snap", None), ("turn-lock", Some(2)), ("press-stud", Some(1))]
            {
                let mut design = Design::of(&KIND, Units::Inch);
                design.lining = Chosen::new(*lining, measure::System::Inch);
                assert!(design.body.values.set("by", Value::Choice(by)));
                let corner = corner.map_or(Value::Absent, |it| Value::Length(Length::inch(it)));
                assert!(design.body.values.set("corner", corner));
                let drafted = crate::draft(&design);
                let pattern = drafted.pattern.unwrap_or_else(|| panic!("{:?}", drafted.findings));
                let errors: Vec<_> = crate::checks::run(&pattern)
                    .into_iter()
                    .filter(|finding| finding.severity == Severity::Error)
                    .collect();
                assert!(errors.is_empty(), "{} {by}: {errors:#?}", lining.name());
            }
        }
    }

    /// Derived: the flap goes 1 1/2 in up the back, 4 in across the mouth and 8 in down the front:
    /// 13 1/2 in, and 14 1/2 in with its allowances.
    #[test]
    fn the_flap_reaches_over() {
        let design = Design::of(&KIND, Units::Inch);
        let pattern = crate::draft(&design).pattern.unwrap();
        let flap = pattern.pieces.iter().find(|piece| piece.id == "flap").unwrap();
        assert_eq!(flap.cut_size(), (Length::inch_frac(29, 2), Length::inch_frac(29, 2)));
    }
}
