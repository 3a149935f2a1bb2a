//! Cut a slit into a panel.

use measure::Point;

use super::{Line, Operation, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Cut a panel open within its edges: for a pocket or a zip.
#[derive(Clone, Debug)]
pub struct Slit {
    /// The panel.
    pub copy: CopyId,
    /// Where the slit begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

impl Operation for Slit {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Cut a slit {} long into the {} along its mark, and into its corners in a small Y at \
             both ends.",
            t.len(self.from.distance(self.to)),
            t.name(self.copy)
        ))
        .mind("stay within the stitched box, and stop a thread's width short of its corners.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let line = Line { from: self.from, to: self.to };
        Shown {
            snips: vec![(self.copy, line)],
            tools: vec![Tool::Scissors],
            measures: vec![self.from.distance(self.to)],
            ..Shown::default()
        }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().trim(self.from.distance(self.to)).in_hand()
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.slit(self.copy, self.from, self.to);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.copy]
    }
}

impl Worded for Slit {
    const WORD: &'static str = "slit";
}

record!(Slit: "Cut a panel open within its edges: for a pocket or a zip." {
    copy; "The panel.",
    from; "Where the slit begins.",
    to; "Where it ends.",
});
