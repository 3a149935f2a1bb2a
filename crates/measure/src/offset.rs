//! The cut outline around a stitching outline: each edge moved out by its own seam allowance.
//!
//! Straight edges meet in mitred corners, exact to the nanometre where edges are parallel to the
//! axes and to the nearest nanometre elsewhere. Curves are offset within 0.01 mm; beyond their ends
//! they run on straight to the corner, and at inner corners they are cut where they meet.

use std::error::Error;
use std::fmt;

use kurbo::{BezPath, CubicBez, ParamCurve, Vec2};

use crate::corner::{Corner, Place, meeting, ray, right_of};
use crate::edge::{tangents, to_curve};
use crate::point::turn;
use crate::{Length, Outline, Point, Segment};

/// How closely a curve is offset, in mm; half of what is promised, the rest is for cutting it up.
const CURVE_ACCURACY: f64 = 5e-3;

/// Points of curves this near to a corner are taken to be the corner.
const SNAP: Length = Length::nm(5_000);

/// Why an outline has no offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OffsetError {
    /// There must be one allowance for each edge.
    Count {
        /// How many edges the outline has.
        edges: usize,
        /// How many allowances were given.
        allowances: usize,
    },
    /// The outline itself touches or crosses itself, or encloses nothing.
    NotSimple,
    /// The edge of this index is too short: nothing of it is left between its neighbours.
    Vanishes(usize),
    /// Two parts of the offset outline run into one another.
    Crosses,
}

impl fmt::Display for OffsetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count { edges, allowances } => {
                write!(f, "{allowances} seam allowances are given for {edges} edges; give one for each")
            }
            Self::NotSimple => f.write_str(
                "the stitching outline touches itself or encloses nothing; no allowance fits round it",
            ),
            Self::Vanishes(edge) => write!(
                f,
                "edge {edge} is too short for the seam allowances beside it; make it longer or them \
                 narrower"
            ),
            Self::Crosses => f.write_str(
                "the seam allowances of two edges run into one another; make them narrower",
            ),
        }
    }
}

impl Error for OffsetError {}

impl Outline {
    /// The cut outline: every edge moved outwards by its allowance (inwards where it is negative).
    ///
    /// Edge `i` of the result lies along edge `i` of this outline. A mitre that would reach further
    /// than three allowances from its corner is cut off square there; where the allowance jumps on
    /// a straight line the result has a step. Each of the two edges then owns half of the short
    /// line between them, so that a mirrored outline has the mirrored offset.
    ///
    /// # Errors
    /// When the count of allowances is wrong, this outline is not simple, an edge is too short for
    /// the allowances, or the result crosses itself.
    pub fn offset(&self, allowances: &[Length]) -> Result<Self, OffsetError> {
        let edges = self.edge_count();
        if allowances.len() != edges {
            return Err(OffsetError::Count { edges, allowances: allowances.len() });
        }
        if !self.is_simple() {
            return Err(OffsetError::NotSimple);
        }
        let moved = self
            .edges()
            .iter()
            .zip(allowances)
            .enumerate()
            .flat_map(|(index, (edge, &allowance))| {
                edge.segments().map(move |segment| Moved::new(index, segment, allowance))
            })
            .collect::<Result<Vec<_>, _>>()?;
        let joints = joints(&moved)?;
        let chains = chains(&moved, &joints, edges)?;
        // Edge 0 starts at the corner behind the last segment.
        let corner = joints.last().map(|joint| joint.corner);
        let start = corner.map_or(Point::ORIGIN, |corner| corner.end.middle(corner.start));
        let outline = Self::from_edges(start, chains).map_err(|_| OffsetError::Crosses)?;
        if outline.is_simple() { Ok(outline) } else { Err(OffsetError::Crosses) }
    }

    /// The cut outline with the same allowance on every edge (see [`Outline::offset`]).
    ///
    /// # Errors
    /// As for [`Outline::offset`].
    pub fn offset_evenly(&self, allowance: Length) -> Result<Self, OffsetError> {
        self.offset(&vec![allowance; self.edge_count()])
    }
}

/// A segment of the stitching outline with what its offset needs.
struct Moved {
    edge: usize,
    start: Point,
    end: Point,
    allowance: Length,
    /// The directions at its start and its end.
    directions: (Vec2, Vec2),
    /// The offset curves in millimetres, in order, uncut; none for a straight segment.
    curves: Vec<CubicBez>,
}

impl Moved {
    fn new(
        edge: usize,
        (start, segment, end): (Point, Segment, Point),
        allowance: Length,
    ) -> Result<Self, OffsetError> {
        if start == end {
            return Err(OffsetError::Vanishes(edge));
        }
        // kurbo's offset does not take curves that are straight lines.
        let segment = match segment {
            Segment::Curve(c1, c2) if turn(start, end, c1) == 0 && turn(start, end, c2) == 0 => {
                Segment::Line
            }
            other => other,
        };
        let curves = match segment {
            Segment::Line => Vec::new(),
            Segment::Curve(..) => offset_curve(to_curve(start, segment, end), allowance),
        };
        let directions = tangents(start, segment, end);
        Ok(Self { edge, start, end, allowance, directions, curves })
    }

    fn is_curved(&self) -> bool {
        !self.curves.is_empty()
    }

    /// Where the uncut offset starts and ends, in millimetres.
    fn feet(&self) -> (kurbo::Point, kurbo::Point) {
        let outwards = self.allowance.to_mm();
        let (leaving, arriving) = self.directions;
        (
            self.start.to_mm() + right_of(leaving) * outwards,
            self.end.to_mm() + right_of(arriving) * outwards,
        )
    }

    /// The offset, and a straight continuation beyond its end.
    fn with_run_out(&self, reach: f64) -> Vec<CubicBez> {
        let (from, to) = self.feet();
        if !self.is_curved() {
            return vec![ray(from, to - from, (to - from).hypot2().sqrt() + reach)];
        }
        let mut curves = self.curves.clone();
        curves.push(ray(to, self.directions.1, reach));
        curves
    }

    /// A straight continuation before its start, and the offset.
    fn with_run_in(&self, reach: f64) -> Vec<CubicBez> {
        let (from, to) = self.feet();
        let before = from - self.directions.0 * reach;
        if !self.is_curved() {
            return vec![ray(before, to - before, (to - before).hypot2().sqrt())];
        }
        let mut curves = vec![ray(before, self.directions.0, reach)];
        curves.extend(&self.curves);
        curves
    }
}

fn offset_curve(curve: CubicBez, allowance: Length) -> Vec<CubicBez> {
    if allowance == Length::ZERO {
        return vec![curve];
    }
    let mut path = BezPath::new();
    // kurbo's offset goes to the left of the curve, ours to the right.
    kurbo::offset::offset_cubic(curve, -allowance.to_mm(), CURVE_ACCURACY, &mut path);
    path.segments().map(|segment| segment.to_cubic()).collect()
}

/// A corner, and where it cuts the curves before and behind it, if it does.
struct Joint {
    corner: Corner,
    before: Option<Place>,
    behind: Option<Place>,
}

/// The joint behind each segment.
fn joints(moved: &[Moved]) -> Result<Vec<Joint>, OffsetError> {
    let nexts = moved.iter().cycle().skip(1);
    moved.iter().zip(nexts).map(|(first, next)| joint(first, next)).collect()
}

fn joint(first: &Moved, next: &Moved) -> Result<Joint, OffsetError> {
    let allowances = (first.allowance, next.allowance);
    let corner = Corner::new(first.end, (first.directions.1, next.directions.0), allowances);
    let cuts_curve =
        (corner.shortens_first && first.is_curved()) || (corner.shortens_next && next.is_curved());
    if !cuts_curve {
        return Ok(Joint { corner, before: None, behind: None });
    }
    let reach = 4.0 * first.allowance.abs().max(next.allowance.abs()).to_mm();
    let (ahead, after) = (first.with_run_out(reach), next.with_run_in(reach));
    // Where an outline has two segments only, they also meet at their other ends.
    let is_here = |&(before, behind): &(Place, Place)| {
        before > Place(0, 1e-6) || behind < Place(after.len() - 1, 1.0 - 1e-6)
    };
    let Some((before, behind)) = meeting(&ahead, &after).filter(is_here) else {
        // Two ends stand for the point of a needle, one for an inner corner.
        let is_needle = corner.end != corner.start;
        let joint = Joint { corner, before: None, behind: None };
        return if is_needle { Ok(joint) } else { Err(OffsetError::Vanishes(first.edge)) };
    };
    let point = ahead.get(before.0).map_or(first.end, |curve| Point::from_mm(curve.eval(before.1)));
    // On the straight continuation nothing is cut off.
    let before = Some(before).filter(|place| place.0 < first.curves.len());
    let behind = behind.0.checked_sub(1).map(|index| Place(index, behind.1));
    Ok(Joint {
        corner: Corner { end: point, start: point, ..corner },
        before,
        behind: behind.filter(|_| next.is_curved()),
    })
}

/// The chain of segments of each edge of the cut outline.
fn chains(
    moved: &[Moved],
    joints: &[Joint],
    edges: usize,
) -> Result<Vec<Vec<(Segment, Point)>>, OffsetError> {
    let mut chains = vec![Vec::new(); edges];
    // The joint before the first segment is the last one.
    let befores = joints.iter().cycle().skip(joints.len().saturating_sub(1));
    let next_edges = moved.iter().cycle().skip(1).map(|next| next.edge);
    let mut previous = moved.last().map_or(0, |last| last.edge);
    for (((segment, joint), before), next) in moved.iter().zip(joints).zip(befores).zip(next_edges)
    {
        let Some(chain) = chains.get_mut(segment.edge) else { continue };
        let corner = before.corner;
        // A closed chain of one edge starts a new edge at its only vertex.
        let starts_edge = previous != segment.edge || chain.is_empty();
        if starts_edge && corner.end != corner.start {
            chain.push((Segment::Line, corner.start));
        }
        if segment.is_curved() {
            push_curves(chain, segment, before, joint)?;
        } else {
            push_line(chain, segment, corner.start, joint.corner.end)?;
        }
        let Corner { end, start, .. } = joint.corner;
        if end != start {
            let ends_edge = next != segment.edge || edges == 1;
            chain.push((Segment::Line, if ends_edge { end.middle(start) } else { start }));
        }
        previous = segment.edge;
    }
    Ok(chains)
}

fn push_line(
    chain: &mut Vec<(Segment, Point)>,
    segment: &Moved,
    start: Point,
    end: Point,
) -> Result<(), OffsetError> {
    let step = end - start;
    let step = Vec2::new(step.x.to_mm(), step.y.to_mm());
    if step.dot(segment.directions.0) <= 0.0 {
        return Err(OffsetError::Vanishes(segment.edge));
    }
    chain.push((Segment::Line, end));
    Ok(())
}

fn push_curves(
    chain: &mut Vec<(Segment, Point)>,
    segment: &Moved,
    before: &Joint,
    joint: &Joint,
) -> Result<(), OffsetError> {
    let last = segment.curves.len() - 1;
    let from = before.behind.unwrap_or(Place(0, 0.0));
    let to = joint.before.unwrap_or(Place(last, 1.0));
    if from >= to {
        return Err(OffsetError::Vanishes(segment.edge));
    }
    let is_near = |a: Point, b: Point| a.distance(b) <= SNAP;
    for (index, curve) in segment.curves.iter().enumerate().take(to.0 + 1).skip(from.0) {
        let t0 = if index == from.0 { from.1 } else { 0.0 };
        let t1 = if index == to.0 { to.1 } else { 1.0 };
        let part = curve.subsegment(t0..t1);
        let start = Point::from_mm(part.p0);
        if index == from.0 && !is_near(start, before.corner.start) {
            chain.push((Segment::Line, start));
        }
        let end = Point::from_mm(part.p3);
        let closes = index == to.0 && is_near(end, joint.corner.end);
        let end = if closes { joint.corner.end } else { end };
        chain.push((Segment::Curve(Point::from_mm(part.p1), Point::from_mm(part.p2)), end));
        if index == to.0 && !closes {
            chain.push((Segment::Line, joint.corner.end));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use kurbo::ParamCurveNearest;
    use proptest::prelude::*;

    use super::*;
    use crate::Area;

    fn mm(x: i64, y: i64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    /// A quarter circle is approximated by a cubic whose control points lie this part of the radius
    /// beyond its ends (4/3·(√2 − 1)).
    const KAPPA: f64 = 0.552_284_749_8;

    /// A panel with its two lower corners rounded: edges rim, left, left curve, base, …
    fn rounded(width: i64, height: i64, radius: i64) -> Outline {
        let at = |x: f64, y: f64| Point::from_mm(kurbo::Point::new(x, y));
        let (w, h, r) = (width as f64, height as f64, radius as f64);
        let k = r * (1.0 - KAPPA);
        let line = |x, y| vec![(Segment::Line, at(x, y))];
        let curve = |a: (f64, f64), b: (f64, f64), x, y| {
            vec![(Segment::Curve(at(a.0, a.1), at(b.0, b.1)), at(x, y))]
        };
        let edges = vec![
            line(w - r, 0.0),
            curve((w - k, 0.0), (w, k), w, r),
            line(w, h),
            line(0.0, h),
            line(0.0, r),
            curve((0.0, k), (k, 0.0), r, 0.0),
        ];
        Outline::from_edges(at(r, 0.0), edges).unwrap()
    }

    #[test]
    fn a_rectangle_grows_by_its_allowances() {
        // Common practice, no source: a panel 20 × 16 in net with 1/2 in all round is cut 21 × 17.
        let net = Outline::rectangle(Length::inch(20), Length::inch(16));
        let half = Length::inch_frac(1, 2);
        let cut = net.offset_evenly(half).unwrap();
        assert_eq!(cut.size(), (Length::inch(21), Length::inch(17)));
        assert_eq!(cut.area(), Area::rectangle(Length::inch(21), Length::inch(17)));
        assert_eq!(cut.vertex(0), Point::new(-half, -half));
        // A deeper allowance at the rim (edge 2), none on a fold at the base (edge 0).
        let hem = Length::inch_frac(3, 2);
        let cut = net.offset(&[Length::ZERO, half, hem, half]).unwrap();
        assert_eq!(cut.size(), (Length::inch(21), Length::inch_frac(35, 2)));
        assert_eq!(cut.edge_length(0), Length::inch(21));
        assert_eq!(cut.bounds().0, Point::new(-half, Length::ZERO));
    }

    #[test]
    fn a_taper_keeps_its_mitres() {
        // A 3-4-5 slope: the right side leans out 30 over 40, so the mitre at the base reaches
        // (1 − 3/5)/(4/5) = 1/2 of the allowance beyond the base's end.
        let net = Outline::trapezoid(Length::mm(200), Length::mm(260), Length::mm(40));
        let cut = net.offset_evenly(Length::mm(10)).unwrap();
        assert_eq!(cut.edge(0).start(), mm(25, -10));
        assert_eq!(cut.edge(0).end(), mm(235, -10));
        assert_eq!(cut.edge_length(1), cut.edge_length(3));
    }

    #[test]
    fn an_inner_corner_keeps_its_allowance() {
        // An L: the stitching outline's inner corner at (50, 50).
        let points = [mm(0, 0), mm(100, 0), mm(100, 50), mm(50, 50), mm(50, 100), mm(0, 100)];
        let cut = Outline::polygon(points).unwrap().offset_evenly(Length::mm(10)).unwrap();
        let expected =
            [mm(-10, -10), mm(110, -10), mm(110, 60), mm(60, 60), mm(60, 110), mm(-10, 110)];
        assert_eq!(cut.vertices().collect::<Vec<_>>(), expected);
    }

    #[test]
    fn a_jump_on_a_straight_line_is_a_step_in_the_middle() {
        let points = [mm(0, 0), mm(50, 0), mm(100, 0), mm(100, 80), mm(0, 80)];
        let net = Outline::polygon(points).unwrap();
        let allowances = [10, 20, 10, 10, 10].map(Length::mm);
        let cut = net.offset(&allowances).unwrap();
        let ends: Vec<_> = cut.edge(0).segments().map(|(.., end)| end).collect();
        assert_eq!(ends, [mm(50, -10), mm(50, -15)]);
        let ends: Vec<_> = cut.edge(1).segments().map(|(.., end)| end).collect();
        assert_eq!(ends, [mm(50, -20), mm(110, -20)]);
    }

    #[test]
    fn a_needle_tip_is_squared_off_and_still_has_its_allowance() {
        // The interior angle at the tip is 2·atan(7/24), about 32.5°, whose mitre would reach
        // 25/7 = 3.57 allowances.
        let net = Outline::polygon([mm(0, 0), mm(240, -70), mm(240, 70)]).unwrap();
        let cut = net.offset_evenly(Length::mm(10)).unwrap();
        let (low, _) = cut.bounds();
        assert!((low.x + Length::mm(30)).abs() <= Length::nm(2), "{low:?}");
        assert_eq!(cut.edge_count(), 3);
        assert_eq!(cut.vertex(0), low.middle(Point::new(low.x, -low.y)));
    }

    #[test]
    fn rounded_corners_grow_by_steiners_formula() {
        // Of a convex outline: area + perimeter × a + π a² for round joins; the two square corners
        // at the rim are mitred, so each adds a² − π a²/4 more.
        let net = rounded(300, 200, 60);
        let cut = net.offset_evenly(Length::mm(12)).unwrap();
        let a = 12.0_f64;
        let expected = net.area().to_mm2()
            + net.perimeter().to_mm() * a
            + PI * a * a
            + 2.0 * (a * a - PI * a * a / 4.0);
        assert!((cut.area().to_mm2() - expected).abs() < 0.01 * net.perimeter().to_mm());
        assert_eq!(cut.edge_count(), net.edge_count());
        // A quarter circle of 60 becomes one of 72, within the cubic's own error of 0.03 %.
        let grown = cut.edge_length(1).to_mm();
        assert!((grown - FRAC_PI_2 * 72.0).abs() < 0.05, "{grown}");
        // The straight edges only moved.
        assert_eq!(cut.edge_length(0), net.edge_length(0));
    }

    #[test]
    fn every_point_of_an_offset_curve_is_at_the_allowance() {
        let net = rounded(300, 200, 60);
        let cut = net.offset_evenly(Length::mm(12)).unwrap();
        let path: Vec<_> = net.to_path().segments().collect();
        let length = cut.edge_length(1);
        for step in 0..=40 {
            let point = cut.point_along(1, length * step / 40).to_mm();
            let nearest = path.iter().map(|segment| segment.nearest(point, 1e-6).distance_sq);
            let distance = nearest.fold(f64::INFINITY, f64::min).sqrt();
            assert!((distance - 12.0).abs() < 0.01, "{distance} at {step}");
        }
    }

    #[test]
    fn curves_that_meet_at_an_inner_corner_are_cut_there() {
        // A scalloped rim: two half circles side by side above a rectangle meet at (100, 100).
        let at = |x: f64, y: f64| Point::from_mm(kurbo::Point::new(x, y));
        let r = 50.0;
        let k = r * KAPPA;
        let quarter = |a: (f64, f64), b: (f64, f64), end: (f64, f64)| {
            (Segment::Curve(at(a.0, a.1), at(b.0, b.1)), at(end.0, end.1))
        };
        let scallop = |right: f64| {
            let (middle, left) = (right - r, right - 2.0 * r);
            vec![
                quarter((right, 100.0 + k), (middle + k, 150.0), (middle, 150.0)),
                quarter((middle - k, 150.0), (left, 100.0 + k), (left, 100.0)),
            ]
        };
        let edges = vec![
            vec![(Segment::Line, at(200.0, 0.0))],
            vec![(Segment::Line, at(200.0, 100.0))],
            scallop(200.0),
            scallop(100.0),
            vec![(Segment::Line, at(0.0, 0.0))],
        ];
        let net = Outline::from_edges(Point::ORIGIN, edges).unwrap();
        let cut = net.offset_evenly(Length::mm(10)).unwrap();
        // Two circles of 60 around (150, 100) and (50, 100) meet at x = 100, √(60² − 50²) above.
        let meets = cut.vertex(3).to_mm();
        assert!((meets.x - 100.0).abs() < 0.02, "{meets:?}");
        assert!((meets.y - (100.0 + 1100.0_f64.sqrt())).abs() < 0.02, "{meets:?}");
        assert_eq!(cut.edge_count(), 5);
    }

    #[test]
    fn the_point_of_a_needle_is_squared_off() {
        // A drop whose two curves leave its tip in the same direction.
        let edges = vec![
            vec![(Segment::Curve(mm(40, 0), mm(100, -40)), mm(100, 0))],
            vec![(Segment::Curve(mm(100, 40), mm(40, 0)), mm(0, 0))],
        ];
        let net = Outline::from_edges(Point::ORIGIN, edges).unwrap();
        let cut = net.offset_evenly(Length::mm(5)).unwrap();
        assert_eq!(cut.bounds().0.x, Length::mm(-15));
        assert_eq!((cut.vertex(0), cut.edge_count()), (mm(-15, 0), 2));
    }

    #[test]
    fn what_cannot_be_offset_is_refused() {
        let net = Outline::rectangle(Length::mm(100), Length::mm(15));
        assert_eq!(
            net.offset(&[Length::ZERO; 3]),
            Err(OffsetError::Count { edges: 4, allowances: 3 })
        );
        assert_eq!(net.offset_evenly(Length::mm(-8)), Err(OffsetError::Vanishes(1)));
        let flat = Outline::rectangle(Length::mm(100), Length::ZERO);
        assert_eq!(flat.offset_evenly(Length::mm(5)), Err(OffsetError::NotSimple));
        // A slit 10 wide closes up under two allowances of 6.
        let slit = Outline::polygon([
            mm(0, 0),
            mm(100, 0),
            mm(100, 100),
            mm(55, 100),
            mm(55, 20),
            mm(45, 20),
            mm(45, 100),
            mm(0, 100),
        ]);
        let error = slit.unwrap().offset_evenly(Length::mm(6)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "edge 4 is too short for the seam allowances beside it; make it longer or them narrower"
        );
    }

    proptest! {
        #[test]
        fn out_and_back_returns(
            // No tip is sharp enough to be squared off, which no way back undoes.
            base in 300_000_000_i64..600_000_000,
            top in 300_000_000_i64..600_000_000,
            height in 200_000_000_i64..600_000_000,
            allowances in prop::array::uniform4(0_i64..12_000_000),
        ) {
            let net = Outline::trapezoid(Length::nm(base), Length::nm(top), Length::nm(height));
            let allowances = allowances.map(Length::nm);
            let cut = net.offset(&allowances).unwrap();
            let back = cut.offset(&allowances.map(|allowance| -allowance)).unwrap();
            prop_assert_eq!(back.edge_count(), 4);
            for (before, after) in net.vertices().zip(back.vertices()) {
                prop_assert!(before.distance(after) <= Length::nm(8), "{:?} {:?}", before, after);
            }
        }

        #[test]
        fn a_mirrored_outline_has_the_mirrored_offset(
            points in prop::array::uniform3(10_i64..200),
            allowances in prop::array::uniform4(0_i64..15),
        ) {
            // Four sides, none alike.
            let [a, b, c] = points;
            let corners = [mm(0, 0), mm(200 + a, 0), mm(200, 100 + b), mm(-c, 150)];
            let net = Outline::polygon(corners).unwrap();
            let [base, right, rim, left] = allowances.map(Length::mm);
            let cut = net.offset(&[base, right, rim, left]);
            let mirrored = net.mirrored().offset(&[base, left, rim, right]);
            prop_assert_eq!(cut.is_ok(), mirrored.is_ok());
            if let (Ok(cut), Ok(mirrored)) = (cut, mirrored) {
                prop_assert_eq!(cut.edge_count(), mirrored.edge_count());
                for (edge, image) in [(0, 0), (1, 3), (2, 2), (3, 1)] {
                    let difference = cut.edge_length(edge) - mirrored.edge_length(image);
                    prop_assert!(difference.abs() <= Length::nm(4));
                }
            }
        }

        #[test]
        fn an_offset_keeps_its_distance(
            radius in prop::array::uniform8(30_i64..300),
            allowance in 1_i64..25,
        ) {
            // Star-shaped figures, inner corners and needle tips among them.
            let rays = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
            let points = rays.iter().zip(radius).map(|(&(x, y), r)| mm(x * r, y * r));
            let net = Outline::polygon(points).unwrap();
            if let Ok(cut) = net.offset_evenly(Length::mm(allowance)) {
                prop_assert_eq!(cut.edge_count(), net.edge_count());
                prop_assert!(cut.area() > net.area());
                let sides: Vec<_> = net.to_path().segments().collect();
                let allowance = allowance as f64;
                for (from, _, to) in cut.segments() {
                    for point in [from, from.middle(to)] {
                        let to_side = |side: &kurbo::PathSeg| side.nearest(point.to_mm(), 1e-9);
                        let nearest = sides.iter().map(|side| to_side(side).distance_sq);
                        let distance = nearest.fold(f64::INFINITY, f64::min).sqrt();
                        prop_assert!(distance > allowance - 1e-5, "{} at {:?}", distance, point);
                        prop_assert!(distance < 3.2 * allowance, "{} at {:?}", distance, point);
                    }
                }
            }
        }

        #[test]
        fn curves_keep_their_distance(
            controls in prop::array::uniform4((0_i64..120, -50_i64..35)),
            allowance in 1_i64..15,
        ) {
            // A tile with a curved base and a curved top, bulging, hollow or waved.
            let [a, b, c, d] = controls;
            let top = |(x, y): (i64, i64)| mm(120 - x, 90 - y);
            let edges = vec![
                vec![(Segment::Curve(mm(a.0, a.1), mm(b.0, b.1)), mm(120, 0))],
                vec![(Segment::Line, mm(120, 90))],
                vec![(Segment::Curve(top(c), top(d)), mm(0, 90)), (Segment::Line, mm(0, 0))],
            ];
            let net = Outline::from_edges(Point::ORIGIN, edges).unwrap();
            if let Ok(cut) = net.offset_evenly(Length::mm(allowance)) {
                prop_assert_eq!(cut.edge_count(), 3);
                let sides: Vec<_> = net.to_path().segments().collect();
                for point in cut.flattened(0.001) {
                    let to_side = |side: &kurbo::PathSeg| side.nearest(point.to_mm(), 1e-9);
                    let nearest = sides.iter().map(|side| to_side(side).distance_sq);
                    let distance = nearest.fold(f64::INFINITY, f64::min).sqrt();
                    prop_assert!(distance > allowance as f64 - 0.01, "{} at {:?}", distance, point);
                    prop_assert!(distance < 3.2 * allowance as f64, "{} at {:?}", distance, point);
                }
            }
        }

        #[test]
        fn odd_curves_and_allowances_never_panic(
            controls in prop::array::uniform8(-80_i64..180),
            allowances in prop::array::uniform2(-30_i64..30),
        ) {
            let [a, b, c, d, e, f, g, h] = controls;
            let edges = vec![
                vec![(Segment::Curve(mm(a, b), mm(c, d)), mm(100, 0))],
                vec![(Segment::Curve(mm(e, f), mm(g, h)), mm(0, 0))],
            ];
            if let Ok(net) = Outline::from_edges(Point::ORIGIN, edges)
                && let Ok(cut) = net.offset(&allowances.map(Length::mm))
            {
                prop_assert_eq!(cut.edge_count(), 2);
                prop_assert!(cut.is_simple());
            }
        }

        #[test]
        fn a_rectangle_grows_by_perimeter_times_allowance_and_its_square(
            width in 1_i64..2000, height in 1_i64..2000, allowance in 0_i64..100,
        ) {
            let [w, h, a] = [width, height, allowance].map(Length::mm);
            let cut = Outline::rectangle(w, h).offset_evenly(a).unwrap();
            let grown = Area::rectangle(w, h)
                + Area::rectangle((w + h) * 2, a)
                + Area::rectangle(a, a).times(4);
            prop_assert_eq!(cut.area(), grown);
        }
    }
}
