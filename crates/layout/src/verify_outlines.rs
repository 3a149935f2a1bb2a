//! The verifier's part for true outlines: whether two pieces as they lie keep their distance.
//! Integers only, and nothing in common with the solvers.
//!
//! Straight outlines are taken as they are. Curves are followed by chords through points on them,
//! rounded to a nanometre; how far a curve may lie from its chords is known and added to the
//! distance that is asked for. So what is accepted is right for the true curves.

use std::cmp::Ordering;

use measure::{Length, Outline, Point, Segment};

use crate::{Item, Placement, Shape};

/// How far a curve lies from its chords at most, in nanometres.
const CHORDS: i128 = 5_000;
/// The same with the rounding of the points.
pub(crate) const SLACK: i64 = 5_002;
/// No curve is cut into more chords; those would be of no length.
const MOST_CHORDS: i128 = 4_096;

type Spot = (i128, i128);

/// A piece as it lies.
pub(crate) struct Solid {
    /// Counter-clockwise.
    corners: Vec<Spot>,
    /// How far the piece may lie outside its corners' polygon.
    slack: i64,
    low: Spot,
    high: Spot,
}

impl Solid {
    /// The piece of a placement.
    pub(crate) fn new(item: &Item, one: &Placement) -> Self {
        let (low, high, mut corners, slack) = match &item.shape {
            Shape::Rect { .. } => {
                let (width, length) = (nm(one.width), nm(one.length));
                let corners = vec![(0, 0), (width, 0), (width, length), (0, length)];
                return Self::placed(corners, 0, one);
            }
            Shape::Outline(outline) => {
                let (low, high) = outline.bounds();
                let (corners, slack) = chords(outline);
                (spot(low), spot(high), corners, slack)
            }
        };
        let turned = |(x, y): Spot| {
            let x = if one.mirrored { -x } else { x };
            match one.rotation.degrees() {
                90 => (-y, x),
                180 => (-x, -y),
                270 => (y, -x),
                _ => (x, y),
            }
        };
        let ends = [turned(low), turned(high)];
        let corner = (ends[0].0.min(ends[1].0), ends[0].1.min(ends[1].1));
        for place in &mut corners {
            let (x, y) = turned(*place);
            *place = (x - corner.0, y - corner.1);
        }
        if one.mirrored {
            corners.reverse();
        }
        Self::placed(corners, slack, one)
    }

    fn placed(mut corners: Vec<Spot>, slack: i64, one: &Placement) -> Self {
        for place in &mut corners {
            *place = (place.0 + nm(one.x), place.1 + nm(one.y));
        }
        Self::around(corners, slack)
    }

    fn around(corners: Vec<Spot>, slack: i64) -> Self {
        let first = corners.first().copied().unwrap_or_default();
        let (mut low, mut high) = (first, first);
        for place in &corners {
            low = (low.0.min(place.0), low.1.min(place.1));
            high = (high.0.max(place.0), high.1.max(place.1));
        }
        Self { corners, slack, low, high }
    }

    /// Its mirror image about the middle of fabric of this width.
    pub(crate) fn mirrored(&self, width: Length) -> Self {
        let corners = self.corners.iter().rev().map(|place| (nm(width) - place.0, place.1));
        Self::around(corners.collect(), self.slack)
    }

    /// Whether each corner of one lies within `same` of a corner of the other or of its edges.
    pub(crate) fn is_like(&self, other: &Self, same: i128) -> bool {
        let near = |one: &Self, other: &Self| {
            let is_near = |place: Spot| other.edges().any(|edge| !is_off_edge(place, edge, same));
            one.corners.iter().all(|place| is_near(*place))
        };
        near(self, other) && near(other, self)
    }

    /// Whether two pieces are at least `gap` apart; they may touch when it is zero.
    pub(crate) fn is_apart(&self, other: &Self, gap: Length) -> bool {
        let gap = nm(gap) + i128::from(self.slack) + i128::from(other.slack);
        let is_far = self.high.0 + gap <= other.low.0
            || other.high.0 + gap <= self.low.0
            || self.high.1 + gap <= other.low.1
            || other.high.1 + gap <= self.low.1;
        is_far || if gap > 0 { self.keeps(other, gap) } else { self.is_beside(other) }
    }

    /// Fabric with this outline, its box with the lower left corner at the origin.
    pub(crate) fn fabric(outline: &Outline) -> Self {
        let (low, high) = outline.bounds();
        let (mut corners, slack) = chords(outline);
        for place in &mut corners {
            *place = minus(*place, spot(low));
        }
        Self { corners, slack, low: (0, 0), high: minus(spot(high), spot(low)) }
    }

    /// A rectangle.
    pub(crate) fn rectangle((x, y): (Length, Length), (width, length): (Length, Length)) -> Self {
        let (low, size) = ((nm(x), nm(y)), (nm(width), nm(length)));
        let high = (low.0 + size.0, low.1 + size.1);
        Self::around(vec![low, (high.0, low.1), high, (low.0, high.1)], 0)
    }

    /// Whether a piece whose true box lies within the fabric's lies within the fabric itself; it
    /// may touch its edges, and where these are straight and run along the fabric's box, the boxes
    /// tell.
    pub(crate) fn is_within(&self, fabric: &Self) -> bool {
        let slack = i128::from(self.slack) + i128::from(fabric.slack);
        if slack == 0 {
            return self.is_inside(fabric);
        }
        let sides = |place: Spot| {
            [
                place.0 <= fabric.low.0,
                place.0 >= fabric.high.0,
                place.1 <= fabric.low.1,
                place.1 >= fabric.high.1,
            ]
        };
        let is_inner = |edge: &(Spot, Spot)| {
            let both = sides(edge.0).into_iter().zip(sides(edge.1));
            !both.into_iter().any(|(one, other)| one && other)
        };
        let inner: Vec<_> = fabric.edges().filter(is_inner).collect();
        let is_clear = self.edges().all(|one| inner.iter().all(|two| is_clear(one, *two, slack)));
        let mut free = self.corners.iter().filter(|place| !sides(**place).contains(&true));
        is_clear && free.all(|place| fabric.holds(*place))
    }

    /// The same where both are taken as they are: no edges cross, no corner of the fabric lies
    /// inside the piece, and no corner of the piece outside the fabric; where one lies on an edge of
    /// the other, what is not fabric there has nothing in common with the piece.
    fn is_inside(&self, fabric: &Self) -> bool {
        // Walked round the other way, its left is what is not fabric.
        let around: Vec<_> = fabric.corners.iter().rev().copied().collect();
        let outside = Self::around(around, 0);
        let crosses = self.edges().any(|one| outside.edges().any(|two| do_cross(one, two)));
        if crosses || self.meets_corners_of(&outside) {
            return false;
        }
        let n = self.corners.len();
        (0..n).all(|at| {
            let corner = self.corners[at];
            match outside.wedge_at(corner) {
                Some(wedge) => {
                    let own = (
                        minus(self.corners[(at + 1) % n], corner),
                        minus(self.corners[(at + n - 1) % n], corner),
                    );
                    !do_overlap(wedge, own)
                }
                None => fabric.holds(corner),
            }
        })
    }

    fn edges(&self) -> impl Iterator<Item = (Spot, Spot)> + Clone + '_ {
        let n = self.corners.len();
        (0..n).map(move |at| (self.corners[at], self.corners[(at + 1) % n]))
    }

    /// The edges that come nearer than `gap` to the box of another piece.
    fn edges_near(&self, other: &Self, gap: i128) -> Vec<(Spot, Spot)> {
        let is_near = |&(a, b): &(Spot, Spot)| {
            a.0.max(b.0) + gap >= other.low.0
                && a.0.min(b.0) - gap <= other.high.0
                && a.1.max(b.1) + gap >= other.low.1
                && a.1.min(b.1) - gap <= other.high.1
        };
        self.edges().filter(is_near).collect()
    }

    /// Whether all edges keep the distance, and neither piece lies within the other.
    fn keeps(&self, other: &Self, gap: i128) -> bool {
        let near = other.edges_near(self, gap);
        let clear = self
            .edges_near(other, gap)
            .iter()
            .all(|one| near.iter().all(|two| is_clear(*one, *two, gap)));
        clear && !self.holds(other.corners[0]) && !other.holds(self.corners[0])
    }

    /// Whether the insides have nothing in common. Where no edges cross, a common part would have
    /// a corner that is a corner of one piece, inside the other or on its edge; on an edge the
    /// insides meet there at once.
    fn is_beside(&self, other: &Self) -> bool {
        let near = other.edges_near(self, 0);
        let crosses =
            self.edges_near(other, 0).iter().any(|one| near.iter().any(|two| do_cross(*one, *two)));
        !crosses && !self.meets_corners_of(other) && !other.meets_corners_of(self)
    }

    /// Whether the inside has something in common with the inside at a corner of another piece.
    fn meets_corners_of(&self, other: &Self) -> bool {
        let n = other.corners.len();
        (0..n).any(|at| {
            let corner = other.corners[at];
            let is_off = corner.0 < self.low.0
                || corner.0 > self.high.0
                || corner.1 < self.low.1
                || corner.1 > self.high.1;
            if is_off {
                return false;
            }
            match self.wedge_at(corner) {
                Some(wedge) => {
                    let theirs = (
                        minus(other.corners[(at + 1) % n], corner),
                        minus(other.corners[(at + n - 1) % n], corner),
                    );
                    do_overlap(wedge, theirs)
                }
                None => self.holds(corner),
            }
        })
    }

    /// The directions between which the inside lies, counter-clockwise, at a place on an edge;
    /// none when the place lies on no edge.
    fn wedge_at(&self, place: Spot) -> Option<(Spot, Spot)> {
        let n = self.corners.len();
        (0..n).find_map(|at| {
            let (a, b) = (self.corners[at], self.corners[(at + 1) % n]);
            if a == place {
                return Some((minus(b, a), minus(self.corners[(at + n - 1) % n], a)));
            }
            let is_on =
                place != b && cross(minus(b, a), minus(place, a)) == 0 && is_between(a, b, place);
            is_on.then(|| (minus(b, a), minus(a, b)))
        })
    }

    /// Whether a place that is on no edge lies inside.
    fn holds(&self, place: Spot) -> bool {
        let crossed = self.edges().filter(|&(a, b)| {
            (a.1 > place.1) != (b.1 > place.1)
                && (cross(minus(b, a), minus(place, a)) > 0) == (b.1 > a.1)
        });
        crossed.count() % 2 == 1
    }
}

fn nm(length: Length) -> i128 {
    i128::from(length.to_nm())
}

fn spot(point: Point) -> Spot {
    (nm(point.x), nm(point.y))
}

/// The corners of an outline, with points on its curves, and how far these may lie off.
fn chords(outline: &Outline) -> (Vec<Spot>, i64) {
    let mut corners = Vec::new();
    let mut slack = 0;
    for (start, segment, end) in outline.segments() {
        corners.push(spot(start));
        if let Segment::Curve(one, two) = segment {
            slack = SLACK;
            let points = [spot(start), spot(one), spot(two), spot(end)];
            let count = chord_count(points);
            corners.extend((1..count).map(|at| on_curve(points, at, count)));
        }
    }
    corners.dedup();
    (corners, slack)
}

/// So many chords of equal steps are near enough: they lie off by at most an eighth of the second
/// derivative over the square of their number, and that derivative is at most six times the second
/// difference of the control points.
fn chord_count(p: [Spot; 4]) -> i128 {
    let bend =
        |a: Spot, b: Spot, c: Spot| (a.0 - 2 * b.0 + c.0).abs() + (a.1 - 2 * b.1 + c.1).abs();
    let most = bend(p[0], p[1], p[2]).max(bend(p[1], p[2], p[3]));
    let mut count = 1;
    while count < MOST_CHORDS && 3 * most > 4 * CHORDS * count * count {
        count += 1;
    }
    count
}

/// The point at step `at` of `count` on a cubic curve, rounded.
fn on_curve(p: [Spot; 4], at: i128, count: i128) -> Spot {
    let back = count - at;
    let parts = [back * back * back, 3 * back * back * at, 3 * back * at * at, at * at * at];
    let whole = count * count * count;
    let one = |of: fn(Spot) -> i128| {
        let sum: i128 = p.iter().zip(parts).map(|(point, part)| of(*point) * part).sum();
        (sum + whole / 2).div_euclid(whole)
    };
    (one(|spot| spot.0), one(|spot| spot.1))
}

fn minus(a: Spot, b: Spot) -> Spot {
    (a.0 - b.0, a.1 - b.1)
}

fn cross(a: Spot, b: Spot) -> i128 {
    a.0 * b.1 - a.1 * b.0
}

fn dot(a: Spot, b: Spot) -> i128 {
    a.0 * b.0 + a.1 * b.1
}

/// Whether a place on the line through `a` and `b` lies on the edge between them.
fn is_between(a: Spot, b: Spot, place: Spot) -> bool {
    dot(minus(a, place), minus(b, place)) <= 0
}

/// On which sides of a line two places lie: 1 left, -1 right, 0 on it.
fn sides((a, b): (Spot, Spot), (c, d): (Spot, Spot)) -> (i128, i128) {
    let of = |p: Spot| cross(minus(b, a), minus(p, a)).signum();
    (of(c), of(d))
}

/// Whether two edges cross inside both of them.
fn do_cross(one: (Spot, Spot), two: (Spot, Spot)) -> bool {
    let ((a, b), (c, d)) = (sides(one, two), sides(two, one));
    a * b < 0 && c * d < 0
}

/// Whether two edges are at least `gap` apart.
fn is_clear(one: (Spot, Spot), two: (Spot, Spot), gap: i128) -> bool {
    let is_off = one.0.0.max(one.1.0) + gap <= two.0.0.min(two.1.0)
        || two.0.0.max(two.1.0) + gap <= one.0.0.min(one.1.0)
        || one.0.1.max(one.1.1) + gap <= two.0.1.min(two.1.1)
        || two.0.1.max(two.1.1) + gap <= one.0.1.min(one.1.1);
    is_off
        || (!do_cross(one, two)
            && is_off_edge(one.0, two, gap)
            && is_off_edge(one.1, two, gap)
            && is_off_edge(two.0, one, gap)
            && is_off_edge(two.1, one, gap))
}

/// Whether a place is at least `gap` from an edge.
fn is_off_edge(place: Spot, (a, b): (Spot, Spot), gap: i128) -> bool {
    let (along, from) = (minus(b, a), minus(place, a));
    let (over, whole) = (dot(along, from), dot(along, along));
    if over <= 0 {
        return dot(from, from) >= gap * gap;
    }
    if over >= whole {
        let from = minus(place, b);
        return dot(from, from) >= gap * gap;
    }
    let height = cross(along, from).unsigned_abs();
    product(height, height) >= product((gap * gap).unsigned_abs(), whole.unsigned_abs())
}

/// A product of two numbers in full: its upper and its lower 128 bits.
fn product(one: u128, other: u128) -> (u128, u128) {
    const LOW: u128 = u64::MAX as u128;
    let (a, b) = (one >> 64, one & LOW);
    let (c, d) = (other >> 64, other & LOW);
    let low = b * d;
    let middle = a * d + (low >> 64);
    let (middle, carried) = middle.overflowing_add(b * c);
    let high = a * c + (middle >> 64) + (u128::from(carried) << 64);
    (high, (middle << 64) | (low & LOW))
}

/// Whether two wedges, each counter-clockwise from one direction to another, have an inside in
/// common.
fn do_overlap(one: (Spot, Spot), two: (Spot, Spot)) -> bool {
    let is_in = |(from, to): (Spot, Spot), way: Spot| {
        around(from, way).cmp_with(&around(from, to)) == Ordering::Less
    };
    is_in(one, two.0) || is_in(two, one.0)
}

/// How far a direction is turned from another, counter-clockwise, from nothing to a whole turn.
struct Turned {
    half: u8,
    along: i128,
    aside: i128,
}

fn around(from: Spot, to: Spot) -> Turned {
    let (along, aside) = (dot(from, to), cross(from, to));
    let half = if aside > 0 || (aside == 0 && along > 0) { 0 } else { 1 };
    Turned { half, along, aside }
}

impl Turned {
    fn cmp_with(&self, other: &Self) -> Ordering {
        self.half.cmp(&other.half).then_with(|| {
            // Within half a turn, the sign of the cross product of the two tells. Signs first, so
            // that the products need no more than their size.
            let (one, two) = (signed(self.along, other.aside), signed(self.aside, other.along));
            two.cmp(&one)
        })
    }
}

/// A product in full that can be compared: its sign, and its size with the sign's order.
fn signed(one: i128, other: i128) -> (i128, u128, u128) {
    let (high, low) = product(one.unsigned_abs(), other.unsigned_abs());
    match one.signum() * other.signum() {
        1 => (1, high, low),
        -1 => (-1, !high, !low),
        _ => (0, 0, 0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solid(corners: &[(i128, i128)]) -> Solid {
        Solid::around(corners.to_vec(), 0)
    }

    const SQUARE: [(i128, i128); 4] = [(0, 0), (10, 0), (10, 10), (0, 10)];

    fn both(one: &[(i128, i128)], other: &[(i128, i128)]) -> bool {
        let (one, other) = (solid(one), solid(other));
        let found = one.is_apart(&other, Length::ZERO);
        assert_eq!(found, other.is_apart(&one, Length::ZERO));
        found
    }

    #[test]
    fn within_is_up_to_the_edge_and_not_beyond() {
        // An ell: its arms are 10 wide.
        let ell = solid(&[(0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30)]);
        let is_within = |corners: &[(i128, i128)]| solid(corners).is_within(&ell);
        assert!(is_within(&SQUARE));
        assert!(is_within(&[(0, 0), (40, 0), (40, 10), (0, 10)]));
        assert!(is_within(&ell.corners));
        assert!(!is_within(&[(0, 0), (11, 0), (11, 11), (0, 11)]));
        // Across the notch: no edges cross inside both, no corner lies outside.
        assert!(!is_within(&[(40, 0), (40, 10), (10, 30), (0, 30)]));
        assert!(!is_within(&[(10, 10), (40, 10), (40, 30), (10, 30)]));
        assert!(!is_within(&[(40, 10), (10, 30), (10, 10)]));
        assert!(is_within(&[(0, 30), (0, 0), (40, 0), (10, 10)]));
        // Larger than the fabric all round.
        assert!(!is_within(&[(-5, -5), (50, -5), (50, 50), (-5, 50)]));
        // Room for its curves on aslant edges, and none needed along the box.
        let cut_off = solid(&[(0, 0), (40, 0), (0, 40)]);
        let curved = |corners: &[(i128, i128)]| Solid::around(corners.to_vec(), 2);
        assert!(curved(&[(0, 0), (10, 0), (10, 10), (0, 10)]).is_within(&cut_off));
        assert!(curved(&[(0, 0), (18, 0), (18, 18), (0, 18)]).is_within(&cut_off));
        assert!(!curved(&[(0, 0), (19, 0), (19, 19), (0, 19)]).is_within(&cut_off));
        assert!(solid(&[(0, 0), (20, 0), (20, 20), (0, 20)]).is_within(&cut_off));
    }

    #[test]
    fn touching_is_not_overlapping() {
        assert!(both(&SQUARE, &[(10, 0), (20, 0), (20, 10), (10, 10)]));
        assert!(both(&SQUARE, &[(10, 10), (20, 10), (20, 20), (10, 20)]));
        assert!(both(&SQUARE, &[(10, 5), (20, 0), (20, 10)]));
        // In a notch, touching all three sides.
        let notched = [(0, 0), (30, 0), (30, 20), (20, 20), (20, 10), (10, 10), (10, 20), (0, 20)];
        assert!(both(&notched, &[(10, 10), (20, 10), (20, 20), (10, 20)]));
        assert!(!both(&notched, &[(10, 9), (20, 9), (20, 20), (10, 20)]));
    }

    #[test]
    fn what_overlaps_without_a_crossing_is_found() {
        // The same square; its diagonal halves; one within the other; through two corners.
        assert!(!both(&SQUARE, &SQUARE));
        assert!(!both(&SQUARE, &[(0, 0), (10, 0), (10, 10)]));
        assert!(both(&[(0, 0), (10, 10), (0, 10)], &[(0, 0), (10, 0), (10, 10)]));
        assert!(!both(&SQUARE, &[(4, 4), (6, 4), (6, 6), (4, 6)]));
        assert!(!both(&SQUARE, &[(-5, -5), (15, 15), (-5, 25)]));
        assert!(!both(&SQUARE, &[(0, 5), (5, 0), (10, 5), (5, 10)]));
        assert!(!both(&SQUARE, &[(-5, 2), (15, 2), (15, 8), (-5, 8)]));
    }

    #[test]
    fn the_distance_is_kept_to_the_nanometre() {
        let (one, other) = (solid(&SQUARE), solid(&[(13, 14), (23, 14), (23, 24), (13, 24)]));
        assert!(one.is_apart(&other, Length::nm(5)));
        assert!(!one.is_apart(&other, Length::nm(6)));
        let slanted = solid(&[(0, 20), (20, 0), (20, 20)]);
        assert!(!one.is_apart(&slanted, Length::nm(1)));
        assert!(one.is_apart(&slanted, Length::ZERO));
    }

    #[test]
    fn products_are_whole() {
        assert_eq!(product(u128::MAX, u128::MAX), (u128::MAX - 1, 1));
        assert_eq!(product(1 << 100, 1 << 100), (1 << 72, 0));
        assert!(signed(-3, 5) < signed(-2, 5) && signed(-1, 1) < signed(0, 9));
    }
}
