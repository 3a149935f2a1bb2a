//! The finished bag, seen from the front, a little from the right and from above: its panels folded
//! by the pattern's hinges, with pockets and handles, and its measures.

use bag::assembly::{Assembly, Event};
use bag::pattern::{CopyId, Grain, HandleClaim, Pattern, PocketClaim};
use kurbo::{Affine, Point, Rect, Vec2};
use measure::{Length, System, show_length};

use crate::facets::common;
use crate::folding::{Facet, facet_at, fold, reach_of_front, sides};
use crate::line::LineKind;
use crate::marks;
use crate::pieces::cloth;
use crate::scene::{Fill, Layer, Scene, closed};
use crate::space::{Eye, Frame, Space, length_of};
use crate::text::Text;
use crate::texture::{Cloth, Texture};

/// How the finished bag is drawn.
#[derive(Clone, Copy, Debug)]
pub struct FinishedOptions {
    /// The reader's ruler.
    pub system: System,
    /// Room on paper, width × height in mm.
    pub room: (f64, f64),
    /// Whether its width, height and depth are written beside it.
    pub measures: bool,
}

/// From how far to the right and above a bag with a depth is seen, in degrees.
const VIEW: (f64, f64) = (28.0, 20.0);
/// The same for a flat bag, which would only be foreshortened by more.
const FLAT_VIEW: (f64, f64) = (0.0, 0.0);
/// Room that measures need on each side, in mm.
const MEASURES: f64 = 16.0;

/// Two facets of one panel that meet at less than 32° show no line between them: the cosine.
pub(crate) const ROUND: f64 = 0.848;

/// Whether the folded panels stay within the finished width and height, give or take a tenth: hinges
/// of a written pattern may lay a part where no bag has it, and a wrong picture is worse than none.
fn comes_out_as_claimed(pattern: &Pattern, facets: &[Facet]) -> bool {
    let places = |facets: &[Facet]| -> Vec<Space> {
        let corners = |facet: &Facet| {
            facet.polygon.iter().map(|corner| facet.frame.at(*corner)).collect::<Vec<_>>()
        };
        facets.iter().flat_map(corners).collect()
    };
    let extent = |places: &[Space], along: fn(&Space) -> f64| {
        let all = places.iter().map(along);
        all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
    };
    let front = places(facets.get(..1).unwrap_or_default());
    let all = places(facets);
    let most = |claimed: f64| claimed * 1.1 + 5.0;
    let wide = extent(&front, |place| place.x).max(pattern.claims.width.to_mm());
    extent(&all, |place| place.x) <= most(wide)
        && extent(&all, |place| place.z) <= most(pattern.claims.height.to_mm())
}

/// The picture of the finished bag; without layers when the panels do not fold to a bag of the
/// finished size.
pub fn draw(pattern: &Pattern, options: FinishedOptions) -> Scene {
    let claims = &pattern.claims;
    let show = |length| show_length(length, options.system);
    let depth = if claims.depth.is_positive() {
        format!(" and {} deep", show(claims.depth))
    } else {
        String::new()
    };
    let parts: Vec<String> = claims
        .pockets
        .iter()
        .filter(|pocket| !pocket.inside)
        .map(|pocket| pocket.name.clone())
        .chain(claims.handles.iter().map(|handle| handle.name.clone()))
        .collect();
    let with =
        if parts.is_empty() { String::new() } else { format!(", with {}", parts.join(", ")) };
    let mut scene = Scene::new(
        "finished",
        format!("{}, finished", pattern.title),
        format!(
            "The finished bag seen from the front right and above, {} wide, {} high{depth}{with}.",
            show(claims.width),
            show(claims.height),
        ),
    );
    let facets = fold(pattern);
    if facets.is_empty() || !comes_out_as_claimed(pattern, &facets) {
        return scene;
    }
    let room = if options.measures {
        (options.room.0 - 2.0 * MEASURES, options.room.1 - MEASURES)
    } else {
        options.room
    };
    let bag = Bag::new(pattern, facets, room);
    bag.paint(&mut scene);
    if options.measures {
        bag.measures(scene.layer("measures"), options.system);
    }
    scene
}

/// Whether the inside shows a lining: something was dropped into the outside.
pub fn is_lined(pattern: &Pattern) -> bool {
    let work = Assembly::sew(pattern);
    work.events.iter().any(|(_, event)| matches!(event, Event::DroppedIn { .. }))
}

/// A folded bag before an eye.
struct Bag<'a> {
    pattern: &'a Pattern,
    facets: Vec<Facet>,
    eye: Eye,
    lined: bool,
}

impl<'a> Bag<'a> {
    fn new(pattern: &'a Pattern, facets: Vec<Facet>, room: (f64, f64)) -> Self {
        let (turn, rise) = if pattern.claims.depth.is_positive() { VIEW } else { FLAT_VIEW };
        let lined = is_lined(pattern);
        let mut bag = Self { pattern, facets, eye: Eye::new(turn, rise, 1.0), lined };
        let seen = bag.extent();
        let scale = (room.0 / seen.width().max(1.0)).min(room.1 / seen.height().max(1.0));
        bag.eye = Eye::new(turn, rise, scale);
        bag
    }

    /// The box around everything that is seen.
    fn extent(&self) -> Rect {
        let corners = self.facets.iter().flat_map(|facet| self.seen(facet, &facet.polygon));
        let handles =
            self.pattern.claims.handles.iter().filter_map(|handle| self.loop_of(handle)).flatten();
        let mut points = corners.chain(handles);
        let first = points.next().unwrap_or_default();
        points.fold(Rect::from_points(first, first), |rect, point| rect.union_pt(point))
    }

    fn seen(&self, facet: &Facet, polygon: &[Point]) -> Vec<Point> {
        polygon.iter().map(|corner| self.eye.see(facet.frame.at(*corner))).collect()
    }

    fn paint(&self, scene: &mut Scene) {
        let handles = &self.pattern.claims.handles;
        let near = |handle: &&HandleClaim| {
            self.stand(handle).is_some_and(|(frame, _)| self.eye.faces(frame.normal()))
        };
        for handle in handles.iter().filter(|handle| !near(handle)) {
            self.handle(scene.layer("far-handle"), handle, false);
        }
        // From outside only the near facets are seen; of the far ones, their inside.
        let depth = |facet: &Facet| {
            let sum = facet
                .polygon
                .iter()
                .map(|corner| facet.frame.at(*corner).dot(self.eye.into))
                .sum::<f64>();
            sum / facet.polygon.len().max(1) as f64
        };
        let mut sorted: Vec<&Facet> = self.facets.iter().collect();
        sorted.sort_by(|a, b| depth(b).total_cmp(&depth(a)));
        let (outer, inner): (Vec<&Facet>, Vec<&Facet>) =
            sorted.into_iter().partition(|facet| self.eye.faces(facet.frame.normal()));
        for facet in inner {
            let texture = if self.lined {
                Texture::right(Cloth::Lining)
            } else {
                Texture::wrong(self.cloth_of(facet.copy))
            };
            self.facet(scene.layer("inside"), facet, &facet.polygon, texture);
        }
        for facet in &outer {
            let texture = Texture::right(self.cloth_of(facet.copy));
            self.facet(scene.layer("outside"), facet, &facet.polygon, texture);
        }
        for facet in outer {
            for pocket in self.pattern.claims.pockets.iter().filter(|pocket| !pocket.inside) {
                self.pocket(scene.layer("pockets"), facet, pocket);
            }
        }
        for handle in handles.iter().filter(near) {
            self.handle(scene.layer("near-handle"), handle, true);
        }
    }

    fn cloth_of(&self, copy: CopyId) -> Cloth {
        let piece = self.pattern.piece_of(copy);
        cloth(self.pattern.material(piece.material).look)
    }

    /// The facet on which a handle stands.
    fn facet_under(&self, handle: &HandleClaim) -> Option<&Facet> {
        let [left, right] = handle.feet.map(measure::Point::to_mm);
        facet_at(&self.facets, handle.on, left.midpoint(right))
    }

    /// The facet on which the middle of a pocket lies.
    fn facet_behind(&self, pocket: &PocketClaim) -> Option<&Facet> {
        let (width, height) = pocket.size;
        let half = Vec2::new(width.to_mm() / 2.0, height.to_mm() / 2.0);
        facet_at(&self.facets, pocket.on, pocket.at.to_mm() + half)
    }

    /// Lays texture space on a facet as it is seen, its y axis along the grain.
    fn lay(&self, frame: &Frame, grain: Grain) -> Affine {
        let origin = self.eye.see(frame.origin);
        let see = |axis: Space| (self.eye.see(frame.origin + axis) - origin) / self.eye.scale;
        let (right, down) = (see(frame.right), see(frame.up) * -1.0);
        let (x, y) = match grain {
            Grain::Crosswise => (down, right * -1.0),
            Grain::Lengthwise | Grain::Free => (right, down),
        };
        Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y])
    }

    fn facet(&self, layer: &mut Layer, facet: &Facet, polygon: &[Point], texture: Texture) {
        let grain = self.pattern.piece_of(facet.copy).grain;
        let fill = Fill::Cloth(texture, self.lay(&facet.frame, grain));
        let gentle: Vec<bool> =
            sides(polygon).map(|(a, b)| self.goes_on_gently(facet, a.midpoint(b))).collect();
        if !gentle.contains(&true) {
            layer.shape(closed(self.seen(facet, polygon)), fill, Some(LineKind::Edge));
            return;
        }
        // A panel that is bent round shows no line where one of its facets goes over into the next.
        layer.shape(closed(self.seen(facet, polygon)), fill, None);
        for ((a, b), _) in sides(polygon).zip(gentle).filter(|(_, gentle)| !gentle) {
            layer.line(self.seen(facet, &[a, b]), LineKind::Edge);
        }
    }

    /// Whether the same panel goes on beyond a point on the boundary of a facet, bent by so little
    /// that it is seen as round, and turned to the eye as this one is.
    fn goes_on_gently(&self, facet: &Facet, point: Point) -> bool {
        let place = facet.frame.at(point);
        let normal = facet.frame.normal();
        self.facets.iter().any(|other| {
            let bend = other.frame.normal().dot(normal);
            !std::ptr::eq(other, facet)
                && other.copy == facet.copy
                && bend > ROUND
                && self.eye.faces(other.frame.normal()) == self.eye.faces(normal)
                && other.bounds(place)
        })
    }

    /// The part of an outside pocket that lies on a facet.
    fn pocket(&self, layer: &mut Layer, facet: &Facet, pocket: &PocketClaim) {
        if facet.copy != pocket.on && !self.continues(facet, pocket) {
            return;
        }
        let Some(polygon) = self.pocket_on(facet, pocket) else { return };
        if polygon.len() < 3 || crate::facets::area(&polygon) < 1.0 {
            return;
        }
        let piece = self.pattern.piece_of(pocket.copy);
        let texture = Texture::right(self.cloth_of(pocket.copy));
        let fill = Fill::Cloth(texture, self.lay(&facet.frame, piece.grain));
        layer.shape(closed(self.seen(facet, &polygon)), fill, None);
        for (index, a) in polygon.iter().enumerate() {
            let b = polygon[(index + 1) % polygon.len()];
            // A pocket that runs on over a seam shows no line there.
            if !self.runs_on(facet, a.midpoint(b)) {
                layer.line(self.seen(facet, &[*a, b]), LineKind::Edge);
            }
        }
        self.hem_of_pocket(layer, facet, &polygon);
    }

    /// Whether a point on the boundary of a facet also bounds another facet in the same plane.
    fn runs_on(&self, facet: &Facet, point: Point) -> bool {
        let place = facet.frame.at(point);
        self.facets.iter().any(|other| {
            !std::ptr::eq(other, facet)
                && other.frame.normal().dot(facet.frame.normal()) > 0.999
                && other.bounds(place)
        })
    }

    /// Whether a facet of another copy lies in one plane with one of the pocket's own copy: a
    /// pocket may run up over a seam.
    fn continues(&self, facet: &Facet, pocket: &PocketClaim) -> bool {
        let Some(own) = self.facet_behind(pocket) else { return false };
        own.frame.normal().dot(facet.frame.normal()) > 0.999
            && (facet.frame.at(Point::ZERO) - own.frame.at(Point::ZERO))
                .dot(own.frame.normal())
                .abs()
                < 1.0
    }

    /// The pocket's outline cut to a facet, in the facet's coordinates.
    fn pocket_on(&self, facet: &Facet, pocket: &PocketClaim) -> Option<Vec<Point>> {
        let own = self.facet_behind(pocket)?;
        let net = &self.pattern.piece_of(pocket.on).net;
        let (low, high) = net.bounds();
        let (width, height) = pocket.size;
        let at = pocket.at.to_mm();
        // A pocket that is held in both side seams follows their slant: the facet cuts it.
        let full = width * 10 >= net.edge_length(0) * 9;
        let (x0, x1) = if full {
            (low.x.to_mm() - 1.0, high.x.to_mm() + 1.0)
        } else {
            (at.x, at.x + width.to_mm())
        };
        let (y0, y1) = (at.y, at.y + height.to_mm());
        // On a facet of another copy: through space into its coordinates (they share a plane).
        let shift = if facet.copy == pocket.on {
            Vec2::ZERO
        } else {
            let apart = own.frame.origin - facet.frame.origin;
            Vec2::new(apart.dot(facet.frame.right), apart.dot(facet.frame.up))
        };
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|c| Point::from(c) + shift);
        Some(common(&corners, &facet.polygon))
    }

    /// A row of stitching below the pocket's opening.
    fn hem_of_pocket(&self, layer: &mut Layer, facet: &Facet, polygon: &[Point]) {
        let top = polygon.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let at_top: Vec<Point> =
            polygon.iter().copied().filter(|p| (p.y - top).abs() < 0.1).collect();
        if at_top.len() < 2 || self.runs_on(facet, at_top[0].midpoint(at_top[1])) {
            return;
        }
        let row = at_top.iter().map(|p| Point::new(p.x, p.y - 3.0 / self.eye.scale / 2.0));
        let mut ends: Vec<Point> = row.map(|p| self.eye.see(facet.frame.at(p))).collect();
        ends.sort_by(|a, b| a.x.total_cmp(&b.x));
        if let (Some(first), Some(last)) = (ends.first(), ends.last())
            && length_of(*last - *first) > 2.0
        {
            layer.line([*first, *last], LineKind::Stitch);
        }
    }

    /// The facet of a copy on which a point lies, or that is nearest to it.
    fn facet_at(&self, copy: CopyId, point: Point) -> Option<&Facet> {
        let off = |facet: &Facet| {
            let beside = |of: fn(&Point) -> f64| {
                let values = facet.polygon.iter().map(of);
                let (low, high) =
                    values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
                (low - of(&point)).max(of(&point) - high).max(0.0)
            };
            beside(|p| p.x) + beside(|p| p.y)
        };
        self.facets
            .iter()
            .filter(|facet| facet.copy == copy)
            .min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// The plane in which a handle stands, and its feet in that: the panel's own, or where the panel
    /// is bent round, the upright one through both feet.
    fn stand(&self, handle: &HandleClaim) -> Option<(Frame, [Point; 2])> {
        let feet = handle.feet.map(measure::Point::to_mm);
        let on = |foot| self.facet_at(handle.on, foot);
        let (left, right) = (on(feet[0])?, on(feet[1])?);
        if left.frame.normal().dot(right.frame.normal()) > 0.999 {
            return Some((self.facet_under(handle)?.frame, feet));
        }
        let (from, to) = (left.frame.at(feet[0]), right.frame.at(feet[1]));
        let apart = to - from;
        let long = apart.dot(apart).sqrt().max(1e-9);
        let frame = Frame { origin: from, right: apart * (1.0 / long), up: left.frame.up };
        Some((frame, [Point::ZERO, Point::new(long, 0.0)]))
    }

    fn seen_in(&self, frame: &Frame, polygon: &[Point]) -> Vec<Point> {
        polygon.iter().map(|corner| self.eye.see(frame.at(*corner))).collect()
    }

    /// The loop of a handle above the rim as it is seen, a closed ribbon.
    fn loop_of(&self, handle: &HandleClaim) -> Option<Vec<Point>> {
        let (frame, [left, right]) = self.stand(handle)?;
        let half = handle.width.to_mm() / 2.0;
        let mut path = standing_loop(left, right, handle.free.to_mm());
        if frame.up.z < 0.0 {
            // The panel stands on its head here, the loop does not.
            for point in &mut path {
                point.y = left.y + right.y - point.y;
            }
        }
        let outer = ribbon(&path, half);
        Some(self.seen_in(&frame, &outer))
    }

    fn handle(&self, layer: &mut Layer, handle: &HandleClaim, near: bool) {
        let (Some((frame, _)), Some(ribbon)) = (self.stand(handle), self.loop_of(handle)) else {
            return;
        };
        let texture = Texture::right(self.cloth_of(handle.strap));
        let fill = Fill::Cloth(texture, self.lay(&frame, Grain::Crosswise));
        layer.shape(closed(ribbon), fill, Some(LineKind::Edge));
        if near && handle.from_base {
            let (low, _) = reach_of_front(&self.facets);
            let front = self.facets.first().map_or(frame, |first| first.frame);
            let half = handle.width.to_mm() / 2.0;
            for foot in handle.feet.map(measure::Point::to_mm) {
                let Some(facet) = self.leg_on(handle, foot) else { continue };
                let floor = (front.origin - facet.frame.origin).dot(facet.frame.up) + low;
                let leg = [
                    Point::new(foot.x - half, floor),
                    Point::new(foot.x + half, floor),
                    Point::new(foot.x + half, foot.y),
                    Point::new(foot.x - half, foot.y),
                ];
                layer.shape(closed(self.seen(facet, &leg)), fill, Some(LineKind::Edge));
                self.box_and_x(layer, facet, foot, half);
            }
        }
    }

    /// The facet on which the leg below a foot is drawn.
    fn leg_on(&self, handle: &HandleClaim, foot: Point) -> Option<&Facet> {
        let (frame, _) = self.stand(handle)?;
        let own = self.facet_under(handle)?;
        if frame == own.frame { Some(own) } else { self.facet_at(handle.on, foot) }
    }

    /// The stitching that holds a leg of the handle just below the rim.
    fn box_and_x(&self, layer: &mut Layer, facet: &Facet, foot: Point, half: f64) {
        let inset = half * 0.7;
        let (top, low) = (foot.y - half * 0.8, foot.y - half * 0.8 - 2.0 * inset);
        let corners = self.seen(
            facet,
            &[
                Point::new(foot.x - inset, low),
                Point::new(foot.x + inset, low),
                Point::new(foot.x + inset, top),
                Point::new(foot.x - inset, top),
            ],
        );
        layer.shape(closed(corners.iter().copied()), Fill::None, Some(LineKind::Thin));
        for (a, b) in [(0, 2), (1, 3)] {
            layer.line([corners[a], corners[b]], LineKind::Thin);
        }
    }

    fn measures(&self, layer: &mut Layer, system: System) {
        let claims = &self.pattern.claims;
        let Some(front) = self.facets.first() else { return };
        let (low, _) = reach_of_front(&self.facets);
        let along = |x: f64, z: f64| front.frame.at(Point::new(x, z));
        let middle = {
            let xs = front.polygon.iter().map(|corner| corner.x);
            let (least, most) =
                xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
            (least + most) / 2.0
        };
        let half = claims.width.to_mm() / 2.0;
        let show = |length: Length| show_length(length, system);
        let (left, right) = (along(middle - half, low), along(middle + half, low));
        let below = Vec2::new(0.0, 7.0);
        let see = |point: Space| self.eye.see(point);
        dimension_aside(layer, (see(left), see(right)), below, &show(claims.width));
        let top = left + front.frame.up * claims.height.to_mm();
        let clear = self.extent().x0 - see(left).x.min(see(top).x);
        let aside = Vec2::new(clear - 7.0, 0.0);
        dimension_aside(layer, (see(left), see(top)), aside, &show(claims.height));
        if claims.depth.is_positive() {
            let far = right - front.frame.normal() * claims.depth.to_mm();
            dimension_aside(layer, (see(right), see(far)), below, &show(claims.depth));
        }
    }
}

/// The middle line of a handle that stands up between its feet: as long as the handle is free, in
/// the coordinates of the panel. A length too short to reach gives a straight line.
pub(crate) fn standing_loop(left: Point, right: Point, free: f64) -> Vec<Point> {
    const STEPS: u32 = 24;
    let sample = |rise: f64| -> Vec<Point> {
        let (a, b) = (left + Vec2::new(0.0, rise), right + Vec2::new(0.0, rise));
        (0..=STEPS)
            .map(|step| {
                let t = f64::from(step) / f64::from(STEPS);
                let (p, q, r) = (left.lerp(a, t), a.lerp(b, t), b.lerp(right, t));
                p.lerp(q, t).lerp(q.lerp(r, t), t)
            })
            .collect()
    };
    let length =
        |path: &[Point]| path.windows(2).map(|pair| length_of(pair[1] - pair[0])).sum::<f64>();
    // The length grows with the rise, so halving finds it.
    let (mut low, mut high) = (0.0, free.max(1.0) * 2.0);
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if length(&sample(middle)) < free {
            low = middle;
        } else {
            high = middle;
        }
    }
    sample(low)
}

/// A band of twice `half` along a path, as one closed outline.
pub(crate) fn ribbon(path: &[Point], half: f64) -> Vec<Point> {
    let mut outer = Vec::new();
    let mut inner = Vec::new();
    for (index, point) in path.iter().enumerate() {
        let before = path[index.saturating_sub(1)];
        let after = path[(index + 1).min(path.len() - 1)];
        let step = after - before;
        let aside = Vec2::new(-step.y, step.x) / length_of(step).max(1e-9) * half;
        outer.push(*point + aside);
        inner.push(*point - aside);
    }
    inner.reverse();
    outer.extend(inner);
    outer
}

/// A dimension of a slanting edge, drawn `aside` of it, its text along the line on the far side.
fn dimension_aside(layer: &mut Layer, (a, b): (Point, Point), aside: Vec2, text: &str) {
    let (from, to) = (a + aside, b + aside);
    let unit_aside = aside / length_of(aside).max(1e-9);
    for (edge, foot) in [(a, from), (b, to)] {
        layer.line([edge + unit_aside * 0.8, foot + unit_aside * 1.2], LineKind::Dimension);
    }
    let step = to - from;
    let length = length_of(step);
    if length < 1.0 {
        return;
    }
    let unit = step / length;
    layer.line([from, to], LineKind::Dimension);
    marks::arrowhead(layer, from, -unit);
    marks::arrowhead(layer, to, unit);
    // Text is read from the left or from below.
    let upright = unit.x.abs() < 1e-6;
    let reading = if upright { Vec2::new(0.0, -1.0) } else { unit * unit.x.signum() };
    let turn = libm::atan2(reading.y, reading.x).to_degrees();
    let beside = Vec2::new(-reading.y, reading.x);
    let out = if beside.dot(unit_aside) >= 0.0 { beside } else { beside * -1.0 };
    layer.text(Text::new(text, from.midpoint(to) + out * 3.0).turned(turn));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_handle_is_as_long_as_it_is_free() {
        let path = standing_loop(Point::new(0.0, 0.0), Point::new(178.0, 0.0), 584.0);
        let length: f64 = path.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        assert!((length - 584.0).abs() < 0.01, "{length}");
    }
}
