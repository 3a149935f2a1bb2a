//! Turn the top of a bag down over its outside.

use measure::Length;

use super::{Operation, Phrase, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{record, words};

/// Turn the top of a bag down: a cuff that shows the inside, or a top that is folded over to the
/// front.
#[derive(Clone, Debug)]
pub struct TurnDown {
    /// The rim: every edge of the outside at it.
    pub rim: Run,
    /// How far down it comes.
    pub depth: Length,
    /// Which way it goes.
    pub over: Over,
    /// The whole instruction, with its measures.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
}

/// Which way a top is turned down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// All the way round over the outside.
    Outside,
    /// Front and back together, over the front.
    Front,
}

impl Operation for TurnDown {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told { text: self.how.tell(t), mind: self.mind.as_ref().map(|mind| mind.tell(t)) }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let measures = self.how.lengths().collect();
        Shown { tools: vec![Tool::Iron], measures, ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().press(self.rim.length())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.turn_down(&self.rim, self.depth, self.over);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.rim.copies()
    }
}

impl Worded for TurnDown {
    const WORD: &'static str = "turn-down";
}

record!(TurnDown: "Turn the top of a finished bag down: a cuff that shows the inside, or a top that is folded over to the front." {
    rim; "The rim: every edge of the outside at it.",
    depth; "How far down it comes.",
    over; "Which way it goes: all the way round over the outside, or front and back together over the front.",
    how; "The whole instruction, with its measures.",
    mind; "Where people go wrong.",
});

words!(Over { "outside" => Outside, "front" => Front });
