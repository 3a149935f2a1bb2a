//! Understitch a seam.

use measure::Length;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

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
    fn word(&self) -> &'static str {
        "understitch"
    }

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

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.trim_to(&self.copies, self.from_seam);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}
