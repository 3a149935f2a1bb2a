//! Sew something small on by hand.

use measure::Point;

use super::hardware::Spots;
use super::{Hand, Operation, Phrase, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Sew a button, a sew-on snap or the like to points of panels, by hand.
#[derive(Clone, Debug)]
pub struct SewOn {
    /// What: "the button".
    pub what: String,
    /// Where: panels and points on them.
    pub at: Vec<(CopyId, Point)>,
    /// Where and how, with its measures.
    pub how: Phrase,
}

impl Operation for SewOn {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Sew {} on by hand with doubled thread, {}. Finish with a few small stitches on the \
             spot.",
            self.what,
            self.how.tell(t)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown {
            spots: self.at.clone(),
            tools: vec![Tool::Needle],
            measures: self.how.lengths().collect(),
            ..Shown::default()
        }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::SewOn, self.at.len())
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

record!(SewOn: "Sew something small on by hand: a button, a sew-on snap." {
    what; "What: \"the button\".",
    at via Spots; "Where: panels and points on them.",
    how; "Where and how, with its measures.",
});

impl Worded for SewOn {
    const WORD: &'static str = "sew-on";
}
