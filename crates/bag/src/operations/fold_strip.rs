//! Fold a strip into four layers.

use measure::Length;

use super::{Operation, Telling, Told, Worded, sentence};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, Datum, Fields, record};

/// Fold the long edges of strips to the middle, and then in half: four layers, nothing raw along
/// the sides.
#[derive(Clone, Debug)]
pub struct FoldStrip {
    /// The strips.
    pub strips: Vec<CopyId>,
    /// Width as cut.
    pub cut_width: Length,
    /// How far from each long edge it is edgestitched.
    pub edgestitch: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for FoldStrip {
    fn word(&self) -> &'static str {
        Self::WORD
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "{}: fold in half lengthwise, wrong sides together, press and open again; fold both \
             long edges to the crease and press; fold on the first crease, so that four layers \
             lie {} wide, and press. Edgestitch both long sides {} from the edge (stitch length \
             {}), the open side first.",
            sentence(&t.names(&self.strips)),
            t.len(self.cut_width / 4),
            t.len(self.edgestitch),
            t.stitch(self.stitch),
        ))
        .mind("sew both rows in the same direction, or the handle will twist.")
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strip in &self.strips {
            work.needs_fresh(*strip, "fold");
            work.enclose_long_edges(*strip);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.strips.clone()
    }

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
    }
}

impl Worded for FoldStrip {
    const WORD: &'static str = "fold-strip";
}

record!(FoldStrip: "Fold the long edges of strips to the middle and then in half, and edgestitch." {
    strips via AtLeastOne; "The strips.",
    cut_width; "Width as cut.",
    edgestitch; "How far from each long edge it is edgestitched.",
    stitch; "Stitch length.",
});
