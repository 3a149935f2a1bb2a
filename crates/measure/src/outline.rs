//! Outlines: closed chains of straight and curved edges, counter-clockwise.
//!
//! An edge is what a person names and sews (the base, a side); it may be a chain of several
//! segments. Edges keep their index through every change of an outline, so that edge `i` of a cut
//! outline lies along edge `i` of the stitching outline it was made from.

use std::error::Error;
use std::f64::consts::TAU;
use std::fmt;

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveDeriv, Shape, Vec2};

use crate::point::turn;
use crate::{Area, Length, Point};

/// How closely the length of a curve is computed, in mm.
const ARC_ACCURACY: f64 = 1e-3;

/// How a segment runs from its start to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Segment {
    /// Straight.
    Line,
    /// A cubic Bézier curve with these two control points.
    Curve(Point, Point),
}

/// One side of an outline: a start and a chain of segments, each with its end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Edge {
    start: Point,
    chain: Vec<(Segment, Point)>,
}

impl Edge {
    /// Where the edge begins, going counter-clockwise.
    pub fn start(&self) -> Point {
        self.start
    }

    /// Where the edge ends.
    pub fn end(&self) -> Point {
        self.chain.last().map_or(self.start, |&(_, end)| end)
    }

    /// The segments in order: start, kind, end.
    pub fn segments(&self) -> impl Iterator<Item = (Point, Segment, Point)> + '_ {
        let starts = std::iter::once(self.start).chain(self.chain.iter().map(|&(_, end)| end));
        starts.zip(&self.chain).map(|(start, &(segment, end))| (start, segment, end))
    }

    /// Whether the edge is a single straight line.
    pub fn is_straight(&self) -> bool {
        matches!(self.chain.as_slice(), [(Segment::Line, _)])
    }

    /// Its length: straight parts to the nearest nanometre, curves within 0.01 mm.
    pub fn length(&self) -> Length {
        self.segments().map(segment_length).sum()
    }

    /// The point at `distance` from the start; before the start or beyond the end, that end.
    pub fn point_along(&self, distance: Length) -> Point {
        match self.locate(distance) {
            Some((start, Segment::Line, end, rest)) => {
                start.towards(end, rest, start.distance(end))
            }
            Some((start, Segment::Curve(..), end, _)) if start == end => end,
            Some((start, segment, end, rest)) => {
                let curve = to_curve(start, segment, end);
                Point::from_mm(curve.eval(curve.inv_arclen(rest.to_mm(), ARC_ACCURACY)))
            }
            None => self.end(),
        }
    }

    /// The direction in which the edge runs at `distance` from its start, a vector of length one.
    /// The inside of the outline lies to its left.
    pub fn direction_along(&self, distance: Length) -> Vec2 {
        let last = || {
            self.segments().last().map(|(start, segment, end)| {
                (start, segment, end, segment_length((start, segment, end)))
            })
        };
        let Some((start, segment, end, rest)) = self.locate(distance).or_else(last) else {
            return Vec2::new(1.0, 0.0);
        };
        let curve = to_curve(start, segment, end);
        let at = match segment {
            Segment::Line => Vec2::ZERO,
            Segment::Curve(..) => {
                let t = curve.inv_arclen(rest.to_mm(), ARC_ACCURACY);
                curve.deriv().eval(t).to_vec2()
            }
        };
        // Where a control point lies on its end the derivative vanishes: the chord stands in.
        let tangent = if at.hypot2() > 1e-12 { at } else { curve.p3 - curve.p0 };
        unit(tangent)
    }

    /// The segment at `distance`, and how far into it.
    fn locate(&self, distance: Length) -> Option<(Point, Segment, Point, Length)> {
        let mut rest = distance.max(Length::ZERO);
        for (start, segment, end) in self.segments() {
            let length = segment_length((start, segment, end));
            if rest <= length {
                return Some((start, segment, end, rest));
            }
            rest -= length;
        }
        None
    }

    fn map(&self, change: impl Fn(Point) -> Point) -> Self {
        let chain = self.chain.iter().map(|&(segment, end)| match segment {
            Segment::Line => (Segment::Line, change(end)),
            Segment::Curve(c1, c2) => (Segment::Curve(change(c1), change(c2)), change(end)),
        });
        Self { start: change(self.start), chain: chain.collect() }
    }

    fn reversed(&self) -> Self {
        let segments: Vec<_> = self.segments().collect();
        let chain = segments.into_iter().rev().map(|(start, segment, _)| match segment {
            Segment::Line => (Segment::Line, start),
            Segment::Curve(c1, c2) => (Segment::Curve(c2, c1), start),
        });
        Self { start: self.end(), chain: chain.collect() }
    }
}

/// A closed outline, counter-clockwise: the inside lies to the left of each edge.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Outline {
    // At least one edge, each with at least one segment; each ends where the next one starts.
    edges: Vec<Edge>,
}

impl Outline {
    /// An outline from its edges, each a chain of segments with their ends, starting at `start`.
    ///
    /// # Errors
    /// When there are fewer than two segments, an edge has none, the chain does not come back to
    /// `start`, or it runs clockwise.
    pub fn from_edges(
        start: Point,
        edges: Vec<Vec<(Segment, Point)>>,
    ) -> Result<Self, OutlineError> {
        let mut at = start;
        let mut built = Vec::with_capacity(edges.len());
        for (index, chain) in edges.into_iter().enumerate() {
            let Some(&(_, end)) = chain.last() else {
                return Err(OutlineError::EmptyEdge(index));
            };
            built.push(Edge { start: at, chain });
            at = end;
        }
        if built.iter().map(|edge| edge.chain.len()).sum::<usize>() < 2 {
            return Err(OutlineError::TooFew);
        }
        if at != start {
            return Err(OutlineError::Open);
        }
        let outline = Self { edges: built };
        if outline.area() > Area::ZERO { Ok(outline) } else { Err(OutlineError::Clockwise) }
    }

    /// An outline of straight edges; edge `i` starts at point `i`.
    ///
    /// # Errors
    /// When there are fewer than three points or they run clockwise.
    pub fn polygon(points: impl IntoIterator<Item = Point>) -> Result<Self, OutlineError> {
        let points: Vec<_> = points.into_iter().collect();
        let [first, _, _, ..] = points.as_slice() else {
            return Err(OutlineError::TooFew);
        };
        let ends = points.iter().skip(1).chain([first]);
        let edges = ends.map(|&end| vec![(Segment::Line, end)]).collect();
        Self::from_edges(*first, edges)
    }

    /// A rectangle with its lower left corner at the origin. Its edges, in order: the base from
    /// left to right, the right side up, the rim from right to left, the left side down.
    pub fn rectangle(width: Length, height: Length) -> Self {
        Self::trapezoid(width, width, height)
    }

    /// A symmetric panel whose base and rim differ in width, edges as in [`Outline::rectangle`].
    /// The lower left corner of its bounds is at the origin. (When the widths differ by an odd
    /// number of nanometres, the wider one gives one up, so that both sides are equally long.)
    pub fn trapezoid(base: Length, top: Length, height: Length) -> Self {
        let inset = (base - top).half();
        let (base, top) =
            if base > top { (top + inset * 2, top) } else { (base, base - inset * 2) };
        let (left_base, left_top) = ((-inset).max(Length::ZERO), inset.max(Length::ZERO));
        let corners = [
            Point::new(left_base, Length::ZERO),
            Point::new(left_base + base, Length::ZERO),
            Point::new(left_top + top, height),
            Point::new(left_top, height),
        ];
        let ends = corners.iter().cycle().skip(1);
        let edges = corners
            .iter()
            .zip(ends)
            .map(|(&start, &end)| Edge { start, chain: vec![(Segment::Line, end)] });
        Self { edges: edges.collect() }
    }

    /// How many edges, which is also how many vertices.
    pub fn edge_count(&self) -> usize {
        self.edges.len()
    }

    /// Edge `index`, which runs from vertex `index` to the next; counted round beyond the last.
    pub fn edge(&self, index: usize) -> &Edge {
        &self.edges[index % self.edges.len()]
    }

    /// The edges in order.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// Vertex `index`, where edge `index` starts; counted round beyond the last.
    pub fn vertex(&self, index: usize) -> Point {
        self.edge(index).start
    }

    /// The vertices in order.
    pub fn vertices(&self) -> impl Iterator<Item = Point> + '_ {
        self.edges.iter().map(|edge| edge.start)
    }

    /// The length of edge `index` (see [`Edge::length`]).
    pub fn edge_length(&self, index: usize) -> Length {
        self.edge(index).length()
    }

    /// The length all round.
    pub fn perimeter(&self) -> Length {
        self.edges.iter().map(Edge::length).sum()
    }

    /// The area within, exact for curves too (rounded once, to a whole square nanometre).
    pub fn area(&self) -> Area {
        let origin = self.vertex(0);
        let twentieths: i128 = self.segments().map(|segment| swept(segment, origin)).sum();
        Area::nm2(twentieths / 20)
    }

    /// The lower left and the upper right corner of the box around the outline; curves to the
    /// nearest nanometre.
    pub fn bounds(&self) -> (Point, Point) {
        let first = self.vertex(0);
        self.segments().fold((first, first), |bounds, (start, segment, end)| {
            let bounds = widened(widened(bounds, start), end);
            match segment {
                Segment::Line => bounds,
                Segment::Curve(..) => {
                    let box_ = to_curve(start, segment, end).bounding_box();
                    let low = Point::from_mm(kurbo::Point::new(box_.x0, box_.y0));
                    let high = Point::from_mm(kurbo::Point::new(box_.x1, box_.y1));
                    widened(widened(bounds, low), high)
                }
            }
        })
    }

    /// The width and the height of the box around the outline.
    pub fn size(&self) -> (Length, Length) {
        let (low, high) = self.bounds();
        (high.x - low.x, high.y - low.y)
    }

    /// Whether the outline neither touches nor crosses itself and encloses an area on its left.
    /// Curves are taken as chords within 0.01 mm of them.
    pub fn is_simple(&self) -> bool {
        let points = self.flattened(0.01);
        self.area() > Area::ZERO && is_simple_polygon(&points)
    }

    /// The outline as the corners of a polygon within `tolerance` (mm) of it, without repeats.
    pub fn flattened(&self, tolerance: f64) -> Vec<Point> {
        let mut points = vec![self.vertex(0)];
        for (start, segment, end) in self.segments() {
            if let Segment::Curve(..) = segment {
                let curve = to_curve(start, segment, end);
                let path = BezPath::from_vec(vec![
                    kurbo::PathEl::MoveTo(curve.p0),
                    kurbo::PathEl::CurveTo(curve.p1, curve.p2, curve.p3),
                ]);
                kurbo::flatten(path, tolerance, |element| {
                    if let kurbo::PathEl::LineTo(point) = element {
                        points.push(Point::from_mm(point));
                    }
                });
                // The last one is the end itself, exactly.
                points.pop();
            }
            points.push(end);
        }
        points.pop();
        points.dedup();
        points
    }

    /// The point on edge `index` at `distance` from its start (see [`Edge::point_along`]).
    pub fn point_along(&self, index: usize, distance: Length) -> Point {
        self.edge(index).point_along(distance)
    }

    /// The angle inside the outline at vertex `index`, in radians, from 0 to 2π.
    pub fn interior_angle(&self, index: usize) -> f64 {
        let before = self.edge(index + self.edges.len() - 1);
        let back = -end_tangent(before);
        let out = start_tangent(self.edge(index));
        let angle = libm::atan2(out.cross(back), out.dot(back));
        if angle < 0.0 { angle + TAU } else { angle }
    }

    /// The mirror image, left and right exchanged about the middle of its bounds, so that it stays
    /// in place. Edge 0 stays edge 0 and the others change places: of a rectangle, the right side
    /// becomes the left side.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let (low, high) = self.bounds();
        let across = low.x + high.x;
        let mirror = |edge: &Edge| edge.reversed().map(|p| Point::new(across - p.x, p.y));
        let (first, others) = self.edges.split_at(1);
        Self { edges: first.iter().chain(others.iter().rev()).map(mirror).collect() }
    }

    /// Moved by `by`.
    #[must_use]
    pub fn translated(&self, by: Point) -> Self {
        self.map(|point| point + by)
    }

    /// Turned about the origin by quarter turns, counter-clockwise.
    #[must_use]
    pub fn rotated_quarter(&self, quarters: i32) -> Self {
        self.map(|point| point.rotated_quarter(quarters))
    }

    /// As a closed path in millimetres, for drawing.
    pub fn to_path(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.vertex(0).to_mm());
        for (_, segment, end) in self.segments() {
            match segment {
                Segment::Line => path.line_to(end.to_mm()),
                Segment::Curve(c1, c2) => path.curve_to(c1.to_mm(), c2.to_mm(), end.to_mm()),
            }
        }
        path.close_path();
        path
    }

    /// All segments in order, over all edges.
    pub fn segments(&self) -> impl Iterator<Item = (Point, Segment, Point)> + '_ {
        self.edges.iter().flat_map(Edge::segments)
    }

    fn map(&self, change: impl Fn(Point) -> Point) -> Self {
        Self { edges: self.edges.iter().map(|edge| edge.map(&change)).collect() }
    }
}

/// Why points or segments are no outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineError {
    /// Fewer than three points, or two segments.
    TooFew,
    /// The edge of this index has no segment.
    EmptyEdge(usize),
    /// The last segment does not end where the first one starts.
    Open,
    /// The points run clockwise or enclose nothing.
    Clockwise,
}

impl fmt::Display for OutlineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => f.write_str("an outline needs at least three points"),
            Self::EmptyEdge(index) => write!(f, "edge {index} of the outline has no segment"),
            Self::Open => f.write_str("the outline does not come back to its start"),
            Self::Clockwise => {
                f.write_str("the outline runs clockwise; its edges go counter-clockwise")
            }
        }
    }
}

impl Error for OutlineError {}

/// A segment as a cubic in millimetres; a line gets control points on its thirds.
pub(crate) fn to_curve(start: Point, segment: Segment, end: Point) -> kurbo::CubicBez {
    let (p0, p3) = (start.to_mm(), end.to_mm());
    let (p1, p2) = match segment {
        Segment::Line => (p0.lerp(p3, 1.0 / 3.0), p0.lerp(p3, 2.0 / 3.0)),
        Segment::Curve(c1, c2) => (c1.to_mm(), c2.to_mm()),
    };
    kurbo::CubicBez::new(p0, p1, p2, p3)
}

fn segment_length((start, segment, end): (Point, Segment, Point)) -> Length {
    match segment {
        Segment::Line => start.distance(end),
        Segment::Curve(..) => {
            Length::from_mm_f64(to_curve(start, segment, end).arclen(ARC_ACCURACY))
        }
    }
}

/// Twenty times the area between `origin` and a segment, an integer for cubics (Green's theorem).
fn swept((start, segment, end): (Point, Segment, Point), origin: Point) -> i128 {
    let nm = |point: Point| {
        let from = point - origin;
        (i128::from(from.x.to_nm()), i128::from(from.y.to_nm()))
    };
    let ((x0, y0), (x3, y3)) = (nm(start), nm(end));
    match segment {
        Segment::Line => 10 * (x0 * y3 - x3 * y0),
        Segment::Curve(c1, c2) => {
            let ((x1, y1), (x2, y2)) = (nm(c1), nm(c2));
            x0 * (6 * y1 + 3 * y2 + y3) + 3 * (x1 * (y2 + y3 - 2 * y0) - x2 * (y0 + y1 - 2 * y3))
                - x3 * (y0 + 3 * y1 + 6 * y2)
        }
    }
}

fn widened((low, high): (Point, Point), point: Point) -> (Point, Point) {
    (
        Point::new(low.x.min(point.x), low.y.min(point.y)),
        Point::new(high.x.max(point.x), high.y.max(point.y)),
    )
}

/// The direction in which an edge leaves its start, of length one.
fn start_tangent(edge: &Edge) -> Vec2 {
    edge.segments().next().map_or(Vec2::ZERO, |(start, segment, end)| {
        let (first, _) = tangents(start, segment, end);
        first
    })
}

/// The direction in which an edge arrives at its end, of length one.
fn end_tangent(edge: &Edge) -> Vec2 {
    edge.segments().last().map_or(Vec2::ZERO, |(start, segment, end)| {
        let (_, last) = tangents(start, segment, end);
        last
    })
}

/// The directions at both ends of a segment, of length one. Control points that lie on an end
/// give no direction, so the next one along is taken.
pub(crate) fn tangents(start: Point, segment: Segment, end: Point) -> (Vec2, Vec2) {
    let (c1, c2) = match segment {
        Segment::Line => (end, start),
        Segment::Curve(c1, c2) => (c1, c2),
    };
    let step = |from: Point, to: Point| {
        let step = to - from;
        Vec2::new(step.x.to_nm() as f64, step.y.to_nm() as f64)
    };
    let first = [c1, c2, end].into_iter().find(|&point| point != start).unwrap_or(end);
    let last = [c2, c1, start].into_iter().find(|&point| point != end).unwrap_or(start);
    (unit(step(start, first)), unit(step(last, end)))
}

/// A vector of length one, or zero when there is no direction.
pub(crate) fn unit(vector: Vec2) -> Vec2 {
    let length = vector.hypot2().sqrt();
    if length > 0.0 { vector / length } else { Vec2::ZERO }
}

/// Whether a closed polygon touches itself nowhere but at the ends of neighbouring sides.
fn is_simple_polygon(points: &[Point]) -> bool {
    let count = points.len();
    let side = |index: usize| (points[index % count], points[(index + 1) % count]);
    if count < 3 || (0..count).any(|index| side(index).0 == side(index).1) {
        return false;
    }
    (0..count).all(|first| {
        let (a, b) = side(first);
        let (_, next) = side(first + 1);
        // The next side may not run back over this one.
        let step = |from: Point, to: Point| {
            (i128::from((to - from).x.to_nm()), i128::from((to - from).y.to_nm()))
        };
        let ((ux, uy), (vx, vy)) = (step(a, b), step(b, next));
        let runs_back = turn(a, b, next) == 0 && ux * vx + uy * vy < 0;
        !runs_back
            && (first + 2..count)
                .filter(|&other| (other + 1) % count != first)
                .all(|other| !sides_touch((a, b), side(other)))
    })
}

/// Whether two straight sides have a point in common.
fn sides_touch((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let sides = [turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)].map(i128::signum);
    if sides[0] * sides[1] < 0 && sides[2] * sides[3] < 0 {
        return true;
    }
    let within = |p: Point, q: Point, r: Point| {
        p.x.min(q.x) <= r.x && r.x <= p.x.max(q.x) && p.y.min(q.y) <= r.y && r.y <= p.y.max(q.y)
    };
    (sides[0] == 0 && within(a, b, c))
        || (sides[1] == 0 && within(a, b, d))
        || (sides[2] == 0 && within(c, d, a))
        || (sides[3] == 0 && within(c, d, b))
}
