//! Cover a cord with a bias strip: piping.

use measure::Length;

use super::{Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, PieceId};
use crate::record::{AtLeastOne, record};

/// Stitch a bias strip round cords.
#[derive(Clone, Debug)]
pub struct CoverCord {
    /// The cords.
    pub cords: Vec<CopyId>,
    /// Id of the piece from which the strip is cut.
    pub from: String,
    /// Allowance beside the cord.
    pub allowance: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for CoverCord {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Lay {} along the middle of the wrong side of the bias strip, fold the strip over, raw \
             edges level, and stitch close to the cord with the zip foot (stitch length {}). Trim \
             the allowance beside the cord to {}.",
            t.names(&self.cords),
            t.stitch(self.stitch),
            t.len(self.allowance),
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, a) = (Length::ZERO, self.allowance);
        let out = a * 2;
        let stage = Stage::new("fold over the cord, stitch")
            .layer(&[(zero, 0), (out, 0), (out + a / 2, 1)])
            .under(&[(zero, 2), (out, 2), (out + a / 2, 1)])
            .stitch(out, 0, 2)
            .measure(out - a, out, 2);
        Shown { stages: vec![stage], measures: vec![a], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let piece = work.pattern.pieces.iter().position(|piece| piece.id == self.from);
        let strip = piece.and_then(|at| work.pattern.copies_of(PieceId(at)).next());
        let long = self.cords.iter().map(|cord| work.pattern.piece_of(*cord).net_size().1).sum();
        let row = Sewing::new(Stitching::Seam, long, self.stitch);
        let row = strip.into_iter().fold(row, |row, copy| row.through(copy, 2));
        Takes::rows([row]).trim(long)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for cord in &self.cords {
            work.needs_ends_free(*cord);
        }
        work.use_up(&self.from);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.cords.clone()
    }
}

impl Worded for CoverCord {
    const WORD: &'static str = "cover-cord";
}

record!(CoverCord: "Stitch a bias strip round cords: piping." {
    cords via AtLeastOne; "The cords.",
    from; "The piece from which the strip is cut.",
    allowance; "Allowance beside the cord.",
    stitch; "Stitch length.",
});
