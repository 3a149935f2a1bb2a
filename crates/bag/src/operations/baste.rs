//! Baste layers together along an edge.

use measure::Length;

use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, record};

/// Long stitches that hold layers together until a seam does.
#[derive(Clone, Debug)]
pub struct Baste {
    /// "the tab to the centre of the back rim".
    pub what: String,
    /// Along which edges.
    pub runs: Vec<Run>,
    /// How far from the edge.
    pub from_edge: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Baste {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Baste {} {} from the edge, within the seam allowance (stitch length {}).",
            self.what,
            t.len(self.from_edge),
            t.stitch(self.stitch)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = |run: &Run| Row {
            beside: Along::Raw(run.clone()),
            from: self.from_edge,
            kind: RowKind::Baste,
        };
        Shown {
            rows: self.runs.iter().map(row).collect(),
            measures: vec![self.from_edge],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::rows(self.runs.iter().map(|run| {
            Sewing::new(Stitching::Baste, run.length(), self.stitch).round(run.closed).over(
                work,
                &[run],
                1,
            )
        }))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for run in &self.runs {
            work.baste(run, self.from_edge);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.runs.iter().flat_map(Run::copies).collect()
    }
}

impl Worded for Baste {
    const WORD: &'static str = "baste";
}

record!(Baste: "Baste layers together along edges, with long stitches that hold until a seam does." {
    what; "\"the tab to the centre of the back rim\".",
    runs via AtLeastOne; "Along which edges.",
    from_edge; "How far from the edge.",
    stitch; "Stitch length.",
});
