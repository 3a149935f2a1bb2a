//! Close an opening.

use measure::Length;

use super::takes::left_open;
use super::{
    Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, USUAL_STITCH, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{StepId, record, words};

/// Close the opening that an earlier step left.
#[derive(Clone, Debug)]
pub struct CloseGap {
    /// Id of the step that left it.
    pub left_by: String,
    /// A copy that it lies in.
    pub copy: CopyId,
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
        Told::new(format!(
            "Turn in the seam allowances of the opening by {}, press and pin, and {how}.",
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
        let length = left_open(work, &self.left_by);
        let kind = match self.closing {
            Closing::Machine => Stitching::Shown,
            Closing::Hand => Stitching::Hand,
        };
        Takes::rows([Sewing::new(kind, length, USUAL_STITCH).through(self.copy, 4)]).press(length)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.close(&self.left_by);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.copy]
    }
}

impl Worded for CloseGap {
    const WORD: &'static str = "close-gap";
}

record!(CloseGap: "Close an opening that an earlier step left." {
    left_by via StepId; "The step that left it.",
    copy; "A copy that it lies in.",
    closing; "How: by machine close to the folded edges, or by hand with a slip stitch.",
    allowance; "Seam allowance to turn in.",
});

words!(Closing { "machine" => Machine, "hand" => Hand });
