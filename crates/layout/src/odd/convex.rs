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

/// A convex polygon.
#[derive(Clone, Debug)]
pub(crate) struct Convex {
    corners: Vec<Spot>,
    sides: Vec<Side>,
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
        Self { corners, sides, low: real(low), high: real(high) }
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
        let (low, high) =
            stretch(self.sides.iter().map(|side| (side.nx, side.reach - side.ny * at)))?;
        let place = |edge: usize, is_up: bool| {
            let (a, b) = (self.corners[edge], self.corner(edge + 1));
            a.0 + over((b.0 - a.0, y - a.1), b.1 - a.1, is_up)
        };
        Some((place(low, false), place(high, true)))
    }

    /// The open stretch of `y` that lies inside at this `x`, rounded outwards.
    pub(crate) fn along(&self, x: i64) -> Option<(i64, i64)> {
        let at = x as f64;
        if at <= self.low.0 || at >= self.high.0 {
            return None;
        }
        let (low, high) =
            stretch(self.sides.iter().map(|side| (side.ny, side.reach - side.nx * at)))?;
        let place = |edge: usize, is_up: bool| {
            let (a, b) = (self.corners[edge], self.corner(edge + 1));
            a.1 + over((b.1 - a.1, x - a.0), b.0 - a.0, is_up)
        };
        Some((place(low, false), place(high, true)))
    }
}

/// A product over a number, rounded up or down.
fn over(factors: (i64, i64), under: i64, is_up: bool) -> i64 {
    let (product, under) = (i128::from(factors.0) * i128::from(factors.1), i128::from(under));
    let floor = product.div_euclid(under);
    let floor = if under < 0 && floor * under != product { floor - 1 } else { floor };
    let whole = if is_up && floor * under != product { floor + 1 } else { floor };
    i64::try_from(whole).unwrap_or(if is_up { i64::MAX } else { i64::MIN })
}

/// The sides that bound the stretch of `t` with `n·t < reach` for all sides.
fn stretch(sides: impl Iterator<Item = (f64, f64)>) -> Option<(usize, usize)> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let (mut first, mut last) = (0, 0);
    for (at, (normal, reach)) in sides.enumerate() {
        if normal > 0.0 {
            let end = reach / normal;
            if end < high {
                (high, last) = (end, at);
            }
        } else if normal < 0.0 {
            let end = reach / normal;
            if end > low {
                (low, first) = (end, at);
            }
        }
    }
    (low < high).then_some((first, last))
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
        assert_eq!(over((7, 3), -2, true), -10);
        assert_eq!(over((7, 3), -2, false), -11);
        assert_eq!(over((7, -3), -2, false), 10);
    }
}
