//! Turn a body right side out.

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

/// Turn a body right side out.
#[derive(Clone, Debug)]
pub struct Turn {
    /// What is turned: "the bag".
    pub what: String,
    /// A copy that belongs to the body.
    pub body: CopyId,
    /// What it is turned through.
    pub through: Through,
    /// What is done at last: "Push the corners out with a blunt point."
    pub then: String,
}

/// What a body is turned through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Through {
    /// The opening left by this step: its id.
    Opening(String),
    /// Its own mouth, the rim.
    Rim,
}

impl Operation for Turn {
    fn word(&self) -> &'static str {
        "turn"
    }

    fn tell(&self, _: &Telling<'_>) -> Told {
        let through = match &self.through {
            Through::Opening(_) => "through the opening",
            Through::Rim => "through its top edge",
        };
        let then = if self.then.is_empty() { String::new() } else { format!(" {}", self.then) };
        Told::new(format!("Turn {} right side out {through}.{then}", self.what))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.turn(self.body, &self.through);
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.body]
    }
}
