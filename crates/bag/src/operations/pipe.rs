//! Baste piping along edges.

use measure::Length;

use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run, Span};
use crate::record::record;

/// Baste a covered cord along an edge, so that the seam that is sewn there catches it.
#[derive(Clone, Debug)]
pub struct Pipe {
    /// The covered cord.
    pub cord: CopyId,
    /// "the edge of the front".
    pub what: String,
    /// The edge.
    pub along: Run,
    /// The allowance of the edge: where the cord lies.
    pub allowance: Length,
    /// From clip to clip at curves; nothing where there is none.
    pub every: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Pipe {
    /// Whether it goes round a corner of a panel.
    fn turns(&self) -> bool {
        let goes_on = |pair: &[Span]| pair[0].copy == pair[1].copy && pair[0].edge != pair[1].edge;
        self.along.closed || self.along.spans.windows(2).any(goes_on)
    }
}

impl Operation for Pipe {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let clips = if self.every.is_positive() {
            format!(
                " Clip its allowance every {} round the curves, and once at each corner, nearly to \
                 its stitches.",
                t.len(self.every)
            )
        } else if self.turns() {
            " Clip its allowance at each corner, nearly to its stitches.".to_owned()
        } else {
            String::new()
        };
        let ends = if self.along.closed {
            "Where its ends meet, open the strip a little, cut the cord so that its ends touch, turn \
             in one end of the strip and lay it over the other."
        } else {
            "At both ends pull the cord out a little, cut it off at the line of the seam that crosses it \
             there, and let the empty strip run off into the allowance, so that the seam there stays thin."
        };
        Told::new(format!(
            "Lay {} along {} on the right side, the cord toward the middle and its stitches {} from \
             the raw edge.{clips} {ends} Baste on its stitches (stitch length {}).",
            t.names(&[self.cord]),
            self.what,
            t.len(self.allowance),
            t.stitch(self.stitch)
        ))
        .mind("sew the seam there later with the zip foot, from the side on which this basting shows, \
               a needle's width nearer to the cord.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = Row {
            beside: Along::Raw(self.along.clone()),
            from: self.allowance,
            kind: RowKind::Cord,
        };
        Shown {
            rows: vec![row],
            tools: vec![Tool::Pins],
            measures: vec![self.allowance],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let length = self.along.length();
        let row = Sewing::new(Stitching::Baste, length, self.stitch).round(self.along.closed);
        Takes::rows([row.over(work, &[&self.along], 1).through(self.cord, 2)]).trim(length)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.pipe(self.cord, &self.along);
    }

    fn copies(&self) -> Vec<CopyId> {
        let mut copies = vec![self.cord];
        copies.extend(self.along.copies());
        copies
    }
}

impl Worded for Pipe {
    const WORD: &'static str = "pipe";
}

record!(Pipe: "Baste a covered cord along an edge, so that the seam there catches it." {
    cord; "The covered cord.",
    what; "\"the edge of the front\".",
    along; "The edge.",
    allowance; "The allowance of the edge: where the cord lies.",
    every = Length::ZERO; "From clip to clip at curves. Left out: there is none.",
    stitch; "Stitch length.",
});
