//! Join strips end to end, to make a strap longer than the fabric is wide.

use measure::Length;

use super::{
    Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, USUAL_STITCH, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, StripPlace};
use crate::record::{AtLeastOne, record};

/// Join strips end to end.
#[derive(Clone, Debug)]
pub struct JoinStrips {
    /// The straps that result.
    pub straps: Vec<CopyId>,
    /// Seam allowance of a join.
    pub allowance: Length,
    /// Where the joins lie.
    pub place: StripPlace,
    /// Cut length of each finished strap.
    pub length: Length,
}

impl Operation for JoinStrips {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let allowance = t.len(self.allowance);
        let length = t.len(self.length);
        let how = match self.place {
            StripPlace::Centre => format!(
                "Sew two equal strips end to end for each handle, right sides together, {allowance} \
                 from the edge, so that the join lies in the middle"
            ),
            StripPlace::Anywhere => format!(
                "Sew the strips of each handle end to end, right sides together, {allowance} from \
                 the edge, in the lengths that the cut list gives"
            ),
            StripPlace::NearEnd(reach) => format!(
                "Sew a short strip to the end of each long one, right sides together, {allowance} \
                 from the edge, so that the join lies no more than {} from an end, where the \
                 handle will be stitched down",
                t.len(reach)
            ),
        };
        Told::new(format!(
            "{how}. Backstitch, and press the joins open. Each handle must be {length} long: \
             measure, and trim the end if it is longer."
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, out) = (Length::ZERO, self.allowance * 4);
        let sewn = Stage::new("end to end")
            .layer(&[(zero, 0), (out, 0)])
            .under(&[(zero, 1), (out, 1)])
            .stitch(out - self.allowance, 0, 1)
            .measure(out - self.allowance, out, 1);
        Shown {
            stages: vec![sewn],
            measures: vec![self.allowance, self.length],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for strap in &self.straps {
            let piece = work.pattern.piece_of(*strap);
            let (width, height) = piece.cut_size();
            let cloth = work.pattern.material(piece.material).cloth();
            let usable = cloth.map_or(self.length, |cloth| cloth.usable_width).to_nm().max(1);
            // At the least: a strip as long as the cloth is wide, and one more for the rest.
            let joins = usize::try_from((self.length.to_nm() - 1) / usable).unwrap_or(0).max(1);
            let row = Sewing::new(Stitching::Seam, width.min(height), USUAL_STITCH);
            takes.rows.push(row.times(joins).through(*strap, 2));
            takes = takes.press(width.min(height) * i64::try_from(joins).unwrap_or(1));
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strap in &self.straps {
            work.needs_fresh(*strap, "join the strips of");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.straps.clone()
    }
}

impl Worded for JoinStrips {
    const WORD: &'static str = "join-strips";
}

record!(JoinStrips: "Join strips end to end, to make a strap longer than the fabric is wide." {
    straps via AtLeastOne; "The straps that result.",
    allowance; "Seam allowance of a join.",
    place; "Where the joins lie.",
    length; "Cut length of each finished strap.",
});
