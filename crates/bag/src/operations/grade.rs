//! Grade the allowances of a seam.

use measure::Length;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

/// Trim the layers of a seam to different widths, so that they do not end in one step.
#[derive(Clone, Debug)]
pub struct Grade {
    /// "the rim seam".
    pub what: String,
    /// The copies that were sewn there.
    pub copies: Vec<CopyId>,
    /// What is left of the layer that will lie outermost, and of the next.
    pub leave: [Length; 2],
}

impl Operation for Grade {
    fn word(&self) -> &'static str {
        "grade"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Grade {}: trim the allowance that will lie toward the outside to {}, and the other \
             to {}.",
            self.what,
            t.len(self.leave[0]),
            t.len(self.leave[1])
        ))
        .mind("do not cut into the stitches, and leave handles their full allowance.")
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        let least = self.leave[0].min(self.leave[1]);
        work.trim_to(&self.copies, least);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}
