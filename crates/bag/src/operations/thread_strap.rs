//! Thread a strap through its slider and rings.

use super::{Hand, Operation, Phrase, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Thread straps through hardware, nothing sewn.
#[derive(Clone, Debug)]
pub struct ThreadStrap {
    /// The straps.
    pub straps: Vec<CopyId>,
    /// How they run.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
}

impl Operation for ThreadStrap {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told { text: self.how.tell(t), mind: self.mind.as_ref().map(|mind| mind.tell(t)) }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: self.how.lengths().collect(), ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Draw, self.straps.len())
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        self.straps.clone()
    }
}

record!(ThreadStrap: "Thread straps through a slider, rings or eyelets; nothing is sewn." {
    straps via AtLeastOne; "The straps.",
    how; "How they run, the whole sentence.",
    mind; "Where people go wrong.",
});

impl Worded for ThreadStrap {
    const WORD: &'static str = "thread-strap";
}
