//! Close an opening.

use measure::Length;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

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
    fn word(&self) -> &'static str {
        "close-gap"
    }

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

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.close(&self.left_by);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.copy]
    }
}
