//! A bag, or a part of one, standing in space before an eye: its panels folded, either side out, with
//! what lies on them.

use bag::assembly::{Assembly, Event};
use bag::operations::FaceSide;
use bag::pattern::{CopyId, Grain, HandleClaim, Pattern};
use kurbo::{Affine, Point, Rect, Vec2};
use measure::Length;

use crate::facets::{area, common, within};
use crate::folding::{Facet, lies_on_side, sides};
use crate::leaning::{lean_of, leaning};
use crate::line::LineKind;
use crate::pieces::cloth;
use crate::scene::{Fill, Layer, closed};
use crate::space::{Eye, Space, length_of};
use crate::straps::{Strap, upright};
use crate::texture::{Side, Texture};

/// How deep a flat bag is held open, in parts of its width.
const HELD_OPEN: f64 = 0.16;
/// Chords for each side of a panel that is not flat.
const CHORDS: u32 = 12;

/// Two facets of one panel that meet at less than 32° show no line between them: the cosine.
const ROUND: f64 = 0.848;

/// How the loops of handles are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Loops {
    /// Out of sight.
    Hidden,
    /// Standing up above the rim.
    Up,
    /// Hanging down on the outside.
    Down,
}

/// Folded panels, and how they stand.
pub(crate) struct Body<'a, 'p> {
    pub(crate) work: &'a Assembly<'p>,
    pub(crate) facets: Vec<Facet>,
    /// Wrong side out.
    pub(crate) wrong_out: bool,
    /// Standing on its head, as a lining that is pulled out of its bag.
    pub(crate) on_head: bool,
    /// Moved by so much.
    pub(crate) shift: Space,
    pub(crate) loops: Loops,
    /// The box of the panels as folded: x, y and z from and to.
    low: Space,
    high: Space,
    /// How far front and back lean towards each other: the sine of their angle to the upright.
    lean: f64,
    /// From where up front and back lean together until they meet at the top, its sides folded in
    /// between them: a bag that is rolled or folded shut.
    shoulder: Option<f64>,
    /// How its mouth is drawn in by a cord.
    gathered: Option<Gathered>,
}

/// A mouth that a cord draws in.
#[derive(Clone, Copy, Debug)]
struct Gathered {
    /// The height of the casing.
    casing: f64,
    /// How far below it the panels begin to be drawn in.
    reach: f64,
}

impl Gathered {
    /// What is left of the width at the casing.
    const LEFT: f64 = 0.34;
    /// How much wider than that the frill above it stands.
    const FRILL: f64 = 1.25;

    /// What is left of the width at a height. Half a wave leads from one to the other, so that the
    /// sides of the bag go in without a corner.
    fn share(&self, z: f64, top: f64) -> f64 {
        if z > self.casing {
            let up = (z - self.casing) / (top - self.casing).max(1.0);
            return Self::LEFT * (1.0 + (Self::FRILL - 1.0) * up.min(1.0));
        }
        let up = ((z - self.casing + self.reach) / self.reach).clamp(0.0, 1.0);
        let eased = up * up * (3.0 - 2.0 * up);
        1.0 - (1.0 - Self::LEFT) * eased
    }
}

/// Into how many bands panels are cut where they are drawn in.
const BANDS: u32 = 8;
/// The share of its depth over which the top of a bag that is folded shut leans together.
const SHOULDER: f64 = 0.55;
/// What of its depth is left where front and back lie on each other at the top.
const LEFT_AT_TOP: f64 = 0.05;

/// The part of a convex facet between two heights.
fn between(facet: &Facet, low: f64, high: f64) -> Option<Facet> {
    let clip = |polygon: &[Point], inside: &dyn Fn(f64) -> f64| -> Vec<Point> {
        let over = |at: Point| inside(facet.frame.at(at).z);
        let mut kept = Vec::new();
        for (a, b) in sides(polygon) {
            let (from, to) = (over(a), over(b));
            if from >= 0.0 {
                kept.push(a);
            }
            if (from > 1e-9 && to < -1e-9) || (from < -1e-9 && to > 1e-9) {
                kept.push(a.lerp(b, from / (from - to)));
            }
        }
        kept
    };
    let polygon = clip(&clip(&facet.polygon, &|z| high - z), &|z| z - low);
    let enough = polygon.len() > 2 && area(&polygon).abs() > 1.0;
    enough.then(|| Facet { polygon, ..facet.clone() })
}

impl<'a, 'p> Body<'a, 'p> {
    pub(crate) fn new(work: &'a Assembly<'p>, facets: Vec<Facet>) -> Self {
        let corners =
            || facets.iter().flat_map(|facet| facet.polygon.iter().map(|at| facet.frame.at(*at)));
        let first = corners().next().unwrap_or(Space::new(0.0, 0.0, 0.0));
        let low =
            corners().fold(first, |a, b| Space::new(a.x.min(b.x), a.y.min(b.y), a.z.min(b.z)));
        let high =
            corners().fold(first, |a, b| Space::new(a.x.max(b.x), a.y.max(b.y), a.z.max(b.z)));
        let shift = Space::new(0.0, 0.0, 0.0);
        let lean = lean_of(&facets, low, high);
        Self {
            work,
            facets,
            wrong_out: false,
            on_head: false,
            shift,
            loops: Loops::Hidden,
            low,
            high,
            lean,
            shoulder: None,
            gathered: None,
        }
    }

    /// Draws its mouth in by a cord at a height.
    pub(crate) fn gather(&mut self, casing: f64) {
        let (wide, _, tall) = self.size();
        let reach = (wide * 0.4).min(tall * 0.6);
        // What is bent is cut into bands, each of which is turned to the eye or away from it.
        let heights =
            (0..=BANDS).map(|band| casing - reach * (1.0 - f64::from(band) / f64::from(BANDS)));
        let bounds: Vec<f64> = [f64::MIN].into_iter().chain(heights).chain([f64::MAX]).collect();
        let facets = std::mem::take(&mut self.facets);
        let bands = |facet: &Facet| {
            let cut = |pair: &[f64]| between(facet, pair[0], pair[1]);
            bounds.windows(2).filter_map(cut).collect::<Vec<_>>()
        };
        self.facets = facets.iter().flat_map(bands).collect();
        self.gathered = Some(Gathered { casing, reach });
        self.lean = 0.0;
    }

    /// From where up it is drawn in by a cord, and the height of that, if it is.
    pub(crate) fn drawn_in(&self) -> Option<[f64; 2]> {
        self.gathered.map(|it| [it.casing - it.reach, it.casing])
    }

    /// Whether an edge that is straight in the panel is bent as the body stands.
    fn is_bent(&self) -> bool {
        self.is_flat() || self.gathered.is_some()
    }

    /// Closes its mouth: the top `takes` mm are gone into a roll, and below it front and back lean
    /// together, the sides folded in between.
    pub(crate) fn shut(&mut self, takes: f64) {
        let top = self.high.z - takes;
        let (deep, tall) = (self.high.y - self.low.y, top - self.low.z);
        if tall < 1.0 {
            return;
        }
        let shoulder = (top - deep * SHOULDER).max(self.low.z + tall * 0.35);
        let facets = std::mem::take(&mut self.facets);
        let parts = |facet: &Facet| {
            // A base lies at its own height and is not cut.
            [between(facet, f64::MIN, shoulder), between(facet, shoulder, top)]
        };
        self.facets = facets.iter().flat_map(parts).flatten().collect();
        self.high.z = top;
        self.lean = 0.0;
        self.shoulder = Some(shoulder);
    }

    /// How far before its top the front lies at a height, where it leans back to a mouth that is shut.
    pub(crate) fn before_top(&self, z: f64) -> f64 {
        let (deep, top) = (self.high.y - self.low.y, self.high.z + self.shift.z);
        let Some(shoulder) = self.shoulder.map(|it| it + self.shift.z) else { return deep / 2.0 };
        deep / 2.0 * ((top - z) / (top - shoulder).max(1.0)).clamp(0.0, 1.0)
    }

    /// Whether its mouth is rolled or folded shut.
    pub(crate) fn is_shut(&self) -> bool {
        self.shoulder.is_some()
    }

    pub(crate) fn pattern(&self) -> &'p Pattern {
        self.work.pattern
    }

    /// Width, depth and height of the folded panels.
    pub(crate) fn size(&self) -> (f64, f64, f64) {
        (self.high.x - self.low.x, self.high.y - self.low.y, self.high.z - self.low.z)
    }

    /// Whether it is about as wide, as deep and as high as another body. One that is not was not folded as it is
    /// sewn, and a wrong picture is worse than none.
    pub(crate) fn fits_in(&self, around: &Self) -> bool {
        let ((wide, deep, tall), (other_wide, other_deep, other_tall)) =
            (self.size(), around.size());
        let near = |a: f64, b: f64| (a - b).abs() < b * 0.2 + 15.0;
        // A facing, or a top that is folded down, makes a lining lower than its bag.
        let as_high = tall < other_tall * 1.1 + 10.0;
        !self.facets.is_empty() && near(wide, other_wide) && near(deep, other_deep) && as_high
    }

    /// Stands it in another body, rim to rim and middle to middle.
    pub(crate) fn stand_in(&mut self, around: &Self) {
        let (own, other) = ((self.low + self.high) * 0.5, (around.low + around.high) * 0.5);
        self.shift = around.shift
            + Space::new(other.x - own.x, other.y - own.y, around.high.z - self.high.z);
    }

    pub(crate) fn is_flat(&self) -> bool {
        self.high.y - self.low.y < 5.0
    }

    /// Where a point of a facet is in space, as the body stands.
    pub(crate) fn place(&self, facet: &Facet, point: Point) -> Space {
        let mut at = facet.frame.at(point);
        if self.lean.abs() > 0.0 {
            at = leaning(facet, at, self.lean, (self.low, self.high));
        }
        if self.is_flat() {
            let (wide, tall) = (self.high.x - self.low.x, self.high.z - self.low.z);
            let across = ((at.x - self.low.x) / wide.max(1.0) * 2.0 - 1.0).clamp(-1.0, 1.0);
            let up = ((at.z - self.low.z) / tall.max(1.0)).clamp(0.0, 1.0);
            let is_closed = self.is_shut() || self.gathered.is_some();
            let up = if is_closed { up * (1.0 - up) } else { up };
            let out = wide * HELD_OPEN * up * (1.0 - across * across);
            at.y += out * facet.frame.normal().y.signum();
        }
        if let Some(shoulder) = self.shoulder.filter(|_| !self.is_flat()) {
            let up = ((at.z - shoulder) / (self.high.z - shoulder).max(1.0)).clamp(0.0, 1.0);
            let middle = f64::midpoint(self.low.y, self.high.y);
            at.y += (middle - at.y) * up * (1.0 - LEFT_AT_TOP);
        }
        if let Some(gathered) = self.gathered {
            let share = gathered.share(at.z, self.high.z);
            let middle = (self.low + self.high) * 0.5;
            at.x = middle.x + (at.x - middle.x) * share;
            at.y = middle.y + (at.y - middle.y) * share;
        }
        if self.wrong_out != self.on_head {
            at.x = self.low.x + self.high.x - at.x;
        }
        if self.on_head {
            at.z = 2.0 * self.high.z - at.z;
        }
        at + self.shift
    }

    /// A polygon of a facet in space, with as many corners as its bends need.
    pub(crate) fn spread(&self, facet: &Facet, polygon: &[Point]) -> Vec<Space> {
        let steps = if self.is_bent() { CHORDS } else { 1 };
        let mut places = Vec::new();
        for (from, to) in sides(polygon) {
            for step in 0..steps {
                let at = from.lerp(to, f64::from(step) / f64::from(steps));
                places.push(self.place(facet, at));
            }
        }
        places
    }

    /// A polygon of a facet as it is seen.
    pub(crate) fn seen(&self, eye: &Eye, facet: &Facet, polygon: &[Point]) -> Vec<Point> {
        self.spread(facet, polygon).into_iter().map(|at| eye.see(at)).collect()
    }

    /// A line on a facet as it is seen.
    pub(crate) fn seen_line(&self, eye: &Eye, facet: &Facet, from: Point, to: Point) -> Vec<Point> {
        let steps = if self.is_bent() { CHORDS } else { 1 };
        (0..=steps)
            .map(|step| {
                eye.see(self.place(facet, from.lerp(to, f64::from(step) / f64::from(steps))))
            })
            .collect()
    }

    /// Which side of a facet the eye sees.
    pub(crate) fn side(&self, eye: &Eye, facet: &Facet) -> Side {
        // Seen from its right side a polygon runs counter-clockwise, which on paper, where y grows
        // downwards, has a negative area.
        if area(&self.seen(eye, facet, &facet.polygon)) < 0.0 { Side::Right } else { Side::Wrong }
    }

    /// Whether a facet is on the near side of the body.
    pub(crate) fn is_near(&self, eye: &Eye, facet: &Facet) -> bool {
        // What is turned down over the outside shows its other side there.
        let out = if self.wrong_out != facet.over.is_some() { Side::Wrong } else { Side::Right };
        self.side(eye, facet) == out
    }

    fn depth(&self, eye: &Eye, facet: &Facet) -> f64 {
        let sum: f64 = facet.polygon.iter().map(|at| self.place(facet, *at).dot(eye.into)).sum();
        sum / facet.polygon.len().max(1) as f64
    }

    /// The facets of the far or of the near side, farthest first.
    pub(crate) fn sorted(&self, eye: &Eye, near: bool) -> Vec<&Facet> {
        let mut facets: Vec<&Facet> =
            self.facets.iter().filter(|facet| self.is_near(eye, facet) == near).collect();
        facets.sort_by(|a, b| {
            let over = a.over.is_some().cmp(&b.over.is_some());
            over.then_with(|| self.depth(eye, b).total_cmp(&self.depth(eye, a)))
        });
        facets
    }

    /// The box around everything that is seen of it.
    pub(crate) fn extent(&self, eye: &Eye) -> Rect {
        let panels = self.facets.iter().flat_map(|facet| self.seen(eye, facet, &facet.polygon));
        let straps: Vec<Strap> =
            self.handles().filter_map(|handle| Strap::of(self, eye, handle)).collect();
        let straps = straps.iter().flat_map(|strap| strap.seen(eye).collect::<Vec<_>>());
        let mut points = panels.chain(straps);
        let first = points.next().unwrap_or_default();
        points.fold(Rect::from_points(first, first), |rect, point| rect.union_pt(point))
    }

    /// Draws the far panels, whose inner side is seen, and what lies there.
    pub(crate) fn far(&self, eye: &Eye, layer: &mut Layer) {
        self.straps(eye, layer, false);
        for facet in self.sorted(eye, false) {
            self.facet(eye, layer, facet);
        }
        for facet in self.sorted(eye, false) {
            self.riders(eye, layer, facet);
        }
    }

    /// Draws the near panels and what lies there.
    pub(crate) fn near(&self, eye: &Eye, layer: &mut Layer) {
        for facet in self.sorted(eye, true) {
            self.facet(eye, layer, facet);
        }
        for facet in self.sorted(eye, true) {
            self.riders(eye, layer, facet);
        }
        self.straps(eye, layer, true);
    }

    /// Draws the handles on the far or the near side.
    fn straps(&self, eye: &Eye, layer: &mut Layer, near: bool) {
        for handle in self.handles() {
            let Some(strap) = Strap::of(self, eye, handle) else { continue };
            if near {
                for half in strap.before_the_sides() {
                    half.paint(self, eye, layer, handle);
                }
            }
            if strap.is_near != near {
                continue;
            }
            strap.paint(self, eye, layer, handle);
            if near && self.loops == Loops::Up {
                self.legs(eye, layer, handle);
            }
        }
    }

    pub(crate) fn texture(&self, copy: CopyId, side: Side) -> Texture {
        let piece = self.pattern().piece_of(copy);
        Texture { cloth: cloth(self.pattern().material(piece.material).look), side }
    }

    /// Lays texture space on a facet as it is seen, its y axis along the grain.
    pub(crate) fn lay(&self, eye: &Eye, facet: &Facet, grain: Grain) -> Affine {
        let middle = facet.polygon.iter().fold(Vec2::ZERO, |sum, at| sum + at.to_vec2());
        let middle = (middle / facet.polygon.len().max(1) as f64).to_point();
        let see = |at: Point| eye.see(self.place(facet, at));
        let origin = see(middle);
        let step = |by: Vec2| (see(middle + by) - origin) / eye.scale;
        let (right, down) = (step(Vec2::new(1.0, 0.0)), step(Vec2::new(0.0, -1.0)));
        let (x, y) = match grain {
            Grain::Crosswise => (down, right * -1.0),
            Grain::Lengthwise | Grain::Free => (right, down),
        };
        Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y])
    }

    pub(crate) fn facet(&self, eye: &Eye, layer: &mut Layer, facet: &Facet) {
        let texture = match facet.over {
            Some(shows) if shows != facet.copy => self.texture(shows, Side::Right),
            _ => self.texture(facet.copy, self.side(eye, facet)),
        };
        self.facet_in(eye, layer, facet, texture);
    }

    /// A facet in another cloth than its own.
    pub(crate) fn facet_in(&self, eye: &Eye, layer: &mut Layer, facet: &Facet, texture: Texture) {
        let grain = self.pattern().piece_of(facet.copy).grain;
        let fill = Fill::Cloth(texture, self.lay(eye, facet, grain));
        let gentle = |a: Point, b: Point| self.goes_on_gently(eye, facet, a.midpoint(b));
        let round: Vec<bool> = sides(&facet.polygon).map(|(a, b)| gentle(a, b)).collect();
        let shape = closed(self.seen(eye, facet, &facet.polygon));
        if !round.contains(&true) {
            layer.shape(shape, fill, Some(LineKind::Edge));
            return;
        }
        // A panel that is bent round shows no line where one of its facets goes over into the next.
        layer.shape(shape, fill, None);
        for ((a, b), _) in sides(&facet.polygon).zip(round).filter(|(_, round)| !round) {
            layer.line(self.seen_line(eye, facet, a, b), LineKind::Edge);
        }
    }

    /// The edges of a facet alone, without those where its panel is bent round.
    pub(crate) fn edges_of(&self, eye: &Eye, layer: &mut Layer, facet: &Facet, kind: LineKind) {
        for (a, b) in sides(&facet.polygon) {
            if !self.goes_on_gently(eye, facet, a.midpoint(b)) {
                layer.line(self.seen_line(eye, facet, a, b), kind);
            }
        }
    }

    /// Whether the same panel goes on beyond a point on the boundary of a facet, bent by so little
    /// that it is seen as round, and turned to the eye as this one is.
    fn goes_on_gently(&self, eye: &Eye, facet: &Facet, point: Point) -> bool {
        let place = facet.frame.at(point);
        self.facets.iter().any(|other| {
            let bend = other.frame.normal().dot(facet.frame.normal());
            !std::ptr::eq(other, facet)
                && other.copy == facet.copy
                && bend > ROUND
                && (bend < 0.999_999 || self.gathered.is_some())
                && self.is_near(eye, other) == self.is_near(eye, facet)
                && other.bounds(place)
        })
    }

    /// Whatever lies on the side of a facet that is seen.
    fn riders(&self, eye: &Eye, layer: &mut Layer, facet: &Facet) {
        let up = match self.side(eye, facet) {
            Side::Right => FaceSide::Right,
            Side::Wrong => FaceSide::Wrong,
        };
        // What was placed face down together with something lies below it.
        let mut placed: Vec<&(usize, Event)> = self.work.events.iter().collect();
        placed.sort_by_key(|(step, event)| {
            let down = matches!(event, Event::Placed { face_up: FaceSide::Wrong, .. });
            (*step, u8::from(!down))
        });
        for (_, event) in placed {
            let Event::Placed { what, onto, at, face_up, ground, feet, .. } = event else {
                continue;
            };
            if *ground != up || !feet.is_empty() {
                continue;
            }
            let Some(shift) = self.continues(facet, *onto) else { continue };
            let net = &self.pattern().piece_of(*what).net;
            let (low, high) = net.bounds();
            let by = at.to_mm() - low.to_mm() + shift;
            let corners = [
                low.to_mm(),
                Point::new(high.x.to_mm(), low.y.to_mm()),
                high.to_mm(),
                Point::new(low.x.to_mm(), high.y.to_mm()),
            ];
            let polygon = common(&corners.map(|corner| corner + by), &facet.polygon);
            if polygon.len() < 3 || area(&polygon) < 1.0 {
                continue;
            }
            let side = match face_up {
                FaceSide::Right => Side::Right,
                FaceSide::Wrong => Side::Wrong,
            };
            let grain = self.pattern().piece_of(*what).grain;
            let fill = Fill::Cloth(self.texture(*what, side), self.lay(eye, facet, grain));
            layer.shape(closed(self.seen(eye, facet, &polygon)), fill, None);
            for (index, a) in polygon.iter().enumerate() {
                let b = polygon[(index + 1) % polygon.len()];
                if !self.runs_on(facet, a.midpoint(b)) {
                    layer.line(self.seen_line(eye, facet, *a, b), LineKind::Edge);
                }
            }
            self.held(eye, layer, facet, *what, *onto, shift);
        }
    }

    /// Stitches that hold something.
    fn held(
        &self,
        eye: &Eye,
        layer: &mut Layer,
        facet: &Facet,
        what: CopyId,
        onto: CopyId,
        shift: Vec2,
    ) {
        for rider in self.work.riders.iter().filter(|it| it.what == what && it.onto == onto) {
            for line in &rider.held {
                let (a, b) = (line.from.to_mm() + shift, line.to.to_mm() + shift);
                let low = facet.polygon.iter().map(|at| at.y).fold(f64::INFINITY, f64::min);
                let within = a.y.min(b.y) >= low - 0.5;
                if within && length_of(b - a) * eye.scale > 3.0 {
                    layer.line(self.seen_line(eye, facet, a, b), LineKind::Sewn);
                }
            }
        }
    }

    /// How far coordinates of `onto` are moved on a facet that lies in one plane with it; nothing
    /// if none of its facets does.
    pub(crate) fn continues(&self, facet: &Facet, onto: CopyId) -> Option<Vec2> {
        if facet.copy == onto {
            return Some(Vec2::ZERO);
        }
        let own = self.facet_of(onto)?;
        let level = own.frame.normal().dot(facet.frame.normal()) > 0.999;
        let apart = own.frame.origin - facet.frame.origin;
        (level && apart.dot(own.frame.normal()).abs() < 1.0)
            .then(|| Vec2::new(apart.dot(facet.frame.right), apart.dot(facet.frame.up)))
    }

    /// Whether a point on the boundary of a facet also bounds another facet in the same plane, or of
    /// the same panel bent round.
    pub(crate) fn runs_on(&self, facet: &Facet, point: Point) -> bool {
        let place = facet.frame.at(point);
        self.facets.iter().any(|other| {
            let bend = other.frame.normal().dot(facet.frame.normal());
            !std::ptr::eq(other, facet)
                && (bend > 0.999 || (bend > ROUND && other.copy == facet.copy))
                && other.bounds(place)
        })
    }

    /// The largest facet of a copy.
    pub(crate) fn facet_of(&self, copy: CopyId) -> Option<&Facet> {
        self.facets
            .iter()
            .filter(|facet| facet.copy == copy)
            .max_by(|a, b| area(&a.polygon).total_cmp(&area(&b.polygon)))
    }

    /// The handles that are on it by now.
    pub(crate) fn handles(&self) -> impl Iterator<Item = &'p HandleClaim> {
        let pattern = self.pattern();
        pattern.claims.handles.iter().filter(|handle| {
            self.loops != Loops::Hidden
                && self.work.riders.iter().any(|rider| rider.what == handle.strap)
        })
    }

    /// The facet of a copy on which a point lies, or that is nearest to it.
    pub(crate) fn facet_near(&self, copy: CopyId, point: Point) -> Option<&Facet> {
        let off = |facet: &Facet| {
            let beside = |of: fn(&Point) -> f64| {
                let values = facet.polygon.iter().map(of);
                let (low, high) =
                    values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
                (low - of(&point)).max(of(&point) - high).max(0.0)
            };
            beside(|p| p.x) + beside(|p| p.y)
        };
        self.facets.iter().filter(|facet| facet.copy == copy).min_by(|a, b| {
            off(a).total_cmp(&off(b)).then_with(|| area(&b.polygon).total_cmp(&area(&a.polygon)))
        })
    }

    /// The way out of the body at a point of a facet, of length one.
    pub(crate) fn outwards(&self, facet: &Facet, point: Point) -> Space {
        let at = self.place(facet, point);
        let (right, up) = (
            self.place(facet, point + Vec2::new(1.0, 0.0)) - at,
            self.place(facet, point + Vec2::new(0.0, 1.0)) - at,
        );
        let normal = right.cross(up);
        let out = normal * (1.0 / normal.length().max(1e-9));
        if self.wrong_out { out * -1.0 } else { out }
    }

    /// The height of its lowest point.
    pub(crate) fn floor(&self) -> f64 {
        self.low.z + self.shift.z
    }

    /// The legs of a handle that run down to the base.
    pub(crate) fn legs(&self, eye: &Eye, layer: &mut Layer, handle: &HandleClaim) {
        let lies = handle.lies.map(|lies| lies.map(Length::to_mm));
        if !handle.from_base && lies.is_none() {
            return;
        }
        let (texture, grain) = upright(self, handle.strap);
        let half = handle.width.to_mm() / 2.0;
        if lies_on_side(self.pattern()) {
            self.legs_round(eye, layer, handle, half);
            return;
        }
        for foot in handle.feet.map(measure::Point::to_mm) {
            let Some(facet) = self.facet_near(handle.on, foot) else { continue };
            let fill = Fill::Cloth(texture, self.lay(eye, facet, grain));
            let floor = lies.map_or_else(|| self.floor_of(facet), |[_, end]| foot.y - end);
            let leg = [
                Point::new(foot.x - half, floor),
                Point::new(foot.x + half, floor),
                Point::new(foot.x + half, foot.y),
                Point::new(foot.x - half, foot.y),
            ];
            let leg: Vec<Point> = leg.iter().map(|at| eye.see(self.place(facet, *at))).collect();
            layer.shape(closed(leg), fill, Some(LineKind::Edge));
            let top = Point::new(foot.x, foot.y - lies.map_or(0.0, |[stop, _]| stop));
            self.box_and_x(eye, layer, facet, top, half);
        }
    }

    /// Legs on a panel that is bent round, facet by facet, with the stitches that hold them.
    fn legs_round(&self, eye: &Eye, layer: &mut Layer, handle: &HandleClaim, half: f64) {
        let (texture, grain) = upright(self, handle.strap);
        let near = self.sorted(eye, true);
        let on = || near.iter().filter(|facet| facet.copy == handle.on);
        for foot in handle.feet.map(measure::Point::to_mm) {
            let [top, low] = handle.lies.map_or([0.0, foot.y], |it| it.map(Length::to_mm));
            let top = if handle.from_base { 0.0 } else { top };
            let leg = [(-half, low), (half, low), (half, top), (-half, top)];
            let leg = leg.map(|(aside, down)| Point::new(foot.x + aside, foot.y - down));
            for facet in on() {
                let part = common(&leg, &facet.polygon);
                if part.len() < 3 {
                    continue;
                }
                let fill = Fill::Cloth(texture, self.lay(eye, facet, grain));
                layer.shape(closed(self.seen(eye, facet, &part)), fill, None);
                for (a, b) in sides(&part).filter(|(a, b)| !self.runs_on(facet, a.midpoint(*b))) {
                    layer.line(self.seen_line(eye, facet, a, b), LineKind::Edge);
                }
            }
        }
        for (_, event) in &self.work.events {
            let Event::Stitched { what, lines, .. } = event else { continue };
            for (line, facet) in lines.iter().flat_map(|line| on().map(move |it| (line, it))) {
                let ends = within(&facet.polygon, line.from.to_mm(), line.to.to_mm());
                if let Some((a, b)) = ends.filter(|_| what.contains(&handle.strap)) {
                    layer.line(self.seen_line(eye, facet, a, b), LineKind::Sewn);
                }
            }
        }
    }

    /// Where the lowest facet in one plane with this one ends, in this one's coordinates.
    fn floor_of(&self, facet: &Facet) -> f64 {
        let level = |at: Space| (at - facet.frame.origin).dot(facet.frame.up);
        self.facets
            .iter()
            .filter(|other| other.frame.normal().dot(facet.frame.normal()) > 0.999)
            .flat_map(|other| other.polygon.iter().map(|at| level(other.frame.at(*at))))
            .fold(f64::INFINITY, f64::min)
    }

    /// The stitching that holds a leg of the handle just below the rim.
    fn box_and_x(&self, eye: &Eye, layer: &mut Layer, facet: &Facet, foot: Point, half: f64) {
        let inset = half * 0.7;
        let (top, low) = (foot.y - half * 0.8, foot.y - half * 0.8 - 2.0 * inset);
        let corners = [
            Point::new(foot.x - inset, low),
            Point::new(foot.x + inset, low),
            Point::new(foot.x + inset, top),
            Point::new(foot.x - inset, top),
        ]
        .map(|at| eye.see(self.place(facet, at)));
        layer.shape(closed(corners), Fill::None, Some(LineKind::Thin));
        for (a, b) in [(0, 2), (1, 3)] {
            layer.line([corners[a], corners[b]], LineKind::Thin);
        }
    }

    /// The sides of facets that are part of the rim: at its full height.
    pub(crate) fn rim(&self) -> Vec<(&Facet, Point, Point)> {
        let at_top = |facet: &Facet, at: Point| {
            (facet.frame.at(at).z - self.high.z).abs() < (self.high.z - self.low.z) * 0.03 + 1.0
        };
        let mut sides = Vec::new();
        for facet in &self.facets {
            for (index, a) in facet.polygon.iter().enumerate() {
                let b = facet.polygon[(index + 1) % facet.polygon.len()];
                if at_top(facet, *a) && at_top(facet, b) && length_of(b - *a) > 1.0 {
                    sides.push((facet, *a, b));
                }
            }
        }
        sides
    }

    /// A row beside the rim on the far or near side, `inset` mm of cloth below it; its middle.
    pub(crate) fn rim_row(
        &self,
        eye: &Eye,
        layer: &mut Layer,
        inset: f64,
        near: bool,
        kind: LineKind,
    ) -> Option<(Point, Point)> {
        let mut found: Option<(f64, Point, Point)> = None;
        for (facet, a, b) in self.rim() {
            if self.is_near(eye, facet) != near {
                continue;
            }
            let step = b - a;
            // The inside of a facet lies to the left of its sides.
            let inwards = Vec2::new(-step.y, step.x) / length_of(step).max(1e-9) * inset;
            let line = self.seen_line(eye, facet, a + inwards, b + inwards);
            let long = length_of(line[line.len() - 1] - line[0]);
            let at = a.lerp(b, 0.8);
            let pair = (eye.see(self.place(facet, at + inwards)), eye.see(self.place(facet, at)));
            if found.is_none_or(|(known, ..)| long > known) {
                found = Some((long, pair.0, pair.1));
            }
            layer.line(line, kind);
        }
        found.map(|(_, a, b)| (a, b))
    }
}
