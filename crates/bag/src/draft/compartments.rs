//! Compartments of pockets as wide as their panel: what their own divisions, what is stitched to the
//! panel from within, and the legs of handles that run up over them leave.

use measure::{Length, Point};

use super::strap::{Hold, Legs, leg_line};
use super::{Drafter, Face};
use crate::pattern::{CopyId, MarkShape, PocketClaim};

/// From where to where something is stitched through a pocket, from its centre line.
type Across = (Length, Length);

impl Drafter<'_> {
    /// Takes from the compartments of a pocket what is stitched through it, beside what was before.
    pub(crate) fn divide_pocket(
        &mut self,
        pocket: CopyId,
        across: impl IntoIterator<Item = Across>,
    ) {
        let cuts = self.divided.entry(pocket).or_default();
        cuts.extend(across);
        cuts.sort_unstable();
        let claims = self.claims.pockets.iter_mut();
        for claim in claims.filter(|claim| claim.copy == pocket) {
            claim.compartments = between(cuts, claim.size.0);
        }
    }

    /// Marks legs from the base on the pockets that they cover, whose panel's marks lie below them, and
    /// has them divide the pockets up which they are stitched far enough.
    pub(super) fn run_over_pockets(&mut self, legs: &Legs, face: &Face) {
        let Hold::Base(stop) = legs.hold else { return };
        let high = face.height - stop;
        let is_below = |claim: &&PocketClaim| {
            self.divided.contains_key(&claim.copy)
                && face.copies.contains(&claim.on)
                && !self.late.contains(&claim.copy)
        };
        let below: Vec<PocketClaim> =
            self.claims.pockets.iter().filter(is_below).cloned().collect();
        for claim in below {
            let sides = [-1, 1];
            if !claim.inside {
                let middle = self.piece_of(claim.copy).net_size().0.half();
                for (sign, edge) in sides.into_iter().flat_map(|sign| sides.map(|it| (sign, it))) {
                    let x = middle + leg_line(self, legs.apart.half(), legs.width, sign, edge);
                    let top = Point::new(x, high.min(claim.size.1));
                    let line = MarkShape::Placement(Point::new(x, Length::ZERO), top);
                    self.mark_copy(claim.copy, legs.word, line);
                }
            }
            if claim.is_divided_by(high) {
                let leg = |sign| {
                    let middle = legs.apart.half() * sign;
                    (middle - legs.width.half(), middle + legs.width.half())
                };
                self.divide_pocket(claim.copy, sides.map(leg));
            }
        }
    }
}

/// What such strips leave of a width, from left to right.
fn between(cuts: &[Across], width: Length) -> Vec<Length> {
    let (mut widths, mut start) = (Vec::new(), -width.half());
    let end = width - width.half();
    for (low, high) in cuts.iter().copied().chain([(end, end)]) {
        if low > start {
            widths.push(low - start);
        }
        start = start.max(high);
    }
    widths
}
