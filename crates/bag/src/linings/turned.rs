//! A lining that is turned through an opening in itself.

use measure::Length;

use super::Lining;
use crate::draft::{Drafter, Plan, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{
    CloseGap, Closing, DropIn, Join, Phrase, Press, PressSeam, Through, Topstitch, Turn,
};
use crate::pattern::{Chapter, Checkpoint, CopyId, Gauge, Reach};

/// The kind.
pub(super) struct Turned;
/// Its entry in the list.
pub(super) const KIND: Turned = Turned;

const RIM: usize = 2;

impl Kind for Turned {
    fn name(&self) -> &'static str {
        "turned"
    }
    fn title(&self) -> &'static str {
        "Lining, turned through an opening"
    }
    fn help(&self) -> &'static str {
        "A second bag of lining fabric; both are joined at the rim, right sides together, and \
         turned through an opening in the lining's base. Every allowance ends up inside."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "ease",
                "cut smaller by",
                "How much narrower and lower than the outside each lining panel is cut, so that \
                 the lining does not sag.",
                [Length::ZERO, Length::mm(12), Length::ZERO, Length::ZERO],
            ),
            length(
                "opening",
                "opening for turning",
                "Left in the lining's base seam; the whole bag goes through it.",
                [Length::mm(50), Length::mm(400), Length::inch(6), Length::mm(150)],
            ),
            choice(
                "close",
                "opening closed",
                "How the opening is closed at last.",
                &[("machine", "by machine, close to the fold"), ("hand", "by hand, slip stitched")],
            ),
            length(
                "topstitch",
                "rim topstitched",
                "How far from the rim it is topstitched.",
                [Length::mm(2), Length::mm(25), Length::inch_frac(1, 4), Length::mm(6)],
            ),
        ];
        PARAMS
    }
}

impl Lining for Turned {
    fn is_lined(&self) -> bool {
        true
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
        let opening = plan.sew(d, inside, Some(values.length("opening")));
        let (outer, inner) = (outside.faces[0].top(), inside.faces[0].top());
        let chapter = Chapter::Together;
        let press = PressSeam {
            what: Phrase::new("all seams of the outside and turn it right side out"),
            copies: outside.faces.iter().flat_map(|face| face.copies.clone()).collect(),
            mind: None,
        };
        d.step(chapter, "press-outside", press);
        d.step(chapter, "drop-in", DropIn { inner: outer, outer: inner });
        let ease = inside_ease(d, outside, inside);
        let sides = [outside.rim(d), inside.rim_reversed(d)];
        let mut join =
            Join::plain("the rim", vec![sides], d.allowance("rim"), d.stitch("seam"));
        join.ease = ease;
        join.press = Press::Not;
        let around = Checkpoint::Measures {
            what: "the rim".to_owned(),
            gauge: rim_gauge(outside),
            how: "around",
        };
        d.step_checked(chapter, "join-rim", join, around);
        self.turn_and_close(d, values, outer, inner, opening);
    }
}

/// How much longer the outside's rim is than the lining's.
fn inside_ease(d: &Drafter<'_>, outside: &Shell, inside: &Shell) -> Length {
    outside.rim(d).length() - inside.rim(d).length()
}

fn rim_gauge(shell: &Shell) -> Gauge {
    Gauge(shell.faces.iter().map(|face| Reach::Along(face.top(), RIM)).collect())
}

impl Turned {
    fn turn_and_close(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        outer: CopyId,
        inner: CopyId,
        opening: Option<String>,
    ) {
        let chapter = Chapter::Finish;
        let left_by = opening.unwrap_or_default();
        let turn = Turn {
            what: "the bag".to_owned(),
            body: outer,
            through: Through::Opening(left_by.clone()),
            then: "Pull it through a little at a time, handles first, and push the corners out."
                .to_owned(),
        };
        d.step(chapter, "turn-bag", turn);
        let closing = match values.choice("close") {
            "hand" => Closing::Hand,
            _ => Closing::Machine,
        };
        let allowance = d.allowance("base");
        d.step(chapter, "close-opening", CloseGap { left_by, copy: inner, closing, allowance });
        let press = PressSeam {
            what: Phrase::new(
                "the rim from the inside, rolling the seam until it lies exactly on the edge, and \
                 push the lining down into the bag, corner into corner",
            ),
            copies: vec![outer, inner],
            mind: None,
        };
        d.step(chapter, "press-rim", press);
        let topstitch = Topstitch {
            what: "the rim".to_owned(),
            copies: vec![outer, inner],
            rows: vec![values.length("topstitch")],
            stitch: d.stitch("topstitch"),
            round: true,
        };
        let look = Checkpoint::Look(
            "no lining shows outside the rim, and the handles stand free of the stitching."
                .to_owned(),
        );
        d.step_checked(chapter, "topstitch-rim", topstitch, look);
    }
}
