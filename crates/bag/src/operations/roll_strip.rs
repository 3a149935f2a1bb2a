//! Sew strips to tubes and fill them.

use measure::Length;

use super::{
    Hand, Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded, sentence,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

/// Sew each strip to a tube, right sides together, turn it and draw a filling through.
#[derive(Clone, Debug)]
pub struct RollStrip {
    /// The strips.
    pub strips: Vec<CopyId>,
    /// How far from the long edges the tube is sewn.
    pub allowance: Length,
    /// What is drawn through it: "the filler cord"; empty if the tube stays flat.
    pub filling: String,
    /// How much of each end stays without filling, flat.
    pub flat: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for RollStrip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let fill = if self.filling.is_empty() {
            "Roll the seam to one side and press it flat.".to_owned()
        } else {
            format!(
                "Draw {} through it until {} of either end of the tube stay empty and flat, and \
                 stitch across it there.",
                self.filling,
                t.len(self.flat)
            )
        };
        Told::new(format!(
            "{}: fold in half lengthwise, right sides together, and sew {} from the long edges \
             (stitch length {}). Turn the tube with a safety pin or a tube turner. {fill}",
            sentence(&t.names(&self.strips)),
            t.len(self.allowance),
            t.stitch(self.stitch),
        ))
        .mind("fasten the pin to one layer only, or the end is drawn shut.")
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let a = self.allowance;
        let (zero, out) = (Length::ZERO, a * 5);
        let sewn = Stage::new("right sides together, sew")
            .layer(&[(zero, 0), (out, 0), (out, 1), (zero, 1)])
            .stitch(a, 0, 1)
            .measure(zero, a, 1);
        let turned = Stage::new("turned, the seam inside").under(&[
            (out / 2 - a, 1),
            (out / 2, 2),
            (zero, 2),
            (zero, 0),
            (out, 0),
            (out, 2),
            (out / 2, 2),
            (out / 2 - a, 1),
        ]);
        Shown {
            stages: vec![sewn, turned],
            measures: vec![self.allowance, self.flat],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for strip in &self.strips {
            let (width, height) = work.pattern.piece_of(*strip).cut_size();
            let (long, wide) = (width.max(height), width.min(height));
            takes.rows.push(Sewing::new(Stitching::Seam, long, self.stitch).through(*strip, 2));
            if !self.filling.is_empty() {
                let across = Sewing::new(Stitching::Shown, wide.half(), self.stitch).times(2);
                takes.rows.push(across.through(*strip, 2));
                takes = takes.hand(Hand::Draw, 1);
            }
            takes = takes.press(long).hand(Hand::Draw, 1);
        }
        takes
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        if self.strips.contains(&part) {
            ((size.0 - self.allowance * 2).half(), size.1)
        } else {
            size
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for strip in &self.strips {
            work.needs_fresh(*strip, "sew to a tube");
            work.enclose_long_edges(*strip);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.strips.clone()
    }
}

record!(RollStrip: "Sew strips to tubes, right sides together, turn them and fill them." {
    strips via AtLeastOne; "The strips.",
    allowance; "How far from the long edges the tube is sewn.",
    filling = String::new(); "What is drawn through it. Left out: the tube stays flat.",
    flat = Length::ZERO; "How much of each end stays without filling.",
    stitch; "Stitch length.",
});

impl Worded for RollStrip {
    const WORD: &'static str = "roll-strip";
}
