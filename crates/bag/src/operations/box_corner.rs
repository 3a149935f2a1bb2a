//! Box the corners of a bag.

use measure::Length;

use super::{EdgeFinish, Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, half_depth};

/// Box the base corners: fold side seam onto base seam and sew across.
#[derive(Clone, Debug)]
pub struct BoxCorner {
    /// What is boxed: "the outside".
    pub what: String,
    /// The corners; each is the corner of every panel that meets there.
    pub corners: Vec<Vec<Corner>>,
    /// Distance of the stitching line from the tip, along the seams.
    pub tip: Length,
    /// Length of the stitching line, which is the depth of the bag.
    pub depth: Length,
    /// Seam allowance that is left beyond the stitching line.
    pub leave: Length,
    /// Stitch length.
    pub stitch: Length,
    /// How the raw edge is then finished, if it stays in sight.
    pub finish: Option<EdgeFinish>,
}

/// One panel's corner: where two of its edges meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Corner {
    /// The panel.
    pub copy: CopyId,
    /// Index of its side edge.
    pub side: usize,
    /// Index of its base edge.
    pub base: usize,
    /// Where the side edge crosses the fold at the base, for a panel that is folded there and has
    /// no base seam: distance along the side edge. The fold is square to the side.
    pub fold: Option<Length>,
}

impl Corner {
    /// How far the corner reaches up from the base when it is boxed at a distance from the tip:
    /// half the depth. On a fold square to the side that is the distance itself.
    pub fn half_depth(&self, pattern: &Pattern, tip: Length) -> Length {
        match self.fold {
            Some(_) => tip,
            None => half_depth(pattern, self.copy, self.side, self.base, tip),
        }
    }
}

impl Operation for BoxCorner {
    fn word(&self) -> &'static str {
        "box-corner"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let finish = match self.finish {
            None => "",
            Some(EdgeFinish::Overcast) => " Overcast the raw edges together.",
            Some(EdgeFinish::Bound(_)) => {
                " Bind the raw edges together with a piece of the binding, its ends turned in."
            }
        };
        Told::new(format!(
            "Box the corners of {}. At each base corner, lay the side seam exactly on the base \
             seam, right sides together, so that the corner makes a point. Measure {} from the \
             tip of the stitching along the seam, and draw a line square across it: it must be {} \
             long from fold to fold. Sew on the line (stitch length {}), backstitching at both \
             ends, and sew over it once more. Trim the point to {} from the stitches.{finish}",
            self.what,
            t.len(self.tip),
            t.len(self.depth),
            t.stitch(self.stitch),
            t.len(self.leave),
        ))
        .mind(
            "measure from where the seams' stitches meet, not from the raw tip, and measure \
             both corners before you cut either.",
        )
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.box_corners(&self.corners, self.tip, self.depth, self.finish.is_some());
    }

    fn copies(&self) -> Vec<CopyId> {
        self.corners.iter().flatten().map(|corner| corner.copy).collect()
    }
}
