//! A tube on a rectangular base with rounded corners.

use measure::Length;

use super::Body;
use crate::draft::{BasedTube, Drafter, Plan};
use crate::kinds::{Kind, Param, Values, length};

/// The kind.
pub(super) struct RoundedBase;
/// Its entry in the list.
pub(super) const KIND: RoundedBase = RoundedBase;

impl Kind for RoundedBase {
    fn name(&self) -> &'static str {
        "rounded-base"
    }
    fn title(&self) -> &'static str {
        "Bag on a base with rounded corners"
    }
    fn help(&self) -> &'static str {
        "Two panels sewn into a tube, and a rectangular base with rounded corners sewn into it. A \
         radius of half the depth makes round ends."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "width",
                "width",
                "Width of the finished base.",
                [Length::mm(60), Length::mm(900), Length::inch(14), Length::mm(350)],
            ).size(),
            length(
                "height",
                "height",
                "Height of the finished bag, from the base to the rim.",
                [Length::mm(60), Length::mm(1_200), Length::inch(12), Length::mm(300)],
            ).size(),
            length(
                "depth",
                "depth",
                "Depth of the finished base.",
                [Length::mm(50), Length::mm(600), Length::inch(6), Length::mm(150)],
            ).size(),
            length(
                "corner",
                "radius of the corners",
                "Radius of the base's corners, at the stitching line.",
                [Length::mm(12), Length::mm(300), Length::inch(2), Length::mm(50)],
            ).along(),
        ];
        PARAMS
    }
}

impl Body for RoundedBase {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let asked: Vec<(&'static str, Length)> =
            ["width", "height", "depth"].map(|key| (key, values.length(key))).into();
        let plan = BasedTube {
            base: (values.length("width"), values.length("depth")),
            height: values.length("height"),
            corner: Some(values.length("corner")),
            asked,
        };
        let possible = plan.is_possible(d);
        possible.then(|| Box::new(plan) as Box<dyn Plan>)
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::checks;
    use crate::design::{Chosen, Design};
    use crate::finding::Severity;
    use crate::kinds::Value;
    use crate::operations::Join;

    /// The opening is as long as it was asked: in the side seam of a high tube, in the base seam of a
    /// low one whose lining begins below a facing (derived: 8 in high, 2 in of facing, so the side of
    /// the lining is 6 in, of which half would be 3).
    #[test]
    fn a_low_tube_is_turned_through_its_base_seam() {
        for lining in ["faced", "turned"] {
            for (high, seam) in [(8, "lining-base-seam"), (16, "lining-side-seams")] {
                let mut design = Design::of(&KIND, Units::Inch);
                for (key, inches) in [("width", 12), ("height", high), ("depth", 6)] {
                    assert!(design.body.values.set(key, Value::Length(Length::inch(inches))));
                }
                design.lining =
                    Chosen::new(crate::linings::find(lining).unwrap(), design.system());
                let pattern = crate::draft(&design).pattern.unwrap();
                let found = checks::run(&pattern);
                assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining} {found:#?}");
                let gap = pattern.step(seam).unwrap().as_a::<Join>().unwrap().gaps[0];
                assert_eq!(gap.to - gap.from, Length::inch(6), "{lining} {high}");
            }
        }
    }
}
