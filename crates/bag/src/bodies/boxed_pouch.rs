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
        let wide = size.width + tip * 2;
        let zip = ZipTop::plan(d, values, (wide, tip))?.to_size(d);
        let shows = zip.shows();
        // The zip takes its width of the top, the panels share what is left of it.
        let beside = tip - shows.half();
        // Half of the depth is the base's on either panel.
        let panel = PanelSize { base: wide, top: wide, height: size.height + tip + beside };
        // The allowance at the zip must lie flat on the top.
        if beside < d.rim_allowance {
            let message = format!(
                "a pouch {} deep, of which the zip shows {}, leaves no room on its top for the \
                 allowances of {} beside the zip",
                d.show(size.depth),
                d.show(shows),
                d.show(d.rim_allowance)
            );
            let least = d.rim_allowance * 2 + shows;
            let cure = format!("make it {} deep or more, or take a narrower zip", d.show(least));
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
        possible.then(|| Box::new(Boxed { panels, zip, beside }) as Box<dyn Plan>)
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
    /// How far a panel reaches onto the top, from its front edge to the seam of the zip.
    beside: Length,
}

impl Boxed {
    /// How far below its rim a panel of a layer bends round the edge of the top. A lining that is put
    /// in later is a box by itself: its panels meet over the middle of the zip.
    fn top_fold(&self, d: &Drafter<'_>, layer: Layer) -> Length {
        let is_whole = layer == Layer::Lining && !d.is_lined_at_zip();
        if is_whole { self.panels.tip } else { self.beside }
    }

    /// Where front, side and top meet: `sign` is -1 at the left, 1 at the right.
    fn top_point(&self, face: &Face, fold: Length, sign: i64) -> (Length, Length) {
        ((face.top_width.half() - self.panels.tip) * sign, face.height - fold)
    }

    /// Marks the lines along which the corners at the ends of the zip are boxed.
    fn mark_top(&self, d: &mut Drafter<'_>, face: &Face, fold: Length) {
        for sign in [-1, 1] {
            let corner = self.top_point(face, fold, sign);
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
        let corners = self.corners(d, shell, BASE);
        self.box_at(d, &id, what, shell, (corners, d.plain_finish(shell.layer)));
    }

    /// Boxes the corners at the top of a layer, at both ends of the zip or of what is left open for
    /// it.
    fn box_top(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let (word, what) = match shell.layer {
            Layer::Outside => ("", "the top, at both ends of the zip"),
            Layer::Lining => ("lining-", "the top of the lining, at both ends of its opening"),
        };
        let corners = self.corners(d, shell, RIM);
        let finish = d.plain_finish(shell.layer);
        let id = format!("box-{word}top-corners");
        self.box_at(d, &id, what.to_owned(), shell, (corners, finish));
    }

    /// The two corners of a layer at one of its edges, each that of the front and of the back.
    fn corners(&self, d: &Drafter<'_>, shell: &Shell, base: usize) -> Vec<Vec<Corner>> {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let fold = self.top_fold(d, shell.layer);
        let beside = (base == RIM && fold != self.panels.tip).then_some(fold);
        let corner = |face: &Face, side| {
            let copy = if base == RIM { face.top() } else { face.bottom() };
            Corner { beside, ..Corner::of(copy, side, base) }
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
        let is_top = boxing.corners.iter().flatten().all(|corner| corner.base == RIM);
        let what = if is_top {
            format!("the box{of}, folded along its edges,")
        } else {
            format!("the front{of}, between what is boxed so far,")
        };
        let size = Checkpoint::Size {
            what,
            width: Gauge(vec![Reach::Along(front.bottom(), BASE)]),
            height,
            depth: is_top.then(|| self.depth_at_top(d, shell)),
        };
        d.step_checked(d.chapter(shell.layer), id, boxing, size);
    }

    /// The depth of a layer at its top: what is boxed off of both panels, and the zip between them.
    fn depth_at_top(&self, d: &Drafter<'_>, shell: &Shell) -> Gauge {
        let [front, back] = [&shell.faces[0], &shell.faces[1]].map(Face::top);
        let zip = (self.top_fold(d, shell.layer) == self.beside).then_some(Reach::Zip(front, RIM));
        let panels = [front, back].map(|copy| Reach::BoxedOff(copy, RIM));
        Gauge(panels.into_iter().chain(zip).collect())
    }

    /// The panels go straight on across these seams.
    fn straight_on(d: &mut Drafter<'_>, seams: &[&str]) {
        let hinge = |seam: &&str| HingeLine::Seam((*seam).to_owned());
        d.hinges.extend(seams.iter().map(|seam| Hinge { line: hinge(seam), degrees: 180.0 }));
    }

    /// Where the box bends: round each face, and not at its seams.
    fn fold(&self, d: &mut Drafter<'_>, face: &Face, fold: Length) {
        let tip = self.panels.tip;
        let low = [-1, 1].map(|sign| ((face.base_width.half() - tip) * sign, tip));
        let high = [-1, 1].map(|sign| self.top_point(face, fold, sign));
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
        let fold = self.top_fold(d, layer);
        let whole = PanelSize { height: self.panels.panel.height - self.beside + fold, ..self.panels.panel };
        let PanelSize { base: wide, height, .. } = match layer {
            Layer::Outside => whole,
            Layer::Lining => whole.eased(d.design.lining.values.length("ease")),
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
            (face.kept, face.bends) = (fold, fold);
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, inside: Option<&Shell>) {
        // Only now: a facing may have come above the panels of a lining.
        for shell in std::iter::once(outside).chain(inside) {
            let fold = self.top_fold(d, shell.layer);
            for face in &shell.faces {
                self.mark_top(d, face, fold);
            }
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
            let fold = self.top_fold(d, shell.layer);
            for face in &shell.faces {
                self.fold(d, face, fold);
            }
            Self::straight_on(d, &["lining-side-seams", "lining-base-seam"]);
            if !at_zip {
                Self::straight_on(d, &["lining-top-seam"]);
            }
            // A facing as high as its panel reaches onto the top begins where the box bends.
            let edge = shell.faces[0].height - fold;
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
        let [outer, inner] = [outside, inside].map(|shell| self.corners(d, shell, RIM));
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
        d.claims.height = panel.height - tip - self.beside;
        d.claims.height_gauge = Gauge(vec![Reach::Across(front, RIM, BASE)]);
        d.claims.depth = tip * 2;
        d.claims.top_width = panel.top - tip * 2;
        d.claims.top_gauge = Gauge(vec![Reach::Along(front, RIM)]);
        d.claims.asked.clone_from(&self.panels.asked);
        d.claims.holds.clone_from(&self.panels.holds);
        for face in &outside.faces {
            self.fold(d, face, self.beside);
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
        // The side seams go on over the ends of the zip.
        panel.base + panel.height * 2 + self.zip.shows() + self.panels.tip * 8
    }

    fn turned_in_further(&self) -> Length {
        self.panels.tip - self.beside
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
    use crate::assembly::Assembly;
    use crate::checks;
    use crate::design::{Chosen, Design};
    use crate::finding::Severity;
    use crate::kinds::Value;
    use crate::linings;
    use crate::operations::{CoverZipEnds, JoinOverZip, SetZip, Telling};
    use crate::pattern::{CopyId, Pattern, Piece};
    use crate::tests::one_closed_body;

    /// A pouch so wide, high and deep, with a lining of that kind.
    fn pouch(units: Units, size: [Length; 3], lining: &str) -> Design {
        let mut design = Design::of(&KIND, units);
        design.lining = Chosen::new(linings::find(lining).unwrap(), design.system());
        for (key, length) in ["width", "height", "depth"].into_iter().zip(size) {
            assert!(design.body.values.set(key, Value::Length(length)));
        }
        design
    }

    fn nine_five_four(lining: &str) -> Pattern {
        let design = pouch(Units::Inch, [9, 5, 4].map(Length::inch), lining);
        let pattern = crate::draft(&design).pattern.expect("it can be drafted");
        let found = checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity == Severity::Note), "{lining}: {found:#?}");
        pattern
    }

    /// What the box measures, from its cut pieces and what its steps sew, by arithmetic of its own:
    /// width at the base and at the top, height, depth at the base, depth of the sides at the top,
    /// and that of the top across the zip.
    fn measured(pattern: &Pattern) -> [Length; 6] {
        let panel = pattern.pieces.iter().find(|piece| piece.id == "outside-panel").unwrap();
        let (wide, high) = panel.cut_size();
        let taken = |edge: usize| panel.edges[edge].allowance;
        let wide = wide - taken(LEFT) - taken(RIGHT);
        let high = high - taken(BASE) - taken(RIM);
        let boxed = |id: &str| pattern.step(id).unwrap().as_a::<BoxCorner>().unwrap();
        let (base, top) = (boxed("box-base-corners"), boxed("box-top-corners"));
        let [front, back] = [top.corners[0][0], top.corners[0][1]];
        let [up, other] = [front, back].map(|panel| panel.beside.unwrap_or(top.tip));
        let zip = pattern.step("set-zip").unwrap();
        let shows = zip.as_a::<SetZip>().map(|zip| zip.shows);
        let shows = shows.or_else(|| zip.as_a::<JoinOverZip>().map(|zip| zip.shows));
        [
            wide - base.tip * 2,
            wide - top.tip * 2,
            high - base.tip - up,
            base.tip * 2,
            top.tip * 2,
            up + shows.flatten().unwrap_or(Length::ZERO) + other,
        ]
    }

    /// Arithmetic: a zip of number 3, its tape 25 mm, shows 1/2 in between two seams of 1/4 in, the
    /// ruler's next mark to 25 − 12.7 = 12.3 mm. So of the 4 in of the top either panel has 1 3/4,
    /// and one for 9 × 5 × 4 in with 1/2 in seams is cut 9 + 4 + 1 = 14 wide and 5 + 2 + 1 3/4 + 3/4
    /// = 9 1/2 high. A lining that is put in later is a box without a zip, 1/8 in smaller, and cut
    /// 5 + 4 + 3/4 − 1/8 = 9 5/8 high. Reckoned without the zip, the panel was 1/4 in higher and the
    /// top 4 1/2 in deep.
    #[test]
    fn four_boxed_corners_make_a_box() {
        for lining in ["backed", "unlined", "turned", "faced", "dropped"] {
            let pattern = nine_five_four(lining);
            let cut = |id: &str| pattern.pieces.iter().find(|it| it.id == id).map(Piece::cut_size);
            let high = Length::inch_frac(19, 2);
            assert_eq!(cut("outside-panel"), Some((Length::inch(14), high)), "{lining}");
            if lining == "dropped" {
                let size = (Length::inch_frac(111, 8), Length::inch_frac(77, 8));
                assert_eq!(cut("lining-panel"), Some(size));
            }
            assert_eq!(measured(&pattern).map(Length::to_inch), [9.0, 9.0, 5.0, 4.0, 4.0, 4.0]);
            let claims = &pattern.claims;
            let size = [claims.width, claims.height, claims.depth].map(Length::to_inch);
            assert_eq!(size, [9.0, 5.0, 4.0], "{lining}");
            // What the last corners' step says that it measures, across the zip.
            let at = pattern.steps.iter().position(|step| step.id == "box-top-corners").unwrap();
            let said = &Assembly::sew(&pattern).measured[&at];
            assert_eq!(said.iter().map(|it| it.to_inch()).collect::<Vec<_>>(), [9.0, 5.0, 4.0]);
        }
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig {
            cases: 60,
            failure_persistence: None,
            ..proptest::prelude::ProptestConfig::default()
        })]

        /// Whatever its size, its zip and its lining: computed back from the pieces and the steps it
        /// is as wide, as high and as deep as was asked, at its base and at its top.
        #[test]
        fn it_comes_out_as_asked(
            (wide, high, deep) in (40_i64..200, 20_i64..120, 15_i64..90),
            (teeth, seam) in (3_i64..=10, 5_i64..=12),
            lining in proptest::sample::select(vec!["backed", "unlined", "turned", "faced", "dropped"]),
            (metric, tabs) in (proptest::bool::ANY, proptest::bool::ANY),
        ) {
            let units = if metric { Units::Mm } else { Units::Inch };
            // Even millimetres, or eighths of an inch: half of the depth is on the ruler.
            let on = |count: i64| if metric { Length::mm(count * 2) } else { Length::inch_frac(count, 8) };
            let size = [on(wide * 2), on(high), on(deep)];
            let mut design = pouch(units, size, lining);
            let body = &mut design.body.values;
            body.set("teeth", Value::Length(Length::mm(teeth)));
            body.set("zip-seam", Value::Length(Length::mm(seam)));
            body.set("ends", Value::Choice(if tabs { "tabs" } else { "through" }));
            let drafted = crate::draft(&design);
            let Some(pattern) = drafted.pattern else {
                let told = |f: &crate::finding::Finding| !f.message.is_empty() && !f.cure.is_empty();
                assert!(drafted.findings.iter().any(told), "{size:?}");
                return Ok(());
            };
            let [w, h, d] = size;
            assert_eq!(measured(&pattern), [w, w, h, d, d, d]);
            // What is asked for may be too large for the fabric.
            let asked = ["fits-the-fabric", "strip-joins"];
            let wrong = |f: &crate::finding::Finding| {
                f.severity == Severity::Error && !asked.contains(&f.check)
            };
            let found: Vec<_> = checks::run(&pattern).into_iter().filter(wrong).collect();
            assert_eq!(found, [], "{design:#?}");
        }
    }

    /// A lining that is cut smaller is stitched to the zip from seam to seam, in whatever way the two
    /// lengths divide: not so much as a nanometre stays open, through which its seams would be seen.
    #[test]
    fn a_smaller_lining_is_sewn_to_the_zip_from_seam_to_seam() {
        for eighths in [[140, 20, 61], [100, 20, 21], [148, 20, 53]] {
            let size = eighths.map(|count| Length::inch_frac(count, 8));
            let mut design = pouch(Units::Inch, size, "dropped");
            let body = &mut design.body.values;
            body.set("zip-seam", Value::Length(Length::mm(5)));
            body.set("ends", Value::Choice("through"));
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            let sewn = Assembly::sew(&pattern);
            let mouths = sewn.bodies().into_iter().flat_map(|body| sewn.surface(body).mouths);
            assert_eq!(mouths.collect::<Vec<_>>(), [], "{size:?}");
            assert_eq!(checks::run(&pattern), [], "{size:?}");
        }
    }

    /// Boxed as far from the zip as from the side seam, the top comes out deeper than the sides by
    /// what the zip shows; so does a panel that is cut as if the zip had no width.
    #[test]
    fn a_corner_boxed_as_if_without_its_zip_is_found() {
        for lining in ["backed", "turned", "dropped"] {
            let mut pattern = nine_five_four(lining);
            let step = pattern.steps.iter_mut().find(|step| step.id == "box-top-corners").unwrap();
            let mut boxing = step.as_a::<BoxCorner>().unwrap().clone();
            for corner in boxing.corners.iter_mut().flatten() {
                assert_eq!(corner.beside.take(), Some(Length::inch_frac(7, 4)), "{lining}");
            }
            step.operation = std::sync::Arc::new(boxing);
            let found = checks::run(&pattern);
            for check in ["joined-edges-match", "finished-size", "left-and-right"] {
                assert!(found.iter().any(|f| f.check == check), "{lining}, {check}: {found:#?}");
            }
            let told = "takes 4 1/2 in of the top, of which the zip shows 1/2 in, and 4 in of the sides";
            assert!(found.iter().any(|f| f.message.contains(told)), "{found:#?}");
        }
    }

    /// Arithmetic: a zip of number 10, its tape 46 mm, shows 34 between seams of 6 mm: with 6 mm on
    /// either side of it the top is 46 mm deep at least.
    #[test]
    fn the_allowances_of_the_zip_have_room_on_the_top() {
        let of = |deep: i64| {
            let size = [230, 130, deep].map(Length::mm);
            let mut design = pouch(Units::Mm, size, "turned");
            design.body.values.set("teeth", Value::Length(Length::mm(10)));
            crate::draft(&design)
        };
        let refused = of(44);
        assert!(refused.pattern.is_none());
        let told = |f: &crate::finding::Finding| f.message.contains("shows 34 mm") && f.cure.contains("46 mm");
        assert!(refused.findings.iter().any(told), "{:#?}", refused.findings);
        assert_eq!(measured(&of(46).pattern.unwrap())[5], Length::mm(46));
    }

    /// Arithmetic: the corners take 2 in at either end of a zip along 13 in of rim; tabs show 1/2 in
    /// beyond them and lie 1/4 in over it, so it is 13 − 2 · 2 1/4 = 8 1/2 in long, bought with 9, and
    /// a tab folded is 2 + 1/2 + 1/2 in long with its seam. No needle meets its teeth.
    #[test]
    fn tabs_reach_beyond_the_boxed_corners() {
        let pattern = nine_five_four("turned");
        let cover = pattern.steps.iter().find_map(|step| step.as_a::<CoverZipEnds>()).unwrap();
        let inches = [cover.length, cover.bought, cover.whole].map(Length::to_inch);
        assert_eq!(inches, [8.5, 9.0, 14.0]);
        let tab = pattern.pieces.iter().find(|piece| piece.id == "zip-tab").unwrap();
        assert_eq!(tab.cut_size().1, Length::inch(6));
        let telling = Telling { pattern: &pattern, system: measure::System::Inch };
        let told = pattern.step("box-top-corners").unwrap().operation.tell(&telling);
        assert!(told.text.contains("4 in long from fold to fold, 1/2 in of it across the zip"), "{told:?}");
        assert!(told.text.contains("the tabs with them"), "{told:?}");
        assert!(!told.mind.unwrap_or_default().contains("teeth"));
    }

    /// Arithmetic: of a top 4 in deep, of which the zip takes 1/2, a panel has 1 3/4 and bends there.
    /// A pocket that begins 1 in below the rim lies 3/4 in on the top; one that begins at the edge, or
    /// wherever its place is left open, lies flat.
    #[test]
    fn a_pocket_across_the_edge_of_the_top_does_not_lie_flat() {
        let of = |below: Option<Length>| {
            let mut design = pouch(Units::Inch, [9, 5, 4].map(Length::inch), "turned");
            let system = design.system();
            let mut pocket = Chosen::new(crate::pockets::find("patch").unwrap(), system);
            if let Some(below) = below {
                pocket.values.set("height", Value::Length(Length::inch(3)));
                pocket.values.set("below", Value::Length(below));
            }
            design.pockets = vec![pocket];
            let pattern = crate::draft(&design).pattern.expect("it can be drafted");
            checks::run(&pattern).into_iter().filter(|f| f.severity > Severity::Note).collect::<Vec<_>>()
        };
        let found = of(Some(Length::INCH));
        let [found] = found.as_slice() else { panic!("{found:#?}") };
        assert_eq!((found.check, found.severity), ("lies-flat", Severity::Warning));
        assert!(found.message.contains("3/4 in of it above and 2 1/4 in below"), "{found:?}");
        assert!(found.cure.contains("3/4 in lower"), "{found:?}");
        assert_eq!(of(Some(Length::inch_frac(7, 4))), []);
        assert_eq!(of(None), []);
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
            one_closed_body(&pattern);
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
        assert_eq!(one_closed_body(&pattern).copies.len(), 4);
        // Left undone, the opening in the top of the lining stays.
        let mut open = pattern.clone();
        open.steps.retain(|step| step.id != "sew-lining-to-zip");
        let found = checks::run(&open);
        assert!(found.iter().any(|f| f.check == "openings-closed"), "{found:#?}");
        // Sewn up over the zip, it keeps that from opening.
        let mut narrow = pattern.clone();
        let seam = narrow.steps.iter_mut().find(|step| step.id == "lining-top-seam").unwrap();
        let mut join = seam.as_a::<crate::operations::Join>().unwrap().clone();
        join.gaps[0].to -= Length::mm(40);
        seam.operation = std::sync::Arc::new(join);
        let found = checks::run(&narrow);
        let told = |f: &crate::finding::Finding| f.check == "layers-fit" && f.message.contains("sewn up");
        assert!(found.iter().any(told), "{found:#?}");
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
        let telling = Telling { pattern: &pattern, system: measure::System::Metric };
        let told = |id: &str| pattern.step(id).expect(id).operation.tell(&telling).text;
        let top = told("lining-top-seam");
        assert!(top.contains("for the zip") && !top.contains("turning"), "{top}");
        assert!(told("box-top-corners").contains("on the middle of the zip"));
        assert!(told("box-lining-top-corners").contains("on the seam along the top"));
        assert!(told("drop-in").contains("through the open zip"));
    }
}
