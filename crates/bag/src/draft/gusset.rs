//! Bags with a gusset: front and back, and a strip between them that goes down one side, along the
//! base and up the other, in one length or in three parts.

mod sides;
#[cfg(test)]
mod tests;

use measure::{Length, Outline, OutlineError};

use super::face::{Borders, Lie, whole_span};
use super::{
    Ability, Base, BasePiece, BaseShape, Drafter, Face, Juts, Layer, NewPiece, Plan, SeamMake,
    Shell, centred_gap,
};
use crate::design::Role;
use crate::extras::PipedSeam;
use crate::kinds::Values;
use crate::operations::{Clip, ClipEdge, EdgeFinish, FinishEdges, Gap, Join, Press, Spot};
use crate::pattern::{
    Chapter, Checkpoint, CopyId, Gauge, Grain, Hinge, HingeLine, MarkShape, PieceId, Reach, Run,
    Span,
};

/// A planned bag with a gusset.
#[derive(Clone, Debug)]
pub struct Gusset {
    /// Net width × height of front and back.
    pub panel: (Length, Length),
    /// Net width of the gusset at the base.
    pub depth: Length,
    /// Net width of the gusset at the rim.
    pub top_depth: Length,
    /// Net radius of the corners at the base; zero where they are square.
    pub corner: Length,
    /// Whether the gusset is made of two sides and a base.
    pub in_parts: bool,
    /// What the finished size was asked to be.
    pub asked: Vec<(&'static str, Length)>,
    /// What must fit.
    pub holds: Vec<String>,
}

/// Indices of the edges of a panel, and those along which the gusset goes, from the rim down the
/// left side to the rim at the right.
struct Edges {
    base: usize,
    right: usize,
    rim: usize,
    left: usize,
    around: &'static [usize],
}

/// A panel with square corners.
const SQUARE: Edges = Edges { base: 0, right: 1, rim: 2, left: 3, around: &[3, 0, 1] };
/// A panel with rounded bottom corners.
const ROUND: Edges = Edges { base: 0, right: 2, rim: 3, left: 4, around: &[4, 5, 0, 1, 2] };

/// One layer's panels and gusset.
struct Parts {
    front: CopyId,
    back: CopyId,
    /// One strip, or left side, base and right side.
    gusset: Vec<CopyId>,
    /// Facings above its ends, at the left and at the right.
    facings: Option<[CopyId; 2]>,
}

impl Gusset {
    /// Plans from the parameters `size`, `width`, `height`, `depth`, `corner`, and of a gusset in
    /// three parts `taper`.
    pub fn plan(d: &mut Drafter<'_>, values: &Values, in_parts: bool) -> Option<Self> {
        let (width, height) = (values.length("width"), values.length("height"));
        let depth = values.length("depth");
        let seams = d.seam_allowance("base");
        let (mut asked, mut holds) = (Vec::new(), Vec::new());
        let (panel, depth) = match values.choice("size") {
            "cut" => ((width - seams * 2, height - seams - d.rim_allowance), depth),
            "fits" => {
                let ((w, h, deep), id) = super::room::room_for(d, values, depth)?;
                holds.push(id);
                ((w, h), deep)
            }
            _ => {
                asked.extend([("width", width), ("height", height), ("depth", depth)]);
                ((width, height), depth)
            }
        };
        let corner = values.optional("corner").unwrap_or(Length::ZERO);
        let taper = if in_parts { values.length("taper") } else { Length::ZERO };
        let plan = Self { panel, depth, top_depth: depth - taper, corner, in_parts, asked, holds };
        plan.is_possible(d).then_some(plan)
    }

    /// Refuses what leaves no bag.
    fn is_possible(&self, d: &mut Drafter<'_>) -> bool {
        let least = d.either(Length::inch(1), Length::mm(25));
        let (width, height) = self.panel;
        let mut possible = true;
        for (key, left, what) in [("width", width, "wide"), ("height", height, "high")] {
            if left < least {
                let message = d.leaves("seams", key, left);
                let cure = format!("make it at least {} {what} after its seams", d.show(least));
                d.refuse(&format!("body.{key}"), message, cure);
                possible = false;
            }
        }
        let most = (width - least).half().min(height - least);
        if possible && self.corner > most {
            let message = format!(
                "corners with a radius of {} leave less than {} of the base or of the sides \
                 straight",
                d.show(self.corner),
                d.show(least)
            );
            let cure = format!("make the radius {} or less", d.show(most.max(Length::ZERO)));
            d.refuse("body.corner", message, cure);
            possible = false;
        }
        if self.top_depth < d.either(Length::inch_frac(1, 2), Length::mm(12)) {
            let message = format!(
                "a gusset {} wide at the base that is {} narrower at the top leaves nothing there",
                d.show(self.depth),
                d.show(self.depth - self.top_depth)
            );
            d.refuse("body.taper", message, "let it taper less, or make it deeper".to_owned());
            possible = false;
        }
        // Sides that lean go on leaning in the allowance above the rim.
        let lean = (self.depth - self.top_depth).to_mm() / height.to_mm().max(1.0);
        let at_raw = self.top_depth - Length::from_mm_f64(d.rim_allowance.to_mm() * lean);
        if possible && at_raw < d.either(Length::inch_frac(1, 4), Length::mm(6)) {
            let message = format!(
                "above the rim, where {} are turned in, the sides of the gusset lean until nothing is \
                 left of them",
                d.show(d.rim_allowance)
            );
            let cure = "let the gusset taper less, or make the hem less deep".to_owned();
            d.refuse("body.taper", message, cure);
            possible = false;
        }
        if possible && (self.depth - self.top_depth) > height - self.corner {
            let message = "the sides of the gusset lean more than they rise".to_owned();
            let cure = "let the gusset taper less, or make the bag higher".to_owned();
            d.refuse("body.taper", message, cure);
            possible = false;
        }
        possible
    }

    fn edges(&self) -> &'static Edges {
        if self.corner.is_positive() { &ROUND } else { &SQUARE }
    }

    fn panel_outline(&self, (width, height): (Length, Length)) -> Result<Outline, OutlineError> {
        if self.corner.is_positive() {
            Outline::round_bottomed(width, height, self.corner)
        } else {
            Ok(Outline::rectangle(width, height))
        }
    }

    /// Lengths of the seam: down a side to where the corner begins, round a corner, and along the
    /// straight part of the base.
    fn stretches(&self, net: &Outline) -> [Length; 3] {
        let edges = self.edges();
        let round = if self.corner.is_positive() { net.edge_length(1) } else { Length::ZERO };
        [net.edge_length(edges.left), round, net.edge_length(edges.base)]
    }

    /// Allowance of the seams of a layer: that of its base.
    fn allowance(d: &Drafter<'_>, layer: Layer) -> Length {
        match layer {
            Layer::Outside => d.seam_allowance("base"),
            Layer::Lining => d.allowance("base"),
        }
    }

    fn cut_panels(
        &self,
        d: &mut Drafter<'_>,
        layer: Layer,
        net: &Outline,
    ) -> (PieceId, [CopyId; 2]) {
        let seam = Self::allowance(d, layer);
        let rim = d.rim_allowance;
        let names: Vec<(&str, Length)> = if self.corner.is_positive() {
            vec![
                ("base", seam),
                ("right corner", seam),
                ("right side", seam),
                ("rim", rim),
                ("left side", seam),
                ("left corner", seam),
            ]
        } else {
            vec![("base", seam), ("right side", seam), ("rim", rim), ("left side", seam)]
        };
        let (id, name, role, noun) = match layer {
            Layer::Outside => ("outside-panel", "outside panel", Role::Outside, "panel"),
            Layer::Lining => ("lining-panel", "lining panel", Role::Lining, "lining"),
        };
        let piece = d.piece(NewPiece {
            id,
            name,
            role,
            net: net.clone(),
            edges: names,
            grain: Grain::Lengthwise,
            join: None,
        });
        (piece, ["front", "back"].map(|word| d.copy(piece, &format!("{word} {noun}"))))
    }

    /// Cuts the gusset, in one strip or in its parts.
    fn cut_gusset(&self, d: &mut Drafter<'_>, layer: Layer, net: &Outline) -> Vec<CopyId> {
        let seam = Self::allowance(d, layer);
        let rim = d.rim_allowance;
        let [side, round, base] = self.stretches(net);
        let (stem, noun, role, base_role) = match layer {
            Layer::Outside => ("gusset", "gusset", Role::Outside, Role::Base),
            Layer::Lining => ("lining-gusset", "lining gusset", Role::Lining, Role::Lining),
        };
        let new = |id, name, role, net, edges| NewPiece {
            id,
            name,
            role,
            net,
            edges,
            grain: Grain::Lengthwise,
            join: None,
        };
        let [left_end, right_end] = sides::left_and_right(layer).map(|at| format!("{at} end"));
        if !self.in_parts {
            let strip = Outline::rectangle(self.depth, (side + round) * 2 + base);
            let edges = vec![
                (left_end.as_str(), rim),
                ("back edge", seam),
                (right_end.as_str(), rim),
                ("front edge", seam),
            ];
            let piece = d.piece(new(stem, noun, role, strip, edges));
            return vec![d.copy(piece, noun)];
        }
        // A side that tapers is as long along its slant as the panel beside it.
        let lean = (self.depth - self.top_depth).half().to_mm();
        let high = Length::from_mm_f64((side.to_mm().powi(2) - lean * lean).max(0.0).sqrt());
        let sides = Outline::trapezoid(self.depth, self.top_depth, high);
        let edges = vec![("base", seam), ("right side", seam), ("rim", rim), ("left side", seam)];
        let (id, name) = (format!("{stem}-side"), format!("{noun} side"));
        let piece = d.piece(new(&id, &name, role, sides, edges));
        let [left, right] =
            sides::left_and_right(layer).map(|at| d.copy(piece, &format!("{at} {name}")));
        let bottom = Outline::rectangle(base + round * 2, self.depth);
        let edges = vec![
            ("back edge", seam),
            (right_end.as_str(), seam),
            ("front edge", seam),
            (left_end.as_str(), seam),
        ];
        let (id, name) = (format!("{stem}-base"), format!("{noun} base"));
        let piece = d.piece(new(&id, &name, base_role, bottom, edges));
        vec![left, d.copy(piece, &name), right]
    }

    fn face(&self, d: &Drafter<'_>, word: &'static str, copy: CopyId) -> Face {
        let edges = self.edges();
        let net = &d.piece_of(copy).net;
        let (low, high) = net.bounds();
        let span = |edge| whole_span(d, copy, edge);
        Face {
            copies: vec![copy],
            starts: vec![Length::ZERO],
            lies: vec![Lie {
                foot: measure::Point::new((high.x - low.x).half(), Length::ZERO),
                turned: false,
            }],
            base_width: high.x - low.x,
            top_width: high.x - low.x,
            height: high.y - low.y,
            corner: self.corner,
            ..Face::within(
                word,
                Borders {
                    base: Some(span(edges.base)),
                    right: vec![span(edges.right)],
                    left: vec![span(edges.left).reversed()],
                    rim: span(edges.rim),
                },
            )
        }
    }

    /// The gusset's stretches beside the front and beside the back, in the direction in which the
    /// panel's own edges run; the ends of the gusset at the rim, at the left and at the right.
    fn runs(
        &self,
        d: &Drafter<'_>,
        gusset: &[CopyId],
        facings: Option<[CopyId; 2]>,
    ) -> ([Run; 2], [Span; 2]) {
        let span = |copy, edge| whole_span(d, copy, edge);
        let (mut front, mut back, ends) = match *gusset {
            [left, base, right] => {
                let front = vec![span(left, 1), span(base, 2), span(right, 3)];
                let back = vec![span(right, 1), span(base, 0), span(left, 3)];
                (front, back, [span(left, 2), span(right, 2)])
            }
            _ => {
                let strip = gusset[0];
                (vec![span(strip, 3)], vec![span(strip, 1)], [span(strip, 0), span(strip, 2)])
            }
        };
        if let Some([left, right]) = facings {
            front.insert(0, span(left, super::face::RIGHT));
            front.push(span(right, super::face::LEFT));
            back.insert(0, span(right, super::face::RIGHT));
            back.push(span(left, super::face::LEFT));
        }
        let run = |spans: Vec<Span>| Run::open(spans.into_iter().map(Span::reversed));
        ([run(front), run(back)], ends)
    }

    /// The edges of a face along which the gusset goes, from the rim down its left side to the rim
    /// at the right.
    fn around(&self, d: &Drafter<'_>, face: &Face) -> Run {
        let edges = self.edges().around;
        let low = edges[1..edges.len() - 1].iter().map(|edge| whole_span(d, face.bottom(), *edge));
        face.left().reversed().then(Run::open(low)).then(face.right())
    }

    /// Marks the centres, where the corners come, and where each curve begins and ends.
    fn mark(&self, d: &mut Drafter<'_>, parts: &Parts, net: &Outline) {
        let edges = self.edges();
        let half = |length: Length| length.half();
        for copy in [parts.front, parts.back] {
            for (label, edge) in
                [("centre of the base", edges.base), ("centre of the rim", edges.rim)]
            {
                let along = half(net.edge_length(edge));
                d.mark_copy(copy, label, MarkShape::Notch { edge, along });
            }
            if self.corner.is_positive() {
                for (edge, along) in [
                    (edges.base, Length::ZERO),
                    (edges.base, net.edge_length(edges.base)),
                    (edges.right, Length::ZERO),
                    (edges.left, net.edge_length(edges.left)),
                ] {
                    d.mark_copy(copy, "end of the curve", MarkShape::Notch { edge, along });
                }
            }
        }
        let [side, round, base] = self.stretches(net);
        let (long_edges, total, from): ([usize; 2], Length, Length) = if self.in_parts {
            ([0, 2], base + round * 2, Length::ZERO)
        } else {
            ([1, 3], (side + round) * 2 + base, side)
        };
        let copy = if self.in_parts { parts.gusset[1] } else { parts.gusset[0] };
        let mut stops = vec![("centre of the base", total.half())];
        if self.corner.is_positive() {
            for at in [from, from + round] {
                stops.extend([("end of the curve", at), ("end of the curve", total - at)]);
            }
        } else if !self.in_parts {
            stops.extend([("corner", from), ("corner", total - from)]);
        }
        if let [left, bottom, _] = *parts.gusset {
            // Where its sides are joined to its base.
            let along = self.depth.half();
            for (copy, edge) in [(left, 0), (bottom, 1), (bottom, 3)] {
                d.mark_copy(copy, "centre of the seam", MarkShape::Notch { edge, along });
            }
        }
        for edge in long_edges {
            for (label, along) in &stops {
                // The ends of the base of three parts are its corners.
                if along.is_positive() && *along < total {
                    d.mark_copy(copy, label, MarkShape::Notch { edge, along: *along });
                }
            }
        }
    }

    /// Clips the edges of the gusset where they go round corners; none where its parts meet there.
    fn clip(&self, d: &mut Drafter<'_>, layer: Layer, parts: &Parts, net: &Outline) {
        let [side, round, base] = self.stretches(net);
        let is_round = self.corner.is_positive();
        if self.in_parts && !is_round {
            return;
        }
        let (copy, edges, from, total) = if self.in_parts {
            (parts.gusset[1], [0, 2], Length::ZERO, base + round * 2)
        } else {
            (parts.gusset[0], [1, 3], side, (side + round) * 2 + base)
        };
        let (mut corners, mut curves) = (Vec::new(), Vec::new());
        for edge in edges {
            if is_round {
                let row = |from: Length| Run::open([Span { copy, edge, from, to: from + round }]);
                curves.extend([row(from), row(total - from - round)]);
            } else {
                corners.extend([from, total - from].map(|at| Spot { copy, edge, at }));
            }
        }
        let noun = if layer == Layer::Outside { "the gusset" } else { "the lining gusset" };
        let clip = ClipEdge {
            what: if self.in_parts { format!("{noun} base") } else { noun.to_owned() },
            corners,
            curves,
            every: clip_every(d, self.corner),
            leave: clip_leave(d, Self::allowance(d, layer), Length::inch_frac(1, 16)),
            stitch: STAYSTITCH,
        };
        d.step(chapter(layer), &format!("clip-{}-gusset", word(layer)), clip);
    }

    /// Joins the parts of the gusset into one strip.
    fn join_parts(&self, d: &mut Drafter<'_>, layer: Layer, gusset: &[CopyId]) {
        let [left, base, right] = *gusset else { return };
        let span = |copy, edge| whole_span(d, copy, edge);
        let seams = vec![
            [Run::open([span(left, 0)]), Run::open([span(base, 3).reversed()])],
            [Run::open([span(right, 0)]), Run::open([span(base, 1).reversed()])],
        ];
        let runs: Vec<Run> = seams.iter().flatten().cloned().collect();
        let allowance = Self::allowance(d, layer);
        let what = "each side of the gusset to its base";
        let mut join = Join::plain(what, seams, allowance, d.stitch("seam"));
        join.press = press(d, layer, "the base");
        if !self.corner.is_positive() {
            join.mind = Some(format!(
                "begin and end each of these seams {} from the raw edges, at the stitching line of \
                 the long sides, so that the gusset can spread round the corners of the panels.",
                d.show(allowance)
            ));
        }
        d.step(chapter(layer), &format!("{}-gusset-parts", word(layer)), join);
        finish(d, layer, "finish-gusset-parts", "the seams of the gusset", runs);
    }

    /// How to pin and sew round the corners.
    fn mind(&self) -> String {
        let first = if self.corner.is_positive() {
            "pin the centres and the marks of the curves first, then the rest; sew with the gusset \
             uppermost and let its clips open round the curves"
        } else if self.in_parts {
            "pin the centres and the corners first, then the rest; sew with the gusset uppermost, \
             and at each corner swing it round the needle, where its parts stand open"
        } else {
            "pin the centres and the corners first, then the rest; sew with the gusset uppermost, \
             and at each corner swing it round the needle, so that its clip opens"
        };
        format!("{first}. The ends of the gusset come level with the rim.")
    }

    /// Sews front and back to the gusset; returns the id of the step with the opening.
    fn sew_round(
        &self,
        d: &mut Drafter<'_>,
        shell: &Shell,
        parts: &Parts,
        opening: Option<Length>,
    ) -> Option<String> {
        let layer = shell.layer;
        let net = d.piece_of(parts.front).net.clone();
        let ([front_run, back_run], _) = self.runs(d, &parts.gusset, parts.facings);
        let [_, round, base] = self.stretches(&net);
        let mut left_by = None;
        let mut runs = Vec::new();
        for (word_, face, along) in
            [("front", &shell.faces[0], front_run), ("back", &shell.faces[1], back_run)]
        {
            let copy = face.bottom();
            let panel = self.around(d, face);
            runs.extend([panel.clone(), along.clone()]);
            let what = format!("the gusset to the {word_}");
            let mut join = Join::plain(
                &what,
                vec![[panel, along]],
                Self::allowance(d, layer),
                d.stitch("seam"),
            );
            join.press = Press::Toward("the gusset".to_owned());
            join.mind = Some(self.mind());
            let id = format!("{}-{word_}-gusset", word(layer));
            if let Some(length) = opening.filter(|_| word_ == "back") {
                let gap = centred_gap(base, length);
                let edge = self.edges().base;
                let mark = MarkShape::Opening { edge, from: gap.from, to: gap.to };
                d.mark_copy(copy, "opening", mark);
                let before = face.left().length() + round;
                join.gaps = vec![Gap { from: gap.from + before, to: gap.to + before }];
                left_by = Some(id.clone());
            }
            if word_ == "back" {
                let around = Checkpoint::Measures {
                    what: format!("the {}'s top edge", word(layer)),
                    gauge: shell.rim_gauge(),
                    how: "around",
                };
                d.step_checked(chapter(layer), &id, join, around);
            } else {
                d.step(chapter(layer), &id, join);
            }
        }
        finish(d, layer, "finish-seams", "the seams of the gusset along front and back", runs);
        if self.corner.is_positive() && !is_finished(d, layer) {
            let clip = Clip {
                what: "the round corners of front and back".to_owned(),
                copies: vec![parts.front, parts.back],
                every: clip_every(d, self.corner),
                leave: clip_leave(d, Self::allowance(d, layer), Length::inch_frac(1, 8)),
                wedges: true,
            };
            d.step(chapter(layer), &format!("notch-{}-corners", word(layer)), clip);
        }
        left_by
    }

    fn parts_of(&self, shell: &Shell) -> Parts {
        let [front, back] = [&shell.faces[0], &shell.faces[1]].map(Face::bottom);
        // The gusset was cut right after the panels: one strip, or left and right side and base.
        let [first, second, third] = [1, 2, 3].map(|after| CopyId(back.0 + after));
        let gusset = if self.in_parts { vec![first, third, second] } else { vec![first] };
        let faced = |index: usize| {
            let copy = shell.rim[index].copy;
            (!gusset.contains(&copy)).then_some(copy)
        };
        let facings = faced(1).zip(faced(3)).map(|(left, right)| [left, right]);
        Parts { front, back, gusset, facings }
    }

    /// Where the gusset bends, and that it stands square to front and back.
    fn fold(&self, d: &mut Drafter<'_>, layer: Layer, parts: &Parts) {
        for face in ["front", "back"] {
            let line = HingeLine::Seam(format!("{}-{face}-gusset", word(layer)));
            d.hinges.push(Hinge { line, degrees: 90.0 });
        }
        let net = d.piece_of(parts.front).net.clone();
        let [side, round, base] = self.stretches(&net);
        let is_round = self.corner.is_positive();
        if self.in_parts {
            let line = HingeLine::Seam(format!("{}-gusset-parts", word(layer)));
            d.hinges.push(Hinge { line, degrees: if is_round { 180.0 } else { 90.0 } });
        }
        let copy = if self.in_parts { parts.gusset[1] } else { parts.gusset[0] };
        let from = if self.in_parts { Length::ZERO } else { side };
        // Where a facing took the ends of the strip, it begins higher.
        let begins = if self.in_parts { Length::ZERO } else { d.piece_of(copy).net.bounds().0.y };
        let total = from * 2 + round * 2 + base;
        let stops: Vec<(Length, f64)> = if is_round {
            let stops = net.edge(1).chord_stops();
            let each = 90.0 / (stops.len() + 1) as f64;
            let mut all = vec![Length::ZERO];
            all.extend(stops);
            all.push(round);
            // Each chord bends from the next; the first and the last by half from the straight.
            let last = all.len() - 1;
            let bend = |index: usize| if index == 0 || index == last { each / 2.0 } else { each };
            all.iter().enumerate().map(|(index, at)| (*at, 180.0 - bend(index))).collect()
        } else if self.in_parts {
            Vec::new()
        } else {
            vec![(Length::ZERO, 90.0)]
        };
        for (stop, degrees) in stops {
            for at in [from + stop, total - from - stop] {
                if at <= Length::ZERO || at >= total {
                    continue;
                }
                let point = |across: Length| {
                    if self.in_parts {
                        measure::Point::new(at, across)
                    } else {
                        measure::Point::new(across, at + begins)
                    }
                };
                let line = HingeLine::Fold(copy, point(Length::ZERO), point(self.depth));
                d.hinges.push(Hinge { line, degrees });
            }
        }
    }
}

impl Plan for Gusset {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let ease = match layer {
            Layer::Outside => Length::ZERO,
            Layer::Lining => d.design.lining.values.length("ease"),
        };
        let size = (self.panel.0 - ease, self.panel.1 - ease);
        let net = self.panel_outline(size).unwrap_or_else(|_| Outline::rectangle(size.0, size.1));
        let (_, [front, back]) = self.cut_panels(d, layer, &net);
        let gusset = self.cut_gusset(d, layer, &net);
        let faces = vec![self.face(d, "front", front), self.face(d, "back", back)];
        let (_, [left, right]) = self.runs(d, &gusset, None);
        let rim = vec![faces[0].borders.rim, left, faces[1].borders.rim, right];
        let sides = self.sides(d, layer, &gusset, &net);
        self.mark(d, &Parts { front, back, gusset, facings: None }, &net);
        Shell { layer, faces, ends: Vec::new(), sides, rim }
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        let parts = self.parts_of(shell);
        let net = d.piece_of(parts.front).net.clone();
        if self.in_parts {
            self.join_parts(d, shell.layer, &parts.gusset);
        }
        self.clip(d, shell.layer, &parts, &net);
        let left_by = self.sew_round(d, shell, &parts, opening);
        if shell.layer == Layer::Lining {
            self.fold(d, shell.layer, &parts);
        }
        left_by
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let parts = self.parts_of(outside);
        let edges = self.edges();
        d.claims.width = self.panel.0;
        d.claims.width_gauge = Gauge(vec![Reach::Across(parts.front, edges.left, edges.right)]);
        d.claims.height = self.panel.1;
        d.claims.height_gauge = Gauge(vec![Reach::Across(parts.front, edges.rim, edges.base)]);
        d.claims.depth = self.depth;
        let (across, from, to) =
            if self.in_parts { (parts.gusset[1], 0, 2) } else { (parts.gusset[0], 3, 1) };
        d.claims.depth_gauge = Gauge(vec![Reach::Across(across, from, to)]);
        d.claims.top_width = self.panel.0 + self.top_depth;
        let end = if self.in_parts { 2 } else { 0 };
        d.claims.top_gauge =
            Gauge(vec![Reach::Along(parts.front, edges.rim), Reach::Along(parts.gusset[0], end)]);
        d.claims.asked.clone_from(&self.asked);
        d.claims.holds.clone_from(&self.holds);
        self.fold(d, Layer::Outside, &parts);
    }

    fn base_rise(&self) -> Length {
        Length::ZERO
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<PipedSeam> {
        let every =
            if self.corner.is_positive() { clip_every(d, self.corner) } else { Length::ZERO };
        let seams = ["the edge of the front", "the edge of the back"].into_iter();
        seams
            .zip(&outside.faces)
            .map(|(what, face)| PipedSeam {
                what,
                along: self.around(d, face),
                allowance: Self::allowance(d, Layer::Outside),
                every,
            })
            .collect()
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        let parts = self.parts_of(outside);
        let copy = if self.in_parts { parts.gusset[1] } else { parts.gusset[0] };
        let (low, high) = d.piece_of(copy).net.bounds();
        let middle = low.middle(high);
        // Round corners take the ends of the base up.
        let size = (self.panel.0 - self.corner * 2, self.depth);
        let piece = Some(BasePiece { copy, middle, upright: !self.in_parts });
        size.0.is_positive().then_some(Base { size, shape: BaseShape::Square, piece })
    }

    fn juts(&self) -> Juts {
        if self.corner.is_positive() { Juts::Curves } else { Juts::Corners }
    }

    fn offers(&self) -> Vec<Ability> {
        let mut offers = Ability::of_an_open_bag_but(&[Ability::StraightSeams]);
        offers.push(Ability::Sides);
        offers
    }

    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        let parts = self.parts_of(outside);
        let net = &d.piece_of(parts.front).net;
        let [side, round, base] = self.stretches(net);
        let seam = d.seam_allowance("base");
        let around = (side + round) * 2 + base + d.rim_allowance * 2;
        let joints = if self.in_parts { (self.depth + seam * 2) * 2 } else { Length::ZERO };
        around * 2 + joints
    }
}

/// From clip to clip along a curve: 1/2 in, closer where it is tight (common practice, no source).
pub(crate) fn clip_every(d: &Drafter<'_>, radius: Length) -> Length {
    let tight = radius.is_positive() && radius < d.either(Length::inch(2), Length::mm(50));
    match tight {
        true => d.either(Length::inch_frac(1, 4), Length::mm(6)),
        false => d.either(Length::inch_frac(1, 2), Length::mm(12)),
    }
}

/// Stitch length of the row that keeps clips from running on (common practice, no source).
pub(crate) const STAYSTITCH: Length = Length::mm(2);

/// How far from the stitches a clip ends: so much, on the ruler in use, but no more than half of
/// the allowance.
pub(crate) fn clip_leave(d: &Drafter<'_>, allowance: Length, inch: Length) -> Length {
    let metric = if inch < Length::inch_frac(1, 8) { Length::mm(2) } else { Length::mm(3) };
    d.either(inch, metric).min(allowance.half())
}

/// The chapter in which a layer is sewn.
pub(super) fn chapter(layer: Layer) -> Chapter {
    match layer {
        Layer::Outside => Chapter::Outside,
        Layer::Lining => Chapter::Lining,
    }
}

/// "outside" or "lining".
pub(super) fn word(layer: Layer) -> &'static str {
    match layer {
        Layer::Outside => "outside",
        Layer::Lining => "lining",
    }
}

/// Whether the allowances of a layer stay in sight and are finished.
pub(super) fn is_finished(d: &Drafter<'_>, layer: Layer) -> bool {
    layer == Layer::Outside && d.seam_make != SeamMake::Plain
}

/// How a seam is pressed: to one side where both allowances get one finish.
pub(super) fn press(d: &Drafter<'_>, layer: Layer, side: &str) -> Press {
    if is_finished(d, layer) { Press::Toward(side.to_owned()) } else { Press::Open }
}

/// Finishes allowances that stay in sight, two and two together.
pub(super) fn finish(d: &mut Drafter<'_>, layer: Layer, id: &str, what: &str, runs: Vec<Run>) {
    if !is_finished(d, layer) {
        return;
    }
    let how = match d.seam_make {
        SeamMake::Finished(how) => how,
        SeamMake::Plain | SeamMake::French { .. } => EdgeFinish::Overcast,
    };
    let bound_with = super::bound_with(how);
    let finish = FinishEdges { what: what.to_owned(), runs, how, bound_with, together: true };
    d.step(chapter(layer), id, finish);
}
