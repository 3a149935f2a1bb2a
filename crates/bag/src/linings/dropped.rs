//! A lining that is dropped into the finished bag and edgestitched to it at the rim.

use measure::Length;

use super::Lining;
use crate::draft::{Drafter, Mouth, Plan, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{
    DropIn, JoinFolded, Meeting, Phrase, PressSeam, SlipstitchToZip, Through, Turn,
};
use crate::pattern::{Chapter, Checkpoint};

/// The kind.
pub(super) struct Dropped;
/// Its entry in the list.
pub(super) const KIND: Dropped = Dropped;

impl Kind for Dropped {
    fn name(&self) -> &'static str {
        "dropped"
    }
    fn title(&self) -> &'static str {
        "Drop-in lining, edgestitched at the rim"
    }
    fn help(&self) -> &'static str {
        "A second bag of lining fabric is put into the finished outside, wrong sides together; both \
         rims are turned in and edgestitched on each other, or the lining's is slip stitched to the \
         zip by hand. No opening for turning."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "ease",
                "cut smaller by",
                "How much narrower and lower than the outside each lining panel is cut, so that \
                 the lining does not sag.",
                [Length::ZERO, Length::mm(12), Length::inch_frac(1, 8), Length::mm(3)],
            ),
            length(
                "edgestitch",
                "edgestitched",
                "How far from the folds both rims are stitched on each other. It has no effect where \
                 the lining is slip stitched to a zip: there no rim is stitched.",
                [Length::mm(1), Length::mm(10), Length::inch_frac(1, 8), Length::mm(3)],
            ),
        ];
        PARAMS
    }
}

impl Lining for Dropped {
    fn is_lined(&self) -> bool {
        true
    }

    fn is_sewn_on_with_zip(&self) -> bool {
        false
    }

    fn prepare(&self, _: &mut Drafter<'_>, _: &Values) {}

    fn finish(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        plan: &dyn Plan,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let Some(inside) = inside else { return };
        plan.sew(d, inside, None);
        let (outer, inner) = (outside.faces[0].top(), inside.faces[0].top());
        let chapter = Chapter::Together;
        let zipped = plan.mouth() == Mouth::Zipped;
        let way = if zipped { "It goes through the open zip. " } else { "" };
        let turn = Turn {
            what: "the outside".to_owned(),
            bodies: vec![outer],
            through: Through::Rim,
            then: format!("{way}Push {} out and press.", plan.juts().words()),
        };
        d.step(chapter, "turn-outside", turn);
        if zipped {
            sew_to_zip(d, plan, outside, inside);
            return;
        }
        d.step(chapter, "drop-in", DropIn { inner, outer, meet: Meeting::WrongSides });
        let usual = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let first = values.length("edgestitch");
        let handles = d.claims.handles.iter().any(crate::pattern::HandleClaim::is_in_rim);
        let join = JoinFolded {
            what: "the rim".to_owned(),
            seams: vec![[outside.rim(), inside.rim_reversed()]],
            allowance: d.allowance("rim"),
            ease: outside.rim().length() - inside.rim().length(),
            // A second row takes the load of handles that stand in the rim.
            rows: if handles { vec![first, first + usual] } else { vec![first] },
            stitch: d.stitch("topstitch"),
            mind: handles.then(|| {
                "the ends of the handles go down between both layers with the allowance of the \
                 outside, and the handles stand up; sew to and fro over each end."
                    .to_owned()
            }),
        };
        let around = Checkpoint::Measures {
            what: "the rim".to_owned(),
            gauge: outside.rim_gauge(),
            how: "around",
        };
        d.step_checked(chapter, "join-rim", join, around);
        let press =
            PressSeam { what: "the rim".into(), copies: vec![outer, inner], mind: None };
        d.step(Chapter::Finish, "press-rim", press);
    }
}

/// Presses the lining's edges in, puts it into the outside through the open zip, and sews it to the
/// tape by hand.
fn sew_to_zip(d: &mut Drafter<'_>, plan: &dyn Plan, outside: &Shell, inside: &Shell) {
    let (outer, inner) = (outside.faces[0].top(), inside.faces[0].top());
    let chapter = Chapter::Together;
    let (allowance, further) = (d.rim_allowance, plan.turned_in_further());
    let mut what = Phrase::new("the raw edges at the top of the lining to its wrong side, by ");
    what = what.len(allowance + further);
    if further.is_positive() {
        what = what.say(", the folds running out into the seams at both ends of the opening");
    }
    let edges = PressSeam { what, copies: vec![inner], mind: None };
    d.step(chapter, "press-lining-edges", edges);
    d.step(chapter, "drop-in", DropIn { inner, outer, meet: Meeting::WrongSides });
    let seams = plan.beside_zip(d, outside, inside);
    let stitch = SlipstitchToZip { what: "the zip".to_owned(), seams, allowance, further };
    d.step(chapter, "sew-lining-to-zip", stitch);
}
