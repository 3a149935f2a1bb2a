//! Bags of two panels, front and back, joined at the sides and the base, with or without boxed
//! corners: the numbers, the pieces, the seams and the claims.

use std::f64::consts::FRAC_PI_2;

use measure::{Length, Outline};

use super::face::{BASE, LEFT, RIGHT, RIM};
use super::{
    Base, BaseShape, Drafter, Face, Layer, NewPiece, Plan, Seam, SeamMake, Shell, bound_with,
    centred_gap,
};
use crate::design::Role;
use crate::extras::PipedSeam;
use crate::kinds::Values;
use crate::operations::{Beside, BoxCorner, Corner, FinishEdges, Join, Press, Topstitch};
use crate::pattern::{
    Chapter, Checkpoint, Gauge, Grain, Hinge, HingeLine, MarkShape, PieceId, Reach, Run, Span,
};

/// The size of a panel at its stitching line, before depth is taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PanelSize {
    /// Net width at the base.
    pub base: Length,
    /// Net width at the rim.
    pub top: Length,
    /// Net height.
    pub height: Length,
}

impl PanelSize {
    /// A lining's panel: narrower and lower by the ease, its sides parallel to these, so that its
    /// corners have the same angle and box to the same depth from the same tip.
    pub(crate) fn eased(self, ease: Length) -> Self {
        let height = self.height - ease;
        let taper = i128::from((self.top - self.base).to_nm()) * i128::from(height.to_nm())
            / i128::from(self.height.to_nm().max(1));
        let top = self.top - ease;
        Self { base: top - Length::nm(i64::try_from(taper).unwrap_or(0)), top, height }
    }
}

/// A planned bag of two panels.
#[derive(Clone, Debug)]
pub struct TwoPanels {
    /// The panel of the outside.
    pub panel: PanelSize,
    /// Distance of the boxing line from the tip along the seams; zero for a flat bag.
    pub tip: Length,
    /// Half the depth: how far the boxed corners reach up the panel.
    pub half_depth: Length,
    /// How high a contrast base stands on the finished front; none if there is none.
    pub contrast: Option<Length>,
    /// What the finished size was asked to be.
    pub asked: Vec<(&'static str, Length)>,
    /// What must fit.
    pub holds: Vec<String>,
}

/// Width of a panel at a height.
fn width_between((base, top): (Length, Length), at: Length, height: Length) -> Length {
    let part = i128::from((top - base).to_nm()) * i128::from(at.to_nm())
        / i128::from(height.to_nm().max(1));
    base + Length::nm(i64::try_from(part).unwrap_or(0))
}

/// The angle of a panel's base corner at the stitching line, in radians.
fn corner_angle(taper: Length, height: Length) -> f64 {
    FRAC_PI_2 + libm::atan2(taper.half().to_mm(), height.to_mm())
}

/// Panel size and boxing of a bag of the given finished size.
///
/// With corners of angle θ, a boxing line at distance t from the tip gives a depth of
/// 2·t·tan(θ/2), takes t off the width at either end and half the depth off the height (derived;
/// for a right angle t is half the depth).
pub fn panel_size(
    d: &Drafter<'_>,
    (width, height, depth): (Length, Length, Length),
    taper: Length,
) -> (PanelSize, Length) {
    let panel_height = height + depth.half();
    let angle = corner_angle(taper, panel_height);
    let tip = if taper == Length::ZERO {
        d.snap(depth.half())
    } else {
        d.snap(Length::from_mm_f64(depth.half().to_mm() / libm::tan(angle / 2.0)))
    };
    let base = width + tip * 2;
    (PanelSize { base, top: base + taper, height: panel_height }, tip)
}

impl TwoPanels {
    /// Plans from the parameters that every bag of two panels has: `size`, `width`, `height`,
    /// `taper`, `contrast-base`; the depth is given.
    pub fn plan(d: &mut Drafter<'_>, values: &Values, depth: Length) -> Option<Self> {
        let (width, height) = (values.length("width"), values.length("height"));
        let taper = values.length("taper");
        let (sides, ends) =
            (d.seam_allowance("side") * 2, d.seam_allowance("base") + d.rim_allowance);
        let mut asked = Vec::new();
        let mut holds = Vec::new();
        let (panel, tip) = match values.choice("size") {
            "cut" => {
                let (base, high) = (width - sides, height - ends);
                let angle = corner_angle(taper, high.max(Length::MM));
                let tip = Length::from_mm_f64(depth.half().to_mm() / libm::tan(angle / 2.0));
                (PanelSize { base, top: base + taper, height: high }, d.snap(tip))
            }
            "fits" => {
                let ((w, h, dp), id) = super::room::room_for(d, values, depth)?;
                holds.push(id);
                panel_size(d, (w, h, dp), taper)
            }
            _ => {
                asked.extend([("width", width), ("height", height)]);
                if depth.is_positive() {
                    asked.push(("depth", depth));
                }
                panel_size(d, (width, height, depth), taper)
            }
        };
        let angle = corner_angle(taper, panel.height.max(Length::MM));
        let half_depth = if taper == Length::ZERO {
            tip
        } else {
            Length::from_mm_f64(tip.to_mm() * libm::tan(angle / 2.0))
        };
        let contrast = values.optional("contrast-base");
        let plan = Self { panel, tip, half_depth, contrast, asked, holds };
        plan.is_possible(d).then_some(plan)
    }

    /// Refuses what leaves no bag.
    pub(crate) fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        let least = d.either(Length::inch(1), Length::mm(25));
        let width = self.panel.base - self.tip * 2;
        let height = self.panel.height - self.half_depth;
        let mut possible = true;
        for (key, left, what) in [("width", width, "wide"), ("height", height, "high")] {
            if left < least {
                let takers = if self.tip.is_positive() { "seams and corners" } else { "seams" };
                let message = d.leaves(takers, key, left);
                let cure = format!(
                    "make it at least {} {what} after seams and boxed corners, or make it less \
                     deep",
                    d.show(least)
                );
                d.refuse(&format!("body.{key}"), message, cure);
                possible = false;
            }
        }
        let meet = self.half_depth >= self.panel.base.half()
            || self.half_depth >= self.panel.height.half();
        if possible && meet && self.tip.is_positive() {
            let message = format!(
                "boxed corners {} deep meet in the middle of the panel",
                d.show(self.half_depth * 2)
            );
            d.refuse("body.depth", message, "make the bag less deep, wider or higher".to_owned());
            possible = false;
        }
        // Of no height at all it has been said already.
        possible &= !self.panel.height.is_positive() || self.stands_up(d);
        // The seam above the base must stay clear of a hem at the rim.
        let above = d.rim_hem.map_or(least, |hem| hem + least);
        if let Some(contrast) = self.contrast
            && contrast + above > height
        {
            let message = format!(
                "a contrast base {} high leaves less than {} of the front above it{}",
                d.show(contrast),
                d.show(above),
                if d.rim_hem.is_some() { ", hem and all" } else { "" }
            );
            let cure = format!("make it {} or less", d.show((height - above).max(Length::ZERO)));
            d.refuse("body.contrast-base", message, cure);
            possible = false;
        }
        possible
    }

    /// Refuses sides that lean outwards more than they rise: boxed corners and mitred allowances
    /// no longer come out there, and no bag is sewn so.
    fn stands_up(&self, d: &mut Drafter<'_>) -> bool {
        let taper = self.panel.top - self.panel.base;
        if taper.half() <= self.panel.height {
            return true;
        }
        let message = format!(
            "a panel {} high that is {} wider at the top leans outwards more than it rises",
            d.show(self.panel.height),
            d.show(taper)
        );
        let cure = format!("make it {} or less wider", d.show(self.panel.height * 2));
        d.refuse("body.taper", message, cure);
        false
    }

    /// A panel with the edges base, right side, rim and left side, and the allowances of the first
    /// three.
    pub(crate) fn panel_piece(
        d: &mut Drafter<'_>,
        (id, name, role): (&str, &str, Role),
        net: Outline,
        [base, side, rim]: [Length; 3],
    ) -> PieceId {
        let edges = vec![("base", base), ("right side", side), ("rim", rim), ("left side", side)];
        d.piece(NewPiece { id, name, role, net, edges, grain: Grain::Lengthwise, join: None })
    }

    fn plain_faces(&self, d: &mut Drafter<'_>, layer: Layer, size: PanelSize) -> Vec<Face> {
        let (base, side) = match layer {
            Layer::Outside => (d.seam_allowance("base"), d.seam_allowance("side")),
            Layer::Lining => (d.allowance("base"), d.allowance("side")),
        };
        let net = Outline::trapezoid(size.base, size.top, size.height);
        let rim = d.rim_allowance;
        let (what, noun) = match layer {
            Layer::Outside => (("outside-panel", "outside panel", Role::Outside), "panel"),
            Layer::Lining => (("lining-panel", "lining panel", Role::Lining), "lining"),
        };
        let piece = Self::panel_piece(d, what, net, [base, side, rim]);
        ["front", "back"]
            .map(|word| {
                let panels = [(d.copy(piece, &format!("{word} {noun}")), Length::ZERO)];
                Face::of_panels(d, word, &panels, (size.base, size.top), size.height)
            })
            .into()
    }

    fn faces_with_base(&self, d: &mut Drafter<'_>, height: Length) -> Vec<Face> {
        let PanelSize { base, top, height: full } = self.panel;
        let split = self.half_depth + height;
        let at_split = width_between((base, top), split, full);
        let (side, seam) = (d.seam_allowance("side"), d.allowance("contrast"));
        let lower = Self::panel_piece(
            d,
            ("base-panel", "contrast base", Role::Base),
            Outline::trapezoid(base, at_split, split),
            [d.seam_allowance("base"), side, seam],
        );
        let upper = Self::panel_piece(
            d,
            ("upper-panel", "upper panel", Role::Outside),
            Outline::trapezoid(at_split, top, full - split),
            [seam, side, d.rim_allowance],
        );
        ["front", "back"]
            .map(|word| {
                let panels = [
                    (d.copy(lower, &format!("{word} base")), Length::ZERO),
                    (d.copy(upper, &format!("{word} panel")), split),
                ];
                Face::of_panels(d, word, &panels, (base, top), full)
            })
            .into()
    }

    /// Joins contrast bases to the panels above them.
    fn join_bases(&self, d: &mut Drafter<'_>, faces: &[Face]) {
        let seams: Vec<[Run; 2]> = faces
            .iter()
            .map(|face| {
                let lower = super::face::whole(d, face.copies[0], RIM);
                [super::face::whole(d, face.copies[1], BASE), lower.reversed()]
            })
            .collect();
        let mut join = Join::plain(
            "each contrast base to its panel",
            seams,
            d.allowance("contrast"),
            d.stitch("seam"),
        );
        join.press = Press::Toward("the base".to_owned());
        d.step(Chapter::Panels, "join-contrast-base", join);
        // A French seam cannot be topstitched flat.
        if let Some(how) = d.plain_finish(Layer::Outside) {
            let runs = faces
                .iter()
                .flat_map(|face| {
                    [
                        super::face::whole(d, face.copies[0], RIM),
                        super::face::whole(d, face.copies[1], BASE),
                    ]
                })
                .collect();
            let what = "the seams above the contrast base".to_owned();
            let finish =
                FinishEdges { what, runs, how, bound_with: bound_with(how), together: true };
            d.step(Chapter::Panels, "finish-contrast-seams", finish);
        }
        let topstitch = Topstitch {
            what: "each contrast base along its top".to_owned(),
            copies: faces.iter().map(|face| face.copies[0]).collect(),
            rows: vec![d.either(Length::inch_frac(1, 8), Length::mm(3))],
            beside: Beside::Seam,
            along: Vec::new(),
            stitch: d.stitch("topstitch"),
            round: false,
        };
        let size = Checkpoint::Size {
            what: "each joined panel".to_owned(),
            width: Gauge(vec![Reach::Along(faces[0].top(), RIM)]),
            height: up(&faces[0]),
            depth: None,
        };
        d.step_checked(Chapter::Panels, "topstitch-contrast-base", topstitch, size);
    }

    /// Marks the centres, the boxing lines and, on the lining, the opening.
    pub(crate) fn mark(&self, d: &mut Drafter<'_>, face: &Face) {
        let centre = |length: Length, edge| MarkShape::Notch { edge, along: length.half() };
        d.mark_copy(face.bottom(), "centre of the base", centre(face.base_width, BASE));
        d.mark_copy(face.top(), "centre of the rim", centre(face.top_width, RIM));
        self.mark_boxing(d, face);
    }

    /// Marks the lines along which the corners of a face are boxed.
    pub(crate) fn mark_boxing(&self, d: &mut Drafter<'_>, face: &Face) {
        if !self.tip.is_positive() {
            return;
        }
        for sign in [-1, 1] {
            let fold = self.fold_point(face, sign);
            let on_base = ((face.base_width.half() - self.tip) * sign, Length::ZERO);
            let on_side = self.side_point(face, sign);
            for (from, to) in [(on_base, fold), (fold, on_side)] {
                for (copy, a, b) in face.line(from, to) {
                    d.mark_copy(copy, "boxing line", MarkShape::Stitching(a, b));
                }
            }
        }
    }

    /// Where front, side and base meet, on the panel: `sign` is -1 at the left, 1 at the right.
    fn fold_point(&self, face: &Face, sign: i64) -> (Length, Length) {
        ((face.base_width.half() - self.tip) * sign, self.half_depth)
    }

    /// Where the boxing line meets the side seam.
    fn side_point(&self, face: &Face, sign: i64) -> (Length, Length) {
        let lean = (face.top_width - face.base_width).half().to_mm();
        let high = face.height.to_mm();
        let up = self.tip.to_mm() * high / (high * high + lean * lean).sqrt();
        let out = Length::from_mm_f64(up * lean / high);
        ((face.base_width.half() + out) * sign, Length::from_mm_f64(up))
    }

    fn sew_outside(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let mut sides = side_seams(d, shell);
        if !d.claims.handles.is_empty() {
            let loops = "pin the loops of the handles to the middle of their panels, out of the way \
                         of these seams and of the base seam.";
            sides.mind = Some(match sides.mind {
                Some(mind) => format!("{mind} Then {loops}"),
                None => loops.to_owned(),
            });
        }
        let base = base_seam(d, shell);
        let runs = [sides.runs(), base.runs()].concat();
        d.sew(shell.layer, sides);
        d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-seams", "the side and base seams", runs);
    }

    /// Sews the lining; returns the id of the step that leaves the opening.
    fn sew_lining(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Length) -> String {
        let sides = side_seams(d, shell);
        d.sew(shell.layer, sides);
        let base = self.base_with_opening(d, shell, opening);
        d.sew(shell.layer, base)
    }

    /// The base seam with an opening between the boxed corners, which is marked.
    pub(crate) fn base_with_opening(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        opening: Length,
    ) -> Seam {
        let front = &shell.faces[0];
        let between = front.base_width - self.tip * 2;
        let gap = centred_gap(between, opening);
        let gap = crate::operations::Gap { from: gap.from + self.tip, to: gap.to + self.tip };
        let mark = MarkShape::Opening { edge: BASE, from: gap.from, to: gap.to };
        d.mark_copy(front.bottom(), "opening", mark);
        Seam { gap: Some(gap), ..base_seam(d, shell) }
    }

    pub(crate) fn box_corners(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let [front, back] = [&shell.faces[0], &shell.faces[1]];
        let corner = |face: &Face, side| Corner::of(face.bottom(), side, BASE);
        let corners = vec![
            vec![corner(front, LEFT), corner(back, RIGHT)],
            vec![corner(front, RIGHT), corner(back, LEFT)],
        ];
        let width = Gauge(vec![Reach::Along(front.bottom(), BASE)]);
        self.box_at(d, shell, corners, (width, up(front)));
    }

    /// Boxes corners of a layer, after which the front can be measured: its width and height.
    pub(crate) fn box_at(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        corners: Vec<Vec<Corner>>,
        (width, height): (Gauge, Gauge),
    ) {
        let (chapter, side) = (d.chapter(shell.layer), shell.layer.word());
        let leave = d.either(Length::inch_frac(3, 8), Length::mm(10)).min(self.tip.half());
        let finish = d.plain_finish(shell.layer);
        let boxing = BoxCorner {
            what: format!("the {side}"),
            corners,
            tip: self.tip,
            depth: self.depth_of(&shell.faces[0]),
            leave,
            stitch: d.stitch("seam"),
            finish,
        };
        let what = format!("the front of the {side}, from fold to fold and up to its raw edge,");
        let size = Checkpoint::Size { what, width, height, depth: None };
        d.step_checked(chapter, &format!("box-{side}-corners"), boxing, size);
    }

    /// How long the boxing line is on a face. A lining that is cut smaller and tapers has a corner
    /// of another angle than the outside, and a line a shade longer.
    fn depth_of(&self, face: &Face) -> Length {
        let taper = face.top_width - face.base_width;
        if taper == Length::ZERO {
            return self.tip * 2;
        }
        let angle = corner_angle(taper, face.height);
        Length::from_mm_f64(self.tip.to_mm() * libm::tan(angle / 2.0)) * 2
    }

    /// Where a lining folds: as the outside, also where a facing goes on above its panels.
    fn fold_lining(&self, d: &mut Drafter<'_>, lining: &Shell) {
        for face in &lining.faces {
            self.fold(d, face);
        }
        for seam in ["lining-side-seams", "lining-base-seam"] {
            d.hinges.push(Hinge { line: HingeLine::Seam(seam.to_owned()), degrees: 180.0 });
        }
    }

    /// Where the sides of the bag fold: up from each boxed corner, and along the base.
    pub(crate) fn fold(&self, d: &mut Drafter<'_>, face: &Face) {
        if !self.tip.is_positive() {
            return;
        }
        let [left, right] = [-1, 1].map(|sign| self.fold_point(face, sign));
        let at_rim = face.top_width.half() - self.half_depth;
        let lines = [(left, right), (left, (-at_rim, face.height)), (right, (at_rim, face.height))];
        for (from, to) in lines {
            for (copy, a, b) in face.line(from, to) {
                d.hinges.push(Hinge { line: HingeLine::Fold(copy, a, b), degrees: 90.0 });
            }
        }
    }
}

/// Both side seams of the front, for piping: from the rim down to the line across which a corner is
/// boxed, that far above the base, or to the base. There its ends run out into the seam that crosses.
pub(crate) fn piped_sides(d: &Drafter<'_>, outside: &Shell, tip: Length) -> Vec<PipedSeam> {
    let Some(front) = outside.faces.first() else { return Vec::new() };
    let allowance = d.seam_allowance("side");
    let sides = [
        ("the left side of the front", front.left()),
        ("the right side of the front", front.right()),
    ];
    let piped = |(what, side): (&'static str, Run)| {
        let along = above(&side, tip)?;
        Some(PipedSeam { what, along, allowance, every: Length::ZERO })
    };
    sides.into_iter().filter_map(piped).collect()
}

/// A run from a distance behind its start on, if that lies on its first stretch.
fn above(run: &Run, start: Length) -> Option<Run> {
    let (first, rest) = run.spans.split_first()?;
    let onward = if first.from <= first.to { start } else { -start };
    let first = Span { from: first.from + onward, ..*first };
    let shortened = first.length() + start == run.spans[0].length();
    shortened.then(|| Run::open(std::iter::once(first).chain(rest.iter().copied())))
}

impl Plan for TwoPanels {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let faces = match (layer, self.contrast) {
            (Layer::Outside, Some(height)) => self.faces_with_base(d, height),
            (Layer::Outside, None) => self.plain_faces(d, layer, self.panel),
            (Layer::Lining, _) => {
                let ease = d.design.lining.values.length("ease");
                self.plain_faces(d, layer, self.panel.eased(ease))
            }
        };
        for face in &faces {
            self.mark(d, face);
        }
        if layer == Layer::Outside && self.contrast.is_some() {
            self.join_bases(d, &faces);
        }
        Shell::of_faces(layer, faces)
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let left_by = match opening {
            Some(opening) => Some(self.sew_lining(d, shell, opening)),
            None => {
                self.sew_outside(d, shell);
                None
            }
        };
        if self.tip.is_positive() {
            self.box_corners(d, shell);
            if shell.layer == Layer::Lining {
                self.fold_lining(d, shell);
            }
        }
        left_by
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let front = &outside.faces[0];
        d.claims.width = self.panel.base - self.tip * 2;
        d.claims.width_gauge = Gauge(vec![Reach::Along(front.bottom(), BASE)]);
        d.claims.height = self.panel.height - self.half_depth;
        d.claims.height_gauge = up(front);
        d.claims.depth = self.half_depth * 2;
        d.claims.top_width = self.panel.top;
        d.claims.top_gauge = Gauge(vec![Reach::Along(front.top(), RIM)]);
        d.claims.asked.clone_from(&self.asked);
        d.claims.holds.clone_from(&self.holds);
        for face in &outside.faces {
            self.fold(d, face);
        }
        let flat = if self.tip.is_positive() { 180.0 } else { 0.0 };
        for seam in ["outside-side-seams", "outside-base-seam"] {
            d.hinges.push(Hinge { line: HingeLine::Seam(seam.to_owned()), degrees: flat });
        }
    }

    fn base_rise(&self) -> Length {
        self.half_depth
    }

    /// A flat bag has one seam from rim to rim; boxed corners would cut it.
    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<PipedSeam> {
        // A French seam has no allowance in which a cord could lie.
        if matches!(d.seam_make, SeamMake::French { .. }) {
            return Vec::new();
        }
        let [side, base] = ["side", "base"].map(|key| d.seam_allowance(key));
        // Boxed corners, and allowances that differ, keep it from going round the base.
        if self.tip.is_positive() || side != base {
            return piped_sides(d, outside, self.tip);
        }
        let front = &outside.faces[0];
        let along = front.left().reversed().then(front.base()).then(front.right());
        vec![PipedSeam {
            what: "the edge of the front",
            along,
            allowance: side,
            every: Length::ZERO,
        }]
    }

    fn base(&self, _: &Drafter<'_>, _: &Shell) -> Option<Base> {
        let size = (self.panel.base - self.tip * 2, self.half_depth * 2);
        self.tip.is_positive().then_some(Base { size, shape: BaseShape::Square, piece: None })
    }
}

/// How the height of a face is measured: up every copy of it.
pub(crate) fn up(face: &Face) -> Gauge {
    Gauge(face.copies.iter().map(|copy| Reach::Across(*copy, RIM, BASE)).collect())
}

/// The two side seams of front and back.
pub(crate) fn side_seams(d: &Drafter<'_>, shell: &Shell) -> Seam {
    let [front, back] = [&shell.faces[0], &shell.faces[1]];
    let sides = vec![[front.right(), back.left()], [front.left(), back.right()]];
    let around = Checkpoint::Measures {
        what: format!("the {}'s top edge", shell.layer.word()),
        gauge: shell.rim_gauge(),
        how: "around",
    };
    let seam = Seam::new("side-seams", "both side seams", sides, d.allowance("side"));
    let across = shell.layer == Layer::Outside || d.is_lined_at_zip();
    let mind = (d.zipped && across).then(|| {
        "open the zip halfway first: closed, it cannot be reached from the wrong side, and nothing \
         can be turned through it."
            .to_owned()
    });
    // What stands at a zip is not measured around its mouth.
    let checkpoint = (!d.zipped).then_some(around);
    Seam { checkpoint, mind, ..seam }
}

/// The seam between front and back at the base, after the side seams.
pub(crate) fn base_seam(d: &Drafter<'_>, shell: &Shell) -> Seam {
    let [front, back] = [&shell.faces[0], &shell.faces[1]];
    let sides = vec![[front.base(), back.base().reversed()]];
    let seam = Seam::new("base-seam", "the base seam", sides, d.allowance("base"));
    Seam { again: true, ..seam }
}
