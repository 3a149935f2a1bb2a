//! A bucket: a tube on a round or oval base.

use measure::Length;

use super::Body;
use crate::draft::{BasedTube, Drafter, Plan};
use crate::kinds::{Kind, Param, Values, length, optional};

/// The kind.
pub(super) struct RoundBase;
/// Its entry in the list.
pub(super) const KIND: RoundBase = RoundBase;

impl Kind for RoundBase {
    fn name(&self) -> &'static str {
        "round-base"
    }
    fn title(&self) -> &'static str {
        "Bag on a round base"
    }
    fn help(&self) -> &'static str {
        "Two panels sewn into a tube, and a round or an oval base sewn into it: a bucket, a bag \
         for balls of yarn, a laundry bag. The panels are together as wide as the base is round."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "width",
                "width",
                "Diameter of the finished base; of an oval, its width.",
                [Length::mm(50), Length::mm(600), Length::inch(10), Length::mm(250)],
            ).size(),
            optional(
                "depth",
                "depth",
                "Depth of an oval base; left out, the base is a circle.",
                [Length::mm(50), Length::mm(600)],
            ).size(),
            length(
                "height",
                "height",
                "Height of the finished bag, from the base to the rim.",
                [Length::mm(60), Length::mm(1_200), Length::inch(12), Length::mm(300)],
            ).size(),
        ];
        PARAMS
    }
}

impl Body for RoundBase {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let (width, height) = (values.length("width"), values.length("height"));
        let depth = values.optional("depth");
        let mut asked = vec![("width", width), ("height", height)];
        asked.extend(depth.map(|depth| ("depth", depth)));
        let base = (width, depth.unwrap_or(width));
        let plan = BasedTube { base, height, corner: None, asked };
        let possible = plan.is_possible(d);
        possible.then(|| Box::new(plan) as Box<dyn Plan>)
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::Design;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::operations::ClipEdge;
    use crate::{Severity, checks, linings, pockets};

    /// The wall is two panels, front and back, each half as wide as the base is round: a pocket on both
    /// goes all round it, π · d in all, less what its own divisions take (geometry). Whatever is laid on
    /// one panel lies clear of both side seams.
    #[test]
    fn pockets_lie_on_the_wall_round_a_base() {
        for body in ["round-base", "rounded-base"] {
            for (kind, lining) in [
                ("band", "turned"),
                ("band", "unlined"),
                ("slip", "faced"),
                ("patch", "dropped"),
                ("flap", "turned"),
                ("elastic", "unlined"),
                ("window", "backed"),
                ("zip-slit", "turned"),
            ] {
                let mut design = Design::of(crate::bodies::find(body).unwrap(), Units::Inch);
                design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
                let mut pocket = Chosen::new(pockets::find(kind).unwrap(), design.system());
                assert!(pocket.values.set("on", Value::Choice("both")));
                design.pockets = vec![pocket];
                let pattern = crate::draft(&design).pattern.unwrap();
                let found = checks::run(&pattern);
                assert!(found.iter().all(|f| f.severity == Severity::Note), "{body} {kind}: {found:#?}");
                let round = |it: &&crate::pattern::Piece| it.id.ends_with("base");
                let base = pattern.pieces.iter().filter(round).map(|it| it.net.perimeter().to_mm());
                // What is caught in the seam of the base is clipped with the wall.
                let clips = pattern.steps.iter().filter_map(|step| step.as_a::<ClipEdge>());
                let told = clips.filter(|clip| clip.what.contains("the pockets that are basted")).count();
                assert_eq!(told, usize::from(["band", "slip"].contains(&kind)), "{body} {kind}");
                let wide = pattern.claims.pockets.iter().map(|claim| claim.size.0.to_mm());
                let all: f64 = wide.sum();
                let full = base.clone().any(|around| (around - all).abs() < 0.1);
                assert_eq!(full, ["band", "slip"].contains(&kind), "{body} {kind}: {all}");
                assert!(base.fold(0.0_f64, f64::max) >= all - 0.1);
            }
        }
    }

    /// MIL-B-829M's duffel bag, 12.5 in across and 37 in deep: its body is π·12.5 = 39.27 in round,
    /// and holds 74.4 L (derived: π·12.5²/4·37 cubic inches of 16.387064 mL).
    #[test]
    fn a_published_duffel_bag() {
        let mut design = Design::of(crate::bodies::find("round-base").unwrap(), Units::Inch);
        let values = [("width", Length::inch_frac(25, 2)), ("height", Length::inch(37))];
        for (key, length) in values {
            assert!(design.body.values.set(key, Value::Length(length)));
        }
        let pattern = crate::draft(&design).pattern.unwrap();
        let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
        let around = panel.net_size().0.to_mm() * 2.0;
        assert!((around - 12.5 * 25.4 * std::f64::consts::PI).abs() < 0.1, "{around}");
        assert!((around / 25.4 - 39.27).abs() < 0.005);
        let base = pattern.pieces.iter().find(|piece| piece.id == "outside-base").unwrap();
        let litres = base.net.area().to_mm2() * panel.net_size().1.to_mm() / 1e6;
        assert!((litres - 74.4).abs() < 0.05, "{litres}");
    }
}
