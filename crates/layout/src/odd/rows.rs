//! Which pieces lie near a height: a long strip of fabric in rows, so that a piece is held only
//! against those that it can meet.

use super::apart::Apart;
use super::board::Lie;

/// Pieces by the height of their lower edge.
pub(crate) struct Rows {
    /// The height of a row: pieces whose lower edges are farther apart never meet.
    pub(crate) height: i64,
    rows: Vec<Vec<usize>>,
    /// How far the highest piece reaches, with all that it bars.
    pub(crate) top: i64,
}

impl Rows {
    /// Rows without pieces.
    pub(crate) fn new(apart: &Apart) -> Self {
        Self { height: apart.farthest(), rows: Vec::new(), top: 0 }
    }

    fn row(&self, height: i64) -> usize {
        usize::try_from(height.max(0) / self.height).unwrap_or(0)
    }

    /// Adds a piece.
    pub(crate) fn add(&mut self, unit: usize, lie: Lie) {
        let row = self.row(lie.at.1);
        if self.rows.len() <= row {
            self.rows.resize(row + 1, Vec::new());
        }
        self.rows[row].push(unit);
        self.top = self.top.max(lie.at.1 + self.height);
    }

    /// Takes a piece away.
    pub(crate) fn take(&mut self, unit: usize, lie: Lie) {
        let row = self.row(lie.at.1);
        if let Some(row) = self.rows.get_mut(row) {
            row.retain(|other| *other != unit);
        }
    }

    /// All pieces that something at a height from `low` to `high` can meet, and some more.
    pub(crate) fn near(&self, low: i64, high: i64) -> impl Iterator<Item = usize> + '_ {
        let first = self.row(low - self.height).min(self.rows.len());
        let end = (self.row(high + self.height) + 1).min(self.rows.len()).max(first);
        self.rows[first..end].iter().flatten().copied()
    }
}
