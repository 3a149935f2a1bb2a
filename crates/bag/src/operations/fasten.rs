//! Fasten small things at points of panels: buttons, buttonholes, hook and loop tape.

use measure::Point;

use super::hardware::Spots;
use super::{Hand, Operation, Phrase, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Sew something small on at points of panels, or make a buttonhole there.
#[derive(Clone, Debug)]
pub struct Fasten {
    /// The whole instruction, with its measures.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// Where: panels, and the middle of it on them.
    pub at: Vec<(CopyId, Point)>,
}

impl Operation for Fasten {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told { text: self.how.tell(t), mind: self.mind.as_ref().map(|mind| mind.tell(t)) }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let measures = self.how.lengths().collect();
        Shown { spots: self.at.clone(), measures, ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Set, self.at.len())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.pierce_layers(&self.at);
    }

    fn copies(&self) -> Vec<CopyId> {
        Spots::copies(&self.at)
    }
}

impl Worded for Fasten {
    const WORD: &'static str = "fasten";
}

record!(Fasten: "Sew something small on at points of panels, or make a buttonhole there." {
    how; "The whole instruction, with its measures.",
    mind; "Where people go wrong.",
    at via Spots; "Where: panels, and the middle of it on them.",
});
