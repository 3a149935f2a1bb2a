//! Turn bodies right side out.

use super::{Hand, Operation, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, Datum, Field, Form, Part, Reader, StepId, record};

/// Turn a body right side out, or several that are alike.
#[derive(Clone, Debug)]
pub struct Turn {
    /// What is turned: "the bag".
    pub what: String,
    /// For each body a copy that belongs to it.
    pub bodies: Vec<CopyId>,
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
    /// One of the open ends of a tube.
    End,
}

impl Operation for Turn {
    fn tell(&self, _: &Telling<'_>) -> Told {
        let through = match &self.through {
            Through::Opening(_) if self.bodies.len() > 1 => "through its opening",
            Through::Opening(_) => "through the opening",
            Through::Rim => "through its top edge",
            Through::End => "through one of its ends",
        };
        let then = if self.then.is_empty() { String::new() } else { format!(" {}", self.then) };
        Told::new(format!("Turn {} right side out {through}.{then}", self.what))
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Turn, self.bodies.len())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for body in &self.bodies {
            work.turn(*body, &self.through);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.bodies.clone()
    }
}

impl Worded for Turn {
    const WORD: &'static str = "turn";
}

record!(Turn: "Turn a bag or a pocket right side out, or several pockets that are alike." {
    what; "What is turned: \"the bag\".",
    bodies via AtLeastOne; "For each of them a copy that belongs to it.",
    through; "What it is turned through: its own rim, an open end, or the opening that a step left.",
    then = String::new(); "What is done at last: \"Push the corners out with a blunt point.\"",
});

impl Field for Through {
    fn takes() -> String {
        "`\"rim\"`, `\"end\"` or `{ opening = STEP }`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(match self {
            Self::Rim => Datum::text("rim"),
            Self::End => Datum::text("end"),
            Self::Opening(step) => Datum::Record(vec![("opening".to_owned(), Datum::text(step))]),
        })
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        match datum {
            Datum::Text(word) if word == "rim" => Some(Self::Rim),
            Datum::Text(word) if word == "end" => Some(Self::End),
            Datum::Text(word) => {
                reader.no_such_word(word, &["rim", "end"], &Self::takes());
                None
            }
            Datum::Record(fields) if fields.len() == 1 && fields[0].0 == "opening" => {
                let key = Part::Key("opening".to_owned());
                let step = reader
                    .within(key, |reader| <StepId as Form<String>>::read(reader, &fields[0].1));
                step.map(Self::Opening)
            }
            other => {
                reader.mistyped(other, &Self::takes());
                None
            }
        }
    }
}
