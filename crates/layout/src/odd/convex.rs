//! Convex polygons of places: where one piece may not lie as seen from another.
//!
//! Corners and places are whole nanometres. Half-planes in `f64` say what is clear, and integers
//! what is close, so that pieces may touch and "outside" is never said wrongly.

/// A corner or a place, in nanometres.
pub(crate) type Spot = (i64, i64);

/// What is nearer to an edge than this, in nanometres, is decided in integers; far more than
/// rounding can do to numbers of this size.
const CLOSE: f64 = 0.01;

/// A half-plane: inside where `x·nx + y·ny < reach`, the normal of length one.
#[derive(Clone, Copy, Debug)]
struct Side {
    nx: f64,
    ny: f64,
    reach: f64,
}

/// A side as a slope over one of the two directions, in which it rises.
#[derive(Clone, Copy, Debug)]
struct Slope {
    /// Where it begins and ends, the lower end first: the way it goes over, and the height.
    from: Spot,
    to: Spot,
}

impl Slope {
    fn at(&self, place: i64, is_up: bool) -> i64 {
        let (run, rise) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        if rise == 0 {
            return self.from.1;
        }
        self.from.1 + over((rise, place - self.from.0), run, is_up)
    }
}

/// Slopes that follow each other from one end of the polygon to the other.
#[derive(Clone, Debug)]
struct Chain(Vec<Slope>);

impl Chain {
    /// The sides that run in one direction, by the coordinate in which they do.
    fn new(sides: impl Iterator<Item = (Spot, Spot)>) -> Self {
        let mut slopes: Vec<_> =
            sides.filter(|(from, to)| from.0 < to.0).map(|(from, to)| Slope { from, to }).collect();
        slopes.sort_unstable_by_key(|slope| slope.from.0);
        Self(slopes)
    }

    /// Its height at a place strictly between its ends, rounded up or down.
    fn at(&self, place: i64, is_up: bool) -> Option<i64> {
        self.0.iter().find(|slope| place <= slope.to.0).map(|slope| slope.at(place, is_up))
    }
}

/// A convex polygon.
#[derive(Clone, Debug)]
pub(crate) struct Convex {
    corners: Vec<Spot>,
    sides: Vec<Side>,
    /// The left and the right border, as `x` over `y`; the near and the far one, as `y` over `x`.
    borders: [Chain; 4],
    low: (f64, f64),
    high: (f64, f64),
}

impl Convex {
    /// From corners in counter-clockwise order, at least three, no three in a line.
    pub(crate) fn new(corners: Vec<Spot>) -> Self {
        let ends = corners.iter().cycle().skip(1);
        let sides = corners.iter().zip(ends).map(|(&start, &end)| side(start, end)).collect();
        let (low, high) = bounds(&corners);
        let real = |spot: Spot| (spot.0 as f64, spot.1 as f64);
        let borders = borders(&corners);
        Self { corners, sides, borders, low: real(low), high: real(high) }
    }

    /// The corners, counter-clockwise.
    pub(crate) fn corners(&self) -> &[Spot] {
        &self.corners
    }

    /// How deep a place lies inside: the way to the nearest side, zero outside and on the edge.
    pub(crate) fn depth(&self, place: Spot) -> f64 {
        let (x, y) = (place.0 as f64, place.1 as f64);
        if x <= self.low.0 || x >= self.high.0 || y <= self.low.1 || y >= self.high.1 {
            return 0.0;
        }
        let mut depth = f64::INFINITY;
        for (at, side) in self.sides.iter().enumerate() {
            let inside = side.reach - side.nx * x - side.ny * y;
            if inside < depth {
                if inside < CLOSE {
                    if inside < -CLOSE || turn(self.corners[at], self.corner(at + 1), place) <= 0 {
                        return 0.0;
                    }
                    depth = inside.max(1e-9);
                } else {
                    depth = inside;
                }
            }
        }
        depth
    }

    fn corner(&self, at: usize) -> Spot {
        self.corners[if at == self.corners.len() { 0 } else { at }]
    }

    /// The open stretch of `x` that lies inside at this `y`, rounded outwards to whole nanometres.
    pub(crate) fn across(&self, y: i64) -> Option<(i64, i64)> {
        let at = y as f64;
        if at <= self.low.1 || at >= self.high.1 {
            return None;
        }
        let [left, right, ..] = &self.borders;
        Some((left.at(y, false)?, right.at(y, true)?))
    }

    /// The open stretch of `y` that lies inside at this `x`, rounded outwards.
    pub(crate) fn along(&self, x: i64) -> Option<(i64, i64)> {
        let at = x as f64;
        if at <= self.low.0 || at >= self.high.0 {
            return None;
        }
        let [.., near, far] = &self.borders;
        Some((near.at(x, false)?, far.at(x, true)?))
    }
}

/// The borders of a convex polygon with its corners in counter-clockwise order.
fn borders(corners: &[Spot]) -> [Chain; 4] {
    let sides = || corners.iter().copied().zip(corners.iter().copied().cycle().skip(1));
    let over = |spot: Spot| (spot.1, spot.0);
    [
        Chain::new(sides().map(|(start, end)| (over(end), over(start)))),
        Chain::new(sides().map(|(start, end)| (over(start), over(end)))),
        Chain::new(sides()),
        Chain::new(sides().map(|(start, end)| (end, start))),
    ]
}

/// A product over a positive number, rounded up or down.
fn over(factors: (i64, i64), under: i64, is_up: bool) -> i64 {
    if let Some(product) = factors.0.checked_mul(factors.1) {
        let floor = product.div_euclid(under);
        return floor + i64::from(is_up && floor * under != product);
    }
    let (product, under) = (i128::from(factors.0) * i128::from(factors.1), i128::from(under));
    let floor = product.div_euclid(under);
    let whole = floor + i128::from(is_up && floor * under != product);
    i64::try_from(whole).unwrap_or(if is_up { i64::MAX } else { i64::MIN })
}

/// A whole number that is held as a real one.
#[expect(clippy::cast_possible_truncation, reason = "whole, and far within the range")]
pub(crate) fn whole(value: f64) -> i64 {
    value as i64
}

fn side(start: Spot, end: Spot) -> Side {
    let (dx, dy) = (end.0 - start.0, end.1 - start.1);
    if dx == 0 {
        let nx = if dy > 0 { 1.0 } else { -1.0 };
        return Side { nx, ny: 0.0, reach: nx * start.0 as f64 };
    }
    if dy == 0 {
        let ny = if dx > 0 { -1.0 } else { 1.0 };
        return Side { nx: 0.0, ny, reach: ny * start.1 as f64 };
    }
    let (dx, dy) = (dx as f64, dy as f64);
    let length = (dx * dx + dy * dy).sqrt();
    let (nx, ny) = (dy / length, -dx / length);
    Side { nx, ny, reach: nx * start.0 as f64 + ny * start.1 as f64 }
}

/// The lower left and the upper right corner of the box around some places.
pub(crate) fn bounds(spots: &[Spot]) -> (Spot, Spot) {
    let first = spots.first().copied().unwrap_or_default();
    spots.iter().fold((first, first), |(low, high), spot| {
        ((low.0.min(spot.0), low.1.min(spot.1)), (high.0.max(spot.0), high.1.max(spot.1)))
    })
}

/// Twice the signed area of the triangle `a`, `b`, `c`: positive when it turns left.
pub(crate) fn turn(a: Spot, b: Spot, c: Spot) -> i128 {
    let d = |p: i64, q: i64| i128::from(q) - i128::from(p);
    d(a.0, b.0) * d(a.1, c.1) - d(a.1, b.1) * d(a.0, c.0)
}

/// All sums of a place of one convex polygon and one of the other (Minkowski), by merging their
/// edges in order of direction.
pub(crate) fn sum(one: &[Spot], other: &[Spot]) -> Vec<Spot> {
    let lowest = |polygon: &[Spot]| {
        (0..polygon.len()).min_by_key(|&at| (polygon[at].1, polygon[at].0)).unwrap_or(0)
    };
    let (start, from) = (lowest(one), lowest(other));
    let corner = |polygon: &[Spot], at: usize| polygon[at % polygon.len()];
    let edge = |polygon: &[Spot], at: usize| {
        let (from, to) = (corner(polygon, at), corner(polygon, at + 1));
        (to.0 - from.0, to.1 - from.1)
    };
    let (mut i, mut j) = (0, 0);
    let (first, second) = (corner(one, start), corner(other, from));
    let mut at = (first.0 + second.0, first.1 + second.1);
    let mut sum = Vec::with_capacity(one.len() + other.len());
    while i < one.len() || j < other.len() {
        sum.push(at);
        let (a, b) = (edge(one, start + i), edge(other, from + j));
        let left = i128::from(a.0) * i128::from(b.1) - i128::from(a.1) * i128::from(b.0);
        let first = j == other.len() || (i < one.len() && is_before(a, b, left));
        let second = i == one.len() || (j < other.len() && is_before(b, a, -left));
        let both = i < one.len() && j < other.len() && !first && !second;
        if first || both {
            at = (at.0 + a.0, at.1 + a.1);
            i += 1;
        }
        if second || both {
            at = (at.0 + b.0, at.1 + b.1);
            j += 1;
        }
    }
    sum
}

/// Whether direction `a` comes before `b`, counted counter-clockwise from level to the right;
/// `left` is their cross product.
fn is_before(a: (i64, i64), b: (i64, i64), left: i128) -> bool {
    let half = |d: (i64, i64)| u8::from(!(d.1 > 0 || (d.1 == 0 && d.0 > 0)));
    (half(a), 0) < (half(b), 0) || (half(a) == half(b) && left > 0)
}

/// The point mirror image, which keeps the order of the corners.
pub(crate) fn opposite(polygon: &[Spot]) -> Vec<Spot> {
    polygon.iter().map(|spot| (-spot.0, -spot.1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_and_a_triangle_sum_to_a_pentagon() {
        let square = [(0, 0), (2, 0), (2, 2), (0, 2)];
        let triangle = [(0, 0), (1, 0), (0, 1)];
        let sum = sum(&square, &triangle);
        assert_eq!(sum, [(0, 0), (3, 0), (3, 2), (2, 3), (0, 3)]);
    }

    #[test]
    fn rectangles_may_touch_and_not_more() {
        let apart = Convex::new(sum(
            &[(0, 0), (50, 0), (50, 30), (0, 30)],
            &opposite(&[(0, 0), (20, 0), (20, 10), (0, 10)]),
        ));
        assert_eq!(apart.across(0), Some((-20, 50)));
        assert_eq!(apart.across(30), None);
        assert_eq!(apart.along(49), Some((-10, 30)));
        assert!(apart.depth((50, 5)) <= 0.0);
        assert!((apart.depth((49, 5)) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn aslant_edges_are_rounded_outwards() {
        let triangle = Convex::new(vec![(0, 0), (1000, 0), (0, 999)]);
        for y in [1, 7, 500, 998] {
            let (low, high) = triangle.across(y).unwrap();
            assert!(low == 0 && triangle.depth((high, y)) <= 0.0);
            assert!(turn((1000, 0), (0, 999), (high, y)) <= 0);
            assert!(turn((1000, 0), (0, 999), (high - 1, y)) > 0);
        }
        assert_eq!(over((7, -3), 2, true), -10);
        assert_eq!(over((7, -3), 2, false), -11);
        assert_eq!(over((7, 3), 2, false), 10);
        let large = 9_000_000_000_000_000_001;
        assert_eq!(over((large, 3), 9, false), large / 3);
        assert_eq!(over((-large, 3), 9, false), -large / 3 - 1);
    }
}
