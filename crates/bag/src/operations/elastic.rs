//! Draw an elastic through a casing.

use measure::Length;

use super::{
    Along, Hand, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, record};

/// Draw an elastic through a hemmed edge and fasten both of its ends, so that the edge is drawn in.
#[derive(Clone, Debug)]
pub struct InsertElastic {
    /// "the top edge of the pocket".
    pub what: String,
    /// The hems that it runs in, one elastic in each.
    pub casings: Vec<Run>,
    /// Width of the elastic.
    pub width: Length,
    /// Length of each elastic.
    pub length: Length,
    /// How much of it is fastened at either end.
    pub ends: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for InsertElastic {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let ends = self.ends * 2;
        Told::new(format!(
            "Cut the elastic, {} wide, {} long{}. Draw it through the hem of {} with a safety pin \
             or a bodkin, let {} reach into the allowance at either end, and stitch to and fro over \
             both ends (stitch length {}). Spread the fullness evenly: the edge now measures {}.",
            t.len(self.width),
            t.len(self.length),
            if self.casings.len() > 1 { " for each" } else { "" },
            self.what,
            t.len(self.ends),
            t.stitch(self.stitch),
            t.len(self.length - ends),
        ))
        .mind("pin the second end before it slips into the casing, and see that the elastic is not \
               twisted.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = |casing: &Run| Row {
            beside: Along::Raw(casing.clone()),
            from: Length::ZERO,
            kind: RowKind::Cord,
        };
        let rows = self.casings.iter().map(row).collect();
        Shown { rows, measures: vec![self.length], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        let end = |run: &Run| {
            // To and fro over both ends.
            let row = Sewing::new(Stitching::Seam, self.width * 3, self.stitch).times(2);
            run.copies().into_iter().take(1).fold(row, |row, copy| row.through(copy, 3))
        };
        Takes::rows(self.casings.iter().map(end)).hand(Hand::Draw, self.casings.len())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for casing in &self.casings {
            work.elastic(casing, self.length - self.ends * 2);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.casings.iter().flat_map(Run::copies).collect()
    }
}

impl Worded for InsertElastic {
    const WORD: &'static str = "elastic";
}

record!(InsertElastic: "Draw an elastic through a hemmed edge and fasten its ends, so that the edge is drawn in." {
    what; "\"the top edge of the pocket\".",
    casings via AtLeastOne; "The hems that it runs in, one elastic in each.",
    width; "Width of the elastic.",
    length; "Length of each elastic.",
    ends; "How much of it is fastened at either end.",
    stitch; "Stitch length.",
});
