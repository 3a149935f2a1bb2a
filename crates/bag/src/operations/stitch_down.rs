//! Stitch one thing down on another, along lines.

use measure::{Length, Point};

use super::{Operation, Phrase, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

/// Stitch something down, or through something, along lines.
#[derive(Clone, Debug)]
pub struct StitchDown {
    /// The sentence up to the stitch length, with its measures.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// What is stitched down where.
    pub items: Vec<StitchedDown>,
    /// Id of the step whose opening these lines close, if they do.
    pub closes: Option<String>,
    /// Stitch length.
    pub stitch: Length,
}

/// One thing, stitched down on a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StitchedDown {
    /// What is stitched down.
    pub what: CopyId,
    /// What it is stitched to.
    pub onto: CopyId,
    /// The stitching lines, in the coordinates of what lies below.
    pub lines: Vec<Line>,
    /// Edges of what is stitched down that these lines hold: no longer raw or loose.
    pub holds: Vec<usize>,
}

/// A straight line of stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

impl Operation for StitchDown {
    fn word(&self) -> &'static str {
        "stitch-down"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told {
            text: format!(
                "{} Backstitch at both ends (stitch length {}).",
                self.how.tell(t),
                t.stitch(self.stitch)
            ),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for item in &self.items {
            work.stitch_down(item);
        }
        if let Some(left_by) = &self.closes {
            work.close(left_by);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.items.iter().flat_map(|item| [item.what, item.onto]).collect()
    }
}
