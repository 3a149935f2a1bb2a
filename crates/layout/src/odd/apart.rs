//! Where two pieces would lie on each other: for each pair of shapes as they may lie, the convex
//! polygons of places of the one as seen from the other.

use std::cell::OnceCell;

use super::convex::{Convex, Spot, bounds, opposite, sum};
use super::parts::convex_parts;

/// Room up to which its form does not matter, in nanometres.
const SMALL: i64 = 100_000;

/// A shape as it may lie: turned, turned over, with the lower left corner of its box at the origin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Form {
    /// The polygon around it.
    pub(crate) corners: Vec<Spot>,
    /// How far it may lie outside its polygon.
    pub(crate) margin: i64,
    /// The size of its box.
    pub(crate) size: Spot,
    /// Whether it is a rectangle, of which two are held apart by their boxes.
    pub(crate) is_box: bool,
    /// The free room that it does not need: the forbidden ground of a remnant needs none.
    pub(crate) is_ground: bool,
}

/// The places of one form as seen from another at which they would overlap.
#[derive(Clone, Debug)]
pub(crate) struct Overlap {
    /// They cover all such places.
    pub(crate) parts: Vec<Convex>,
    /// The box around them.
    pub(crate) low: Spot,
    /// The box around them.
    pub(crate) high: Spot,
    /// What a nanometre of overlap counts.
    pub(crate) scale: f64,
}

/// All forms, and what keeps them apart.
pub(crate) struct Apart {
    pub(crate) forms: Vec<Form>,
    parts: Vec<Vec<Vec<Spot>>>,
    gap: i64,
    table: Vec<OnceCell<Overlap>>,
}

impl Apart {
    pub(crate) fn new(forms: Vec<Form>, gap: i64) -> Self {
        let parts = forms.iter().map(|form| convex_parts(&form.corners)).collect();
        let table = vec![OnceCell::new(); forms.len() * forms.len()];
        Self { forms, parts, gap, table }
    }

    /// The places of `other` as seen from `one` at which they overlap.
    pub(crate) fn overlap(&self, one: usize, other: usize) -> &Overlap {
        self.table[one * self.forms.len() + other].get_or_init(|| self.find(one, other))
    }

    /// Pieces whose lower edges are so far apart do not overlap.
    pub(crate) fn farthest(&self) -> i64 {
        let along = self.forms.iter().map(|form| form.size.1 + 2 * form.margin + 2);
        (along.max().unwrap_or(0) + self.gap).max(1)
    }

    fn find(&self, one: usize, other: usize) -> Overlap {
        let (first, second) = (&self.forms[one], &self.forms[other]);
        if (first.is_ground && first.is_box) || (second.is_ground && second.is_box) {
            // Level ground is where the box of a piece may not lie, which is known exactly.
            let parts = vec![Convex::new(sum(&boxed(first), &opposite(&boxed(second))))];
            let scale = Self::scale(first, second);
            return Overlap::new(parts, scale);
        }
        let gap = if first.is_ground || second.is_ground { 0 } else { self.gap };
        let away = gap + first.margin + second.margin;
        // The corners of a small square are farther out by less than anybody cuts.
        let is_square = (first.is_box && second.is_box) || away <= SMALL;
        let room = if is_square { square(away) } else { octagon(away) };
        let mut parts = Vec::new();
        for a in &self.parts[one] {
            for b in &self.parts[other] {
                let mut places = sum(a, &opposite(b));
                if away > 0 {
                    places = sum(&places, &room);
                }
                parts.push(Convex::new(places));
            }
        }
        Overlap::new(parts, Self::scale(first, second))
    }

    fn scale(first: &Form, second: &Form) -> f64 {
        let area = |form: &Form| form.size.0 as f64 * form.size.1 as f64;
        // Ground counts as a piece of the size that lies on it.
        let area = match (first.is_ground, second.is_ground) {
            (true, false) => area(second),
            (false, true) => area(first),
            _ => area(first).min(area(second)),
        };
        area.sqrt().sqrt() * 1e-3
    }
}

impl Overlap {
    fn new(parts: Vec<Convex>, scale: f64) -> Self {
        let ends: Vec<Spot> =
            parts.iter().flat_map(|part| part.corners().iter().copied()).collect();
        let (low, high) = bounds(&ends);
        Self { parts, low, high, scale }
    }
}

/// The box of a form.
fn boxed(form: &Form) -> Vec<Spot> {
    let (width, length) = form.size;
    vec![(0, 0), (width, 0), (width, length), (0, length)]
}

/// A square around a disc.
fn square(radius: i64) -> Vec<Spot> {
    vec![(-radius, -radius), (radius, -radius), (radius, radius), (-radius, radius)]
}

/// An octagon around a disc, its corners rounded outwards.
fn octagon(radius: i64) -> Vec<Spot> {
    // tan 22.5° = √2 − 1 < 0.41422.
    let short = radius * 41_422 / 100_000 + 1;
    vec![
        (-short, -radius),
        (short, -radius),
        (radius, -short),
        (radius, short),
        (short, radius),
        (-short, radius),
        (-radius, short),
        (-radius, -short),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_octagon_holds_the_disc() {
        let radius = 1_000_000_i64;
        let corners = octagon(radius);
        let ends = corners.iter().cycle().skip(1);
        for (a, b) in corners.iter().zip(ends) {
            let cross = i128::from(a.0) * i128::from(b.1) - i128::from(a.1) * i128::from(b.0);
            let (dx, dy) = (i128::from(b.0 - a.0), i128::from(b.1 - a.1));
            // The distance of the edge from the middle, squared, against the radius squared.
            assert!(cross * cross >= i128::from(radius).pow(2) * (dx * dx + dy * dy));
        }
    }
}
