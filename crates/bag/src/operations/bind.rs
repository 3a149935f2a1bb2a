//! Bind an edge.

use measure::Length;

use super::join::turns_corners;
use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
    binding_stages,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, PieceId, Run};
use crate::record::{UsedPiece, record};

/// Wrap an edge in a strip, so that no allowance is needed there.
#[derive(Clone, Debug)]
pub struct Bind {
    /// "the rim".
    pub what: String,
    /// The edge.
    pub run: Run,
    /// Finished width of the binding on either side.
    pub width: Length,
    /// Id of the piece that it is bound with.
    pub bound_with: String,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Bind {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let ends = if self.run.closed {
            " Begin with the strip's end folded under, and let the other end overlap it."
        } else {
            " Turn in the strip at both ends."
        };
        let corners = if turns_corners(t.pattern, &self.run) {
            " At each corner fold the strip to a mitre."
        } else {
            ""
        };
        Told::new(format!(
            "Bind {}: sew the strip to it, right sides together and raw edges level, {} from the \
             edge; fold it over to the other side, turn in its long edge so that it just covers \
             the stitches, and edgestitch (stitch length {}).{corners}{ends}",
            self.what,
            t.len(self.width),
            t.stitch(self.stitch)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = Row {
            beside: Along::Raw(self.run.clone()),
            from: Length::ZERO,
            kind: RowKind::Binding,
        };
        Shown {
            rows: vec![row],
            stages: binding_stages(self.width),
            measures: vec![self.width],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let strip = |row: Sewing, times| {
            let piece = work.pattern.pieces.iter().position(|piece| piece.id == self.bound_with);
            let copy = piece.and_then(|at| work.pattern.copies_of(PieceId(at)).next());
            copy.into_iter().fold(row, |row, copy| row.through(copy, times))
        };
        let row = |kind| {
            Sewing::new(kind, self.run.length(), self.stitch).round(self.run.closed).over(
                work,
                &[&self.run],
                1,
            )
        };
        Takes::rows([strip(row(Stitching::Seam), 1), strip(row(Stitching::Shown), 3)])
            .press(self.run.length())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.bind(&self.run);
        work.use_up(&self.bound_with);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.run.copies()
    }
}

impl Worded for Bind {
    const WORD: &'static str = "bind";
}

record!(Bind: "Wrap an edge in a strip, so that no allowance is needed there." {
    what; "\"the rim\".",
    run; "The edge.",
    width; "Finished width of the binding on either side.",
    bound_with via UsedPiece; "The piece that it is bound with.",
    stitch; "Stitch length.",
});
