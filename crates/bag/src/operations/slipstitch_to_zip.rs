//! Slip stitch a lining to the tape of a zip.

use measure::Length;

use super::join::copies_on;
use super::{
    Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, USUAL_STITCH, Worded, sentence,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{Seams, record};

/// Slip stitch the turned-in edges of a lining to the tape of the zip that was set into the outside,
/// all round its opening. Where the lining is sewn up beyond the ends of the zip, there is nothing
/// to stitch.
#[derive(Clone, Debug)]
pub struct SlipstitchToZip {
    /// What the zip is called: "the zip".
    pub what: String,
    /// The edges: that of the outside, to which the zip is sewn, first, and that of the lining that
    /// comes to lie on it.
    pub seams: Vec<[Run; 2]>,
    /// Its seam allowance.
    pub allowance: Length,
    /// How much more of it is turned in, where its edges meet over the middle of the zip: half of what
    /// the zip shows.
    pub further: Length,
}

impl Operation for SlipstitchToZip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let eased = self.seams.iter().map(ease).max().unwrap_or(Length::ZERO);
        let ease = if eased.is_positive() {
            sentence(&format!(
                "the lining is {} smaller on either side: stretch it slightly to fit. ",
                t.len(eased)
            ))
        } else {
            String::new()
        };
        Told::new(format!(
            "Lay the folded edges of {} on the tape of {}, so that they cover the stitches by which \
             it is set, and pin. {ease}Slip stitch them to the tape by hand, all round the opening, \
             across the ends of the zip too.",
            t.names(&copies_on(&self.seams, 1)),
            self.what
        ))
        .mind(
            "take up the tape only, not the outside, and stay clear of the teeth: open and close \
             the zip once more before you fasten off.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown {
            tools: vec![Tool::Needle],
            measures: vec![self.allowance + self.further],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let rows = self.seams.iter().map(|sides| {
            let long = work.unsewn(&sides[1]);
            Sewing::new(Stitching::Hand, long, USUAL_STITCH).over(work, &[&sides[1]], 2)
        });
        Takes::rows(rows)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for sides in &self.seams {
            work.slipstitch_to_zip(sides, self.allowance, self.further);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [copies_on(&self.seams, 0), copies_on(&self.seams, 1)].concat()
    }
}

/// How much longer the edge of the outside is than that of its lining, which may be cut smaller.
fn ease([outside, lining]: &[Run; 2]) -> Length {
    outside.length() - lining.length()
}

impl Worded for SlipstitchToZip {
    const WORD: &'static str = "slipstitch-to-zip";
}

record!(SlipstitchToZip: "Slip stitch the turned-in edges of a lining to the tape of the zip of the outside." {
    what; "What the zip is called: \"the zip\".",
    seams via Seams; "The edges: that of the outside, to which the zip is sewn, first, then that of the lining.",
    allowance; "Its seam allowance, which is turned in.",
    further = Length::ZERO; "How much more of it is turned in, where its edges meet over the middle of the zip: half of what the zip shows.",
});
