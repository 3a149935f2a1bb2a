//! A bag of two panels whose base corners are cut out before they are sewn: it stands.

use measure::{Length, Outline, Point};

use super::Body;
use super::two_panel_params::{DEPTH, EASE, HEIGHT, HOLDS, SIZE, STANDS, TAPER, WIDTH};
use crate::design::Role;
use crate::draft::face::{self, whole_span};
use crate::draft::{
    Borders, Drafter, Face, Layer, Lie, NewPiece, Plan, Shell, base_seam,
    centred_gap, side_seams, wanted,
};
use crate::kinds::{Kind, Param, Values, optional};
use crate::operations::FinishEdges;
use crate::pattern::{
    Checkpoint, CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, Reach, Run, Span,
};

/// The kind.
pub(super) struct CutCorners;
/// Its entry in the list.
pub(super) const KIND: CutCorners = CutCorners;

impl Kind for CutCorners {
    fn name(&self) -> &'static str {
        "cut-corners"
    }
    fn title(&self) -> &'static str {
        "Bag with cut-out corners"
    }
    fn help(&self) -> &'static str {
        "Two panels with a square cut out of each base corner; the square's edges are sewn to each \
         other, so that the bag stands. No corner to measure at the machine, and less bulk than \
         boxed corners."
    }
    fn params(&self) -> &'static [Param] {
        const CORNER: Param = optional(
            "corner",
            "corner seams",
            "Seam allowance of the seams across the corners; left out, that of the base seam.",
            [Length::mm(3), Length::mm(40)],
        ).along();
        &[SIZE, WIDTH, HEIGHT, DEPTH, TAPER, CORNER, HOLDS, STANDS, EASE]
    }
}

impl Body for CutCorners {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        Panels::plan(d, values).map(|plan| Box::new(plan) as Box<dyn Plan>)
    }
}

/// Edges of a panel, in the outline's order.
const BASE: usize = 0;
const RIGHT_UPRIGHT: usize = 1;
const RIGHT_LEVEL: usize = 2;
const RIGHT: usize = 3;
const RIM: usize = 4;
const LEFT: usize = 5;
const LEFT_LEVEL: usize = 6;
const LEFT_UPRIGHT: usize = 7;

/// A planned bag.
#[derive(Clone, Debug)]
struct Panels {
    /// Net width above the cut-out corners.
    wide: Length,
    /// How much wider it is at the rim.
    taper: Length,
    /// Net height, from the base seam.
    high: Length,
    /// Side of the square that is cut out: half the depth.
    corner: Length,
    /// Allowance of the corner seams.
    allowance: Length,
    asked: Vec<(&'static str, Length)>,
    holds: Vec<String>,
}

impl Panels {
    fn plan(d: &mut Drafter<'_>, values: &Values) -> Option<Self> {
        let (depth, taper) = (values.length("depth"), values.length("taper"));
        let allowance = values.optional("corner").unwrap_or(d.seam_allowance("base"));
        d.settle("body.corner", allowance);
        let plan = if values.choice("size") == "cut" {
            let sides = d.seam_allowance("side") * 2;
            let ends = d.seam_allowance("base") + d.rim_allowance;
            let (wide, high) = (values.length("width") - sides, values.length("height") - ends);
            let corner = d.snap(depth.half());
            Self { wide, taper, high, corner, allowance, asked: Vec::new(), holds: Vec::new() }
        } else {
            let size = wanted(d, values, depth)?;
            let corner = d.snap(size.depth.half());
            let (wide, high) = (size.width + corner * 2, size.height + corner);
            Self { wide, taper, high, corner, allowance, asked: size.asked, holds: size.holds }
        };
        plan.is_possible(d).then_some(plan)
    }

    fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        let (width, height) = (self.wide - self.corner * 2, self.high - self.corner);
        if d.is_too_small("width", width) | d.is_too_small("height", height) {
            return false;
        }
        // Sides that lean outwards take some of the seam across a corner.
        let lean = self.taper.half().to_mm() / height.to_mm();
        if self.corner <= self.allowance + Length::from_mm_f64(self.allowance.to_mm() * lean) {
            let message = format!(
                "the square that is cut out is {} wide, too little beside the allowance of its \
                 seam, {}",
                d.show(self.corner),
                d.show(self.allowance)
            );
            let cure = "make the bag deeper, or give `corner` a smaller allowance".to_owned();
            d.refuse("body.corner", message, cure);
            return false;
        }
        let most = height * 2;
        if self.taper > most {
            let message = format!(
                "sides {} high that are {} wider at the top lean outwards more than they rise",
                d.show(height),
                d.show(self.taper)
            );
            d.refuse("body.taper", message, format!("make it {} or less wider", d.show(most)));
            return false;
        }
        true
    }

    /// Smaller by the ease of a lining, with the same corners.
    fn of_layer(&self, d: &Drafter<'_>, layer: Layer) -> Self {
        match layer {
            Layer::Outside => self.clone(),
            Layer::Lining => {
                let ease = d.design.lining.values.length("ease");
                Self { wide: self.wide - ease, high: self.high - ease, ..self.clone() }
            }
        }
    }

    fn outline(&self) -> Option<Outline> {
        let (middle, corner, high) = (self.middle(), self.corner, self.high);
        let (wide, base) = (self.wide.half(), self.wide.half() - corner);
        let top = wide + self.taper.half();
        let right = [
            (base, Length::ZERO),
            (base, corner),
            (wide, corner),
            (top, high),
        ];
        let at = |sign: i64| move |(x, y): &(Length, Length)| Point::new(middle + *x * sign, *y);
        let left = right.iter().rev().map(at(-1));
        let mut points: Vec<Point> = right.iter().map(at(1)).chain(left).collect();
        // The base edge comes first.
        points.rotate_right(1);
        Outline::polygon(points).ok()
    }

    /// Distance of the centre line from the left of the piece.
    fn middle(&self) -> Length {
        self.wide.half() + self.taper.half()
    }

    fn face(&self, d: &Drafter<'_>, word: &'static str, copy: CopyId) -> Face {
        let edge = |edge| whole_span(d, copy, edge);
        Face {
            copies: vec![copy],
            starts: vec![Length::ZERO],
            lies: vec![Lie { foot: Point::new(self.middle(), Length::ZERO), turned: false }],
            base_width: self.wide,
            top_width: self.wide + self.taper,
            height: self.high,
            cut_out: self.corner,
            ..Face::within(word, Borders {
                base: Some(edge(BASE)),
                right: vec![edge(RIGHT)],
                left: vec![edge(LEFT).reversed()],
                rim: edge(RIM),
            })
        }
    }

    /// The seams across the two corners, each from the front to the back: level edges on upright
    /// ones.
    fn corner_seams(&self, d: &Drafter<'_>, shell: &Shell) -> Vec<[Run; 2]> {
        let [front, back] = [shell.faces[0].bottom(), shell.faces[1].bottom()];
        let edge = |copy, edge| whole_span(d, copy, edge);
        let run = |spans: [Span; 2]| Run::open(spans);
        vec![
            [
                run([edge(front, RIGHT_LEVEL), edge(back, LEFT_LEVEL)]),
                run([edge(front, RIGHT_UPRIGHT), edge(back, LEFT_UPRIGHT)].map(Span::reversed)),
            ],
            [
                run([edge(front, LEFT_LEVEL), edge(back, RIGHT_LEVEL)].map(Span::reversed)),
                run([edge(front, LEFT_UPRIGHT), edge(back, RIGHT_UPRIGHT)]),
            ],
        ]
    }

    fn sew_corners(&self, d: &mut Drafter<'_>, shell: &Shell) {
        let layer = shell.layer;
        let sides = self.corner_seams(d, shell);
        let runs: Vec<Run> = sides.iter().flatten().cloned().collect();
        let front = shell.faces[0].bottom();
        let mut high = height(front);
        // The facing of a lining, above its panel.
        let above = shell.faces[0].copies.iter().skip(1);
        high.0.extend(above.map(|copy| Reach::Across(*copy, face::RIM, face::BASE)));
        let size = Checkpoint::Size {
            what: format!("the front of the {}, from fold to fold and up to its raw edge,", layer.word()),
            width: Gauge(vec![Reach::Along(front, BASE)]),
            height: high,
            depth: None,
        };
        let mut join = crate::operations::Join::plain(
            "across each corner",
            sides,
            self.allowance,
            d.stitch("seam"),
        );
        join.lay = Some(
            "Pull front and back apart at each base corner, right sides together, until the end of \
             the side seam lies exactly on the end of the base seam and the cut-out edges lie on \
             each other in one straight line; turn the allowances of the two seams to opposite \
             sides, and pin."
                .to_owned(),
        );
        join.press = crate::operations::Press::Not;
        join.mind = Some(
            "pin the two seams onto each other first, and then the ends: a corner that is pinned \
             from one end to the other comes out with a pleat."
                .to_owned(),
        );
        d.step_checked(layer.chapter(), &format!("sew-{}-corners", layer.word()), join, size);
        if let Some(how) = d.plain_finish(layer) {
            let finish = FinishEdges {
                what: "the seams across the corners".to_owned(),
                runs,
                how,
                bound_with: crate::draft::bound_with(how),
                together: true,
            };
            d.step(layer.chapter(), "finish-corners", finish);
        }
    }

    /// Where the sides of the bag fold: up from each corner, and along the base.
    fn fold(&self, d: &mut Drafter<'_>, face: &Face) {
        let corner = self.corner;
        let (base, top) = (face.base_width.half() - corner, face.top_width.half() - corner);
        let lines = [
            ((-base, corner), (base, corner)),
            ((-base, corner), (-top, face.height)),
            ((base, corner), (top, face.height)),
        ];
        for (from, to) in lines {
            for (copy, a, b) in face.line(from, to) {
                d.hinges.push(Hinge { line: HingeLine::Fold(copy, a, b), degrees: 90.0 });
            }
        }
    }
}

/// The height of the finished front: from the rim to the fold at the base, which is level with the
/// edges of the corners.
fn height(front: CopyId) -> Gauge {
    Gauge(vec![Reach::Across(front, RIM, RIGHT_LEVEL)])
}

impl Plan for Panels {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let panel = self.of_layer(d, layer);
        let Some(net) = panel.outline() else { return Shell::of_faces(layer, Vec::new()) };
        let (id, name, role, noun) = match layer {
            Layer::Outside => ("outside-panel", "outside panel", Role::Outside, "panel"),
            Layer::Lining => ("lining-panel", "lining panel", Role::Lining, "lining"),
        };
        let of = |key| if layer == Layer::Outside { d.seam_allowance(key) } else { d.allowance(key) };
        let (base, side, rim, corner) = (of("base"), of("side"), d.rim_allowance, self.allowance);
        let edges = vec![
            ("base", base),
            ("right corner, upright", corner),
            ("right corner, level", corner),
            ("right side", side),
            ("rim", rim),
            ("left side", side),
            ("left corner, level", corner),
            ("left corner, upright", corner),
        ];
        let grain = Grain::Lengthwise;
        let piece = d.piece(NewPiece { id, name, role, net, edges, grain, join: None });
        let faces = ["front", "back"].map(|word| {
            let copy = d.copy(piece, &format!("{word} {noun}"));
            panel.face(d, word, copy)
        });
        for (label, edge) in [("centre of the base", BASE), ("centre of the rim", RIM)] {
            let along = d.piece_of(faces[0].bottom()).net.edge_length(edge).half();
            d.mark(piece, label, MarkShape::Notch { edge, along });
        }
        Shell::of_faces(layer, faces.into())
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let sides = side_seams(d, shell);
        let mut base = base_seam(d, shell);
        let front = &shell.faces[0];
        if let Some(opening) = opening {
            let gap = centred_gap(front.base().length(), opening);
            let mark = MarkShape::Opening { edge: BASE, from: gap.from, to: gap.to };
            d.mark_copy(front.bottom(), "opening", mark);
            base.gap = Some(gap);
        }
        let runs = [sides.runs(), base.runs()].concat();
        d.sew(shell.layer, sides);
        let left_by = d.sew(shell.layer, base);
        d.finish_seams(shell.layer, "finish-seams", "the side and base seams", runs);
        self.sew_corners(d, shell);
        for face in &shell.faces {
            self.fold(d, face);
        }
        let word = shell.layer.word();
        let seams = [
            (format!("{word}-side-seams"), 180.0),
            (format!("{word}-base-seam"), 180.0),
            (format!("sew-{word}-corners"), 90.0),
        ];
        for (seam, degrees) in seams {
            d.hinges.push(Hinge { line: HingeLine::Seam(seam), degrees });
        }
        opening.map(|_| left_by)
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let [front, back] = [outside.faces[0].bottom(), outside.faces[1].bottom()];
        d.claims.width = self.wide - self.corner * 2;
        d.claims.width_gauge = Gauge(vec![Reach::Along(front, BASE)]);
        d.claims.height = self.high - self.corner;
        d.claims.height_gauge = height(front);
        d.claims.depth = self.corner * 2;
        d.claims.depth_gauge =
            Gauge([front, back].map(|copy| Reach::Along(copy, RIGHT_UPRIGHT)).into());
        d.claims.top_width = outside.faces[0].top_width;
        d.claims.top_gauge = Gauge(vec![Reach::Along(front, RIM)]);
        d.claims.asked.clone_from(&self.asked);
        d.claims.holds.clone_from(&self.holds);
    }

    fn base_rise(&self) -> Length {
        self.corner
    }

}
