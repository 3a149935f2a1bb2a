//! A magnetic snap in the middle of the mouth.

use measure::Length;

use super::Closure;
use super::shared::{BELOW, DIAMETER, Clear, below_casing, front_and_back, half_on, within_the_mouth};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Values};
use crate::operations::{AttachHardware, Phrase, SewOn};
use crate::pattern::{Chapter, ClosureClaim, MarkShape};

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
        let below = below_casing(values.length("below"), faces);
        let mut halves = Vec::new();
        for face in faces {
            let middle = (Length::ZERO, below);
            halves.extend(half_on(d, face, middle, diameter.half(), Clear::Pockets));
        }
        let [front, back] = halves.as_slice() else { return };
        let at = vec![(front.on, front.at), (back.on, back.at)];
        for (copy, point) in &at {
            d.mark_copy(*copy, "snap", MarkShape::Dot(*point));
        }
        let size = d.show(diameter);
        if inside.is_some() {
            let attach = AttachHardware {
                what: "one half of the magnetic snap each".to_owned(),
                at,
                backing: "a square of firm interfacing, three times as wide as the snap,".to_owned(),
            };
            d.step(Chapter::Lining, "attach-snap", attach);
            d.notion(&format!("1 magnetic snap, {size} wide, with washers"));
            d.notion("2 scraps of firm interfacing for the snap");
        } else {
            let how = Phrase::new(
                "one half inside the front and the other inside the back, centred, the middle of each ",
            )
            .len(below)
            .say(" below the rim, through the hem only where it reaches, so that no stitch shows outside");
            let what = "the two halves of the magnetic snap".to_owned();
            d.finally("sew-on-snap", SewOn { what, at, how });
            d.notion(&format!("1 magnetic snap to sew on, {size} wide"));
        }
        d.claims.closures.push(ClosureClaim {
            name: "magnetic snap".to_owned(),
            meets: vec![[*front, *back]],
            shows: Vec::new(),
        });
    }
}
