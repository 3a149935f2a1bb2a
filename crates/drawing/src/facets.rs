//! Cuts a panel, between its stitching lines, into the facets that its folds and boxed corners
//! make: a planar arrangement of the outline and the lines within it.

use std::f64::consts::TAU;

use kurbo::Point;

use crate::folding::sides;
use crate::space::length_of;

/// Points closer than this, in mm, are one.
const NEAR: f64 = 0.05;

/// Facets smaller than this, in mm², are crumbs of rounding.
const CRUMB: f64 = 1.0;

/// The facets of a polygon (counter-clockwise, mm) that is cut by `lines`; each facet is a
/// counter-clockwise polygon. Lines end on the outline, on each other, or within (then they cut
/// nothing off); they do not cross one another.
pub(crate) fn facets(outline: &[Point], lines: &[(Point, Point)]) -> Vec<Vec<Point>> {
    let mut net = Net::default();
    let closing = outline.iter().skip(1).chain(outline.first());
    let mut segments: Vec<(Point, Point)> = outline.iter().copied().zip(closing.copied()).collect();
    segments.extend_from_slice(lines);
    for (a, b) in &segments {
        net.vertex(*a);
        net.vertex(*b);
    }
    for (a, b) in segments {
        net.segment(a, b);
    }
    net.faces()
}

/// Vertices and the links between them.
#[derive(Default)]
struct Net {
    points: Vec<Point>,
    /// Neighbours of each vertex.
    links: Vec<Vec<usize>>,
}

impl Net {
    fn vertex(&mut self, point: Point) -> usize {
        if let Some(index) = self.points.iter().position(|known| length_of(*known - point) < NEAR) {
            return index;
        }
        self.points.push(point);
        self.links.push(Vec::new());
        self.points.len() - 1
    }

    /// Links the vertices that lie on a segment, each with the next.
    fn segment(&mut self, a: Point, b: Point) {
        let step = b - a;
        let length = length_of(step);
        if length < NEAR {
            return;
        }
        let mut on: Vec<(f64, usize)> = self
            .points
            .iter()
            .enumerate()
            .filter_map(|(index, point)| {
                let from = *point - a;
                let along = from.dot(step) / length;
                let off = from.cross(step).abs() / length;
                (off < NEAR && along > -NEAR && along < length + NEAR).then_some((along, index))
            })
            .collect();
        on.sort_by(|first, second| first.0.total_cmp(&second.0));
        for pair in on.windows(2) {
            let (first, second) = (pair[0].1, pair[1].1);
            if !self.links[first].contains(&second) {
                self.links[first].push(second);
                self.links[second].push(first);
            }
        }
    }

    /// The bounded faces, each walked with its inside to the left.
    fn faces(&self) -> Vec<Vec<Point>> {
        let mut walked: Vec<(usize, usize)> = Vec::new();
        let mut faces = Vec::new();
        for from in 0..self.points.len() {
            for &to in &self.links[from] {
                if walked.contains(&(from, to)) {
                    continue;
                }
                let face = self.walk(from, to, &mut walked);
                let polygon: Vec<Point> = face.iter().map(|index| self.points[*index]).collect();
                if area(&polygon) > CRUMB {
                    faces.push(polygon);
                }
            }
        }
        faces
    }

    /// Goes round one face, turning left as sharply as it can at each vertex.
    fn walk(&self, from: usize, to: usize, walked: &mut Vec<(usize, usize)>) -> Vec<usize> {
        let mut face = Vec::new();
        let (mut at, mut next) = (from, to);
        while !walked.contains(&(at, next)) {
            walked.push((at, next));
            face.push(at);
            let back = self.points[at] - self.points[next];
            let turn = |other: usize| {
                let out = self.points[other] - self.points[next];
                let angle = libm::atan2(back.cross(out), back.dot(out));
                // The way back is the last choice; clockwise from it comes the sharpest left.
                if angle >= -1e-9 { angle - TAU } else { angle }
            };
            let choice =
                self.links[next].iter().copied().max_by(|a, b| turn(*a).total_cmp(&turn(*b)));
            let Some(choice) = choice else { break };
            (at, next) = (next, choice);
        }
        face
    }
}

/// Area of a polygon, positive when counter-clockwise.
pub(crate) fn area(polygon: &[Point]) -> f64 {
    let closing = polygon.iter().skip(1).chain(polygon.first());
    polygon.iter().zip(closing).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum::<f64>() / 2.0
}

/// The part of a convex polygon inside another convex one (both counter-clockwise), by cutting at
/// each side in turn (Sutherland and Hodgman, 1974).
pub(crate) fn common(polygon: &[Point], inside: &[Point]) -> Vec<Point> {
    let mut rest = polygon.to_vec();
    let closing = inside.iter().skip(1).chain(inside.first());
    for (a, b) in inside.iter().zip(closing) {
        let side = *b - *a;
        let depth = |point: Point| side.cross(point - *a);
        let mut kept = Vec::new();
        for (index, from) in rest.iter().enumerate() {
            let to = rest[(index + 1) % rest.len()];
            let (d0, d1) = (depth(*from), depth(to));
            if d0 >= 0.0 {
                kept.push(*from);
            }
            if (d0 > 0.0 && d1 < 0.0) || (d0 < 0.0 && d1 > 0.0) {
                kept.push(from.lerp(to, d0 / (d0 - d1)));
            }
        }
        rest = kept;
    }
    rest
}

/// The part of a line within a convex polygon that is walked counter-clockwise.
pub(crate) fn within(polygon: &[Point], a: Point, b: Point) -> Option<(Point, Point)> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let step = b - a;
    for (p, q) in sides(polygon) {
        let side = q - p;
        let (start, along) = (side.cross(a - p), side.cross(step));
        if along.abs() < 1e-9 {
            if start < -1e-6 {
                return None;
            }
        } else if along > 0.0 {
            from = from.max(-start / along);
        } else {
            to = to.min(-start / along);
        }
    }
    (from < to).then(|| (a + step * from, a + step * to))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|point| Point::from(*point)).collect()
    }

    #[test]
    fn a_line_is_cut_to_a_polygon() {
        let square = points(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
        let cut = within(&square, Point::new(-5.0, 5.0), Point::new(5.0, 5.0));
        assert_eq!(cut, Some((Point::new(0.0, 5.0), Point::new(5.0, 5.0))));
        assert_eq!(within(&square, Point::new(-5.0, 15.0), Point::new(5.0, 15.0)), None);
    }

    type Spot = (f64, f64);

    fn areas(outline: &[Spot], lines: &[(Spot, Spot)]) -> Vec<f64> {
        let lines: Vec<_> = lines.iter().map(|(a, b)| (Point::from(*a), Point::from(*b))).collect();
        let mut areas: Vec<f64> =
            facets(&points(outline), &lines).iter().map(|f| area(f)).collect();
        areas.sort_by(f64::total_cmp);
        areas
    }

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];

    #[test]
    fn a_panel_with_boxed_corners_has_six_facets() {
        // Folds up from both corners, a fold along the base, and the two lines that box.
        let lines = [
            ((2.0, 2.0), (8.0, 2.0)),
            ((2.0, 2.0), (2.0, 10.0)),
            ((8.0, 2.0), (8.0, 10.0)),
            ((2.0, 0.0), (2.0, 2.0)),
            ((2.0, 2.0), (0.0, 2.0)),
            ((8.0, 0.0), (8.0, 2.0)),
            ((8.0, 2.0), (10.0, 2.0)),
        ];
        // Two corners, base, two half sides, the front itself.
        assert_eq!(areas(&SQUARE, &lines), [4.0, 4.0, 12.0, 16.0, 16.0, 48.0]);
    }

    #[test]
    fn a_line_that_ends_within_cuts_nothing_off() {
        assert_eq!(areas(&SQUARE, &[]), [100.0]);
        let total: f64 = areas(&SQUARE, &[((5.0, 0.0), (5.0, 4.0))]).iter().sum();
        assert!((total - 100.0).abs() < 1e-9, "{total}");
    }

    #[test]
    fn what_two_polygons_share() {
        let shifted = points(&[(5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0)]);
        assert!((area(&common(&points(&SQUARE), &shifted)) - 25.0).abs() < 1e-9);
        let apart = points(&[(20.0, 0.0), (30.0, 0.0), (30.0, 5.0)]);
        assert!(common(&points(&SQUARE), &apart).len() < 3);
    }
}
