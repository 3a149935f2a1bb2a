//! No lining: the allowances are finished some other way, and the rim is hemmed.

use measure::{Length, Outline};

use super::Lining;
use crate::design::Role;
use crate::draft::{Ability, Drafter, Mouth, NewPiece, Plan, SeamMake, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{EdgeFinish, Hem, Phrase, PressSeam, Through, Turn};
use crate::pattern::{Chapter, Checkpoint, Grain, StripJoin, StripPlace};

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
        "One layer: the seam allowances are overcast, bound, or closed into French seams, and the \
         rim is turned twice and stitched."
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
            "french" => vec![Ability::StraightSeams],
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
        if let SeamMake::Finished(EdgeFinish::Bound(width)) = d.seam_make {
            bind(d, width, plan.bound_seams(d, outside));
        }
        if plan.mouth() == Mouth::Round {
            hem_rim(d, values, outside);
        }
        let body = outside.faces[0].top();
        let turn = Turn {
            what: "the bag".to_owned(),
            body,
            through: Through::Rim,
            then: match plan.mouth() {
                Mouth::Zipped => "It goes through the open zip. Push the corners out.",
                Mouth::Round | Mouth::Hemmed => "Push the corners out.",
            }
            .to_owned(),
        };
        d.step(Chapter::Finish, "turn-bag", turn);
        let press =
            PressSeam { what: Phrase::new("the whole bag"), copies: vec![body], mind: None };
        // After the boxes of handles that are tucked under the hem.
        d.finally("press-bag", press);
    }
}

/// Turns the rim twice and stitches it, all the way round.
fn hem_rim(d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let hem = Hem {
            what: "the rim".to_owned(),
            run: outside.rim(),
            first: values.length("turn"),
            depth: values.length("hem"),
            tucked: d.tucked.clone(),
            stitch: d.stitch("topstitch"),
        };
        let around =
            Checkpoint::Measures { what: "the rim".to_owned(), gauge: outside.rim_gauge(), how: "around" };
        d.step_checked(Chapter::Finish, "hem-rim", hem, around);
}

/// Cuts a binding strip long enough for every seam that is bound, with a tenth to spare for corners
/// and ends (common practice, no source); four times the finished width (double fold).
fn bind(d: &mut Drafter<'_>, width: Length, seams: Length) {
    let inches = d.either(Length::INCH, Length::mm(10));
    let long = (seams + seams / 10).to_nm();
    let length = inches * ((long + inches.to_nm() - 1) / inches.to_nm());
    let none = Length::ZERO;
    let join = StripJoin {
        most: 40,
        allowance: d.either(Length::inch_frac(1, 4), Length::mm(6)),
        place: StripPlace::Anywhere,
    };
    let piece = d.piece(NewPiece {
        id: "binding",
        name: "binding strip",
        role: Role::Binding,
        net: Outline::rectangle(width * 4, length),
        edges: vec![("end", none), ("side", none), ("other end", none), ("other side", none)],
        grain: Grain::Crosswise,
        join: Some(join),
    });
    d.copy(piece, "binding strip");
}
