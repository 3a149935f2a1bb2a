//! Finish the raw edges of seam allowances.

use measure::Length;

use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, USUAL_STITCH,
    Worded, binding_stages,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, UsedPiece, record, words};

/// Finish raw edges, so that they do not fray.
#[derive(Clone, Debug)]
pub struct FinishEdges {
    /// "the side and base seams".
    pub what: String,
    /// The edges.
    pub runs: Vec<Run>,
    /// How.
    pub how: EdgeFinish,
    /// Id of the piece that they are bound with.
    pub bound_with: Option<String>,
    /// Whether both allowances are taken together.
    pub together: bool,
}

/// How raw edges are finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeFinish {
    /// A zigzag or overedge stitch.
    Overcast,
    /// Wrapped in a strip that finishes this wide on each side.
    Bound(Length),
}

impl Operation for FinishEdges {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let together = if self.together { ", both allowances together" } else { "" };
        match self.how {
            EdgeFinish::Overcast => Told::new(format!(
                "Overcast the raw edges of {}{together}, with a zigzag or an overedge stitch that \
                 just covers the edge.",
                self.what
            )),
            EdgeFinish::Bound(width) => Told::new(format!(
                "Bind the raw edges of {}{together}: lay a binding strip on them, right sides \
                 together and raw edges level, sew {} from the edge, fold the strip over the \
                 edges to the other side, turn its long edge in and edgestitch it down. Turn in \
                 the ends of the strip where they do not run into another seam.",
                self.what,
                t.len(width)
            )),
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (kind, stages, measures) = match self.how {
            EdgeFinish::Overcast => (RowKind::Overcast, Vec::new(), Vec::new()),
            EdgeFinish::Bound(width) => (RowKind::Binding, binding_stages(width), vec![width]),
        };
        let row = |run: &Run| Row { beside: Along::Raw(run.clone()), from: Length::ZERO, kind };
        Shown { rows: self.runs.iter().map(row).collect(), stages, measures, ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for run in &self.runs {
            // Two edges that are finished together are one row.
            let length = if self.together { run.length().half() } else { run.length() };
            let row = |kind| {
                Sewing::new(kind, length, USUAL_STITCH).round(run.closed).over(work, &[run], 1)
            };
            match self.how {
                EdgeFinish::Overcast => takes.rows.push(row(Stitching::Overcast)),
                EdgeFinish::Bound(_) => {
                    takes.rows.extend([row(Stitching::Seam), row(Stitching::Shown)]);
                    takes = takes.press(length);
                }
            }
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for run in &self.runs {
            work.finish_raw(run, self.together);
        }
        if let Some(piece) = &self.bound_with {
            work.use_up(piece);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.runs.iter().flat_map(Run::copies).collect()
    }
}

impl Worded for FinishEdges {
    const WORD: &'static str = "finish-edges";
}

record!(FinishEdges: "Finish raw edges of seam allowances, so that they do not fray." {
    what; "\"the side and base seams\".",
    runs via AtLeastOne; "The edges.",
    how; "Overcast, or bound in a strip that finishes this wide on each side.",
    bound_with via UsedPiece; "The piece whose copies are used up as binding.",
    together; "Whether both allowances are taken together.",
});

words!(EdgeFinish { "overcast" => Overcast; "bound": Bound(Length) });
