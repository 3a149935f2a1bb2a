//! Pull something through a slit to the other side of a panel.

use super::{Hand, Lies, Operation, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Pull what was stitched round a slit through it to the other side: a pocket bag, a facing.
#[derive(Clone, Debug)]
pub struct PullThrough {
    /// What is pulled through.
    pub what: CopyId,
    /// The panel with the slit.
    pub panel: CopyId,
}

impl Operation for PullThrough {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Pull the {} through the slit to the wrong side of the {}. Pull at the small triangles \
             until both ends lie square, roll the seam exactly to the edge and press: a clean \
             opening results.",
            t.name(self.what),
            t.name(self.panel),
        ))
        .mind("a corner that puckers is not cut far enough; snip one more thread, no more.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { lies: Lies::WrongSideUp, tools: vec![Tool::Iron], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Turn, 1).in_hand()
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.pull_through(self.what, self.panel);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.what, self.panel]
    }
}

impl Worded for PullThrough {
    const WORD: &'static str = "pull-through";
}

record!(PullThrough: "Pull what was stitched round a slit through it to the other side of a panel." {
    what; "What is pulled through.",
    panel; "The panel with the slit.",
});
