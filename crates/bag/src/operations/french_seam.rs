//! Join two runs twice, so that the allowances end up inside the seam.

use measure::Length;

use super::join::copies_on;
use super::{Meeting, Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{Seams, record};

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
    /// Whether the two sides have been joined already by another such seam, and so lie right
    /// sides together.
    pub again: bool,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for FrenchSeam {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let lay = if self.again {
            "Turn the work right side out, so that wrong sides meet, pin".to_owned()
        } else if copies_on(&self.seams, 0) == copies_on(&self.seams, 1) {
            format!(
                "With {} folded, wrong sides together, lay its edges on each other, matching the \
                 marks, pin",
                t.names(&copies_on(&self.seams, 0))
            )
        } else {
            format!(
                "Lay {} on {}, wrong sides together, matching the marks, pin",
                t.names(&copies_on(&self.seams, 0)),
                t.names(&copies_on(&self.seams, 1))
            )
        };
        Told::new(format!(
            "{lay}, and sew {} {} from the edge (stitch length {}), backstitching at both ends. \
             Trim the allowances to {}, turn so that right sides meet, press with the seam exactly \
             on the fold, and sew again {} from the fold, backstitching at both ends: the raw \
             edges are now inside the seam. Press it to the back.",
            self.what,
            t.len(self.first),
            t.stitch(self.stitch),
            t.len(self.first.half()),
            t.len(self.second),
        ))
        .mind(
            "the first row is sewn with the wrong sides together, which feels wrong and is right.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, first, second) = (Length::ZERO, self.first, self.second);
        let out = (first + second) * 3;
        let one = Stage::new("wrong sides together")
            .under(&[(zero, 0), (out, 0)])
            .layer(&[(zero, 1), (out, 1)])
            .stitch(out - first, 0, 1)
            .measure(out - first, out, 1);
        let two = Stage::new("then right sides together")
            .layer(&[(zero, 0), (out, 0), (out, 1), (out - first.half(), 1)])
            .under(&[(zero, 3), (out, 3), (out, 2), (out - first.half(), 2)])
            .stitch(out - second, 0, 3)
            .measure(out - second, out, 3);
        Shown { stages: vec![one, two], measures: vec![first, second], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for [one, other] in &self.seams {
            let row = |times| {
                Sewing::new(Stitching::Seam, one.length(), self.stitch).round(one.closed).over(
                    work,
                    &[one, other],
                    times,
                )
            };
            takes.rows.extend([row(1), row(2)]);
            takes = takes.press(one.length() * 2).trim(one.length());
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        let total = self.first + self.second;
        for sides in &self.seams {
            work.join(sides, Meeting::RightSides, [total; 2], Length::ZERO, &[]);
            work.enclose(sides);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [copies_on(&self.seams, 0), copies_on(&self.seams, 1)].concat()
    }
}

impl Worded for FrenchSeam {
    const WORD: &'static str = "french-seam";
}

record!(FrenchSeam: "Join runs twice, so that the raw edges end up inside the seam." {
    what; "What is sewn: \"both side seams\".",
    seams via Seams; "The seams, the two sides of each in the same sewing direction.",
    first; "How far from the edge the first row is sewn, wrong sides together.",
    second; "How far from the fold the second row is sewn, right sides together.",
    again; "Whether another such seam has joined the two sides already.",
    stitch; "Stitch length.",
});
