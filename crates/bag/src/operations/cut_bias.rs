//! Cut bias strips from squares, and join them.

use measure::{Length, Point, System};

use super::{Line, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record};

/// Cut squares into strips at 45° to the grain, and join these to one.
#[derive(Clone, Debug)]
pub struct CutBias {
    /// The squares.
    pub squares: Vec<CopyId>,
    /// Width of the strips.
    pub strip: Length,
    /// How long the joined strip must be.
    pub long: Length,
    /// Stitch length.
    pub stitch: Length,
}

/// How long a cut straight across a strip of that width is when it runs at 45°, along the grain.
fn slanted(strip: Length) -> Length {
    Length::from_mm_f64(strip.to_mm() * core::f64::consts::SQRT_2)
}

impl CutBias {
    /// The step by which a piece is cut into bias strips, by its place among the steps.
    pub fn of_piece<'a>(pattern: &'a Pattern, piece: &str) -> Option<(usize, &'a Self)> {
        pattern.steps.iter().enumerate().find_map(|(at, step)| {
            let cut = step.as_a::<Self>()?;
            let of = |copy: &CopyId| pattern.piece_of(*copy).id == piece;
            cut.squares.iter().any(of).then_some((at, cut))
        })
    }

    /// Cuts across a piece from edge to edge, at 45° to its sides: that from corner to corner first,
    /// and on either side of it one strip after the other.
    fn cuts(&self, pattern: &Pattern, copy: CopyId) -> Vec<Line> {
        let (low, high) = pattern.piece_of(copy).net.bounds();
        let (wide, tall) = (high.x - low.x, high.y - low.y);
        let step = slanted(self.strip);
        if !step.is_positive() {
            return Vec::new();
        }
        let mut lines = Vec::new();
        let mut out = Length::ZERO;
        while out < wide.max(tall) && lines.len() < 400 {
            // The line y = x + out, and y = x - out.
            let up = (Point::new(low.x, low.y + out), (tall - out).min(wide));
            let right = (Point::new(low.x + out, low.y), (wide - out).min(tall));
            let sides = if out.is_positive() { vec![up, right] } else { vec![up] };
            for (from, run) in sides {
                if run.is_positive() {
                    lines.push(Line { from, to: Point::new(from.x + run, from.y + run) });
                }
            }
            out += step;
        }
        lines
    }
}

/// By how much strips are joined to a longer one: 1/4 in (6 mm), common practice, no source.
pub(crate) fn strip_seam(system: System) -> Length {
    match system {
        System::Inch => Length::inch_frac(1, 4),
        System::Metric => Length::mm(6),
    }
}

impl Operation for CutBias {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let each = match self.squares.len() {
            1 => "it",
            _ => "each of them",
        };
        Told::new(format!(
            "Cut {} into bias strips {} wide: cut {each} from corner to corner, lay the ruler along \
             that cut, and cut one strip after the other on either side of it. Join them at their \
             slanted ends with seams of {}, right sides together, until the strip is {} long in all \
             (stitch length {}). Press the joins open, and cut off the points that stand out beside \
             them.",
            t.names(&self.squares),
            t.len(self.strip),
            t.len(strip_seam(t.system)),
            t.len(self.long),
            t.stitch(self.stitch),
        ))
        .mind(
            "do not pull at the strip, and press it without pushing the iron along: it was cut on the \
             bias so that it stretches round curves, and it should do so only there.",
        )
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let cuts = |copy: &CopyId| {
            let copy = *copy;
            self.cuts(t.pattern, copy).into_iter().map(move |line| (copy, line))
        };
        // From the middle of the first cut straight across to the next one.
        let across = self.squares.first().map(|copy| {
            let (low, high) = t.pattern.piece_of(*copy).net.bounds();
            let from = Point::new((low.x + high.x).half(), (low.y + high.y).half());
            let aside = slanted(self.strip).half();
            (*copy, Line { from, to: Point::new(from.x + aside, from.y - aside) })
        });
        Shown {
            across: across.into_iter().collect(),
            snips: self.squares.iter().flat_map(cuts).collect(),
            tools: vec![Tool::Scissors],
            measures: vec![self.strip, self.long],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for copy in &self.squares {
            let cuts = self.cuts(work.pattern, *copy);
            let long: Length = cuts.iter().map(|line| line.from.distance(line.to)).sum();
            let end = slanted(self.strip);
            let row = Sewing::new(Stitching::Seam, end, self.stitch);
            takes.rows.push(row.times(cuts.len()).through(*copy, 2));
            takes = takes.trim(long).press(end * i64::try_from(cuts.len()).unwrap_or(1));
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.squares {
            work.needs_fresh(*copy, "cut bias strips from");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.squares.clone()
    }
}

impl Worded for CutBias {
    const WORD: &'static str = "cut-bias";
}

record!(CutBias: "Cut squares into strips at 45° to the grain, and join these to one." {
    squares via AtLeastOne; "The squares.",
    strip; "Width of the strips.",
    long; "How long the joined strip must be.",
    stitch; "Stitch length.",
});
