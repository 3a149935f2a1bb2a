//! Quilt layers together, and trim them to size.

use measure::Length;

use super::{Operation, Placed, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
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
        Told::new(format!(
            "The fabric and {} are cut {} larger on each side than the pattern. Layer them, the \
             right side of the fabric up, pin or spray them together from the middle out, and quilt \
             in rows {} apart, from the middle out (stitch length {}). Quilting draws the layers \
             in: only now trim {}.",
            self.layers,
            t.len(self.larger),
            t.len(self.rows),
            t.stitch(self.stitch),
            super::listed(&sizes)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: vec![self.rows, self.larger], ..Shown::default() }
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
