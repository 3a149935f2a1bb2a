//! Quilt layers together, and trim them to size.

use measure::Length;

use super::{
    Lies, Operation, Placed, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Quilt pieces that were cut larger, and trim them to the size of the pattern.
#[derive(Clone, Debug)]
pub struct Quilt {
    /// The copies.
    pub copies: Vec<CopyId>,
    /// What lies behind: "wadding", "wadding and backing".
    pub layers: String,
    /// Pieces of their own among these, each on the wrong side of what it lies behind.
    pub behind: Vec<Placed>,
    /// How far apart the rows lie.
    pub rows: Length,
    /// How much larger on each side the layers are cut first.
    pub larger: Length,
    /// Stitch length.
    pub stitch: Length,
}

impl Quilt {
    /// Whether a backing lies behind the wadding.
    fn is_backed(&self) -> bool {
        self.copies
            .iter()
            .any(|copy| self.behind.iter().filter(|layer| layer.onto == *copy).count() > 1)
    }
}

impl Operation for Quilt {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let sizes: Vec<String> = self
            .copies
            .iter()
            .map(|copy| {
                let (width, height) = t.pattern.piece_of(*copy).cut_size();
                let size = measure::show_size(width, height, t.system);
                format!("the {} to {size}", t.name(*copy))
            })
            .collect();
        let layer = if self.is_backed() {
            "Layer them: the backing with its right side down, the wadding on it, and the fabric on \
             top with its right side up; smooth each from the middle out, pin or spray them together"
        } else {
            "Layer them, the right side of the fabric up, pin or spray them together from the middle \
             out"
        };
        Told::new(format!(
            "The {} are cut {} larger on each side than the pattern. {layer}, and quilt \
             in rows {} apart, from the middle out (stitch length {}). Quilting draws the layers \
             in: only now trim {}.",
            if self.layers.contains(" and ") {
                format!("fabric, {}", self.layers)
            } else {
                format!("fabric and {}", self.layers)
            },
            t.len(self.larger),
            t.len(self.rows),
            t.stitch(self.stitch),
            super::listed(&sizes)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (zero, row) = (Length::ZERO, self.rows);
        let out = row * 3;
        let span = [(zero, 0), (out, 0)];
        let at = |level| span.map(|(along, _)| (along, level));
        let layers = if self.is_backed() {
            Stage::new("backing, wadding, fabric: quilted")
                .under(&at(0))
                .layer(&at(1))
                .layer(&at(2))
        } else {
            Stage::new("wadding, fabric: quilted").layer(&at(0)).layer(&at(1))
        };
        let top = if self.is_backed() { 2 } else { 1 };
        let stage = [1, 2, 3]
            .into_iter()
            .fold(layers, |stage, count| stage.stitch(row * count - row.half(), 0, top))
            .measure(row.half(), row + row.half(), top);
        Shown {
            lies: Lies::Quilted(self.rows),
            stages: vec![stage],
            measures: vec![self.rows, self.larger],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let row = |copy: &CopyId| {
            let (width, height) = work.pattern.piece_of(*copy).cut_size();
            let (long, wide) = (width.max(height), width.min(height));
            let rows = usize::try_from(wide.to_nm() / self.rows.to_nm().max(1)).unwrap_or(0).max(1);
            let row =
                Sewing::new(Stitching::Shown, long, self.stitch).times(rows).through(*copy, 1);
            let behind = self.behind.iter().filter(|layer| layer.onto == *copy);
            behind.fold(row, |row, layer| row.through(layer.what, 1))
        };
        let around =
            self.copies.iter().map(|copy| work.pattern.piece_of(*copy).net.perimeter()).sum();
        Takes::rows(self.copies.iter().map(row)).trim(around)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "quilt");
        }
        for layer in &self.behind {
            work.place(layer);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        let behind = self.behind.iter().map(|layer| layer.what);
        self.copies.iter().copied().chain(behind).collect()
    }
}

impl Worded for Quilt {
    const WORD: &'static str = "quilt";
}

record!(Quilt: "Quilt pieces that were cut larger, and trim them to the size of the pattern." {
    copies via AtLeastOne; "The copies.",
    layers; "What lies behind: \"wadding\", \"wadding and backing\".",
    behind; "Pieces of their own among these, each on the wrong side of what it lies behind.",
    rows; "How far apart the rows lie.",
    larger; "How much larger on each side the layers are cut first.",
    stitch; "Stitch length.",
});
