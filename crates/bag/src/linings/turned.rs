//! A lining that is turned through an opening in itself.

use measure::Length;

use super::Lining;
use crate::draft::{Drafter, Juts, Mouth, Plan, Shell};
use crate::kinds::{Kind, Param, Value, Values, choice, length};
use crate::operations::{
    Beside, CloseGap, Closing, DropIn, Join, Meeting, Phrase, Press, PressSeam, Through,
    Topstitch, Turn, Understitch,
};
use crate::pattern::{Chapter, Checkpoint, CopyId};

/// The kind.
pub(super) struct Turned;
/// Its entry in the list.
pub(super) const KIND: Turned = Turned;

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
        finish_turned(d, values, plan, outside, inside);
    }
}

/// Sews the lining with its opening, joins both at the rim, turns the bag and closes the opening.
pub(super) fn finish_turned(
    d: &mut Drafter<'_>,
    values: &Values,
    plan: &dyn Plan,
    outside: &Shell,
    inside: &Shell,
) {
    let opening = plan.sew(d, inside, Some(values.length("opening")));
    if plan.mouth() == Mouth::Round {
        join_rims(d, plan, outside, inside);
    }
    plan.sew_together(d, outside, inside);
    let (outer, inner) = (outside.faces[0].top(), inside.faces[0].top());
    let mut rim: Vec<CopyId> = inside.rim.iter().map(|span| span.copy).collect();
    rim.dedup();
    turn_and_close(d, values, plan, (outer, inner), (opening, rim));
}

/// Whether the rim is understitched, not topstitched.
fn is_understitched(values: &Values) -> bool {
    values.get("rim") == Some(&Value::Choice("understitched"))
}

/// How much longer the outside's rim is than the lining's.
fn inside_ease(outside: &Shell, inside: &Shell) -> Length {
    outside.rim().length() - inside.rim().length()
}

fn has_handles(d: &Drafter<'_>) -> bool {
    !d.claims.handles.is_empty()
}

/// Puts the outside into the lining and joins both at the rim, all the way round.
fn join_rims(d: &mut Drafter<'_>, plan: &dyn Plan, outside: &Shell, inside: &Shell) {
    let (outer, inner) = (outside.faces[0].top(), inside.faces[0].top());
    let chapter = Chapter::Together;
    let turn = Turn {
        what: "the outside".to_owned(),
        bodies: vec![outer],
        through: Through::Rim,
        then: format!("Push {} out and press.", plan.juts().words()),
    };
    d.step(chapter, "turn-outside", turn);
    d.step(chapter, "drop-in", DropIn { inner: outer, outer: inner, meet: Meeting::RightSides });
    let ease = inside_ease(outside, inside);
    let sides = [outside.rim(), inside.rim_reversed()];
    let mut join =
        Join::plain("the rim", vec![sides], d.allowance("rim"), d.stitch("seam"));
    join.ease = ease;
    if d.claims.handles.iter().any(crate::pattern::HandleClaim::is_in_rim) {
        join.mind = Some(
            "sew to and fro over each end of the handles once more: this seam carries the \
             load."
                .to_owned(),
        );
    }
    join.press = Press::Not;
    let around = Checkpoint::Measures {
        what: "the rim".to_owned(),
        gauge: outside.rim_gauge(),
        how: "around",
    };
    d.step_checked(chapter, "join-rim", join, around);
}

fn turn_and_close(
    d: &mut Drafter<'_>,
    values: &Values,
    plan: &dyn Plan,
    (outer, inner): (CopyId, CopyId),
    (opening, rim): (Option<String>, Vec<CopyId>),
) {
    let chapter = Chapter::Finish;
    let left_by = opening.unwrap_or_default();
    let zipped = plan.mouth() == Mouth::Zipped;
    let at_zip = zipped && plan.juts() == Juts::Corners;
    let turn = Turn {
        what: "the bag".to_owned(),
        bodies: vec![outer],
        through: Through::Opening(left_by.clone()),
        then: format!(
            "Pull it through a little at a time{}, and push {} out{}.",
            if has_handles(d) { ", handles first" } else { "" },
            plan.juts().words(),
            if at_zip { ", those at the ends of the zip too" } else { "" }
        ),
    };
    d.step(chapter, "turn-bag", turn);
    if is_understitched(values) {
        let understitch = Understitch {
            what: "the seam at the rim, before the lining is pushed down into the bag".to_owned(),
            copies: rim,
            from_seam: values.length("topstitch"),
            stitch: d.stitch("topstitch"),
        };
        d.step(chapter, "understitch-rim", understitch);
    }
    let closing = match values.choice("close") {
        "hand" => Closing::Hand,
        _ => Closing::Machine,
    };
    let allowance = plan.opening_allowance(d);
    d.step(chapter, "close-opening", CloseGap { left_by, copies: vec![inner], closing, allowance });
    if zipped {
        let what = format!(
            "the outside, and push the lining down into it, {}",
            plan.juts().into_each_other()
        );
        let what = Phrase::new(what);
        let press = PressSeam { what, copies: vec![outer, inner], mind: None };
        d.step(chapter, "press-bag", press);
        return;
    }
    let press = PressSeam {
        what: Phrase::new(format!(
            "the rim from the inside, rolling the seam until it lies exactly on the edge, and \
             push the lining down into the bag, {}",
            plan.juts().into_each_other()
        )),
        copies: vec![outer, inner],
        mind: None,
    };
    d.step(chapter, "press-rim", press);
    if is_understitched(values) {
        return;
    }
    let topstitch = Topstitch {
        what: "the rim".to_owned(),
        copies: vec![outer, inner],
        rows: vec![values.length("topstitch")],
        beside: Beside::Edge,
        along: Vec::new(),
        stitch: d.stitch("topstitch"),
        round: true,
    };
    let look = Checkpoint::Look(
        if has_handles(d) {
            "no lining shows outside the rim, and the loops of the handles are not caught."
        } else {
            "no lining shows outside the rim."
        }
        .to_owned(),
    );
    d.step_checked(chapter, "topstitch-rim", topstitch, look);
}
