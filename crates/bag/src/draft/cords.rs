//! Two cords that draw a mouth shut from both sides.

use measure::{Length, Rounding};

use super::Drafter;
use super::fittings::{length_of, webbing};
use crate::operations::{FastenEnd, Fastening, ThreadDrawstring};
use crate::pattern::{Band, CopyId, Run};

/// Width of a casing between its two rows of stitches: two and a half times the cord, so that two
/// cords slide in it beside each other (common practice, no source).
pub(crate) fn channel(d: &Drafter<'_>, cord: Length) -> Length {
    d.ruler().round(cord * 5 / 2, Rounding::Up)
}

/// What a knot and the end beyond it take: six times the cord (common practice, no source).
pub(crate) fn knot(d: &Drafter<'_>, cord: Length) -> Length {
    d.ruler().round(cord * 6, Rounding::Up)
}

/// Two cords, and where they go.
#[derive(Clone, Debug)]
pub(crate) struct Cords {
    /// Thickness.
    pub cord: Length,
    /// Once round the mouth.
    pub around: Length,
    /// How far each end comes out of the casing when the bag is open, without its knot.
    pub ends: Length,
    /// What they run in.
    pub casing: Run,
    /// How they run: "the first from the left side …".
    pub route: &'static str,
    /// What both ends of a cord go through at last.
    pub through: &'static str,
}

impl Cords {
    /// The length that each is cut.
    pub(crate) fn length(&self, d: &Drafter<'_>) -> Length {
        let long = self.around + (self.ends + knot(d, self.cord)) * 2;
        d.ruler().round(long, Rounding::Up)
    }

    /// Cuts, threads and knots them, after everything else; which they are.
    pub(crate) fn add(self, d: &mut Drafter<'_>) -> [CopyId; 2] {
        let length = self.length(d);
        let knot = knot(d, self.cord);
        let material = webbing(
            d,
            "drawcord",
            "cord for the drawstring",
            (Band::Cord, self.cord),
            "the closure",
        );
        let names = ("cord", "cord");
        let piece = length_of(d, material, names, (self.cord, length), [Length::ZERO; 2]);
        let cords = [d.copy(piece, "first cord"), d.copy(piece, "second cord")];
        d.part(cords[0], (self.cord, length - knot * 2));
        let thread = ThreadDrawstring {
            what: "each of the two cords".to_owned(),
            route: self.route.to_owned(),
            casing: self.casing,
            length,
        };
        d.finally("thread-cords", thread);
        let fasten = FastenEnd {
            ends: cords.iter().flat_map(|cord| [(*cord, 0), (*cord, 2)]).collect(),
            through: self.through.to_owned(),
            by: Fastening::Knotted(knot),
            stitch: d.stitch("seam"),
        };
        d.finally("knot-cords", fasten);
        cords
    }
}
