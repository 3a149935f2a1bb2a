//! Fell a seam: one allowance is trimmed, and the other folded over it and stitched down.

use measure::Length;

use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, record};

/// A flat-felled seam, of a seam that is sewn: unequal allowances, the wider one folded over the
/// narrower one, so that no raw edge is left.
#[derive(Clone, Debug)]
pub struct Fell {
    /// "the side and base seams".
    pub what: String,
    /// The edges, both sides of each seam.
    pub runs: Vec<Run>,
    /// What the lower allowance is trimmed to.
    pub trim: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Fell {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Fell {}: trim the lower allowance to {}, the one that lies against the panel when both \
             are pressed to one side; fold the other in half over it, so that its raw edge lies \
             against the stitches, and press flat. Edgestitch the fold down through all layers \
             (stitch length {}): two rows show, and no raw edge is left on either side.",
            self.what,
            t.len(self.trim),
            t.stitch(self.stitch)
        ))
        .mind(
            "trim one allowance only. The last seams lie within the bag: roll it up like a sleeve \
             and sew a little at a time.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = |run: &Run| Row {
            beside: Along::Raw(run.clone()),
            from: self.trim,
            kind: RowKind::Stitch,
        };
        Shown {
            rows: self.runs.iter().map(row).collect(),
            tools: vec![Tool::Scissors, Tool::Iron],
            measures: vec![self.trim],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        // Both sides of each seam are named, and felled together.
        let half = |run: &Run| run.length().half();
        Takes::rows(
            self.runs.iter().map(|run| {
                Sewing::new(Stitching::Shown, half(run), self.stitch).over(work, &[run], 4)
            }),
        )
        .press(self.runs.iter().map(Run::length).sum())
        .trim(self.runs.iter().map(half).sum())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for run in &self.runs {
            work.fell(run, self.trim);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.runs.iter().flat_map(Run::copies).collect()
    }
}

impl Worded for Fell {
    const WORD: &'static str = "fell";
}

record!(Fell: "Fell sewn seams flat: one allowance trimmed, the other folded over it and stitched down." {
    what; "\"the side and base seams\".",
    runs via AtLeastOne; "The edges, both sides of each seam.",
    trim; "What the lower allowance is trimmed to; no more than half of what was sewn.",
    stitch; "Stitch length.",
});
