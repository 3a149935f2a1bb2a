//! What a step takes: the rows that it sews, and what hands and iron do. Thread, time and the plan
//! of a class are counted from it.

use std::collections::BTreeSet;

use measure::Length;

use super::Line;
use crate::assembly::{Assembly, Edging, Event};
use crate::pattern::{CopyId, MaterialId, Run, Span};

/// What one step takes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Takes {
    /// Rows of stitches.
    pub rows: Vec<Sewing>,
    /// What an iron passes along.
    pub pressed: Length,
    /// What scissors pass along: trimmed, clipped, cut open.
    pub trimmed: Length,
    /// Copies to which interfacing is fused.
    pub fused: Vec<CopyId>,
    /// Copies whose marks are drawn.
    pub marked: Vec<CopyId>,
    /// Materials that are laid out and cut.
    pub cut: Vec<MaterialId>,
    /// What is done by hand, and how many times.
    pub hand: Vec<(Hand, u32)>,
    /// Nothing but pins or folds holds it then: the work is not laid down after this step.
    pub in_hand: bool,
}

/// Something done by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hand {
    /// A bag is turned through an opening, or put into another.
    Turn,
    /// A narrow tube is turned, or a cord, an elastic or a strap is drawn through something.
    Draw,
    /// A snap, a ring or a rivet is set.
    Set,
    /// An eyelet is punched and set.
    Eyelet,
    /// A button or the like is sewn on.
    SewOn,
    /// A strap is cut off, a zip shortened, an end sealed.
    Shorten,
}

/// What kind of row it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stitching {
    /// A seam.
    Seam,
    /// Topstitching, edgestitching, a hem: a row that shows.
    Shown,
    /// Basting.
    Baste,
    /// Zigzag over a raw edge.
    Overcast,
    /// By hand.
    Hand,
}

/// Rows of stitches, all alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sewing {
    /// What kind.
    pub kind: Stitching,
    /// How long one row is.
    pub length: Length,
    /// How many rows.
    pub rows: u32,
    /// Stitch length.
    pub stitch: Length,
    /// What lies under the needle in one row; the thread matches the first.
    pub layers: Vec<Layer>,
    /// Sewn in the round: its end overlaps its beginning.
    pub round: bool,
}

/// Something that lies under the needle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layer {
    /// What.
    pub copy: CopyId,
    /// In how many layers.
    pub times: u32,
    /// Along how much of the row.
    pub along: Length,
}

/// Stitch length of overcasting, and of what tells none (common practice, no source).
pub const USUAL_STITCH: Length = Length::nm(2_500_000);

impl Takes {
    /// Nothing but rows.
    pub fn rows(rows: impl IntoIterator<Item = Sewing>) -> Self {
        Self { rows: rows.into_iter().collect(), ..Self::default() }
    }

    /// With so much to press.
    #[must_use]
    pub fn press(mut self, length: Length) -> Self {
        self.pressed += length;
        self
    }

    /// With so much to trim.
    #[must_use]
    pub fn trim(mut self, length: Length) -> Self {
        self.trimmed += length;
        self
    }

    /// With something to do by hand.
    #[must_use]
    pub fn hand(mut self, what: Hand, times: usize) -> Self {
        if times > 0 {
            self.hand.push((what, u32::try_from(times).unwrap_or(u32::MAX)));
        }
        self
    }

    /// And not to be laid down after it.
    #[must_use]
    pub fn in_hand(mut self) -> Self {
        self.in_hand = true;
        self
    }
}

impl Sewing {
    /// One row.
    pub fn new(kind: Stitching, length: Length, stitch: Length) -> Self {
        Self { kind, length, rows: 1, stitch, layers: Vec::new(), round: false }
    }

    /// So many of it.
    #[must_use]
    pub fn times(mut self, rows: usize) -> Self {
        self.rows = u32::try_from(rows).unwrap_or(u32::MAX);
        self
    }

    /// In the round, or not.
    #[must_use]
    pub fn round(mut self, round: bool) -> Self {
        self.round = round;
        self
    }

    /// Through so many layers of a copy, along all of it.
    #[must_use]
    pub fn through(mut self, copy: CopyId, times: u32) -> Self {
        self.layers.push(Layer { copy, times, along: self.length });
        self
    }

    /// Through what lies along these runs, each layer so many times.
    #[must_use]
    pub fn over(mut self, work: &Assembly<'_>, runs: &[&Run], times: u32) -> Self {
        for span in runs.iter().flat_map(|run| &run.spans) {
            self.layers.extend(lying_along(work, span).into_iter().map(|layer| Layer {
                times: layer.times * times,
                along: layer.along.min(self.length),
                ..layer
            }));
        }
        self
    }
}

/// What lies along a stretch of an edge: the copy itself, and the riders whose edge is level with
/// it.
fn lying_along(work: &Assembly<'_>, span: &Span) -> Vec<Layer> {
    let pattern = work.pattern;
    let folded = |copy: CopyId| pattern.piece_of(copy).folded_layers();
    let mut layers =
        vec![Layer { copy: span.copy, times: folded(span.copy), along: span.length() }];
    for rider in work.riders.iter().filter(|rider| rider.onto == span.copy) {
        for (own, _) in rider.level.iter().filter(|(_, host)| *host == span.edge) {
            let along = edge_length(work, rider.what, *own).min(span.length());
            layers.push(Layer { copy: rider.what, times: folded(rider.what), along });
        }
    }
    layers
}

/// The length of an edge; nothing if there is no such edge.
pub(super) fn edge_length(work: &Assembly<'_>, copy: CopyId, edge: usize) -> Length {
    let net = &work.pattern.piece_of(copy).net;
    if edge < net.edge_count() { net.edge_length(edge) } else { Length::ZERO }
}

/// Length of the last seam by which a copy was joined to something, along that copy.
pub(super) fn last_seam(work: &Assembly<'_>, copy: CopyId) -> Length {
    let of =
        |glue: &crate::assembly::Glue| [glue.a, glue.b].into_iter().find(|span| span.copy == copy);
    let last = work.glues.iter().filter(|glue| of(glue).is_some()).map(|glue| glue.step).max();
    let spans = work.glues.iter().filter(|glue| Some(glue.step) == last).filter_map(of);
    spans.map(|span| span.length()).sum()
}

/// The way round the mouth at which a copy was joined last, or round its body's open edges.
pub(super) fn mouth(work: &Assembly<'_>, copy: CopyId) -> Length {
    let is_of = |run: &Run| run.copies().iter().any(|other| work.is_one_body(*other, copy));
    let joined = work.events.iter().rev().find_map(|(_, event)| match event {
        Event::Joined { sides, .. } if sides[0].closed && is_of(&sides[0]) => {
            Some(sides[0].length())
        }
        _ => None,
    });
    joined.unwrap_or_else(|| {
        let open = work.open(copy);
        open.iter().map(Span::length).sum()
    })
}

/// What an earlier step has left open, along one side.
pub(super) fn left_open(work: &Assembly<'_>, left_by: &str) -> Length {
    let Some(step) = work.pattern.steps.iter().position(|step| step.id == left_by) else {
        return Length::ZERO;
    };
    let all: Length = work
        .edges()
        .flat_map(|(_, _, stretches)| stretches)
        .filter(|stretch| stretch.edging == Edging::Gap(step))
        .map(|stretch| stretch.to - stretch.from)
        .sum();
    all.half()
}

/// Straight lines, one after the other.
pub(super) fn lines_length(lines: &[Line]) -> Length {
    lines.iter().map(|line| line.from.distance(line.to)).sum()
}

/// A box with its cross, and the side that carries the load once more: 2 (a + b) + 2 √(a² + b²) + a.
pub(super) fn box_and_cross(width: Length, height: Length) -> Length {
    let (w, h) = (width.to_mm(), height.to_mm());
    (width + height) * 2 + Length::from_mm_f64((w * w + h * h).sqrt()) * 2 + width
}

/// Each copy once.
pub(super) fn each_once(copies: impl IntoIterator<Item = CopyId>) -> Vec<CopyId> {
    let mut seen = BTreeSet::new();
    copies.into_iter().filter(|copy| seen.insert(*copy)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_with_its_cross() {
        // MIL-S-18313G by way of the sum 2 (a + b) + 2 √(a² + b²): 1 × 1 in gives 6.83 in, 1 × 1.5
        // gives 8.61 in; the side that is sewn again adds its own length.
        for (height, inches) in [(Length::INCH, 6.83), (Length::inch_frac(3, 2), 8.61)] {
            let all = box_and_cross(Length::INCH, height) - Length::INCH;
            assert!((all.to_inch() - inches).abs() < 0.005, "{}", all.to_inch());
        }
    }
}
