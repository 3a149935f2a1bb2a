//! Put one body into another.

use super::{Hand, Meeting, Operation, SlipstitchToZip, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Step};
use crate::record::record;

/// Put one bag into the other: the outside, right side out, into the lining, wrong side out, so that
/// right sides meet; or the lining into the outside as they will stay, wrong sides meeting.
#[derive(Clone, Debug)]
pub struct DropIn {
    /// A copy of the body that goes in.
    pub inner: CopyId,
    /// A copy of the body around it.
    pub outer: CopyId,
    /// Which faces meet.
    pub meet: Meeting,
}

impl DropIn {
    /// Whether it is a lining that is then sewn to a zip.
    fn is_sewn_to_zip(&self, t: &Telling<'_>) -> bool {
        let mut stitched = t.pattern.steps.iter().filter_map(Step::as_a::<SlipstitchToZip>);
        stitched.any(|stitch| stitch.copies().contains(&self.inner))
    }
}

impl Operation for DropIn {
    fn tell(&self, t: &Telling<'_>) -> Told {
        if self.meet == Meeting::WrongSides && self.is_sewn_to_zip(t) {
            return Told::new(
                "Leave the lining wrong side out, and put it through the open zip into the outside, \
                 which is right side out, so that wrong sides meet. Push it in until it lies against \
                 the outside everywhere, seam on seam, and match the centre marks along the zip.",
            )
            .mind("smooth the lining from the base up: what sags now stays so.");
        }
        if self.meet == Meeting::WrongSides {
            return Told::new(
                "Leave the lining wrong side out, and put it down into the outside, which is right \
                 side out, so that wrong sides meet. Push it into the corners, and match the side \
                 seams and the centre marks at the rim.",
            )
            .mind("smooth the lining from the base up: what sags now stays so.");
        }
        let handles = if t.pattern.claims.handles.is_empty() {
            ""
        } else {
            "tuck the handles down between outside and lining, and "
        };
        Told::new(
            "Leave the lining wrong side out. Put the outside, right side out, down into it, so \
             that right sides meet. Match the side seams and the centre marks at the rim, and pin \
             all the way round.",
        )
        .mind(format!("{handles}keep everything except the two raw rims away from the pins."))
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Turn, 1).in_hand()
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.drop_in(self.inner, self.outer, self.meet);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.inner, self.outer]
    }
}

impl Worded for DropIn {
    const WORD: &'static str = "drop-in";
}

record!(DropIn: "Put one bag, right side out, into another, wrong side out, so that right sides meet; or the other way round." {
    inner; "A copy of the bag that goes in.",
    outer; "A copy of the bag around it.",
    meet = Meeting::RightSides; "Which faces meet. Left out: right sides.",
});
