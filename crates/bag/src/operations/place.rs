//! Place one thing on another, and baste it there.

use measure::{Length, Point};

use super::{Operation, Phrase, Telling, Told};
use crate::assembly::{Assembly, Event};
use crate::pattern::CopyId;

/// Place things on copies, each at its position, and hold them there for the time being.
#[derive(Clone, Debug)]
pub struct Place {
    /// What is placed where.
    pub items: Vec<Placed>,
    /// The whole instruction, with its measures: how it lies, and against what.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// What holds it.
    pub attach: Attach,
}

/// One thing, placed on a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// What is placed.
    pub what: CopyId,
    /// What it lies on.
    pub onto: CopyId,
    /// Where the lower left corner of its stitching line comes, in that copy's coordinates.
    pub at: Point,
    /// Edges of it that lie level with edges of what is below, and are caught with them later:
    /// (its edge, the copy below, that copy's edge).
    pub level: Vec<(usize, CopyId, usize)>,
}

/// What holds something in its place for the time being.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attach {
    /// Basted within the seam allowance, this far from the edge.
    Baste(Length),
    /// Pinned.
    Pin,
}

impl Operation for Place {
    fn word(&self) -> &'static str {
        "place"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let held = match self.attach {
            Attach::Baste(from_edge) => format!(
                "Baste it along its raw edges, {} from the edge, within the seam allowance.",
                t.len(from_edge)
            ),
            Attach::Pin => "Pin it.".to_owned(),
        };
        Told {
            text: format!("{} {held}", self.how.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for item in &self.items {
            work.ride(item.what, item.onto);
            for (edge, onto, host_edge) in &item.level {
                work.baste_level(item.what, *edge, *onto, *host_edge);
            }
            work.record(Event::Placed { what: item.what, onto: item.onto, at: item.at });
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.items.iter().flat_map(|item| [item.what, item.onto]).collect()
    }
}
