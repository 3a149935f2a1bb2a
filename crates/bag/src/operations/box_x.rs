//! The box with a cross in it that holds a strap.

use measure::Length;

use super::{Operation, Phrase, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

/// Sew a box with a cross in it through straps and what lies below.
#[derive(Clone, Debug)]
pub struct BoxAndX {
    /// The straps that are held.
    pub straps: Vec<CopyId>,
    /// The copies that they are sewn to.
    pub onto: Vec<CopyId>,
    /// Where: "below the mark where the strap comes free".
    pub where_: Phrase,
    /// Width × height of the box.
    pub size: (Length, Length),
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for BoxAndX {
    fn word(&self) -> &'static str {
        "box-and-x"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let (width, height) = self.size;
        Told::new(format!(
            "Sew a box with a cross in it, {} wide and {} high, through {} and {}, {} (stitch \
             length {}). Go round the box once, sew both diagonals, and go over the upper side \
             again: this box carries the load.",
            t.len(width),
            t.len(height),
            t.names(&self.straps),
            t.names(&self.onto),
            self.where_.tell(t),
            t.stitch(self.stitch),
        ))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strap in &self.straps {
            for onto in &self.onto {
                work.ride(*strap, *onto);
            }
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [self.straps.clone(), self.onto.clone()].concat()
    }
}
