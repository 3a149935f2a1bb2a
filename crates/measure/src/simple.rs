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
