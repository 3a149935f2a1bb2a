//! Close openings.

use measure::Length;

use super::takes::left_open;
use super::{
    Join, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, USUAL_STITCH, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Step};
use crate::record::{AtLeastOne, StepId, record, words};

/// Close the openings that an earlier step left.
#[derive(Clone, Debug)]
pub struct CloseGap {
    /// Id of the step that left them.
    pub left_by: String,
    /// For each a copy in which it lies.
    pub copies: Vec<CopyId>,
    /// How.
    pub closing: Closing,
    /// Seam allowance to turn in.
    pub allowance: Length,
}

/// How an opening is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closing {
    /// By machine, close to the folded edges.
    Machine,
    /// By hand, with a slip stitch.
    Hand,
}

impl Operation for CloseGap {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let how = match self.closing {
            Closing::Machine => format!(
                "stitch it closed by machine, {} from the folded edges, backstitching at both ends",
                t.len(match t.system {
                    measure::System::Inch => Length::inch_frac(1, 8),
                    measure::System::Metric => Length::mm(3),
                })
            ),
            Closing::Hand => "close it by hand with a slip stitch".to_owned(),
        };
        let left_by = t.pattern.step(&self.left_by);
        let several = left_by.and_then(Step::as_a::<Join>).is_some_and(Join::opens_several);
        let which = if several { "each opening" } else { "the opening" };
        Told::new(format!(
            "Turn in the seam allowances of {which} by {}, press and pin, and {how}.",
            t.len(self.allowance)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let tool = match self.closing {
            Closing::Hand => vec![Tool::Needle],
            Closing::Machine => Vec::new(),
        };
        Shown { tools: tool, measures: vec![self.allowance], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let (all, number) = (left_open(work, &self.left_by), self.copies.len().max(1));
        let length = all / i64::try_from(number).unwrap_or(1);
        let kind = match self.closing {
            Closing::Machine => Stitching::Shown,
            Closing::Hand => Stitching::Hand,
        };
        let row = |copy: &CopyId| Sewing::new(kind, length, USUAL_STITCH).through(*copy, 4);
        Takes::rows(self.copies.iter().map(row)).press(all)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.close(&self.left_by);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for CloseGap {
    const WORD: &'static str = "close-gap";
}

record!(CloseGap: "Close the openings that an earlier step left." {
    left_by via StepId; "The step that left them.",
    copies via AtLeastOne; "For each a copy in which it lies.",
    closing; "How: by machine close to the folded edges, or by hand with a slip stitch.",
    allowance; "Seam allowance to turn in.",
});

words!(Closing { "machine" => Machine, "hand" => Hand });
