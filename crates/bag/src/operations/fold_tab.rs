//! Fold tabs over rings.

use measure::Length;

use super::{Hand, Operation, Sewing, Stitching, Takes, Telling, Told, Worded, sentence};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

/// Thread each tab through its ring, fold it in half and stitch it close to the ring.
#[derive(Clone, Debug)]
pub struct FoldTab {
    /// The tabs.
    pub tabs: Vec<CopyId>,
    /// What each goes through: "a ring for 1 in".
    pub over: String,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for FoldTab {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "{}: thread {} on {}, fold it in half, wrong sides together and ends level, and stitch \
             across it close to the ring with the zip foot (stitch length {}).",
            sentence(&t.names(&self.tabs)),
            self.over,
            if self.tabs.len() == 1 { "it" } else { "each" },
            t.stitch(self.stitch)
        ))
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let row = |tab: &CopyId| {
            let piece = work.pattern.piece_of(*tab);
            let (width, height) = piece.net_size();
            let layers = piece.folded_layers();
            let wide = width.min(height) / i64::from(layers);
            Sewing::new(Stitching::Shown, wide, self.stitch).through(*tab, layers * 2)
        };
        Takes::rows(self.tabs.iter().map(row)).hand(Hand::Draw, self.tabs.len())
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        if self.tabs.contains(&part) { (size.0, size.1.half()) } else { size }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for tab in &self.tabs {
            work.needs_ends_free(*tab);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.tabs.clone()
    }
}

record!(FoldTab: "Thread each tab through its ring, fold it in half, and stitch it close to the ring." {
    tabs via AtLeastOne; "The tabs.",
    over; "What each goes through: \"a ring for 1 in\".",
    stitch; "Stitch length.",
});

impl Worded for FoldTab {
    const WORD: &'static str = "fold-tab";
}
