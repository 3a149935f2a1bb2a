//! Trim corners, so that they turn out sharp.

use measure::Length;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

/// Cut the allowances across at the corners of a seam.
#[derive(Clone, Debug)]
pub struct TrimCorners {
    /// The copies that were sewn there.
    pub copies: Vec<CopyId>,
    /// How far from the stitches.
    pub leave: Length,
}

impl Operation for TrimCorners {
    fn word(&self) -> &'static str {
        "trim-corners"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Cut the seam allowances of {} diagonally across each corner, {} from the stitches.",
            t.names(&self.copies),
            t.len(self.leave)
        ))
        .mind("do not cut into the stitches.")
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.trim_to(&self.copies, self.leave);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}
