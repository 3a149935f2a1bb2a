//! Cover a cord with a bias strip: piping.

use measure::Length;

use super::{Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, PieceId};
use crate::record::{AtLeastOne, record};

/// Cut bias strips, join them, and stitch them round cords.
#[derive(Clone, Debug)]
pub struct CoverCord {
    /// The cords.
    pub cords: Vec<CopyId>,
    /// Id of the piece from which the strips are cut.
    pub from: String,
    /// Width of the strips.
    pub strip: Length,
    /// How long the joined strip must be.
    pub long: Length,
    /// Allowance beside the cord.
    pub allowance: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for CoverCord {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let from = t.pattern.pieces.iter().find(|piece| piece.id == self.from);
        let name = from.map_or("square", |piece| piece.name.as_str());
        Told::new(format!(
            "Cut the {name} into strips {} wide, at 45° to its grain, and join them at their slanted \
             ends with seams of {} until they are {} long in all; press the joins open. Lay {} along \
             the middle of the wrong side, fold the strip over, raw edges level, and stitch close to \
             the cord with the zip foot (stitch length {}). Trim the allowance beside the cord to {}.",
            t.len(self.strip),
            t.len(match t.system {
                measure::System::Inch => Length::inch_frac(1, 4),
                measure::System::Metric => Length::mm(6),
            }),
            t.len(self.long),
            t.names(&self.cords),
            t.stitch(self.stitch),
            t.len(self.allowance),
        ))
        .mind("do not pull at the strip: it was cut on the bias so that it stretches round corners, \
               and it should do so only there.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, a) = (Length::ZERO, self.allowance);
        let out = a * 2;
        let stage = Stage::new("fold over the cord, stitch")
            .layer(&[(zero, 0), (out, 0), (out + a / 2, 1)])
            .under(&[(zero, 2), (out, 2), (out + a / 2, 1)])
            .stitch(out, 0, 2)
            .measure(out - a, out, 2);
        Shown { stages: vec![stage], measures: vec![self.strip, a], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let piece = work.pattern.pieces.iter().position(|piece| piece.id == self.from);
        let strip = piece.and_then(|at| work.pattern.copies_of(PieceId(at)).next());
        let row = Sewing::new(Stitching::Seam, self.long, self.stitch);
        let row = strip.into_iter().fold(row, |row, copy| row.through(copy, 2));
        Takes::rows([row]).press(self.long).trim(self.long)
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

record!(CoverCord: "Cut bias strips, join them, and stitch them round cords: piping." {
    cords via AtLeastOne; "The cords.",
    from; "Id of the piece from which the strips are cut.",
    strip; "Width of the strips.",
    long; "How long the joined strip must be.",
    allowance; "Allowance beside the cord.",
    stitch; "Stitch length.",
});
