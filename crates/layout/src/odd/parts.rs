//! From an outline to convex parts: corners, a simpler polygon around it, and its cutting up.

use measure::{Length, Outline, Segment};

use super::convex::{Spot, bounds, turn, whole};

/// How closely curves are followed by chords, in millimetres.
const CHORDS: f64 = 0.005;

/// What a curved piece is kept away more than asked for, in nanometres: chords lie within it, and
/// the verifier follows curves by chords of its own.
const CURVED: i64 = 25_000;

/// The same for a polygon whose corners were rounded to whole nanometres.
const ROUNDED: i64 = 3;

/// A polygon around an outline, with the lower left corner of the outline's box at the origin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Around {
    /// Its corners, counter-clockwise.
    pub(crate) corners: Vec<Spot>,
    /// The outline lies nowhere farther out than this.
    pub(crate) margin: i64,
}

impl Around {
    /// The polygon of a rectangle.
    pub(crate) fn rectangle(width: Length, length: Length) -> Self {
        let (width, length) = (width.to_nm(), length.to_nm());
        Self { corners: vec![(0, 0), (width, 0), (width, length), (0, length)], margin: 0 }
    }

    /// A polygon around a part of a polygon's outside, larger by at most this many parts per
    /// million; its corners are counter-clockwise, its box has its lower left corner at the origin.
    pub(crate) fn ground(mut corners: Vec<Spot>, is_curved: bool, larger: f64) -> Self {
        straighten(&mut corners);
        let (_, size) = bounds(&corners);
        let is_simpler = simplify(&mut corners, larger, size);
        let margin = if is_curved { CURVED } else { i64::from(is_simpler) * ROUNDED };
        Self { corners, margin }
    }

    /// A polygon around an outline that is larger by at most this many parts per million.
    pub(crate) fn outline(outline: &Outline, larger: f64) -> Self {
        let (low, high) = outline.bounds();
        let mut corners = corners(outline);
        straighten(&mut corners);
        let is_curved = outline.segments().any(|(_, kind, _)| kind != Segment::Line);
        let size = ((high.x - low.x).to_nm(), (high.y - low.y).to_nm());
        let is_simpler = simplify(&mut corners, larger, size);
        let margin = if is_curved {
            CURVED
        } else if is_simpler {
            ROUNDED
        } else {
            0
        };
        Self { corners, margin }
    }
}

/// The corners of an outline, with chords along its curves, as seen from the lower left corner of
/// its box.
pub(crate) fn corners(outline: &Outline) -> Vec<Spot> {
    let (low, _) = outline.bounds();
    let points = outline.flattened(CHORDS);
    points.iter().map(|p| ((p.x - low.x).to_nm(), (p.y - low.y).to_nm())).collect()
}

/// Takes out corners on straight lines, and repeated ones.
fn straighten(corners: &mut Vec<Spot>) {
    let mut at = 0;
    while at < corners.len() && corners.len() > 3 {
        let n = corners.len();
        let (before, here, after) = (corners[(at + n - 1) % n], corners[at], corners[(at + 1) % n]);
        if turn(before, here, after) == 0 {
            corners.remove(at);
            at = at.saturating_sub(1);
        } else {
            at += 1;
        }
    }
}

/// A way to lose one corner and only gain area.
#[derive(Clone, Copy)]
enum Loss {
    /// A corner that points inwards is left out.
    Inward,
    /// The edge from this corner is left out: its neighbours are drawn on until they meet.
    Edge(Spot),
}

/// Loses corners, the cheapest first, as long as the polygon stays within its box and grows by at
/// most `larger` parts per million in all; whether any was lost.
fn simplify(corners: &mut Vec<Spot>, larger: f64, size: Spot) -> bool {
    let area: i128 = (1..corners.len().saturating_sub(1))
        .map(|at| turn(corners[0], corners[at], corners[at + 1]))
        .sum();
    let mut left = area as f64 * larger / 1e6;
    let mut is_simpler = false;
    // What each corner could lose is kept, and worked out anew only beside a loss.
    let mut losses: Vec<Option<(f64, Loss)>> =
        (0..corners.len()).map(|at| loss(corners, at, size)).collect();
    // A piece of few corners is what it is.
    while corners.len() > 8 {
        let costs = losses.iter().enumerate().filter_map(|(at, loss)| Some((at, (*loss)?)));
        let cheapest = costs.min_by(|(_, one), (_, other)| one.0.total_cmp(&other.0));
        let Some((at, (cost, lost))) = cheapest.filter(|(_, (cost, _))| *cost <= left) else {
            break;
        };
        if !is_free(corners, at, lost) {
            losses[at] = None;
            continue;
        }
        let gone = match lost {
            Loss::Inward => at,
            Loss::Edge(meet) => {
                corners[at] = meet;
                (at + 1) % corners.len()
            }
        };
        corners.remove(gone);
        losses.remove(gone);
        let n = corners.len();
        for by in 0..7 {
            let beside = (at + n - 4 + by) % n;
            losses[beside] = loss(corners, beside, size);
        }
        left -= cost;
        is_simpler = true;
    }
    straighten(corners);
    is_simpler
}

/// The cheaper way to lose something at a corner, if nothing else lies in the way, and twice the
/// area it adds.
fn loss(corners: &[Spot], at: usize, size: Spot) -> Option<(f64, Loss)> {
    let n = corners.len();
    let corner = |by: usize| corners[(at + by) % n];
    let (before, here, next, after) = (corner(n - 1), corner(0), corner(1), corner(2));
    if turn(before, here, next) < 0 {
        return Some((-turn(before, here, next) as f64, Loss::Inward));
    }
    if turn(here, next, after) <= 0 {
        return None;
    }
    let meet = meeting(before, here, next, after)?;
    let is_within = (0..=size.0).contains(&meet.0) && (0..=size.1).contains(&meet.1);
    let cost = turn(here, meet, next) as f64;
    (is_within && cost >= 0.0).then_some((cost, Loss::Edge(meet)))
}

/// Whether nothing else lies in what a loss adds.
fn is_free(corners: &[Spot], at: usize, lost: Loss) -> bool {
    let n = corners.len();
    let (before, here, next) = (corners[(at + n - 1) % n], corners[at], corners[(at + 1) % n]);
    match lost {
        Loss::Inward => is_empty(corners, before, next, here, &[here]),
        Loss::Edge(meet) => is_empty(corners, here, meet, next, &[here, next]),
    }
}

/// Whether no other corner lies in a triangle.
fn is_empty(corners: &[Spot], a: Spot, b: Spot, c: Spot, except: &[Spot]) -> bool {
    let (low, high) = bounds(&[a, b, c]);
    let turns = turn(a, b, c).signum();
    corners.iter().all(|&p| {
        let is_far = p.0 < low.0 || p.0 > high.0 || p.1 < low.1 || p.1 > high.1;
        is_far || except.contains(&p) || p == a || p == b || p == c || {
            let of = |one, other| turn(one, other, p).signum() * turns;
            of(a, b) < 0 || of(b, c) < 0 || of(c, a) < 0
        }
    })
}

/// Where the lines through `a`, `b` and through `c`, `d` meet, beyond `b` and before `c`.
fn meeting(a: Spot, b: Spot, c: Spot, d: Spot) -> Option<Spot> {
    let real = |p: Spot| ((p.0 - b.0) as f64, (p.1 - b.1) as f64);
    let ((ax, ay), (cx, cy), (dx, dy)) = (real(a), real(c), real(d));
    let (ux, uy) = (-ax, -ay);
    let (vx, vy) = (cx - dx, cy - dy);
    let cross = ux * vy - uy * vx;
    // Both corners turn left, together by less than half a turn.
    if cross >= 0.0 {
        return None;
    }
    let over = (cx * vy - cy * vx) / cross;
    let (x, y) = (over * ux, over * uy);
    let is_near = over > 0.0 && x.abs() < 1e12 && y.abs() < 1e12;
    is_near.then(|| (b.0 + whole(x.round()), b.1 + whole(y.round())))
}

/// Cuts a simple polygon up into convex ones that cover it: ears, then as few cuts as can be left.
pub(crate) fn convex_parts(corners: &[Spot]) -> Vec<Vec<Spot>> {
    let n = corners.len();
    let is_convex =
        (0..n).all(|at| turn(corners[at], corners[(at + 1) % n], corners[(at + 2) % n]) > 0);
    if is_convex {
        return vec![corners.to_vec()];
    }
    let mut parts = triangles(corners);
    loop {
        let joined = (0..parts.len()).flat_map(|i| (i + 1..parts.len()).map(move |j| (i, j)));
        let found = joined
            .filter_map(|(i, j)| {
                let (length, one) = joined_parts(&parts[i], &parts[j])?;
                Some((length, i, j, one))
            })
            .max_by_key(|found| found.0);
        let Some((_, i, j, one)) = found else { return parts };
        parts.swap_remove(j);
        parts[i] = one;
    }
}

/// Two parts as one, when they share an edge and together are convex; and how long that edge is.
fn joined_parts(one: &[Spot], other: &[Spot]) -> Option<(i128, Vec<Spot>)> {
    let (n, m) = (one.len(), other.len());
    for i in 0..n {
        let (a, b) = (one[i], one[(i + 1) % n]);
        let Some(j) = (0..m).find(|&j| other[j] == b && other[(j + 1) % m] == a) else { continue };
        // From b round one to a, then on round the other.
        let mut all: Vec<Spot> = (0..n).map(|by| one[(i + 1 + by) % n]).collect();
        all.extend((2..m).map(|by| other[(j + by) % m]));
        let k = all.len();
        let is_convex = (0..k).all(|at| turn(all[at], all[(at + 1) % k], all[(at + 2) % k]) >= 0);
        if is_convex {
            straighten(&mut all);
            let (dx, dy) = (i128::from(a.0 - b.0), i128::from(a.1 - b.1));
            return Some((dx * dx + dy * dy, all));
        }
    }
    None
}

/// Ears cut off one after the other.
fn triangles(corners: &[Spot]) -> Vec<Vec<Spot>> {
    let mut rest = corners.to_vec();
    let mut triangles = Vec::new();
    while rest.len() > 3 {
        let n = rest.len();
        let ear = (0..n).find(|&at| {
            let (a, b, c) = (rest[(at + n - 1) % n], rest[at], rest[(at + 1) % n]);
            turn(a, b, c) > 0 && is_empty(&rest, a, b, c, &[])
        });
        // There is always an ear of a simple polygon; of any other, flat corners go first.
        let at = ear.or_else(|| {
            (0..n).find(|&at| turn(rest[(at + n - 1) % n], rest[at], rest[(at + 1) % n]) == 0)
        });
        let Some(at) = at else { break };
        let (a, b, c) = (rest[(at + n - 1) % n], rest[at], rest[(at + 1) % n]);
        if turn(a, b, c) > 0 {
            triangles.push(vec![a, b, c]);
        }
        rest.remove(at);
    }
    if rest.len() == 3 && turn(rest[0], rest[1], rest[2]) > 0 {
        triangles.push(rest);
    }
    triangles
}

#[cfg(test)]
mod tests {
    use super::*;

    fn doubled(polygon: &[Spot]) -> i128 {
        (1..polygon.len() - 1).map(|at| turn(polygon[0], polygon[at], polygon[at + 1])).sum()
    }

    #[test]
    fn an_ell_is_two_convex_parts() {
        let ell = [(0, 0), (100, 0), (100, 50), (50, 50), (50, 100), (0, 100)];
        let parts = convex_parts(&ell);
        assert_eq!(parts.len(), 2);
        assert_eq!(parts.iter().map(|part| doubled(part)).sum::<i128>(), doubled(&ell));
    }

    #[test]
    fn a_comb_is_covered_by_its_parts() {
        let comb = [
            (0, 0),
            (90, 0),
            (90, 50),
            (70, 50),
            (70, 20),
            (50, 20),
            (50, 60),
            (30, 60),
            (30, 10),
            (10, 10),
            (10, 70),
            (0, 70),
        ];
        let parts = convex_parts(&comb);
        assert_eq!(parts.iter().map(|part| doubled(part)).sum::<i128>(), doubled(&comb));
    }
}
