//! Outlines: closed chains of straight and curved edges, counter-clockwise.
//!
//! An edge is what a person names and sews (the base, a side); it may be a chain of several
//! segments. Edges keep their index through every change of an outline, so that edge `i` of a cut
//! outline lies along edge `i` of the stitching outline it was made from.

use std::error::Error;
use std::f64::consts::TAU;
use std::fmt;

use kurbo::{BezPath, Shape};

use crate::edge::{end_tangent, start_tangent, to_curve};
use crate::simple::is_simple_polygon;
use crate::{Area, Edge, Length, Point, Segment};

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
                    // Where a curve turns at its end the root is found to a few nanometres; the end
                    // itself is exact.
                    let shy = 2e-6;
                    let low = kurbo::Point::new(box_.x0 + shy, box_.y0 + shy);
                    let high = kurbo::Point::new(box_.x1 - shy, box_.y1 - shy);
                    let reached =
                        widened(widened(bounds, Point::from_mm(low)), Point::from_mm(high));
                    let out = |found: Length, known: Length, by: i64| {
                        if found == known { known } else { found + Length::nm(by) }
                    };
                    let ((low, high), (low0, high0)) = (reached, bounds);
                    (
                        Point::new(out(low.x, low0.x, -2), out(low.y, low0.y, -2)),
                        Point::new(out(high.x, high0.x, 2), out(high.y, high0.y, 2)),
                    )
                }
            }
        })
    }

    /// The width and the height of the box around the outline.
    pub fn size(&self) -> (Length, Length) {
        let (low, high) = self.bounds();
        (high.x - low.x, high.y - low.y)
    }

    /// Whether it is a rectangle with its sides along the axes.
    pub fn is_upright_rectangle(&self) -> bool {
        let (width, height) = self.size();
        self.edge_count() == 4 && self.area() == Area::rectangle(width, height)
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
                let before = points.len();
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
                // The last one is the end itself; where the rounding of its parameters has it so,
                // the one before is too.
                while points.len() > before && points.last().is_some_and(|last| near(*last, end)) {
                    points.pop();
                }
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

    /// What is left when a band `by` wide is cut off along edge `index`: that edge moves inwards,
    /// parallel to itself, and its neighbours become shorter. Nothing where one of the three is no
    /// single straight line, or a neighbour is too short for that.
    pub fn cut_back(&self, index: usize, by: Length) -> Option<Self> {
        let count = self.edges.len();
        let (before, at, after) = (index + count - 1, index, index + 1);
        let straight = [before, at, after]
            .iter()
            .all(|it| self.edge(*it).chain.len() == 1 && self.edge(*it).is_straight());
        if !straight || count < 3 {
            return None;
        }
        let (start, end) = (self.edge(at).start(), self.edge(at).end());
        let along = end.to_mm() - start.to_mm();
        let part = |from: Point, to: Point| {
            let way = to.to_mm() - from.to_mm();
            // How far the neighbour goes inwards over its whole length.
            let deep = Length::from_mm_f64(along.cross(way) / along.hypot2().sqrt());
            (deep > by).then(|| from.towards(to, by, deep))
        };
        let new_start = part(start, self.edge(before).start())?;
        let new_end = part(end, self.edge(after).end())?;
        let mut edges = self.edges.clone();
        let (before, after) = (before % count, after % count);
        edges[before].chain = vec![(Segment::Line, new_start)];
        edges[at % count] = Edge { start: new_start, chain: vec![(Segment::Line, new_end)] };
        edges[after].start = new_end;
        Some(Self { edges })
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

/// Whether two points of a flattened curve are one, to the rounding of its parameters.
fn near(a: Point, b: Point) -> bool {
    a.distance(b) <= Length::nm(1_000)
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

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use proptest::prelude::*;

    use super::*;

    fn mm(x: i64, y: i64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    /// A circle of `radius` mm about the origin from four cubics, one edge each.
    fn circle(radius: f64) -> Outline {
        let k = radius * 0.552_284_749_8;
        let at = |x: f64, y: f64| Point::from_mm(kurbo::Point::new(x, y));
        let quarters = (0..4).map(|quarter| {
            let turned = |x, y| at(x, y).rotated_quarter(quarter);
            vec![(Segment::Curve(turned(radius, k), turned(k, radius)), turned(0.0, radius))]
        });
        Outline::from_edges(at(radius, 0.0), quarters.collect()).unwrap()
    }

    #[test]
    fn only_a_rectangle_along_the_axes_is_upright() {
        let panel = Outline::rectangle(Length::inch(20), Length::inch(16));
        assert!(panel.is_upright_rectangle());
        assert!(panel.rotated_quarter(1).is_upright_rectangle());
        let (base, top, height) = (Length::mm(200), Length::mm(210), Length::mm(100));
        assert!(!Outline::trapezoid(base, top, height).is_upright_rectangle());
        assert!(!circle(50.0).is_upright_rectangle());
        let diamond = Outline::polygon([mm(10, 0), mm(20, 10), mm(10, 20), mm(0, 10)]).unwrap();
        assert!(!diamond.is_upright_rectangle());
    }

    #[test]
    fn a_rectangle_has_its_edges_in_order() {
        let panel = Outline::rectangle(Length::inch(20), Length::inch(16));
        let corner = |x, y| Point::new(Length::inch(x), Length::inch(y));
        let corners: Vec<_> = panel.vertices().collect();
        assert_eq!(corners, [corner(0, 0), corner(20, 0), corner(20, 16), corner(0, 16)]);
        assert_eq!(panel.edge_length(0), Length::inch(20));
        assert_eq!(panel.edge_length(1), Length::inch(16));
        assert_eq!(panel.perimeter(), Length::inch(72));
        assert_eq!(panel.area(), Area::rectangle(Length::inch(20), Length::inch(16)));
        assert_eq!(panel.bounds(), (corner(0, 0), corner(20, 16)));
        assert!(panel.is_simple() && panel.edges().iter().all(Edge::is_straight));
        assert_eq!(panel.point_along(2, Length::inch(5)), corner(15, 16));
        assert_eq!(panel.point_along(2, Length::inch(99)), corner(0, 16));
        assert_eq!(panel.edge(5), panel.edge(1));
    }

    #[test]
    fn a_trapezoid_is_symmetric_and_its_sides_follow_pythagoras() {
        // 8-15-17: a rim 16 wider than the base over a height of 15.
        let panel = Outline::trapezoid(Length::mm(100), Length::mm(116), Length::mm(15));
        assert_eq!(panel.edge_length(1), Length::mm(17));
        assert_eq!(panel.edge_length(3), Length::mm(17));
        assert_eq!(panel.vertex(0), mm(8, 0));
        assert_eq!(panel.size(), (Length::mm(116), Length::mm(15)));
        assert_eq!(panel.mirrored(), panel);
        let narrow = Outline::trapezoid(Length::mm(116), Length::mm(100), Length::mm(15));
        assert_eq!(narrow.vertex(3), mm(8, 15));
        assert_eq!(narrow.edge_length(1), Length::mm(17));
    }

    #[test]
    fn a_circle_agrees_with_its_closed_forms() {
        // A quarter circle as one cubic is off by at most 0.027 % of the radius.
        let round = circle(100.0);
        assert!((round.area().to_mm2() - PI * 1e4).abs() < 3e-4 * PI * 1e4);
        assert!((round.perimeter().to_mm() - 200.0 * PI).abs() < 3e-4 * 200.0 * PI);
        // Green's theorem in integers against kurbo's own area.
        assert!((round.area().to_mm2() - round.to_path().area()).abs() < 1e-6);
        assert_eq!(round.bounds(), (mm(-100, -100), mm(100, 100)));
        assert!(round.is_simple());
        let eighth = round.point_along(0, round.edge_length(0).half()).to_mm();
        assert!((eighth.x - eighth.y).abs() < 0.01);
        assert!((eighth.to_vec2().hypot2().sqrt() - 100.0).abs() < 0.03);
        let direction = round.edge(0).direction_along(round.edge_length(0).half());
        assert!((direction.x + 0.5_f64.sqrt()).abs() < 1e-3);
        // The edges go on smoothly into one another.
        for vertex in 0..4 {
            assert!((round.interior_angle(vertex) - PI).abs() < 1e-6);
        }
    }

    #[test]
    fn interior_angles_are_those_of_the_figures() {
        let panel = Outline::rectangle(Length::inch(21), Length::inch(17));
        for vertex in 0..4 {
            assert!((panel.interior_angle(vertex) - FRAC_PI_2).abs() < 1e-15);
        }
        let ell = [mm(0, 0), mm(100, 0), mm(100, 50), mm(50, 50), mm(50, 100), mm(0, 100)];
        let ell = Outline::polygon(ell).unwrap();
        assert!((ell.interior_angle(3) - 3.0 * FRAC_PI_2).abs() < 1e-15);
        assert_eq!(ell.area(), Area::nm2(7_500_000_000_000_000));
    }

    #[test]
    fn what_is_no_outline_is_refused() {
        let clockwise = Outline::polygon([mm(0, 0), mm(0, 10), mm(10, 10)]);
        assert_eq!(clockwise, Err(OutlineError::Clockwise));
        assert_eq!(Outline::polygon([mm(0, 0), mm(1, 1)]), Err(OutlineError::TooFew));
        assert_eq!(Outline::from_edges(mm(0, 0), vec![vec![]]), Err(OutlineError::EmptyEdge(0)));
        let open = vec![vec![(Segment::Line, mm(5, 0)), (Segment::Line, mm(5, 5))]];
        assert_eq!(Outline::from_edges(mm(0, 0), open), Err(OutlineError::Open));
    }

    #[test]
    fn an_outline_over_itself_is_not_simple() {
        // A bow tie with a larger left half, a spike without width, and two squares that touch.
        let bow = [mm(0, 0), mm(30, 20), mm(30, 10), mm(0, 30)];
        let spike = [mm(0, 0), mm(20, 0), mm(10, 0), mm(10, 10)];
        let touching = [
            mm(0, 0),
            mm(10, 0),
            mm(10, 10),
            mm(20, 10),
            mm(20, 20),
            mm(10, 20),
            mm(10, 10),
            mm(0, 10),
        ];
        for points in [bow.to_vec(), spike.to_vec(), touching.to_vec()] {
            let outline = Outline::polygon(points).unwrap();
            assert!(!outline.is_simple(), "{outline:?}");
        }
        assert!(!Outline::rectangle(Length::ZERO, Length::inch(1)).is_simple());
    }

    proptest! {
        #[test]
        fn moving_turning_and_mirroring_keep_area_and_lengths(
            radius in prop::array::uniform8(20_i64..200),
            by in prop::array::uniform2(-500_i64..500),
            quarters in -5..5,
        ) {
            // A star-shaped figure: eight rays at 45° (diagonals by equal coordinates).
            let ray = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
            let points = ray.iter().zip(radius).map(|(&(x, y), r)| mm(x * r, y * r));
            let figure = Outline::polygon(points).unwrap();
            prop_assert!(figure.is_simple());
            let moved = figure.translated(mm(by[0], by[1])).rotated_quarter(quarters);
            let mirrored = moved.mirrored();
            prop_assert_eq!(moved.area(), figure.area());
            prop_assert_eq!(mirrored.area(), figure.area());
            prop_assert_eq!(mirrored.bounds(), moved.bounds());
            prop_assert_eq!(mirrored.mirrored(), moved.clone());
            for edge in 0..8 {
                prop_assert_eq!(moved.edge_length(edge), figure.edge_length(edge));
                prop_assert_eq!(mirrored.edge_length(edge), figure.edge_length((8 - edge) % 8));
            }
            let angles: f64 = (0..8).map(|vertex| figure.interior_angle(vertex)).sum();
            prop_assert!((angles - 6.0 * PI).abs() < 1e-9, "{}", angles);
        }

        #[test]
        fn mirrored_circles_are_as_long(radius in 5.0_f64..500.0, over in 0_i64..=100) {
            let round = circle(radius);
            let mirrored = round.mirrored();
            let difference = (round.perimeter() - mirrored.perimeter()).abs();
            prop_assert!(difference <= Length::nm(20_000));
            // A point along an edge is as far along it as was asked for.
            let length = round.edge_length(1);
            let point = round.point_along(1, length * over / 100).to_mm();
            let angle = libm::atan2(point.y, point.x) - FRAC_PI_2;
            let along = angle * radius;
            prop_assert!((along - length.to_mm() * over as f64 / 100.0).abs() < 1e-3 * radius + 0.01);
        }
    }
}
