//! A shell is one layer of the bag; a face is one of its sides while it is still flat.

use measure::{Length, Point};

use super::Drafter;
use crate::pattern::{CopyId, Run, Span};

/// Edges of a panel, in the outline's order.
pub(crate) const BASE: usize = 0;
/// Right side edge.
pub(crate) const RIGHT: usize = 1;
/// Rim edge.
pub(crate) const RIM: usize = 2;
/// Left side edge.
pub(crate) const LEFT: usize = 3;

/// Which layer of the bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// What is seen from outside.
    Outside,
    /// The lining.
    Lining,
}

/// One layer of the bag.
#[derive(Clone, Debug)]
pub struct Shell {
    /// Which.
    pub layer: Layer,
    /// Its faces that carry pockets and handles: front, back.
    pub faces: Vec<Face>,
}

/// One side of the bag while it is flat: one panel, or several joined one above the other.
#[derive(Clone, Debug)]
pub struct Face {
    /// "front" or "back".
    pub word: &'static str,
    /// Its copies, from the base up; each has the edges base, right side, rim, left side.
    pub copies: Vec<CopyId>,
    /// Where each copy's base edge lies, above the base of the face, at the stitching line.
    pub starts: Vec<Length>,
    /// Net width at the base.
    pub base_width: Length,
    /// Net width at the rim.
    pub top_width: Length,
    /// Net height.
    pub height: Length,
}

impl Face {
    /// The copy that reaches up to the rim.
    pub fn top(&self) -> CopyId {
        self.copies[self.copies.len() - 1]
    }

    /// The copy that reaches down to the base.
    pub fn bottom(&self) -> CopyId {
        self.copies[0]
    }

    /// Net width at a height above the base seam.
    pub fn width_at(&self, height: Length) -> Length {
        let part = i128::from((self.top_width - self.base_width).to_nm())
            * i128::from(height.to_nm())
            / i128::from(self.height.to_nm().max(1));
        self.base_width + Length::nm(i64::try_from(part).unwrap_or(0))
    }

    /// The copy at a height above the base seam, and the point on it, `x` being the distance from
    /// the centre line to the right.
    pub fn at(&self, x: Length, height: Length) -> (CopyId, Point) {
        let index = self.starts.iter().rposition(|start| *start <= height).unwrap_or(0);
        self.on(index, x, height)
    }

    /// The same, in the coordinates of the copy with that index.
    pub fn on(&self, index: usize, x: Length, height: Length) -> (CopyId, Point) {
        let start = self.starts[index];
        let end = self.starts.get(index + 1).copied().unwrap_or(self.height);
        // A trapezoid's origin is the lower left corner of its box.
        let half = self.width_at(start).max(self.width_at(end)).half();
        (self.copies[index], Point::new(half + x, height - start))
    }

    /// A line in the face, as one piece for each copy that it crosses.
    pub fn line(
        &self,
        from: (Length, Length),
        to: (Length, Length),
    ) -> Vec<(CopyId, Point, Point)> {
        let mut parts = Vec::new();
        for index in 0..self.copies.len() {
            let low = self.starts[index];
            let high = self.starts.get(index + 1).copied().unwrap_or(self.height);
            if let Some((a, b)) = between(from, to, low, high) {
                let (copy, start) = self.on(index, a.0, a.1);
                parts.push((copy, start, self.on(index, b.0, b.1).1));
            }
        }
        parts
    }

    /// The base edge, from left to right.
    pub fn base(&self, d: &Drafter<'_>) -> Run {
        whole(d, self.bottom(), BASE)
    }

    /// The rim, from right to left.
    pub fn rim(&self, d: &Drafter<'_>) -> Run {
        whole(d, self.top(), RIM)
    }

    /// The right side, from the base up.
    pub fn right(&self, d: &Drafter<'_>) -> Run {
        Run::open(self.copies.iter().flat_map(|copy| whole(d, *copy, RIGHT).spans))
    }

    /// The left side, from the base up.
    pub fn left(&self, d: &Drafter<'_>) -> Run {
        Run::open(self.copies.iter().flat_map(|copy| whole(d, *copy, LEFT).reversed().spans))
    }
}

impl Shell {
    /// The rims of all faces, in the round.
    pub fn rim(&self, d: &Drafter<'_>) -> Run {
        Run::round(self.faces.iter().flat_map(|face| face.rim(d).spans))
    }

    /// The same rim, run the other way round and starting at the same seam.
    pub fn rim_reversed(&self, d: &Drafter<'_>) -> Run {
        Run::round(self.faces.iter().flat_map(|face| face.rim(d).reversed().spans))
    }
}

/// The whole of one edge of a copy, in the outline's direction.
pub(crate) fn whole(d: &Drafter<'_>, copy: CopyId, edge: usize) -> Run {
    let to = d.piece_of(copy).net.edge_length(edge);
    Run::open([Span { copy, edge, from: Length::ZERO, to }])
}

type Spot = (Length, Length);

/// The part of a line between two heights, keeping its direction.
fn between(from: Spot, to: Spot, low: Length, high: Length) -> Option<(Spot, Spot)> {
    if from.1 == to.1 {
        let inside = low <= from.1 && (from.1 < high || (from.1 == high && low < high));
        return inside.then_some((from, to));
    }
    let rising = from.1 < to.1;
    let (bottom, top) = if rising { (from, to) } else { (to, from) };
    let (start, end) = (bottom.1.max(low), top.1.min(high));
    if start >= end {
        return None;
    }
    let at = |height: Length| {
        let over = i128::from((top.0 - bottom.0).to_nm()) * i128::from((height - bottom.1).to_nm());
        let part = over / i128::from((top.1 - bottom.1).to_nm());
        (bottom.0 + Length::nm(i64::try_from(part).unwrap_or(0)), height)
    };
    let (a, b) = (at(start), at(end));
    Some(if rising { (a, b) } else { (b, a) })
}
