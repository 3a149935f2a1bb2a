//! Whether a polygon touches or crosses itself, by integer arithmetic.

use crate::point::turn;
use crate::{Length, Point};

/// Whether a closed polygon touches itself nowhere but at the ends of neighbouring sides.
pub(crate) fn is_simple_polygon(points: &[Point]) -> bool {
    let count = points.len();
    let side = |index: usize| (points[index % count], points[(index + 1) % count]);
    if count < 3 || (0..count).any(|index| side(index).0 == side(index).1) {
        return false;
    }
    let runs_back = |first: usize| {
        let ((a, b), (_, next)) = (side(first), side(first + 1));
        let step = |from: Point, to: Point| {
            (i128::from((to - from).x.to_nm()), i128::from((to - from).y.to_nm()))
        };
        let ((ux, uy), (vx, vy)) = (step(a, b), step(b, next));
        turn(a, b, next) == 0 && ux * vx + uy * vy < 0
    };
    // From left to right, so that each side is held against those only that lie above or below it.
    let mut across: Vec<(Length, Length, usize)> = (0..count)
        .map(|index| {
            let (a, b) = side(index);
            (a.x.min(b.x), a.x.max(b.x), index)
        })
        .collect();
    across.sort_unstable();
    let are_neighbours =
        |one: usize, other: usize| (one + 1) % count == other || (other + 1) % count == one;
    let touches = |at: usize| {
        let (_, end, one) = across[at];
        across[at + 1..].iter().take_while(|(begin, ..)| *begin <= end).any(|&(_, _, other)| {
            !are_neighbours(one, other) && sides_touch(side(one), side(other))
        })
    };
    // The next side may not run back over this one.
    !(0..count).any(runs_back) && !(0..count).any(touches)
}

/// Whether two straight sides have a point in common.
fn sides_touch((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    // Most sides of a flattened curve are far from each other: their boxes tell that cheaply.
    let apart =
        |a: Length, b: Length, c: Length, d: Length| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
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
