//! Fold a strip into four layers.

use measure::Length;

use super::{
    Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Tool, Worded, sentence,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

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

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, quarter, edge) = (Length::ZERO, self.cut_width / 4, self.edgestitch);
        let (half, three, whole) = (quarter * 2, quarter * 3, quarter * 4);
        let crease =
            Stage::new("fold in half, press, open").under(&[(zero, 2), (half, 0), (whole, 2)]);
        let middle = Stage::new("long edges to the crease").under(&[
            (half - quarter / 16, 1),
            (quarter, 1),
            (quarter, 0),
            (three, 0),
            (three, 1),
            (half + quarter / 16, 1),
        ]);
        let again = Stage::new("fold again, edgestitch")
            .under(&[
                (half - quarter / 8, 1),
                (quarter, 1),
                (quarter, 0),
                (half, 0),
                (half, 3),
                (quarter, 3),
                (quarter, 2),
                (half - quarter / 8, 2),
            ])
            .stitch(quarter + edge, 0, 3)
            .stitch(half - edge, 0, 3)
            .measure(quarter, half, 3);
        Shown {
            stages: vec![crease, middle, again],
            tools: vec![Tool::Iron],
            measures: vec![quarter, edge],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let long = |strip: &CopyId| {
            let (width, height) = work.pattern.piece_of(*strip).cut_size();
            width.max(height)
        };
        let row = |strip: &CopyId| {
            Sewing::new(Stitching::Shown, long(strip), self.stitch).times(2).through(*strip, 4)
        };
        let folds: Length = self.strips.iter().map(long).sum();
        Takes::rows(self.strips.iter().map(row)).press(folds * 3)
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        if self.strips.contains(&part) { (size.0 / 4, size.1) } else { size }
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
