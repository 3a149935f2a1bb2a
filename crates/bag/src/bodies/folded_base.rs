//! A bag of one piece that goes down the front, round the base and up the back: folded at the base,
//! with a seam at either side.

use measure::{Length, Outline, Point};

use super::Body;
use super::two_panel_params::{DEPTH, EASE, HEIGHT, HOLDS, SIZE_FINISHED, STANDS, WIDTH};
use crate::design::{Design, Role};
use crate::draft::face::whole_span;
use crate::draft::{
    Ability, Borders, Drafter, Face, Layer, Lie, NewPiece, PanelSize, Plan, SeamMake, Shell, TwoPanels,
    panel_size, piped_sides, side_seams, wanted,
};
use crate::extras::PipedSeam;
use crate::kinds::{Kind, Param, Value, Values, choice};
use crate::operations::Corner;
use crate::pattern::{
    CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, Reach, Span,
};

/// The kind.
pub(super) struct FoldedBase;
/// Its entry in the list.
pub(super) const KIND: FoldedBase = FoldedBase;

impl Kind for FoldedBase {
    fn name(&self) -> &'static str {
        "folded-base"
    }
    fn title(&self) -> &'static str {
        "Bag folded at the base"
    }
    fn help(&self) -> &'static str {
        "One piece goes down the front, round the base and up the back: two side seams, none at the \
         base, which carries the load. A print with an up and a down stands on its head on the back."
    }
    fn params(&self) -> &'static [Param] {
        const BASE: Param = choice(
            "base",
            "base",
            "What becomes of the fold.",
            &[
                ("boxed", "its corners are boxed, so that the bag stands"),
                ("flat", "it stays a fold: a flat bag, and `depth` does not matter"),
            ],
        );
        &[SIZE_FINISHED, WIDTH, HEIGHT, BASE, DEPTH, HOLDS, STANDS, EASE]
    }
}

impl Body for FoldedBase {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let depth = match values.choice("base") {
            "flat" => Length::ZERO,
            _ => values.length("depth"),
        };
        let size = wanted(d, values, depth)?;
        let (panel, tip) = panel_size(d, (size.width, size.height, size.depth), Length::ZERO);
        let faces = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        faces.is_possible(d).then(|| Box::new(Folded { faces }) as Box<dyn Plan>)
    }

    fn suit(&self, design: &mut Design) {
        // There is no base seam for them to run up from.
        design.handles.values.set("from", Value::Choice("rim"));
    }
}

/// Edges of the piece, in the outline's order.
const BACK_RIM: usize = 0;
const RIGHT: usize = 1;
const FRONT_RIM: usize = 2;
const LEFT: usize = 3;

/// A planned bag: its front and back, laid flat, are those of a bag of two panels, and hang
/// together at the base.
#[derive(Clone, Debug)]
struct Folded {
    faces: TwoPanels,
}

impl Folded {
    /// Front and back of a copy that is twice as high as each: the back stands on its head below
    /// the front.
    fn two_faces(d: &Drafter<'_>, copy: CopyId, size: PanelSize) -> Vec<Face> {
        let (wide, high) = (size.base, size.height);
        let side = |edge, from, to| vec![Span { copy, edge, from, to }];
        let (none, whole) = (Length::ZERO, high * 2);
        let face = |word, turned, borders| Face {
            copies: vec![copy],
            starts: vec![none],
            lies: vec![Lie { foot: Point::new(wide.half(), high), turned }],
            base_width: wide,
            top_width: wide,
            height: high,
            ..Face::within(word, borders)
        };
        let front = Borders {
            base: None,
            right: side(RIGHT, high, whole),
            left: side(LEFT, high, none),
            rim: whole_span(d, copy, FRONT_RIM),
        };
        let back = Borders {
            base: None,
            right: side(LEFT, high, whole),
            left: side(RIGHT, high, none),
            rim: whole_span(d, copy, BACK_RIM),
        };
        vec![face("front", false, front), face("back", true, back)]
    }

    /// Marks the middles of both rims, where the base folds, and the boxing lines.
    fn mark(&self, d: &mut Drafter<'_>, faces: &[Face]) {
        let copy = faces[0].bottom();
        let middle = faces[0].base_width.half();
        for (label, edge) in [("front", FRONT_RIM), ("back", BACK_RIM)] {
            let label = format!("centre of the {label}, rim");
            d.mark_copy(copy, &label, MarkShape::Notch { edge, along: middle });
        }
        let along = faces[0].height;
        for edge in [RIGHT, LEFT] {
            d.mark_copy(copy, "base fold", MarkShape::Notch { edge, along });
        }
        for face in faces {
            self.faces.mark_boxing(d, face);
        }
    }

    /// How the front is measured: its width along the fold, and its height from it.
    fn gauges(copy: CopyId) -> (Gauge, Gauge) {
        let width = Gauge(vec![Reach::OnFold(copy, LEFT, RIGHT)]);
        (width, Gauge(vec![Reach::Folded(copy, FRONT_RIM, BACK_RIM, 2)]))
    }
}

impl Plan for Folded {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        // A lining has a seam at its base: there the bag is turned, and nobody sees it.
        if layer == Layer::Lining {
            return self.faces.shell(d, layer);
        }
        let size = self.faces.panel;
        let (side, rim) = (d.seam_allowance("side"), d.rim_allowance);
        let edges =
            vec![("back rim", rim), ("right side", side), ("front rim", rim), ("left side", side)];
        let piece = d.piece(NewPiece {
            id: "outside-panel",
            name: "outside panel",
            role: Role::Outside,
            net: Outline::rectangle(size.base, size.height * 2),
            edges,
            grain: Grain::Lengthwise,
            join: None,
        });
        let copy = d.copy(piece, "outside panel");
        let faces = Self::two_faces(d, copy, size);
        self.mark(d, &faces);
        Shell::of_faces(layer, faces)
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        if shell.layer == Layer::Lining {
            return self.faces.sew(d, shell, opening);
        }
        let front = &shell.faces[0];
        let (copy, fold) = (front.bottom(), front.height);
        let mut sides = side_seams(d, shell);
        sides.lay = Some(format!(
            "Fold the {} at the notches of the base, right sides together, the rims and the raw \
             edges at both sides level, and pin.",
            d.copy_of(copy).1
        ));
        let runs = sides.runs();
        d.sew(shell.layer, sides);
        d.finish_seams(shell.layer, "finish-seams", "the side seams", runs);
        let flat = !self.faces.tip.is_positive();
        if flat {
            let wide = front.base_width.half();
            for (on, from, to) in front.line((-wide, Length::ZERO), (wide, Length::ZERO)) {
                d.hinges.push(Hinge { line: HingeLine::Fold(on, from, to), degrees: 0.0 });
            }
        } else {
            let at = |side| Corner { fold: Some(fold), ..Corner::of(copy, side, side) };
            let corners = vec![vec![at(LEFT)], vec![at(RIGHT)]];
            self.faces.box_at(d, shell, corners, Self::gauges(copy));
            for face in &shell.faces {
                self.faces.fold(d, face);
            }
        }
        let line = HingeLine::Seam("outside-side-seams".to_owned());
        d.hinges.push(Hinge { line, degrees: if flat { 0.0 } else { 180.0 } });
        None
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let copy = outside.faces[0].bottom();
        let TwoPanels { panel, tip, .. } = self.faces;
        (d.claims.width_gauge, d.claims.height_gauge) = Self::gauges(copy);
        d.claims.width = panel.base - tip * 2;
        d.claims.height = panel.height - tip;
        d.claims.depth = tip * 2;
        d.claims.top_width = panel.base;
        d.claims.top_gauge = Gauge(vec![Reach::Along(copy, FRONT_RIM)]);
        d.claims.asked.clone_from(&self.faces.asked);
        d.claims.holds.clone_from(&self.faces.holds);
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<PipedSeam> {
        // No seam crosses the sides of a flat one at its fold, in which a cord could run out; and a French
        // seam has no allowance in which it could lie.
        let tip = self.faces.tip;
        if !tip.is_positive() || matches!(d.seam_make, SeamMake::French { .. }) {
            return Vec::new();
        }
        piped_sides(d, outside, tip)
    }

    fn base_rise(&self) -> Length {
        self.faces.half_depth
    }

    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag_but(&[Ability::BaseSeam])
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::checks;
    use crate::design::Chosen;
    use crate::finding::{Finding, Severity};

    fn drafted(base: &'static str, more: impl Fn(&mut Design)) -> (crate::Pattern, Vec<Finding>) {
        let mut design = Design::of(&KIND, Units::Inch);
        assert!(design.body.values.set("base", Value::Choice(base)));
        more(&mut design);
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        let findings = checks::run(&pattern);
        (pattern, findings)
    }

    /// Derived from the boxed bag 16 × 14 × 4 in of two panels cut 21 × 17 with 1/2 in seams
    /// (common practice): the seam at the base goes, so the one piece is 2 × (17 − 1/2) = 33 high.
    #[test]
    fn one_piece_is_two_panels_without_their_base_seam() {
        let (pattern, findings) = drafted("boxed", |_| {});
        assert!(findings.iter().all(|f| f.severity == Severity::Note), "{findings:#?}");
        assert_eq!(pattern.pieces[0].cut_size(), (Length::inch(21), Length::inch(33)));
        assert_eq!(pattern.count(crate::pattern::PieceId(0)), 1);
        let claims = &pattern.claims;
        let size = [claims.width, claims.height, claims.depth].map(Length::to_inch);
        assert_eq!(size, [16.0, 14.0, 4.0]);
        assert!(pattern.step("outside-base-seam").is_none());
    }

    /// A flat one of 16 × 14 in with 1/2 in seams is cut 17 × 29 (arithmetic).
    #[test]
    fn a_flat_one_keeps_its_fold() {
        let (pattern, findings) = drafted("flat", |_| {});
        assert!(findings.iter().all(|f| f.severity == Severity::Note), "{findings:#?}");
        assert_eq!(pattern.pieces[0].cut_size(), (Length::inch(17), Length::inch(29)));
        assert!(pattern.step("box-outside-corners").is_none());
    }

    /// The lining is of two panels, and turned through the seam at its base.
    #[test]
    fn the_lining_has_a_seam_at_its_base() {
        let (pattern, _) = drafted("boxed", |_| {});
        let lining = pattern.pieces.iter().find(|piece| piece.id == "lining-panel").unwrap();
        assert_eq!(lining.cut_size(), (Length::inch(21), Length::inch(17)));
        assert!(pattern.step("lining-base-seam").is_some());
    }

    #[test]
    fn a_one_way_print_is_upside_down_on_the_back() {
        let one_way = |design: &mut Design| {
            let fabric = design.fabrics.get_mut(&Role::Outside).expect("it has an outside");
            assert!(fabric.set("one-way", Value::Flag(true)));
        };
        for base in ["boxed", "flat"] {
            let (_, findings) = drafted(base, one_way);
            let warned: Vec<_> =
                findings.iter().filter(|f| f.severity == Severity::Warning).collect();
            assert_eq!(warned.len(), 1, "{findings:#?}");
            assert_eq!(warned[0].check, "print-stands-upright");
        }
        // With a seam at the base each panel is cut the right way up.
        let mut design = Design::of(crate::bodies::find("boxed").unwrap(), Units::Inch);
        one_way(&mut design);
        let pattern = crate::draft(&design).pattern.unwrap();
        assert!(checks::run(&pattern).iter().all(|f| f.check != "print-stands-upright"));
    }

    /// No seam at the base catches a full-width pocket: its lower edge, turned under, is stitched to the
    /// panel 1/2 in above the base, which boxing takes 2 in of; 9 in high it is 6 1/2 in, and as deep but
    /// for the row of stitches.
    #[test]
    fn a_full_width_pocket_is_stitched_down_above_the_fold() {
        let system = measure::System::Inch;
        for (base, kind, rise) in [("boxed", "band", 2), ("flat", "band", 0), ("boxed", "slip", 2)] {
            for top in ["hem", "lined"] {
                let (pattern, findings) = drafted(base, |design| {
                    design.lining = Chosen::new(crate::linings::find("unlined").unwrap(), system);
                    let mut pocket = Chosen::new(crate::pockets::find(kind).unwrap(), system);
                    assert!(pocket.values.set("on", Value::Choice("both")));
                    assert!(pocket.values.set("top", Value::Choice(top)));
                    assert!(pocket.values.set("height", Value::Length(Length::inch(9))));
                    assert!(pocket.values.set("divisions", Value::Count(2)));
                    design.pockets = vec![pocket];
                });
                let worst = findings.iter().filter(|f| f.severity == Severity::Error);
                assert_eq!(worst.count(), 0, "{base}, {kind}, {top}: {findings:#?}");
                let high = Length::inch(9 - rise) - Length::inch_frac(1, 2);
                let claims = &pattern.claims.pockets;
                assert_eq!(claims.len(), 2);
                for claim in claims {
                    assert_eq!(claim.size.1, high);
                    assert_eq!(claim.true_depth, high - Length::inch_frac(1, 8));
                }
            }
        }
    }

    /// A lining of two panels has the seam that it needs.
    #[test]
    fn a_slip_pocket_of_the_lining_is_held_in_its_base_seam() {
        let (pattern, findings) = drafted("boxed", |design| {
            let system = measure::System::Inch;
            let slip = crate::pockets::find("slip").unwrap();
            design.pockets = vec![Chosen::new(slip, system)];
        });
        assert!(findings.iter().all(|f| f.severity == Severity::Note), "{findings:#?}");
        assert!(pattern.step("stitch-slip-pocket").is_none());
    }
}
