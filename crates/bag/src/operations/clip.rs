//! Clip into an allowance, so that a curve or an inner corner can spread.

use measure::Length;

use super::takes::last_seam;
use super::{Operation, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Short cuts into the allowance, square to the edge.
#[derive(Clone, Debug)]
pub struct Clip {
    /// "the curve of the base".
    pub what: String,
    /// The copies that are clipped.
    pub copies: Vec<CopyId>,
    /// How far from cut to cut.
    pub every: Length,
    /// How far from the stitches each cut ends.
    pub leave: Length,
    /// Whether small wedges are cut out instead: round the outside of a curve, where the allowance
    /// would be crowded when the bag is turned.
    pub wedges: bool,
}

impl Operation for Clip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let cut = if self.wedges { "Cut small wedges out of" } else { "Clip into" };
        let told = Told::new(format!(
            "{cut} the allowance of {} every {}, to {} from the stitches.",
            self.what,
            t.len(self.every),
            t.len(self.leave)
        ));
        told.mind("use the points of the scissors, and do not cut into the stitches.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown {
            tools: vec![Tool::Scissors],
            measures: vec![self.every, self.leave],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::default().trim(self.copies.iter().map(|copy| last_seam(work, *copy)).sum())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.trim_to(&self.copies, self.leave);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for Clip {
    const WORD: &'static str = "clip";
}

record!(Clip: "Clip into an allowance, so that a curve or an inner corner can spread." {
    what; "\"the curve of the base\".",
    copies via AtLeastOne; "The copies that are clipped.",
    every; "How far from cut to cut.",
    leave; "How far from the stitches each cut ends.",
    wedges = false; "Whether small wedges are cut out instead, round the outside of a curve.",
});
