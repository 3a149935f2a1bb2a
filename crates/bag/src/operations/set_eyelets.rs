//! Set eyelets by hand through the finished rim.

use measure::{Length, Point};

use super::hardware::Spots;
use super::{Hand, Operation, Phrase, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Set eyelets through every layer near the rim, when the bag is finished.
#[derive(Clone, Debug)]
pub struct SetEyelets {
    /// What: "four eyelets".
    pub what: String,
    /// Where: panels and points on them.
    pub at: Vec<(CopyId, Point)>,
    /// Width of the hole.
    pub hole: Length,
    /// Where that is, with its measures.
    pub how: Phrase,
}

impl Operation for SetEyelets {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Set {} with a hole of {} through all layers {}. Punch or cut the hole a little \
             smaller than the shank, push the shank through from the right side, lay \
             the washer on, and close it.",
            self.what,
            t.len(self.hole),
            self.how.tell(t)
        ))
        .mind("wear eye protection when you set them with a hammer, and try one on a scrap with as many layers.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { spots: self.at.clone(), measures: self.how.lengths().collect(), ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Eyelet, self.at.len())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (copy, at) in &self.at {
            work.pierce_by_hand(*copy, *at);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        Spots::copies(&self.at)
    }
}

record!(SetEyelets: "Set eyelets by hand through every layer near a finished rim." {
    what; "What: \"four eyelets\".",
    at via Spots; "Where: panels and points on them.",
    hole; "Width of the hole.",
    how; "Where that is, with its measures.",
});

impl Worded for SetEyelets {
    const WORD: &'static str = "set-eyelets";
}
