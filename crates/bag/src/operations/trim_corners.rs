//! Trim corners, so that they turn out sharp.

use measure::Length;

use super::{Operation, Shown, Takes, Telling, Told, Tool, Worded, across_corners};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Cut the allowances across at the corners of a seam.
#[derive(Clone, Debug)]
pub struct TrimCorners {
    /// Whose corners, where that is said more shortly than by all their names: "each divider".
    pub what: Option<String>,
    /// The copies that were sewn there.
    pub copies: Vec<CopyId>,
    /// How far from the stitches.
    pub leave: Length,
}

impl Operation for TrimCorners {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Cut the seam allowances of {} diagonally across each corner, {} from the stitches.",
            self.what.clone().unwrap_or_else(|| t.names(&self.copies)),
            t.len(self.leave)
        ))
        .mind("do not cut into the stitches.")
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let corners = |copy: &CopyId| {
            let snips = across_corners(t.pattern, *copy, self.leave);
            snips.into_iter().map(|line| (*copy, line)).collect::<Vec<_>>()
        };
        Shown {
            snips: self.copies.iter().flat_map(corners).collect(),
            tools: vec![Tool::Scissors],
            measures: vec![self.leave],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        // Four corners or fewer, each with a cut as long as the allowance is wide and back.
        let corners: usize =
            self.copies.iter().map(|copy| work.pattern.piece_of(*copy).net.edge_count()).sum();
        Takes::default().trim(Length::INCH * i64::try_from(corners).unwrap_or(0))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.trim_to(&self.copies, self.leave);
        for copy in one_of_each_body(work, &self.copies) {
            work.needs_wrong_side(copy, "trim");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

/// Of each body that these belong to, the first.
fn one_of_each_body(work: &Assembly<'_>, copies: &[CopyId]) -> Vec<CopyId> {
    let mut first: Vec<CopyId> = Vec::new();
    for copy in copies {
        if !first.iter().any(|one| work.is_one_body(*one, *copy)) {
            first.push(*copy);
        }
    }
    first
}

impl Worded for TrimCorners {
    const WORD: &'static str = "trim-corners";
}

record!(TrimCorners: "Cut the allowances across at the corners of a seam." {
    what; "Whose corners, where that is said more shortly than by all their names: \"each divider\".",
    copies via AtLeastOne; "The copies that were sewn there.",
    leave; "How far from the stitches.",
});
