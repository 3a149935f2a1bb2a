//! Wrap a padded grip round a strap.

use measure::Length;

use super::{Operation, Phrase, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Wrap grips round straps, with padding in between; all edges of a grip are turned in and held.
#[derive(Clone, Debug)]
pub struct WrapGrip {
    /// The grips.
    pub grips: Vec<CopyId>,
    /// The strap that each goes round, in the same order.
    pub straps: Vec<CopyId>,
    /// How it is wrapped, with its measures.
    pub how: Phrase,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for WrapGrip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!("{} (stitch length {}).", self.how.tell(t), t.stitch(self.stitch)))
            .mind("take a thick needle and turn the hand wheel at the ends of the padding.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: self.how.lengths().collect(), ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let row = |grip: &CopyId| {
            let (width, height) = work.pattern.piece_of(*grip).net_size();
            // All round the wrapped grip.
            let around = width.max(height) * 2 + width.min(height);
            Sewing::new(Stitching::Shown, around, self.stitch).through(*grip, 2)
        };
        Takes::rows(self.grips.iter().map(row))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strap in &self.straps {
            work.needs_ends_free(*strap);
        }
        for grip in &self.grips {
            work.needs_fresh(*grip, "wrap");
            work.turn_under(*grip);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.grips.iter().chain(&self.straps).copied().collect()
    }
}

record!(WrapGrip: "Wrap grips round straps, with padding in between; all edges of a grip are turned in." {
    grips via AtLeastOne; "The grips.",
    straps via AtLeastOne; "The strap that each goes round, in the same order.",
    how; "How it is wrapped, with its measures, up to the stitch length.",
    stitch; "Stitch length.",
});

impl Worded for WrapGrip {
    const WORD: &'static str = "wrap-grip";
}
