//! Cut zips from what is sold by the length.

use measure::Length;

use super::{Hand, Operation, Shown, Stage, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Cut zips from what is sold by the length, and put a slider on each.
#[derive(Clone, Debug)]
pub struct CutZip {
    /// What they are called: "the zip", "both zips of the pocket".
    pub what: String,
    /// How many.
    pub count: u32,
    /// How long each is cut.
    pub length: Length,
}

impl Operation for CutZip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let long = t.len(self.length);
        let (cut, slider) = match self.count {
            1 => (long, "the slider"),
            count => (format!("{count} lengths of {long}"), "a slider"),
        };
        Told::new(format!(
            "For {}, cut {cut} of zip that is sold by the length. Push {slider} onto both rows of \
             teeth from one end, as far as the middle, and sew across the teeth several times by hand \
             close to either end, so that it cannot come off.",
            self.what,
        ))
        .mind(
            "the slider goes on with its pull on the upper side, and both rows of teeth enter it \
             equally far.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, long) = (Length::ZERO, self.length);
        let end = long / 16;
        let stage = Stage::new("cut, with its slider on, sewn across at both ends")
            .layer(&[(zero, 0), (long, 0)])
            .under(&[(zero, 1), (long, 1)])
            .stitch(end, 0, 1)
            .stitch(long - end, 0, 1)
            .measure(zero, long, 1);
        Shown { stages: vec![stage], measures: vec![long], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Shorten, self.count as usize)
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        Vec::new()
    }
}

record!(CutZip: "Cut zips from what is sold by the length, and put a slider on each." {
    what; "What they are called: \"the zip\".",
    count; "How many.",
    length; "How long each is cut.",
});

impl Worded for CutZip {
    const WORD: &'static str = "cut-zip";
}
