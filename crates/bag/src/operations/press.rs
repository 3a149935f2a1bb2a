//! Press a seam or an edge.

use super::{Operation, Phrase, Shown, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{Datum, Fields, record};

/// Press something as told.
#[derive(Clone, Debug)]
pub struct PressSeam {
    /// What, and how: "the rim so that the seam lies exactly on the edge".
    pub what: Phrase,
    /// The copies that are pressed.
    pub copies: Vec<CopyId>,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
}

impl Operation for PressSeam {
    fn word(&self) -> &'static str {
        Self::WORD
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told {
            text: format!("Press {}.", self.what.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown {
            tools: vec![Tool::Iron],
            measures: self.what.lengths().collect(),
            ..Shown::default()
        }
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
    }
}

impl Worded for PressSeam {
    const WORD: &'static str = "press";
}

record!(PressSeam: "Press something as told." {
    what; "What, and how: \"the rim so that the seam lies exactly on the edge\".",
    copies; "The copies that are pressed.",
    mind; "Where people go wrong.",
});
