//! Stitch a casing for a cord.

use measure::Length;

use super::takes::mouth;
use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Rows of stitches through all layers along a finished rim, between which a cord runs.
#[derive(Clone, Debug)]
pub struct StitchCasing {
    /// "the bag".
    pub what: String,
    /// The copies that it goes through.
    pub copies: Vec<CopyId>,
    /// How far below the rim each row lies: the upper edge of the casing, and its lower edge unless
    /// a hem is that.
    pub rows: Vec<Length>,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for StitchCasing {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let rows: Vec<String> = self.rows.iter().map(|row| t.len(*row)).collect();
        let (count, between) = match self.rows.len() {
            1 => ("a row", "it and the row of the hem"),
            _ => ("two rows", "the two"),
        };
        Told::new(format!(
            "Draw {count} round {}, {} below the rim, and stitch along {} through all layers \
             (stitch length {}). The casing lies between {between}.",
            self.what,
            super::listed(&rows),
            if self.rows.len() == 1 { "it" } else { "them" },
            t.stitch(self.stitch)
        ))
        .mind(
            "the rows begin and end at the openings at the sides: do not sew them shut. Backstitch \
             there, because the cord pulls at them.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = |from: &Length| Row {
            beside: Along::Mouth(self.copies.clone()),
            from: *from,
            kind: RowKind::Stitch,
        };
        Shown {
            rows: self.rows.iter().map(row).collect(),
            measures: self.rows.clone(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let round = self.copies.first().map_or(Length::ZERO, |copy| mouth(work, *copy));
        let row = Sewing::new(Stitching::Shown, round, self.stitch).times(self.rows.len());
        let times = if self.copies.len() == 1 { 2 } else { 1 };
        Takes::rows([self.copies.iter().take(2).fold(row, |row, copy| row.through(*copy, times))])
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.stitch_casing(&self.copies);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for StitchCasing {
    const WORD: &'static str = "stitch-casing";
}

record!(StitchCasing: "Stitch rows along a finished rim, between which a cord runs." {
    what; "\"the bag\".",
    copies via AtLeastOne; "The copies that they go through.",
    rows via AtLeastOne; "How far below the rim each row lies.",
    stitch; "Stitch length.",
});
