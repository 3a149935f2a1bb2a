//! No lining: the allowances are finished some other way, and the rim is hemmed.

use std::sync::Arc;

use measure::Length;

use super::Lining;
use crate::draft::{Ability, Drafter, Mouth, Plan, SeamMake, Shell, seam_binding};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{
    EdgeFinish, Fell, FinishEdges, Hem, Operation, Phrase, PressSeam, Through, Turn,
};
use crate::pattern::{Chapter, Checkpoint};

/// The kind.
pub(super) struct Unlined;
/// Its entry in the list.
pub(super) const KIND: Unlined = Unlined;

impl Kind for Unlined {
    fn name(&self) -> &'static str {
        "unlined"
    }
    fn title(&self) -> &'static str {
        "No lining, allowances finished"
    }
    fn help(&self) -> &'static str {
        "One layer: the seam allowances are overcast, bound, felled flat or closed into French seams, \
         and the rim is turned twice and stitched."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "finish",
                "allowances",
                "How the raw allowances are finished.",
                &[
                    ("overcast", "with a zigzag or an overedge stitch"),
                    ("bound", "wrapped in binding strips"),
                    ("french", "sewn twice, so that the raw edges lie inside the seam"),
                    ("felled", "one trimmed, the other folded over it and stitched down flat"),
                ],
            ),
            length(
                "hem",
                "hem at the rim",
                "Depth of the finished hem.",
                [Length::mm(10), Length::mm(80), Length::inch(1), Length::mm(25)],
            ),
            length(
                "turn",
                "first turn",
                "First turn of the hem.",
                [Length::mm(5), Length::mm(80), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "first-row",
                "French seam, first row",
                "How far from the edge the first row of a French seam is sewn.",
                [Length::mm(4), Length::mm(15), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "second-row",
                "French seam, second row",
                "How far from the fold the second row is sewn; more than the first allowance is \
                 trimmed to.",
                [Length::mm(5), Length::mm(20), Length::inch_frac(3, 8), Length::mm(9)],
            ),
            length(
                "binding",
                "binding width",
                "Finished width of the binding on each side; strips are cut four times as wide.",
                [Length::mm(5), Length::mm(20), Length::inch_frac(3, 8), Length::mm(10)],
            ),
        ];
        PARAMS
    }
}

impl Lining for Unlined {
    fn is_lined(&self) -> bool {
        false
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        match values.choice("finish") {
            "french" | "felled" => vec![Ability::StraightSeams],
            _ => Vec::new(),
        }
    }

    fn prepare(&self, d: &mut Drafter<'_>, values: &Values) {
        d.seam_make = match values.choice("finish") {
            "french" => SeamMake::French {
                first: values.length("first-row"),
                second: values.length("second-row"),
            },
            "bound" => SeamMake::Finished(EdgeFinish::Bound(values.length("binding"))),
            _ => SeamMake::Finished(EdgeFinish::Overcast),
        };
        if values.choice("finish") == "felled" {
            can_fell(d);
        }
        d.rim_hem = Some(values.length("hem"));
        d.rim_allowance = values.length("hem") + values.length("turn");
    }

    fn finish(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        plan: &dyn Plan,
        outside: &Shell,
        _: Option<&Shell>,
    ) {
        if values.choice("finish") == "felled" {
            fell(d);
        }
        finish_single(d, plan, outside);
    }
}

/// Finishes a bag of one layer, sewn from its wrong side: binds, hems, turns and presses it.
pub(super) fn finish_single(
    d: &mut Drafter<'_>,
    plan: &dyn Plan,
    outside: &Shell,
) {
        if let SeamMake::Finished(EdgeFinish::Bound(width)) = d.seam_make {
            seam_binding(d, width, plan.bound_seams(d, outside));
        }
        if plan.mouth() == Mouth::Round {
            hem_rim(d, outside);
        }
        let body = outside.faces[0].top();
        let turn = Turn {
            what: "the bag".to_owned(),
            bodies: vec![body],
            through: Through::Rim,
            then: match plan.mouth() {
                Mouth::Zipped => {
                    format!("It goes through the open zip. Push {} out.", plan.juts().words())
                }
                Mouth::Round | Mouth::Hemmed => format!("Push {} out.", plan.juts().words()),
            },
        };
        d.step(Chapter::Finish, "turn-bag", turn);
        let press =
            PressSeam { what: Phrase::new("the whole bag"), copies: vec![body], mind: None };
        // After the boxes of handles that are tucked under the hem.
        d.finally("press-bag", press);
}

/// Narrowest allowance that is felled: 3/8 in (9 mm), of which not quite half is left below.
const FELLED: Length = Length::mm(9);

/// Refuses allowances that are too narrow to be folded over each other.
fn can_fell(d: &mut Drafter<'_>) {
    for key in ["side", "base"] {
        let allowance = d.allowance(key);
        if allowance < FELLED {
            let message = format!(
                "an allowance of {} is too narrow to be folded over the other one",
                d.show(allowance)
            );
            let cure = format!("make it {} or more", d.show(FELLED.max(Length::inch_frac(3, 8))));
            d.refuse(&format!("allowances.{key}"), message, cure);
        }
    }
}

/// Fells the seams of the outside where they would be overcast together. The lower allowance is
/// trimmed to a shade less than half (common practice, no source).
fn fell(d: &mut Drafter<'_>) {
    let narrow = d.allowance("side").min(d.allowance("base"));
    let less = d.either(Length::inch_frac(1, 16), Length::mm(1));
    let trim = d.snap(narrow.half() - less).max(Length::mm(3));
    let stitch = d.stitch("topstitch");
    d.redo_steps(|step| {
        let finish = step.as_a::<FinishEdges>()?;
        let seams = step.chapter == Chapter::Outside && finish.together;
        (seams && finish.how == EdgeFinish::Overcast).then(|| {
            let (what, runs) = (finish.what.clone(), finish.runs.clone());
            Arc::new(Fell { what, runs, trim, stitch }) as Arc<dyn Operation>
        })
    });
}

/// Turns the rim twice and stitches it, all the way round.
fn hem_rim(d: &mut Drafter<'_>, outside: &Shell) {
        let depth = d.rim_hem.unwrap_or(d.rim_allowance);
        let hem = Hem {
            what: "the rim".to_owned(),
            run: outside.rim(),
            first: d.rim_allowance - depth,
            depth,
            tucked: d.tucked.clone(),
            stitch: d.stitch("topstitch"),
        };
        let around =
            Checkpoint::Measures { what: "the rim".to_owned(), gauge: outside.rim_gauge(), how: "around" };
        d.step_checked(Chapter::Finish, "hem-rim", hem, around);
}
