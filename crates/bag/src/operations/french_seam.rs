//! Join two runs twice, so that the allowances end up inside the seam.

use measure::Length;

use super::join::copies_on;
use super::{Meeting, Operation, Telling, Told};
use crate::assembly::{Assembly, Event};
use crate::pattern::{CopyId, Run};

/// A French seam: wrong sides together, trimmed, turned, and right sides together around it.
#[derive(Clone, Debug)]
pub struct FrenchSeam {
    /// What is sewn: "side seams".
    pub what: String,
    /// The seams, each with its two sides in the same sewing direction.
    pub seams: Vec<[Run; 2]>,
    /// How far from the edge the first row is sewn.
    pub first: Length,
    /// How far from the first seam's fold the second row is sewn.
    pub second: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for FrenchSeam {
    fn word(&self) -> &'static str {
        "french-seam"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Lay {} on {}, wrong sides together, and sew {} {} from the edge (stitch length {}), \
             backstitching at both ends. Trim the allowances to half, turn so that right sides \
             meet, press the seam on its fold, and sew again {} from the fold: the raw edges are \
             now inside the seam. Press it to the back.",
            t.names(&copies_on(&self.seams, 0)),
            t.names(&copies_on(&self.seams, 1)),
            self.what,
            t.len(self.first),
            t.stitch(self.stitch),
            t.len(self.second),
        ))
        .mind(
            "the first row is sewn with the wrong sides together, which feels wrong and is right.",
        )
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        let total = self.first + self.second;
        for sides in &self.seams {
            work.join(sides, [total; 2], &[]);
            work.enclose(sides);
            work.record(Event::Joined {
                sides: sides.clone(),
                meet: Meeting::RightSides,
                allowance: [total; 2],
                ease: Length::ZERO,
                gaps: Vec::new(),
            });
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [copies_on(&self.seams, 0), copies_on(&self.seams, 1)].concat()
    }
}
