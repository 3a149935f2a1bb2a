//! Grade the allowances of a seam.

use measure::Length;

use super::takes::last_seam;
use super::{Operation, Shown, Stage, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

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

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let [outer, inner] = self.leave;
        let (zero, out) = (Length::ZERO, outer.max(inner) * 4);
        let graded = Stage::new("graded")
            .layer(&[(zero, 0), (out + outer, 0)])
            .under(&[(zero, 1), (out + inner, 1)])
            .stitch(out, 0, 1)
            .measure(out, out + inner, 1)
            .measure(out, out + outer, 3);
        Shown {
            stages: vec![graded],
            tools: vec![Tool::Scissors],
            measures: self.leave.to_vec(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::default().trim(self.copies.iter().map(|copy| last_seam(work, *copy)).sum())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        let least = self.leave[0].min(self.leave[1]);
        work.trim_to(&self.copies, least);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for Grade {
    const WORD: &'static str = "grade";
}

record!(Grade: "Trim the layers of a seam to different widths, so that they do not end in one step." {
    what; "\"the rim seam\".",
    copies via AtLeastOne; "The copies that were sewn there.",
    leave; "What is left of the layer that will lie outermost, and of the next.",
});
