//! Join outside and lining over the tape of a zip.

use measure::Length;

use super::{
    Meeting, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Worded, join::copies_on,
    zip::must_show,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{Seams, record};

/// Sew outside and lining to each other over the tape of a zip, on either side of it: the zip lies
/// between them, and every raw edge at the mouth is enclosed.
#[derive(Clone, Debug)]
pub struct JoinOverZip {
    /// What the zip is called: "the zip".
    pub what: String,
    /// A seam for either side of the zip, each with the outside first.
    pub seams: Vec<[Run; 2]>,
    /// Length of the zip with what covers its ends.
    pub length: Length,
    /// How wide it must show between its two seams, if the size of the bag depends on that.
    pub shows: Option<Length>,
    /// How far from the raw edges it is sewn.
    pub allowance: Length,
    /// How far from its folded edges the mouth is topstitched.
    pub topstitch: Length,
    /// Stitch length of the seams.
    pub stitch: Length,
}

impl Operation for JoinOverZip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let mut sentences = Vec::new();
        for (index, seam) in self.seams.iter().enumerate() {
            let [outside, lining] = [0, 1].map(|side| t.names(&seam[side].copies()));
            let rim = if index == 0 { "the raw rim" } else { "its raw rim" };
            let lay = if index == 0 {
                format!(
                    "Lay {} ({} long) face down on the right side of {outside}, its tape level with \
                     {rim}, centred, and lay {lining} on both, right side down. Sew through all \
                     three with the zip foot, {} from the edge (stitch length {}). Turn both away \
                     from the teeth, wrong sides together, and press.",
                    self.what,
                    t.len(self.length),
                    t.len(self.allowance),
                    t.stitch(self.stitch)
                )
            } else {
                format!(
                    "Sew the other side of the tape between {outside} and {lining} in the same way, \
                     with both sides of the bag exactly opposite each other."
                )
            };
            sentences.push(lay);
        }
        if self.shows.is_some() {
            sentences.push(must_show(self.shows, t).trim_end().to_owned());
        }
        let eased = self.seams.iter().map(ease).max().unwrap_or(Length::ZERO);
        if eased.is_positive() {
            sentences.push(format!(
                "The lining is {} smaller there: stretch it slightly to fit.",
                t.len(eased)
            ));
        }
        sentences.push(format!(
            "Topstitch along both sides of the zip, {} from the folds, through outside and lining.",
            t.len(self.topstitch)
        ));
        Told::new(sentences.join(" ")).mind(
            "open the zip halfway and move its slider out of the way before you sew past it; the \
             ends of the tape must not be caught crooked.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: vec![self.length, self.allowance, self.topstitch], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for [one, other] in &self.seams {
            let row = |kind, times| {
                let row = Sewing::new(kind, one.length(), self.stitch);
                row.over(work, &[one, other], times)
            };
            takes.rows.extend([row(Stitching::Seam, 1), row(Stitching::Shown, 2)]);
            takes = takes.press(one.length());
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for sides in &self.seams {
            work.join(sides, Meeting::RightSides, [self.allowance; 2], ease(sides), &[]);
            work.zip_shows(&[&sides[0], &sides[1]], self.shows);
        }
        work.lie_across_zip(&self.seams);
    }

    fn copies(&self) -> Vec<CopyId> {
        [copies_on(&self.seams, 0), copies_on(&self.seams, 1)].concat()
    }
}

/// How much longer the outside is than its lining, which may be cut a little smaller.
fn ease([outside, lining]: &[Run; 2]) -> Length {
    outside.length() - lining.length()
}

impl Worded for JoinOverZip {
    const WORD: &'static str = "join-over-zip";
}

record!(JoinOverZip: "Sew outside and lining to each other over the tape of a zip, on either side of it." {
    what; "What the zip is called: \"the zip\".",
    seams via Seams; "A seam for either side of the zip, each with the outside first.",
    length; "Length of the zip with what covers its ends.",
    shows; "How wide it must show between its two seams, if the size of the bag depends on that.",
    allowance; "How far from the raw edges it is sewn.",
    topstitch; "How far from its folded edges the mouth is topstitched.",
    stitch; "Stitch length of the seams.",
});
