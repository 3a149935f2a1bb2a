//! Transfer the marks.

use super::box_corner::BOXING_LINE;
use super::{Lies, Operation, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, InterfacingHold, Mark, MarkShape};
use crate::record::{AtLeastOne, record};

/// Transfer the marks of pieces to the fabric.
#[derive(Clone, Debug)]
pub struct MarkPieces {
    /// The copies that carry marks.
    pub copies: Vec<CopyId>,
}

impl Operation for MarkPieces {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let told = Told::new(format!(
            "Transfer the marks to {}: {}. The drawings of the pieces give every measure.",
            t.names(&self.copies),
            self.how(t)
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

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { lies: Lies::Marked, ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes { marked: self.copies.clone(), ..Takes::default() }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "mark");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl MarkPieces {
    fn has(&self, t: &Telling<'_>, wanted: impl Fn(&Mark) -> bool) -> bool {
        self.copies.iter().any(|copy| t.pattern.piece_of(*copy).marks.iter().any(&wanted))
    }

    /// How to mark what there is to mark.
    fn how(&self, t: &Telling<'_>) -> String {
        let boxing = self.has(t, |mark| mark.label == BOXING_LINE);
        let openings = self.has(t, |mark| matches!(mark.shape, MarkShape::Opening { .. }));
        let wrong = match (boxing, openings) {
            (true, true) => "; boxing lines and openings on the wrong side",
            (true, false) => "; boxing lines on the wrong side",
            (false, true) => "; openings on the wrong side",
            (false, false) => "",
        };
        let mut ways = Vec::new();
        if self.has(t, |mark| matches!(mark.shape, MarkShape::Notch { .. })) {
            ways.push("clip notches no deeper than half the seam allowance".to_owned());
        }
        let drawn = |mark: &Mark| !matches!(mark.shape, MarkShape::Notch { .. });
        if self.has(t, drawn) {
            ways.push(format!(
                "draw lines with a marker that you have tried on a scrap and that comes out \
                 again: where something will lie, on the side on which it will lie{wrong}"
            ));
        }
        ways.join(", and ")
    }
}

impl Worded for MarkPieces {
    const WORD: &'static str = "mark";
}

record!(MarkPieces: "Transfer the marks of pieces to the fabric." {
    copies via AtLeastOne; "The copies that carry marks.",
});
