//! Cover the ends of a zip with tabs.

use measure::Length;

use super::{Hand, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

/// Shorten a zip and fold a tab over either end of it, so that its hard ends stay out of the seams.
#[derive(Clone, Debug)]
pub struct CoverZipEnds {
    /// The tabs.
    pub tabs: Vec<CopyId>,
    /// Length of the zip as bought, stop to stop.
    pub bought: Length,
    /// Length to which it is shortened.
    pub length: Length,
    /// How far the fold of a tab lies over the end of the zip.
    pub over: Length,
    /// Length of zip and tabs together, raw end to raw end.
    pub whole: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for CoverZipEnds {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let shorten = if self.bought > self.length {
            format!(
                "Shorten the zip from {} to {}: sew across the teeth several times by hand or with \
                 a wide zigzag, and cut it off below. ",
                t.len(self.bought),
                t.len(self.length)
            )
        } else {
            String::new()
        };
        Told::new(format!(
            "{shorten}Fold each of {} in half across, wrong sides together, and press. Lay the fold \
             {} over each end of the zip, on its upper side, and edgestitch along the fold (stitch \
             length {}). Trim the tabs to the width of the tape, and both evenly to a length of {} \
             from raw end to raw end.",
            t.names(&self.tabs),
            t.len(self.over),
            t.stitch(self.stitch),
            t.len(self.whole)
        ))
        .mind("pull the slider to the middle first: cut off at its end it comes off the zip.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: vec![self.length, self.over, self.whole], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let row = |tab: &CopyId| {
            let wide = work.pattern.piece_of(*tab).cut_size().0;
            Sewing::new(Stitching::Shown, wide, self.stitch).through(*tab, 2)
        };
        let rows: Vec<Sewing> = self.tabs.iter().map(row).collect();
        let folds = rows.iter().map(|row| row.length).sum();
        let shorten = usize::from(self.bought > self.length);
        Takes::rows(rows).press(folds).trim(folds).hand(Hand::Shorten, shorten)
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        if self.tabs.contains(&part) { (size.0, size.1.half()) } else { size }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for tab in &self.tabs {
            work.needs_fresh(*tab, "fold");
            work.turn_under(*tab);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.tabs.clone()
    }
}

impl Worded for CoverZipEnds {
    const WORD: &'static str = "cover-zip-ends";
}

record!(CoverZipEnds: "Shorten a zip and fold a tab over either end of it." {
    tabs via AtLeastOne; "The tabs.",
    bought; "Length of the zip as bought, stop to stop.",
    length; "Length to which it is shortened.",
    over; "How far the fold of a tab lies over the end of the zip.",
    whole; "Length of zip and tabs together, raw end to raw end.",
    stitch; "Stitch length.",
});
