//! Understitch a seam.

use measure::Length;

use super::takes::last_seam;
use super::{Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Stitch the lining (or a facing) to the allowances beside its seam, so that it rolls inwards.
#[derive(Clone, Debug)]
pub struct Understitch {
    /// "the rim seam".
    pub what: String,
    /// The copies on which the stitches show: the lining's.
    pub copies: Vec<CopyId>,
    /// How far from the seam.
    pub from_seam: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Understitch {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Understitch {}: press both allowances toward {}, and stitch through it and the \
             allowances, {} from the seam (stitch length {}).",
            self.what,
            t.names(&self.copies),
            t.len(self.from_seam),
            t.stitch(self.stitch)
        ))
        .mind("keep the outside clear: only the allowances and the inner layer are caught.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, from) = (Length::ZERO, self.from_seam);
        let out = from * 5;
        let stage = Stage::new("understitched")
            .layer(&[(zero, 0), (out, 0), (out, 3), (zero, 3)])
            .layer(&[(out - from * 2, 1), (out - from / 4, 1)])
            .layer(&[(out - from * 2, 2), (out - from / 4, 2)])
            .stitch(out - from, 1, 3)
            .measure(out - from, out, 3);
        Shown { stages: vec![stage], measures: vec![from], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::rows(self.copies.iter().map(|copy| {
            Sewing::new(Stitching::Shown, last_seam(work, *copy), self.stitch).through(*copy, 3)
        }))
        .press(self.copies.iter().map(|copy| last_seam(work, *copy)).sum())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.trim_to(&self.copies, self.from_seam);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for Understitch {
    const WORD: &'static str = "understitch";
}

record!(Understitch: "Stitch the lining to the allowances beside its seam, so that it rolls inwards." {
    what; "\"the rim seam\".",
    copies via AtLeastOne; "The copies on which the stitches show: the lining's.",
    from_seam; "How far from the seam.",
    stitch; "Stitch length.",
});
