//! A pouch that is a box: its corners are boxed at the base and at both ends of the zip along the
//! middle of its top.

use measure::{Length, Outline};

use super::Body;
use super::two_panel_params::{EASE, HOLDS, SIZE_FINISHED, STANDS};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM};
use crate::draft::facing::JOIN_FACINGS;
use crate::draft::zip_top::{ENDS, TAB, TEETH, ZIP_SEAM};
use crate::draft::{
    Ability, Drafter, Face, Layer, Mouth, PanelSize, Plan, Seam, Shell, TwoPanels, ZipTop, base_seam,
    side_seams, wanted,
};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{BoxCorner, Corner, EdgeFinish, Gap};
use crate::pattern::{Checkpoint, Gauge, Hinge, HingeLine, MarkShape, Reach};

/// The kind.
pub(super) struct BoxedPouch;
/// Its entry in the list.
pub(super) const KIND: BoxedPouch = BoxedPouch;

impl Kind for BoxedPouch {
    fn name(&self) -> &'static str {
        "boxed-pouch"
    }
    fn title(&self) -> &'static str {
        "Boxed pouch with a zip"
    }
    fn help(&self) -> &'static str {
        "A box with a zip along the middle of its top: two panels, the zip set first, and all four \
         corners boxed. With a lining the zip lies between outside and lining, and the pouch is turned \
         through an opening in the lining; of one layer, quilted or backed, its seams are bound and it \
         is turned through the zip, and a lining may still be put in at last and sewn to the zip by \
         hand."
    }
    fn params(&self) -> &'static [Param] {
        const WIDTH: Param = length(
            "width",
            "width",
            "Width of the finished pouch, along the zip.",
            [Length::mm(80), Length::mm(900), Length::inch(9), Length::mm(230)],
        ).size();
        const HEIGHT: Param = length(
            "height",
            "height",
            "Height of the finished pouch.",
            [Length::mm(40), Length::mm(500), Length::inch(5), Length::mm(130)],
        ).size();
        const DEPTH: Param = length(
            "depth",
            "depth",
            "Depth of the finished pouch, across the zip.",
            [Length::mm(30), Length::mm(400), Length::inch(4), Length::mm(100)],
        ).size();
        &[SIZE_FINISHED, WIDTH, HEIGHT, DEPTH, TEETH, ZIP_SEAM, ENDS, TAB, HOLDS, STANDS, EASE]
    }
}

impl Body for BoxedPouch {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let size = wanted(d, values, values.length("depth"))?;
        let tip = d.snap(size.depth.half());
        // Half of the depth is the base's, the other half the top's, on either panel.
        let panel = PanelSize {
            base: size.width + tip * 2,
            top: size.width + tip * 2,
            height: size.height + tip * 2,
        };
        let zip = ZipTop::plan(d, values, panel.top)?;
        let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
        if tip < d.rim_allowance + room {
            let message = format!(
                "a pouch {} deep leaves no room beside the seam of its zip to box a corner",
                d.show(size.depth)
            );
            let cure = format!("make it {} deep or more", d.show((d.rim_allowance + room) * 2));
            d.refuse("body.depth", message, cure);
            return None;
        }
        let panels = TwoPanels {
            panel,
            tip,
            half_depth: tip,
            contrast: None,
            asked: size.asked,
            holds: size.holds,
        };
        let too_low = d.is_too_small("height", size.height) | d.is_too_small("width", size.width);
        let possible = !too_low && panels.is_possible(d);
        possible.then(|| Box::new(Boxed { panels, zip }) as Box<dyn Plan>)
    }

    fn usual_handles(&self) -> &'static str {
        "none"
    }

    fn usual_lining(&self) -> &'static str {
        "backed"
    }
}

/// A planned pouch.
#[derive(Clone, Debug)]
struct Boxed {
    panels: TwoPanels,
    zip: ZipTop,
}

impl Boxed {
    /// Where front, side and top meet: `sign` is -1 at the left, 1 at the right.
    fn top_point(&self, face: &Face, sign: i64) -> (Length, Length) {
        let tip = self.panels.tip;
        ((face.top_width.half() - tip) * sign, face.height - tip)
    }

    /// Marks the lines along which the corners at the ends of the zip are boxed.
    fn mark_top(&self, d: &mut Drafter<'_>, face: &Face) {
        for sign in [-1, 1] {
            let corner = self.top_point(face, sign);
            let on_rim = (corner.0, face.height);
            let on_side = (face.top_width.half() * sign, corner.1);
            for (from, to) in [(on_rim, corner), (corner, on_side)] {
                for (copy, a, b) in face.line(from, to) {
                    d.mark_copy(copy, "boxing line", MarkShape::Stitching(a, b));
                }
            }
        }
    }

    /// Sews up the top of a lining as far as its corners are boxed; the zip takes the rest.
    fn sew_lining_top(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let sides = vec![[front.rim(), back.rim().reversed()]];
        let mut top = Seam::new("top-seam", "the top of the lining, at both ends", sides, d.rim_allowance);
        let tip = self.panels.tip;
        top.gap = Some(Gap { from: tip, to: front.rim().length() - tip });
        top.mind = Some(
            "backstitch where the opening begins and ends: the corners are boxed just beside it."
                .to_owned(),
        );
        d.sew(shell.layer, top);
    }

    /// Boxes the corners at the base of a layer.
    fn box_base(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let (word, of) = match shell.layer {
            Layer::Outside => ("", ""),
            Layer::Lining => ("lining-", " of the lining"),
        };
        let (id, what) = (format!("box-{word}base-corners"), format!("the base{of}"));
        let corners = Self::corners(shell, BASE);
        self.box_at(d, &id, what, shell, (corners, d.plain_finish(shell.layer)));
    }

    /// Boxes the corners at the top of a layer, at both ends of the zip or of what is left open for
    /// it.
    fn box_top(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let (word, what) = match shell.layer {
            Layer::Outside => ("", "the top, at both ends of the zip"),
            Layer::Lining => ("lining-", "the top of the lining, at both ends of its opening"),
        };
        let corners = Self::corners(shell, RIM);
        let finish = d.plain_finish(shell.layer);
        let id = format!("box-{word}top-corners");
        self.box_at(d, &id, what.to_owned(), shell, (corners, finish));
    }

    /// The two corners of a layer at one of its edges, each that of the front and of the back.
    fn corners(shell: &Shell, base: usize) -> Vec<Vec<Corner>> {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let corner = |face: &Face, side| {
            let copy = if base == RIM { face.top() } else { face.bottom() };
            Corner { copy, side, base, fold: None }
        };
        [(LEFT, RIGHT), (RIGHT, LEFT)]
            .map(|(one, other)| vec![corner(front, one), corner(back, other)])
            .into()
    }

    fn box_at(
        &self,
        d: &mut Drafter<'_>,
        id: &str,
        what: String,
        shell: &Shell,
        (corners, finish): (Vec<Vec<Corner>>, Option<EdgeFinish>),
    ) {
        let front = &shell.faces[0];
        let of = if shell.layer == Layer::Lining { " of the lining" } else { "" };
        let boxing = BoxCorner {
            what,
            corners,
            tip: self.panels.tip,
            depth: self.panels.tip * 2,
            leave: d.either(Length::inch_frac(3, 8), Length::mm(10)).min(self.panels.tip.half()),
            stitch: d.stitch("seam"),
            finish,
        };
        let mut height = Gauge(vec![Reach::Across(front.bottom(), RIM, BASE)]);
        let above = front.copies.iter().skip(1);
        height.0.extend(above.map(|copy| Reach::Across(*copy, RIM, BASE)));
        let size = Checkpoint::Size {
            what: format!("the front{of}, between what is boxed so far,"),
            width: Gauge(vec![Reach::Along(front.bottom(), BASE)]),
            height,
        };
        d.step_checked(d.chapter(shell.layer), id, boxing, size);
    }

    /// The panels go straight on across these seams.
    fn straight_on(d: &mut Drafter<'_>, seams: &[&str]) {
        let hinge = |seam: &&str| HingeLine::Seam((*seam).to_owned());
        d.hinges.extend(seams.iter().map(|seam| Hinge { line: hinge(seam), degrees: 180.0 }));
    }

    /// Where the box bends: round each face, and not at its seams.
    fn fold(&self, d: &mut Drafter<'_>, face: &Face) {
        let tip = self.panels.tip;
        let low = [-1, 1].map(|sign| ((face.base_width.half() - tip) * sign, tip));
        let high = [-1, 1].map(|sign| self.top_point(face, sign));
        let lines =
            [(low[0], low[1]), (high[0], high[1]), (low[0], high[0]), (low[1], high[1])];
        for (from, to) in lines {
            for (copy, a, b) in face.line(from, to) {
                d.hinges.push(Hinge { line: HingeLine::Fold(copy, a, b), degrees: 90.0 });
            }
        }
    }
}

impl Plan for Boxed {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let (base, side) = (d.seam_allowance("base"), d.seam_allowance("side"));
        let PanelSize { base: wide, height, .. } = match layer {
            Layer::Outside => self.panels.panel,
            Layer::Lining => self.panels.panel.eased(d.design.lining.values.length("ease")),
        };
        let (id, name, role, noun) = match layer {
            Layer::Outside => ("outside-panel", "outside panel", Role::Outside, "panel"),
            Layer::Lining => ("lining-panel", "lining panel", Role::Lining, "lining"),
        };
        let allowances = [base, side, d.rim_allowance];
        let net = Outline::rectangle(wide, height);
        let piece = TwoPanels::panel_piece(d, (id, name, role), net, allowances);
        let faces: Vec<Face> = ["front", "back"]
            .map(|word| {
                let panels = [(d.copy(piece, &format!("{word} {noun}")), Length::ZERO)];
                Face::of_panels(d, word, &panels, (wide, wide), height)
            })
            .into();
        for face in &faces {
            self.panels.mark(d, face);
        }
        let mut shell = Shell::of_faces(layer, faces);
        for face in &mut shell.faces {
            face.kept = self.panels.tip;
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, inside: Option<&Shell>) {
        // Only now: a facing may have come above the panels of a lining.
        for face in outside.faces.iter().chain(inside.iter().flat_map(|shell| &shell.faces)) {
            self.mark_top(d, face);
        }
        self.zip.set(d, outside, inside);
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let at_zip = d.is_lined_at_zip();
        if shell.layer == Layer::Lining && !at_zip {
            self.sew_lining_top(d, shell);
        }
        // The base first: then it is a tube, and its ends are closed.
        let mut base = match opening {
            Some(opening) => self.panels.base_with_opening(d, shell, opening),
            None => base_seam(d, shell),
        };
        base.again = false;
        let sides = side_seams(d, shell);
        let runs = [base.runs(), sides.runs()].concat();
        let left_by = d.sew(shell.layer, base);
        d.sew(shell.layer, sides);
        d.finish_seams(shell.layer, "finish-seams", "the base and side seams", runs);
        if shell.layer == Layer::Lining {
            for face in &shell.faces {
                self.fold(d, face);
            }
            Self::straight_on(d, &["lining-side-seams", "lining-base-seam"]);
            if !at_zip {
                Self::straight_on(d, &["lining-top-seam"]);
            }
            // A facing as high as half the top is deep begins where the box bends.
            let edge = shell.faces[0].height - self.panels.tip;
            if shell.faces[0].starts.get(1) == Some(&edge) {
                let line = HingeLine::Seam(JOIN_FACINGS.to_owned());
                d.hinges.push(Hinge { line, degrees: 90.0 });
            }
        }
        self.box_base(d, shell);
        if !at_zip {
            self.box_top(d, shell);
        }
        opening.map(|_| left_by)
    }

    /// The corners at the ends of the zip, of both layers: only when all are sewn are they trimmed, as
    /// the zip holds their points together.
    fn sew_together(&self, d: &mut Drafter<'_>, outside: &Shell, inside: &Shell) {
        let [outer, inner] = [outside, inside].map(|shell| Self::corners(shell, RIM));
        // At either end the outside, then its lining.
        let corners = outer.into_iter().zip(inner).flat_map(|(outer, inner)| [outer, inner]);
        let what = "the top, at both ends of the zip";
        let corners = corners.collect();
        self.box_at(d, "box-top-corners", what.to_owned(), outside, (corners, None));
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let front = outside.faces[0].bottom();
        let tip = self.panels.tip;
        let panel = self.panels.panel;
        d.claims.width = panel.base - tip * 2;
        d.claims.width_gauge = Gauge(vec![Reach::Along(front, BASE)]);
        d.claims.height = panel.height - tip * 2;
        d.claims.height_gauge = Gauge(vec![Reach::Across(front, RIM, BASE)]);
        d.claims.depth = tip * 2;
        d.claims.top_width = panel.top - tip * 2;
        d.claims.top_gauge = Gauge(vec![Reach::Along(front, RIM)]);
        d.claims.asked.clone_from(&self.panels.asked);
        d.claims.holds.clone_from(&self.panels.holds);
        for face in &outside.faces {
            self.fold(d, face);
        }
        Self::straight_on(d, &["outside-side-seams", "outside-base-seam", "set-zip"]);
    }

    fn base_rise(&self) -> Length {
        self.panels.half_depth
    }

    fn mouth(&self) -> Mouth {
        Mouth::Zipped
    }

    fn bound_seams(&self, _: &Drafter<'_>, _: &Shell) -> Length {
        let panel = self.panels.panel;
        panel.base + panel.height * 2 + self.panels.tip * 8
    }

    fn offers(&self) -> Vec<Ability> {
        use Ability::{DepthAtRim, MouthWithin, OpenMouth, RimAtSides, StandingRim};
        let not = [DepthAtRim, MouthWithin, OpenMouth, RimAtSides, StandingRim];
        Ability::of_an_open_bag_but(&not)
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::assembly::{Assembly, SideOut};
    use crate::checks;
    use crate::design::{Chosen, Design};
    use crate::finding::Severity;
    use crate::kinds::Value;
    use crate::linings;
    use crate::pattern::CopyId;

    /// Arithmetic: 9 × 5 × 4 in with 1/2 in seams and 1/4 in at the zip: panels 9 + 4 + 1 = 14 wide
    /// and 5 + 4 + 1/2 + 1/4 = 9 3/4 high; every corner is boxed 2 in from its tip.
    #[test]
    fn four_boxed_corners_make_a_box() {
        for lining in ["backed", "unlined"] {
            let mut design = Design::of(&KIND, Units::Inch);
            design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
            for (key, inches) in [("width", 9), ("height", 5), ("depth", 4)] {
                assert!(design.body.values.set(key, Value::Length(Length::inch(inches))));
            }
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
            let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
            assert_eq!(panel.cut_size(), (Length::inch(14), Length::inch_frac(39, 4)));
            let claims = &pattern.claims;
            let size = [claims.width, claims.height, claims.depth].map(Length::to_inch);
            assert_eq!(size, [9.0, 5.0, 4.0]);
        }
    }

    fn lined(lining: &str) -> Design {
        let mut design = Design::of(&KIND, Units::Mm);
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        design
    }

    /// A lining that is sewn on with the zip is boxed at the zip together with the outside, and both are
    /// turned through the opening in its base: one closed body, right side out.
    #[test]
    fn a_lining_hangs_from_the_zip() {
        for lining in ["turned", "faced"] {
            let pattern = crate::draft(&lined(lining)).pattern.expect("it can be drafted");
            let found = checks::run(&pattern);
            assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
            let work = Assembly::sew(&pattern);
            let surface = work.surface(CopyId(0));
            assert!(surface.is_closed() && surface.orientable, "{surface:#?}");
            assert!(surface.inside_out.is_empty());
            assert_eq!(work.side_out(CopyId(0)), SideOut::Right);
            // Before it is turned the opening is its only mouth.
            let turn = pattern.steps.iter().position(|step| step.id == "turn-bag").unwrap();
            let open = Assembly::sew_first(&pattern, turn).surface(CopyId(0));
            assert_eq!((open.mouths.len(), open.euler()), (1, 1));
            // Without its opening it cannot be turned; with its top unboxed it does not fit.
            let mut shut = pattern.clone();
            let base = shut.steps.iter_mut().find(|step| step.id == "lining-base-seam").unwrap();
            let mut join = base.as_a::<crate::operations::Join>().unwrap().clone();
            join.gaps.clear();
            base.operation = std::sync::Arc::new(join);
            let found = checks::run(&shut);
            assert!(found.iter().any(|f| f.check == "turning-has-opening"), "{found:#?}");
            let mut pointed = pattern;
            let top = pointed.steps.iter_mut().find(|step| step.id == "box-top-corners").unwrap();
            let mut boxing = top.as_a::<BoxCorner>().unwrap().clone();
            boxing.corners = vec![boxing.corners[0].clone(), boxing.corners[2].clone()];
            top.operation = std::sync::Arc::new(boxing);
            let found = checks::run(&pointed);
            assert!(found.iter().any(|f| f.check == "layers-fit"), "{found:#?}");
        }
    }

    /// A lining that is put in at last is boxed by itself, sewn up beyond the ends of the zip, and
    /// sewn to the zip between them: one closed body, right side out.
    #[test]
    fn a_lining_is_put_in_at_last() {
        let pattern = crate::draft(&lined("dropped")).pattern.expect("it can be drafted");
        let found = checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity == Severity::Note), "{found:#?}");
        let work = Assembly::sew(&pattern);
        let surface = work.surface(CopyId(0));
        assert!(surface.is_closed() && surface.orientable, "{surface:#?}");
        assert_eq!(surface.copies.len(), 4);
        assert_eq!(work.side_out(CopyId(0)), SideOut::Right);
        // Left undone, the opening in the top of the lining stays.
        let mut open = pattern.clone();
        open.steps.retain(|step| step.id != "sew-lining-to-zip");
        let found = checks::run(&open);
        assert!(found.iter().any(|f| f.check == "openings-closed"), "{found:#?}");
        // Without its zip the lining has nothing to be sewn to.
        let mut bare = pattern;
        bare.steps.retain(|step| step.id != "set-zip");
        let found = checks::run(&bare);
        assert!(found.iter().any(|f| f.message.contains("there is no zip")), "{found:#?}");
    }

    /// Nothing is turned through the top of a lining, and no zip runs in it.
    #[test]
    fn the_steps_of_a_lining_say_what_it_has() {
        let pattern = crate::draft(&lined("dropped")).pattern.expect("it can be drafted");
        let telling = crate::operations::Telling { pattern: &pattern, system: measure::System::Metric };
        let told = |id: &str| pattern.step(id).expect(id).operation.tell(&telling).text;
        let top = told("lining-top-seam");
        assert!(top.contains("for the zip") && !top.contains("turning"), "{top}");
        assert!(told("box-top-corners").contains("on the middle of the zip"));
        assert!(told("box-lining-top-corners").contains("on the seam along the top"));
        assert!(told("drop-in").contains("through the open zip"));
    }
}
