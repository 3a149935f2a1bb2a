//! Where the offsets of two neighbouring segments meet: the corners of a cut outline.

use kurbo::{CubicBez, ParamCurve, ParamCurveExtrema, Vec2};

use crate::edge::unit;
use crate::{Length, Point};

/// A mitre reaching further from the stitching corner than this many allowances is squared off.
const MITRE_LIMIT: f64 = 3.0;

/// Shortening a segment by no more than this (nm) is rounding and none at all.
const ROUNDING: f64 = 5_000.0;

/// How closely the meeting of two curves is found, in mm (a nanometre).
const MEETING_ACCURACY: f64 = 1e-6;

/// How many pairs of curve pieces are looked at before the search for a meeting is given up. A
/// plain crossing takes a few hundred.
const MEETING_BUDGET: usize = 50_000;

/// Where the offset of a segment ends and that of the next one starts: the same point at a plain
/// corner, two points when the corner is squared off or the allowance jumps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Corner {
    pub(crate) end: Point,
    pub(crate) start: Point,
    /// Whether the first segment reaches its end of the corner by being cut short.
    pub(crate) shortens_first: bool,
    /// The same of the next segment.
    pub(crate) shortens_next: bool,
}

impl Corner {
    /// The corner at `vertex` between straight continuations of two segments, which arrive and
    /// leave in the directions `arriving` and `leaving` and have the allowances `first`, `next`
    /// to the right of these directions.
    pub(crate) fn new(
        vertex: Point,
        (arriving, leaving): (Vec2, Vec2),
        (first, next): (Length, Length),
    ) -> Self {
        let (n1, n2) = (right_of(arriving), right_of(leaving));
        let (a1, a2) = (first.to_nm() as f64, next.to_nm() as f64);
        let (sine, cosine) = (arriving.cross(leaving), n1.dot(n2));
        let at = |step: Vec2| vertex + step_to(step);
        let longest = MITRE_LIMIT * a1.abs().max(a2.abs());
        let plain = |end: Vec2, start: Vec2| Self {
            end: at(end),
            start: at(start),
            shortens_first: false,
            shortens_next: false,
        };
        if cosine < -1.0 + 1e-12 {
            // The outline turns right back, which only curves can do: either they part again and
            // their offsets meet further on, or this is the point of a needle.
            let (end, start) = (n1 * a1 + arriving * longest, n2 * a2 - leaving * longest);
            return Self { shortens_first: true, shortens_next: true, ..plain(end, start) };
        }
        let jog = plain(n1 * a1, n2 * a2);
        // The step m to the mitre's tip has m·n1 = a1 and m·n2 = a2. With equal allowances it
        // follows the bisector, which stays accurate where the segments run on almost straight.
        let mitre = if first == next {
            (n1 + n2) * (a1 / (1.0 + cosine))
        } else if sine.abs() > 1e-12 {
            n1 * a1 + arriving * ((a2 - a1 * cosine) / sine)
        } else {
            return jog;
        };
        let (beyond, before) = (mitre.dot(arriving), mitre.dot(leaving));
        let reach = mitre.hypot2().sqrt();
        if reach > longest && beyond > 0.0 && before < 0.0 && cosine <= 0.0 {
            let (end, start) =
                squared(mitre / reach, longest, [(n1 * a1, arriving), (n2 * a2, leaving)]);
            return plain(end, start);
        }
        if reach > longest && cosine > 0.0 {
            return jog;
        }
        let tip = at(mitre);
        let (shortens_first, shortens_next) = (beyond < -ROUNDING, before > ROUNDING);
        Self { end: tip, start: tip, shortens_first, shortens_next }
    }
}

/// Both ends of the cut across a mitre, square to it and `reach` away from the vertex.
fn squared(along: Vec2, reach: f64, lines: [(Vec2, Vec2); 2]) -> (Vec2, Vec2) {
    let [end, start] = lines.map(|(foot, direction)| {
        foot + direction * ((reach - foot.dot(along)) / direction.dot(along))
    });
    (end, start)
}

/// The outward side of a counter-clockwise outline.
pub(crate) fn right_of(direction: Vec2) -> Vec2 {
    Vec2::new(direction.y, -direction.x)
}

/// A step in nanometres as exact lengths.
fn step_to(step: Vec2) -> Point {
    Point::from_mm((step / 1e6).to_point())
}

/// A place on a chain of curves: which curve, and its parameter.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(crate) struct Place(pub(crate) usize, pub(crate) f64);

/// Where chain `first` meets chain `next`, nearest to the end of `first`: the places on both.
pub(crate) fn meeting(first: &[CubicBez], next: &[CubicBez]) -> Option<(Place, Place)> {
    let mut budget = MEETING_BUDGET;
    for (i, a) in first.iter().enumerate().rev() {
        let mut best: Option<(f64, usize, f64)> = None;
        for (j, b) in next.iter().enumerate() {
            let found = last_meeting((*a, 0.0, 1.0), (*b, 0.0, 1.0), &mut budget);
            if let Some((t, u)) = found
                && best.is_none_or(|(before, ..)| t > before)
            {
                best = Some((t, j, u));
            }
        }
        if let Some((t, j, u)) = best {
            return Some((Place(i, t), Place(j, u)));
        }
    }
    None
}

/// Where two curves meet, latest on the first one, by halving both until they are points.
fn last_meeting(
    (a, t0, t1): (CubicBez, f64, f64),
    (b, u0, u1): (CubicBez, f64, f64),
    budget: &mut usize,
) -> Option<(f64, f64)> {
    *budget = budget.checked_sub(1)?;
    let (box_a, box_b) = (a.bounding_box(), b.bounding_box());
    let overlap = box_a.inflate(MEETING_ACCURACY, MEETING_ACCURACY).overlaps(box_b);
    if !overlap {
        return None;
    }
    let is_point = |width: f64, height: f64| width.max(height) < MEETING_ACCURACY;
    let (t, u) = (f64::midpoint(t0, t1), f64::midpoint(u0, u1));
    let a_is_point = is_point(box_a.width(), box_a.height());
    let b_is_point = is_point(box_b.width(), box_b.height());
    if a_is_point && b_is_point {
        return Some((t, u));
    }
    let halves_a = if a_is_point {
        vec![(a, t0, t1)]
    } else {
        vec![(a.subsegment(0.5..1.0), t, t1), (a.subsegment(0.0..0.5), t0, t)]
    };
    for half_a in halves_a {
        let halves_b = if b_is_point {
            vec![(b, u0, u1)]
        } else {
            vec![(b.subsegment(0.0..0.5), u0, u), (b.subsegment(0.5..1.0), u, u1)]
        };
        for half_b in halves_b {
            if let Some(found) = last_meeting(half_a, half_b, budget) {
                return Some(found);
            }
        }
    }
    None
}

/// A line as a curve in millimetres, from `from` in the direction `direction` (mm).
pub(crate) fn ray(from: kurbo::Point, direction: Vec2, length: f64) -> CubicBez {
    let step = unit(direction) * (length / 3.0);
    CubicBez::new(from, from + step, from + step * 2.0, from + step * 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corner(leaving: (f64, f64), first: i64, next: i64) -> Corner {
        let leaving = unit(Vec2::from(leaving));
        let allowances = (Length::mm(first), Length::mm(next));
        Corner::new(Point::ORIGIN, (Vec2::new(1.0, 0.0), leaving), allowances)
    }

    fn mm(x: i64, y: i64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    #[test]
    fn a_square_corner_takes_both_allowances() {
        let corner = corner((0.0, 1.0), 10, 25);
        assert_eq!((corner.end, corner.start), (mm(25, -10), mm(25, -10)));
    }

    #[test]
    fn an_inner_corner_is_shortened() {
        let corner = corner((0.0, -1.0), 10, 25);
        assert_eq!(corner.end, mm(-25, -10));
        assert!(corner.shortens_first && corner.shortens_next);
    }

    #[test]
    fn a_jump_of_the_allowance_on_a_straight_line_is_a_step() {
        let corner = corner((1.0, 0.0), 10, 25);
        assert_eq!((corner.end, corner.start), (mm(0, -10), mm(0, -25)));
    }

    #[test]
    fn a_needle_tip_is_squared_off_at_three_allowances() {
        // A turn of 2·atan(24/7) makes a tip whose mitre would reach a / (7/25) = 3.57 a.
        let corner = corner((-527.0, 336.0), 10, 10);
        let across = corner.start - corner.end;
        let middle = corner.end.middle(corner.start);
        let off = |length: Length, wanted: Length| (length - wanted).abs() <= Length::nm(2);
        assert!(off(middle.distance(Point::ORIGIN), Length::mm(30)));
        assert_eq!(corner.end.y, Length::mm(-10));
        assert!(across.y.is_positive());
    }

    #[test]
    fn two_curves_meet_where_they_cross() {
        // The diagonals of a square, as curves.
        let rising = ray(kurbo::Point::new(0.0, 0.0), Vec2::new(1.0, 1.0), 200.0_f64.sqrt());
        let falling = ray(kurbo::Point::new(0.0, 10.0), Vec2::new(1.0, -1.0), 200.0_f64.sqrt());
        let (a, b) = meeting(&[rising], &[falling]).unwrap();
        assert!((a.1 - 0.5).abs() < 1e-6 && (b.1 - 0.5).abs() < 1e-6, "{a:?} {b:?}");
        let aside = ray(kurbo::Point::new(20.0, 0.0), Vec2::new(0.0, 1.0), 10.0);
        assert_eq!(meeting(&[rising], &[aside]), None);
    }
}
