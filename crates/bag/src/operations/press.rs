//! Press a seam or an edge.

use super::{Operation, Phrase, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

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
        "press"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told {
            text: format!("Press {}.", self.what.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}
