//! A lining with a facing of the outside's fabric along the rim, turned through an opening.

use measure::Length;

use super::Lining;
use super::turned::finish_turned;
use crate::draft::facing::{Band, face_the_rim};
use crate::draft::{Drafter, Plan, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};

/// The kind.
pub(super) struct Faced;
/// Its entry in the list.
pub(super) const KIND: Faced = Faced;

impl Kind for Faced {
    fn name(&self) -> &'static str {
        "faced"
    }
    fn title(&self) -> &'static str {
        "Lining below a facing"
    }
    fn help(&self) -> &'static str {
        "The lining hangs from a facing: a band of the outside's fabric along the rim, joined above \
         each piece of it while they lie flat. What shows when the bag is open is the outside's \
         fabric, and snaps and zips sit in something firm. Turned through an opening."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "facing",
                "facing",
                "Height of the finished facing, from the rim down to its seam.",
                [Length::mm(25), Length::mm(300), Length::inch(2), Length::mm(50)],
            ),
            length(
                "seam",
                "allowance below the facing",
                "Seam allowance between the facing and the lining.",
                [Length::mm(5), Length::mm(25), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "ease",
                "cut smaller by",
                "How much narrower and lower than the outside each lining panel is cut, its facing \
                 with it, so that the lining does not sag.",
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
            choice(
                "rim",
                "rim",
                "What keeps the facing from rolling out over the rim.",
                &[
                    ("topstitched", "the rim is topstitched through all layers"),
                    (
                        "understitched",
                        "the facing is stitched to the allowances, which does not show outside",
                    ),
                ],
            ),
            length(
                "topstitch",
                "row at the rim",
                "How far that row of stitches lies from the rim.",
                [Length::mm(2), Length::mm(25), Length::inch_frac(1, 4), Length::mm(6)],
            ),
        ];
        PARAMS
    }
}

impl Lining for Faced {
    fn is_lined(&self) -> bool {
        true
    }

    fn prepare(&self, _: &mut Drafter<'_>, _: &Values) {}

    fn ready(&self, d: &mut Drafter<'_>, values: &Values, inside: Option<&mut Shell>) {
        let Some(inside) = inside else { return };
        let stitched = d.either(Length::inch_frac(1, 8), Length::mm(3));
        let band = Band {
            height: values.length("facing"),
            allowance: values.length("seam"),
            stitched: stitched.min(values.length("seam").half()),
        };
        face_the_rim(d, inside, band);
    }

    fn finish(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        plan: &dyn Plan,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        if let Some(inside) = inside {
            finish_turned(d, values, plan, outside, inside);
        }
    }
}
