//! One edge of an outline: a chain of straight and curved segments.

use kurbo::{ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveNearest, Vec2};

use crate::{Length, Point};

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
    // The chain has at least one segment.
    pub(crate) start: Point,
    pub(crate) chain: Vec<(Segment, Point)>,
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

    /// How far a point lies from the nearest point of the edge, within 0.01 mm.
    pub fn distance_from(&self, point: Point) -> Length {
        let square = |(start, segment, end)| {
            to_curve(start, segment, end).nearest(point.to_mm(), ARC_ACCURACY).distance_sq
        };
        let nearest = self.segments().map(square).fold(f64::INFINITY, f64::min);
        Length::from_mm_f64(nearest.sqrt())
    }

    /// How far a point of the edge lies from its start, along it: that of the nearest point.
    pub fn distance_to(&self, point: Point) -> Length {
        let (mut before, mut best) = (Length::ZERO, (f64::INFINITY, Length::ZERO));
        for (start, segment, end) in self.segments() {
            let curve = to_curve(start, segment, end);
            let near = curve.nearest(point.to_mm(), ARC_ACCURACY);
            if near.distance_sq < best.0 {
                let along = curve.subsegment(0.0..near.t).arclen(ARC_ACCURACY);
                best = (near.distance_sq, before + Length::from_mm_f64(along));
            }
            before += segment_length((start, segment, end));
        }
        best.1
    }

    /// Where the edge is cut into chords to be drawn or folded as facets, as distances from its
    /// start, both ends left out: at the ends of its straight parts, and each curve between them in
    /// an odd number of equally long chords that turn by 15° or less, so that one lies in its
    /// middle. None for a straight edge.
    pub fn chord_stops(&self) -> Vec<Length> {
        let mut parts: Vec<(bool, Length, f64)> = Vec::new();
        for (start, segment, end) in self.segments() {
            let (is_curve, turn) = match segment {
                Segment::Line => (false, 0.0),
                Segment::Curve(..) => (true, turning(&to_curve(start, segment, end))),
            };
            let length = segment_length((start, segment, end));
            match parts.last_mut() {
                Some((true, long, turned)) if is_curve => {
                    *long += length;
                    *turned += turn;
                }
                _ => parts.push((is_curve, length, turn)),
            }
        }
        let (mut stops, mut before) = (Vec::new(), Length::ZERO);
        for (is_curve, length, turn) in parts {
            let least = if is_curve { (turn.to_degrees() / 15.0).ceil().max(1.0) } else { 1.0 };
            // A turn of at most some whole circles.
            let count = (1..=199).step_by(2).find(|odd| f64::from(*odd) >= least).unwrap_or(199);
            stops.extend((1..=count).map(|n| before + length * i64::from(n) / i64::from(count)));
            before += length;
        }
        stops.pop();
        stops
    }

    /// The same, each with the angle in degrees by which the chord behind it turns to the left of
    /// the one before it.
    pub fn chord_bends(&self) -> Vec<(Length, f64)> {
        let stops = self.chord_stops();
        let mut points = vec![self.start];
        points.extend(stops.iter().map(|stop| self.point_along(*stop)));
        points.push(self.end());
        let bend = |three: &[Point]| {
            let [a, b, c] = [three[0], three[1], three[2]].map(Point::to_mm);
            let (into, out) = (b - a, c - b);
            libm::atan2(into.cross(out), into.dot(out)).to_degrees()
        };
        stops.iter().copied().zip(points.windows(3).map(bend)).collect()
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

    pub(crate) fn map(&self, change: impl Fn(Point) -> Point) -> Self {
        let chain = self.chain.iter().map(|&(segment, end)| match segment {
            Segment::Line => (Segment::Line, change(end)),
            Segment::Curve(c1, c2) => (Segment::Curve(change(c1), change(c2)), change(end)),
        });
        Self { start: change(self.start), chain: chain.collect() }
    }

    pub(crate) fn reversed(&self) -> Self {
        let segments: Vec<_> = self.segments().collect();
        let chain = segments.into_iter().rev().map(|(start, segment, _)| match segment {
            Segment::Line => (Segment::Line, start),
            Segment::Curve(c1, c2) => (Segment::Curve(c2, c1), start),
        });
        Self { start: self.end(), chain: chain.collect() }
    }
}

/// A segment as a cubic in millimetres; a line gets control points on its thirds.
pub(crate) fn to_curve(start: Point, segment: Segment, end: Point) -> kurbo::CubicBez {
    let (p0, p3) = (start.to_mm(), end.to_mm());
    let (p1, p2) = match segment {
        Segment::Line => (p0.lerp(p3, 1.0 / 3.0), p0.lerp(p3, 2.0 / 3.0)),
        Segment::Curve(c1, c2) => (c1.to_mm(), c2.to_mm()),
    };
    kurbo::CubicBez::new(p0, p1, p2, p3)
}

/// By how much a curve turns from its start to its end, in radians, to either side.
fn turning(curve: &kurbo::CubicBez) -> f64 {
    let steps = 8;
    let direction =
        |step: i32| unit(curve.deriv().eval(f64::from(step) / f64::from(steps)).to_vec2());
    (0..steps)
        .map(|step| {
            let (a, b) = (direction(step), direction(step + 1));
            libm::atan2(a.cross(b), a.dot(b)).abs()
        })
        .sum()
}

fn segment_length((start, segment, end): (Point, Segment, Point)) -> Length {
    match segment {
        Segment::Line => start.distance(end),
        Segment::Curve(..) => {
            Length::from_mm_f64(to_curve(start, segment, end).arclen(ARC_ACCURACY))
        }
    }
}

/// The direction in which an edge leaves its start, of length one.
pub(crate) fn start_tangent(edge: &Edge) -> Vec2 {
    edge.segments().next().map_or(Vec2::ZERO, |(start, segment, end)| {
        let (first, _) = tangents(start, segment, end);
        first
    })
}

/// The direction in which an edge arrives at its end, of length one.
pub(crate) fn end_tangent(edge: &Edge) -> Vec2 {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(x: i64, y: i64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    #[test]
    fn distances_run_on_from_segment_to_segment() {
        // Down, along and up again: a U of 30 + 40 + 30.
        let chain = [mm(0, -30), mm(40, -30), mm(40, 0)].map(|end| (Segment::Line, end)).to_vec();
        let edge = Edge { start: mm(0, 0), chain };
        assert_eq!(edge.length(), Length::mm(100));
        assert!(!edge.is_straight());
        let at = |distance| edge.point_along(Length::mm(distance));
        let points = [-5, 0, 30, 50, 70, 85, 100, 200].map(at);
        let expected =
            [(0, 0), (0, 0), (0, -30), (20, -30), (40, -30), (40, -15), (40, 0), (40, 0)];
        assert_eq!(points, expected.map(|(x, y)| mm(x, y)));
        let direction = |distance| {
            let direction = edge.direction_along(Length::mm(distance));
            (direction.x.to_string(), direction.y.to_string())
        };
        assert_eq!(direction(50), ("1".into(), "0".into()));
        assert_eq!(direction(500), ("0".into(), "1".into()));
    }

    #[test]
    fn the_nearest_point_of_a_chain_is_found() {
        let chain = [mm(0, -30), mm(40, -30), mm(40, 0)].map(|end| (Segment::Line, end)).to_vec();
        let edge = Edge { start: mm(0, 0), chain };
        let off = |found: Length, expected: i64| {
            let off = (found - Length::mm(expected)).abs();
            assert!(off <= Length::nm(10_000), "{found:?} for {expected}");
        };
        off(edge.distance_from(mm(20, -10)), 20);
        off(edge.distance_from(mm(43, 4)), 5);
        off(edge.distance_to(mm(20, -28)), 50);
        off(edge.distance_to(mm(45, -10)), 90);
    }

    #[test]
    fn a_half_circle_is_drawn_by_an_odd_number_of_chords() {
        let base = crate::Outline::ellipse(Length::mm(200), Length::mm(200)).unwrap();
        let half = base.edge(0);
        let bends = half.chord_bends();
        assert_eq!(bends.len(), 12);
        let whole = half.length();
        for (index, (stop, bend)) in bends.iter().enumerate() {
            let even = whole * i64::try_from(index + 1).unwrap() / 13;
            assert!((*stop - even).abs() < Length::nm(10_000), "{stop:?}");
            assert!((bend - 180.0 / 13.0).abs() < 0.01, "{bend}");
        }
        let panel = crate::Outline::rectangle(Length::mm(20), Length::mm(30));
        assert_eq!(panel.edge(0).chord_stops(), []);
    }

    #[test]
    fn a_curve_with_control_points_on_its_ends_is_its_chord() {
        let chain = vec![(Segment::Curve(mm(0, 0), mm(30, 40)), mm(30, 40))];
        let edge = Edge { start: mm(0, 0), chain };
        let off = (edge.length() - Length::mm(50)).abs();
        assert!(off <= Length::nm(10_000), "{off:?}");
        for distance in [0, 25, 50] {
            let direction = edge.direction_along(Length::mm(distance));
            assert!((direction - Vec2::new(0.6, 0.8)).hypot2() < 1e-12, "{direction:?}");
        }
        assert_eq!(edge.reversed().reversed(), edge);
    }
}
