//! Transfer the marks.

use super::{Operation, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, InterfacingHold, Pattern};
use crate::record::{Datum, Fields, record};

/// Transfer the marks of pieces to the fabric.
#[derive(Clone, Debug)]
pub struct MarkPieces {
    /// The copies that carry marks.
    pub copies: Vec<CopyId>,
}

impl Operation for MarkPieces {
    fn word(&self) -> &'static str {
        Self::WORD
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let told = Told::new(format!(
            "Transfer the marks to {}: clip notches no deeper than half the seam allowance, and \
             draw lines with a marker that you have tried on a scrap and that comes out again: \
             where something will lie, on the side on which it will lie; boxing lines and \
             openings on the wrong side. The drawings of the pieces give every measure.",
            t.names(&self.copies)
        ));
        let ironed = |copy: &CopyId| {
            let on = t.pattern.piece_of(*copy).interfacing;
            on.is_some_and(|on| on.hold == InterfacingHold::Fused)
        };
        if self.copies.iter().any(ironed) {
            told.mind(
                "the iron can fix some markers for good and make others vanish: on what is fused, \
                 draw when it has been fused and is cool.",
            )
        } else {
            told
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "mark");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
    }
}

impl Worded for MarkPieces {
    const WORD: &'static str = "mark";
}

record!(MarkPieces: "Transfer the marks of pieces to the fabric." {
    copies; "The copies that carry marks.",
});
