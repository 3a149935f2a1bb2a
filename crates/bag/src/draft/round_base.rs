//! Bags that are a tube on a base of its own: round, oval, or a rectangle with rounded corners.

use std::f64::consts::PI;

use measure::{Length, Outline};

use super::face::whole_span;
use super::gusset::{
    STAYSTITCH, chapter, clip_every, clip_leave, finish, is_finished, press, word,
};
use super::{
    Ability, Base, BasePiece, BaseShape, Drafter, Face, Juts, Layer, NewPiece, Plan, Shell,
    centred_gap,
};
use crate::design::Role;
use crate::extras::PipedSeam;
use crate::kinds::Value;
use crate::operations::{Clip, ClipEdge, Join, Press};
use crate::pattern::{
    Checkpoint, CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, PocketClaim, Reach, Run, Span,
};

/// A planned tube on a base.
#[derive(Clone, Debug)]
pub struct BasedTube {
    /// Net width × depth of the base.
    pub base: (Length, Length),
    /// Net height.
    pub height: Length,
    /// Radius of the base's corners; none for a circle or an oval.
    pub corner: Option<Length>,
    /// What the finished size was asked to be.
    pub asked: Vec<(&'static str, Length)>,
}

/// Edges of the base: its front half, and its back half.
const FRONT: usize = 0;
/// The back half.
const BACK: usize = 1;

impl BasedTube {
    /// Refuses what leaves no bag.
    pub fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        let least = d.either(Length::inch(2), Length::mm(50));
        let short = self.base.0.min(self.base.1);
        let mut possible = true;
        if short < least {
            let message = format!("a base {} across cannot be sewn in by machine", d.show(short));
            let cure = format!("make it {} or more in both directions", d.show(least));
            d.refuse("body.width", message, cure);
            possible = false;
        }
        let seam = d.seam_allowance("base");
        if let Some(radius) = self.corner
            && (radius < seam || radius * 2 > short)
        {
            let message = format!(
                "corners with a radius of {} do not fit a base {} across whose seam allowance is {}",
                d.show(radius),
                d.show(short),
                d.show(seam)
            );
            let cure = format!("take between {} and {}", d.show(seam), d.show(short.half()));
            d.refuse("body.corner", message, cure);
            possible = false;
        }
        possible
    }

    /// The outline of a layer's base: a lining that is cut smaller by so much on each panel has a
    /// base whose circumference is smaller by twice that.
    fn outline(&self, ease: Length) -> Option<Outline> {
        // A circumference that is 2·e smaller belongs to a diameter that is 2·e/π smaller.
        let less = Length::from_mm_f64(ease.to_mm() * 2.0 / PI);
        let (width, depth) = (self.base.0 - less, self.base.1 - less);
        let radii = match self.corner {
            Some(radius) => {
                let radius = (radius - less.half()).min(width.half()).min(depth.half());
                (radius, radius)
            }
            None => (width.half(), depth.half()),
        };
        Outline::rounded_rectangle(width, depth, radii).ok()
    }

    /// The tightest curve of the base: of an oval, b²/a at its ends.
    fn tightest(&self) -> Length {
        let (a, b) = (self.base.0.max(self.base.1).half(), self.base.0.min(self.base.1).half());
        self.corner.unwrap_or_else(|| Length::from_mm_f64(b.to_mm() * b.to_mm() / a.to_mm()))
    }

    fn side_allowance(d: &Drafter<'_>, layer: Layer, key: &str) -> Length {
        match layer {
            Layer::Outside => d.seam_allowance(key),
            Layer::Lining => d.allowance(key),
        }
    }

    /// The base of a layer: it was cut right after the panels.
    fn base_of(shell: &Shell) -> CopyId {
        CopyId(shell.faces[1].bottom().0 + 1)
    }

    /// Marks the centres of the panels, and the quarters and eighths of the base and the tube.
    fn mark(d: &mut Drafter<'_>, panels: &[CopyId], base: CopyId) {
        let half = d.piece_of(base).net.edge_length(FRONT);
        for eighth in 1..4 {
            let along = half * eighth / 4;
            let label = if eighth == 2 { "centre of the base" } else { "eighth" };
            for copy in panels {
                let edge = super::face::BASE;
                d.mark_copy(*copy, label, MarkShape::Notch { edge, along });
            }
            for edge in [FRONT, BACK] {
                let label = match (eighth, edge) {
                    (2, FRONT) => "centre of the front",
                    (2, _) => "centre of the back",
                    _ => "eighth",
                };
                d.mark_copy(base, label, MarkShape::Notch { edge, along });
            }
        }
        for edge in [FRONT, BACK] {
            d.mark_copy(base, "side seam", MarkShape::Notch { edge, along: Length::ZERO });
        }
        for copy in panels {
            let rim = MarkShape::Notch { edge: super::face::RIM, along: half.half() };
            d.mark_copy(*copy, "centre of the rim", rim);
        }
    }

    /// Sews front and back into a tube; returns the id of the step with the opening.
    fn sew_sides(d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let layer = shell.layer;
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let sides = vec![[front.right(), back.left()], [front.left(), back.right()]];
        let runs: Vec<Run> = sides.iter().flatten().cloned().collect();
        let allowance = Self::side_allowance(d, layer, "side");
        let mut join = Join::plain("both side seams", sides, allowance, d.stitch("seam"));
        join.press = press(d, layer, "the back");
        let id = format!("{}-side-seams", word(layer));
        if let Some(length) = opening {
            let edge = front.side_edges()[0][0];
            let gap = centred_gap(d.piece_of(edge.0).net.edge_length(edge.1), length);
            let mark = MarkShape::Opening { edge: edge.1, from: gap.from, to: gap.to };
            d.mark_copy(edge.0, "opening", mark);
            join.gaps = vec![gap];
        }
        let around = Checkpoint::Measures {
            what: format!("the {}'s top edge", word(layer)),
            gauge: shell.rim_gauge(),
            how: "around",
        };
        d.step_checked(chapter(layer), &id, join, around);
        finish(d, layer, "finish-side-seams", "the side seams", runs);
        opening.map(|_| id)
    }

    /// Whether an opening that long is left in the base seam: the side of a low tube, which may end
    /// below a facing, has no room for three quarters of it. A straight seam is closed more easily.
    fn opens_at_base(d: &Drafter<'_>, opening: Length) -> bool {
        let panel = d.copies_so_far().into_iter().find(|copy| d.copy_of(*copy).1 == "front lining");
        panel.is_some_and(|it| {
            let net = &d.piece_of(it).net;
            let (side, base) =
                (net.edge_length(super::face::RIGHT), net.edge_length(super::face::BASE));
            opening * 3 / 4 > side.half() && base > side
        })
    }

    /// Clips the lower edge of the tube and sews the base into it, in a lining with an opening in the
    /// middle of the front; returns the id of the step that leaves it.
    fn sew_base(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        opening: Option<Length>,
    ) -> Option<String> {
        let layer = shell.layer;
        let base = Self::base_of(shell);
        let lower: Vec<Span> = shell.faces.iter().flat_map(|face| face.base().spans).collect();
        let every = clip_every(d, self.tightest());
        // A pocket that is held in this seam must spread with the wall.
        let level = |claim: &PocketClaim| {
            let host = shell.faces.iter().any(|face| face.bottom() == claim.on);
            host && claim.at.y == Length::ZERO
        };
        let pockets = d.claims.pockets.iter().filter(|claim| level(claim)).count();
        let with = match pockets {
            0 => "",
            1 => ", with the pocket that is basted to it",
            _ => ", with the pockets that are basted to it",
        };
        let clip = ClipEdge {
            what: format!("the lower edge of the {}{with}", word(layer)),
            corners: Vec::new(),
            curves: lower.iter().map(|span| Run::open([*span])).collect(),
            every,
            leave: clip_leave(d, Self::side_allowance(d, layer, "base"), Length::inch_frac(1, 8)),
            stitch: STAYSTITCH,
        };
        d.step(chapter(layer), &format!("clip-{}-edge", word(layer)), clip);
        let around = [FRONT, BACK].map(|edge| whole_span(d, base, edge).reversed());
        let sides = [Run::round(lower), Run::round(around)];
        let runs = sides.to_vec();
        let allowance = Self::side_allowance(d, layer, "base");
        let mut join = Join::plain("the base seam", vec![sides], allowance, d.stitch("seam"));
        join.press =
            if is_finished(d, layer) { Press::Toward("the base".to_owned()) } else { Press::Not };
        join.mind = Some(
            "pin the base into the tube at the side seams and the centres first, then at the \
             eighths, then between; sew with the tube uppermost, so that its clips can be seen to \
             open and no pleat is caught."
                .to_owned(),
        );
        if let Some(length) = opening {
            let (on, edge) = shell.faces[0].base_edge()?;
            let gap = centred_gap(d.piece_of(on).net.edge_length(edge), length);
            d.mark_copy(on, "opening", MarkShape::Opening { edge, from: gap.from, to: gap.to });
            let mark = MarkShape::Opening { edge: FRONT, from: gap.from, to: gap.to };
            d.mark_copy(base, "opening", mark);
            join.gaps = vec![gap];
        }
        let size = Checkpoint::Size {
            what: "the base".to_owned(),
            width: Gauge(vec![Reach::Wide(base)]),
            height: Gauge(vec![Reach::High(base)]),
            depth: None,
        };
        let id = format!("{}-base-seam", word(layer));
        d.step_checked(chapter(layer), &id, join, size);
        finish(d, layer, "finish-base-seam", "the seam of the base", runs);
        if !is_finished(d, layer) {
            let notch = Clip {
                what: "the base".to_owned(),
                copies: vec![base],
                every,
                leave: clip_leave(
                    d,
                    Self::side_allowance(d, layer, "base"),
                    Length::inch_frac(1, 8),
                ),
                wedges: true,
            };
            d.step(chapter(layer), &format!("notch-{}-base", word(layer)), notch);
        }
        opening.map(|_| id)
    }

    /// Where the tube bends round the base.
    fn fold(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let net = d.piece_of(Self::base_of(shell)).net.clone();
        for (face, edge) in shell.faces.iter().zip([FRONT, BACK]) {
            let edge = net.edge(edge);
            for (along, bend) in edge.chord_bends() {
                // A facing above it bends with it.
                let x = along - face.base_width.half();
                for (copy, from, to) in face.line((x, Length::ZERO), (x, face.height)) {
                    let line = HingeLine::Fold(copy, from, to);
                    d.hinges.push(Hinge { line, degrees: 180.0 - bend });
                }
            }
        }
        // The halves of the base go over into each other in the middle of its sides.
        let half = net.edge(FRONT);
        let last = half.chord_stops().last().copied().unwrap_or(Length::ZERO);
        let along = half.end().to_mm() - half.point_along(last).to_mm();
        // By symmetry both lean by the same angle from the upright.
        let bend = 2.0 * libm::atan2(along.x.abs(), along.y.abs()).to_degrees();
        let at_sides = 180.0 - bend;
        for (seam, degrees) in [("base-seam", 90.0), ("side-seams", at_sides)] {
            let line = HingeLine::Seam(format!("{}-{seam}", word(shell.layer)));
            d.hinges.push(Hinge { line, degrees });
        }
    }
}

impl Plan for BasedTube {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let ease = match layer {
            Layer::Outside => Length::ZERO,
            Layer::Lining => d.design.lining.values.length("ease"),
        };
        let base =
            self.outline(ease).unwrap_or_else(|| Outline::rectangle(self.base.0, self.base.1));
        let half = base.edge_length(FRONT);
        let height = self.height - ease;
        let (side, seam) =
            (Self::side_allowance(d, layer, "side"), Self::side_allowance(d, layer, "base"));
        let (what, base_what, noun) = match layer {
            Layer::Outside => (
                ("outside-panel", "outside panel", Role::Outside),
                ("outside-base", "base", Role::Base),
                "panel",
            ),
            Layer::Lining => (
                ("lining-panel", "lining panel", Role::Lining),
                ("lining-base", "lining base", Role::Lining),
                "lining",
            ),
        };
        let edges = vec![
            ("base", seam),
            ("right side", side),
            ("rim", d.rim_allowance),
            ("left side", side),
        ];
        let panel = d.piece(NewPiece {
            id: what.0,
            name: what.1,
            role: what.2,
            net: Outline::rectangle(half, height),
            edges,
            grain: Grain::Lengthwise,
            join: None,
        });
        let panels = ["front", "back"].map(|word| d.copy(panel, &format!("{word} {noun}")));
        let piece = d.piece(NewPiece {
            id: base_what.0,
            name: base_what.1,
            role: base_what.2,
            net: base,
            edges: vec![("front half", seam), ("back half", seam)],
            grain: Grain::Lengthwise,
            join: None,
        });
        let base = d.copy(piece, base_what.1);
        Self::mark(d, &panels, base);
        let faces = ["front", "back"]
            .into_iter()
            .zip(panels)
            .map(|(word, copy)| {
                Face::of_panels(d, word, &[(copy, Length::ZERO)], (half, half), height)
            })
            .collect();
        Shell::of_faces(layer, faces)
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let at_base = opening.is_some_and(|length| Self::opens_at_base(d, length));
        let at_side = Self::sew_sides(d, shell, opening.filter(|_| !at_base));
        let left_by = self.sew_base(d, shell, opening.filter(|_| at_base)).or(at_side);
        if shell.layer == Layer::Lining {
            self.fold(d, shell);
        }
        left_by
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let front = &outside.faces[0];
        let base = Self::base_of(outside);
        d.claims.width = self.base.0;
        d.claims.width_gauge = Gauge(vec![Reach::Wide(base)]);
        d.claims.depth = self.base.1;
        d.claims.depth_gauge = Gauge(vec![Reach::High(base)]);
        d.claims.height = self.height;
        let (copy, rim) = front.rim_edge();
        d.claims.height_gauge = Gauge(vec![Reach::Across(copy, rim, super::face::BASE)]);
        d.claims.top_width = front.top_width;
        d.claims.top_gauge = Gauge(vec![Reach::Along(copy, rim)]);
        d.claims.asked.clone_from(&self.asked);
        self.fold(d, outside);
    }

    fn base_rise(&self) -> Length {
        Length::ZERO
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<PipedSeam> {
        let base = Self::base_of(outside);
        let along = Run::round([FRONT, BACK].map(|edge| whole_span(d, base, edge)));
        let allowance = Self::side_allowance(d, Layer::Outside, "base");
        let every = clip_every(d, self.tightest());
        vec![PipedSeam { what: "the edge of the base", along, allowance, every }]
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        let copy = Self::base_of(outside);
        let (low, high) = d.piece_of(copy).net.bounds();
        let piece = Some(BasePiece { copy, middle: low.middle(high), upright: false });
        let shape = self.corner.map_or(BaseShape::Oval, BaseShape::Rounded);
        Some(Base { size: self.base, shape, piece })
    }

    fn juts(&self) -> Juts {
        Juts::Base
    }

    fn offers(&self) -> Vec<Ability> {
        Ability::of_an_open_bag_but(&[Ability::StraightSeams])
    }

    fn opening_allowance(&self, d: &Drafter<'_>) -> Length {
        let at_base = match d.design.lining.values.get("opening") {
            Some(Value::Length(opening)) => Self::opens_at_base(d, *opening),
            _ => false,
        };
        d.allowance(if at_base { "base" } else { "side" })
    }

    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        let around = d.piece_of(Self::base_of(outside)).net.perimeter();
        let side = self.height + d.seam_allowance("base") + d.rim_allowance;
        around + side * 2
    }
}
