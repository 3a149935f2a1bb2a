//! A magnetic snap in the middle of the mouth.

use measure::Length;

use super::Closure;
use super::shared::{
    BELOW, Clear, DIAMETER, amiss, below_casing, front_and_back, half_on, nearest, within_the_mouth,
};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values};
use crate::operations::{AttachHardware, Phrase, SewOn};
use crate::pattern::{Chapter, ClosureClaim, MarkShape, Notion, notion};

/// The kind.
pub(super) struct MagneticSnap;
/// Its entry in the list.
pub(super) const KIND: MagneticSnap = MagneticSnap;

impl Kind for MagneticSnap {
    fn name(&self) -> &'static str {
        "magnetic-snap"
    }
    fn title(&self) -> &'static str {
        "Magnetic snap"
    }
    fn help(&self) -> &'static str {
        "Two halves in the middle of front and back, inside. In a lined bag they are set through \
         the lining, with a backing, before it is sewn; in an unlined one they are sewn to its hem."
    }
    fn params(&self) -> &'static [Param] {
        &[BELOW, DIAMETER]
    }
}

impl Closure for MagneticSnap {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        within_the_mouth()
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, inside: Option<&Shell>) {
        let diameter = values.length("diameter");
        let Some(faces) = front_and_back(inside.unwrap_or(outside)) else { return };
        let radius = diameter.half();
        let usual = below_casing(d.either(Length::inch_frac(5, 4), Length::mm(30)), faces);
        let below = match values.optional("below") {
            Some(below) => below_casing(below, faces),
            None => nearest(d, usual, faces[0].height, |below| {
                let middle = (Length::ZERO, below);
                let is_free = |face| amiss(d, face, middle, radius, Clear::Pockets).is_none();
                below >= below_casing(radius, faces) && faces.into_iter().all(is_free)
            }),
        };
        d.settle("closure.below", below - below_casing(Length::ZERO, faces));
        let mut halves = Vec::new();
        for face in faces {
            let middle = (Length::ZERO, below);
            halves.extend(half_on(d, face, middle, radius, Clear::Pockets));
        }
        let [front, back] = halves.as_slice() else { return };
        let at = vec![(front.on, front.at), (back.on, back.at)];
        for (copy, point) in &at {
            d.mark_copy(*copy, "snap", MarkShape::Dot(*point));
        }
        if inside.is_some() {
            let attach = AttachHardware {
                what: "one half of the magnetic snap each".to_owned(),
                at,
                backing: "a square of firm interfacing, three times as wide as the snap,".to_owned(),
            };
            d.step(Chapter::Lining, "attach-snap", attach);
            d.notion(Notion::of(&notion::MAGNETIC_SNAP, 1).wide(diameter));
            d.notion(Notion::of(&notion::SCRAP, 2).serving("the snap"));
        } else {
            let how = Phrase::new(
                "one half inside the front and the other inside the back, centred, the middle of each ",
            )
            .len(below)
            .say(" below the rim, through the hem only where it reaches, so that no stitch shows outside");
            let what = "the two halves of the magnetic snap".to_owned();
            d.finally("sew-on-snap", SewOn { what, at, how });
            d.notion(Notion::of(&notion::SEWN_SNAP, 1).wide(diameter));
        }
        d.claims.closures.push(ClosureClaim {
            name: "magnetic snap".to_owned(),
            meets: vec![[*front, *back]],
            shows: Vec::new(),
        });
    }
}
