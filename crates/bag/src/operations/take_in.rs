//! Take in fullness: fold pleats or draw gathers, until an edge has the length it is sewn on with.

use measure::Length;

use super::takes::edge_length;
use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, record, words};

/// Take in the fullness of an edge, so that the piece lies narrower than it is cut.
#[derive(Clone, Debug)]
pub struct TakeIn {
    /// "the lower edge of the pocket".
    pub what: String,
    /// Which edges of which copies, all of one length.
    pub edges: Vec<(CopyId, usize)>,
    /// How long each edge is when it is taken in, from side to side of the piece as it lies.
    pub to: Length,
    /// How.
    pub how: Fullness,
    /// Stitch length.
    pub stitch: Length,
}

/// How fullness is taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fullness {
    /// So many pleats, all of one depth.
    Pleats(u32),
    /// Gathers, drawn up on two rows of long stitches.
    Gathers,
}

impl Operation for TakeIn {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let long = self
            .edges
            .first()
            .map_or(self.to, |(copy, edge)| t.pattern.piece_of(*copy).net.edge_length(*edge));
        let over = long - self.to;
        match self.how {
            Fullness::Pleats(count) => {
                let each = over / i64::from(count.max(1));
                let pleats = if count == 1 { "one pleat" } else { "pleats" };
                let deep = if count == 1 { String::new() } else { " each".to_owned() };
                Told::new(format!(
                    "Fold {} into {}{pleats} between the marks, so that {}{deep} are taken in and \
                     it measures {} from side to side. Press the folds and baste across them, \
                     within the allowance (stitch length {}).",
                    self.what,
                    if count == 1 { String::new() } else { format!("{count} ") },
                    t.len(each),
                    t.len(self.to),
                    t.stitch(self.stitch)
                ))
                .mind(
                    "fold the pleats of both sides toward the sides, so that the pocket opens \
                       evenly.",
                )
            }
            Fullness::Gathers => Told::new(format!(
                "Gather {} from {} to {}: sew two rows of long stitches within the allowance \
                 (stitch length {}), leave the ends long, draw up the bobbin threads, spread the \
                 gathers evenly and knot the ends.",
                self.what,
                t.len(long),
                t.len(self.to),
                t.stitch(self.stitch)
            ))
            .mind("draw both threads at once: a single one breaks."),
        }
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let row = |(copy, edge): &(CopyId, usize)| Row {
            beside: Along::Raw(Run::edge(t.pattern, *copy, *edge)),
            from: Length::ZERO,
            kind: RowKind::Baste,
        };
        let rows = self.edges.iter().map(row).collect();
        Shown { rows, measures: vec![self.to], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut takes = Takes::default();
        for (copy, edge) in &self.edges {
            // Pleats are basted across as they lie; gathers are drawn up on two rows along the edge.
            let (rows, length) = match self.how {
                Fullness::Pleats(_) => (1, self.to),
                Fullness::Gathers => (2, edge_length(work, *copy, *edge)),
            };
            let row = Sewing::new(Stitching::Baste, length, self.stitch).times(rows);
            takes.rows.push(row.through(*copy, 1));
            takes = takes.press(self.to);
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (copy, edge) in &self.edges {
            work.take_in(*copy, *edge, self.to);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.edges.iter().map(|(copy, _)| *copy).collect()
    }
}

impl Worded for TakeIn {
    const WORD: &'static str = "take-in";
}

words!(Fullness { "gathers" => Gathers; "pleats": Pleats(u32) });

record!(TakeIn: "Take in the fullness of an edge with pleats or gathers, so that a piece lies narrower than it is cut." {
    what; "\"the lower edge of the pocket\".",
    edges via AtLeastOne; "Which edges of which copies, all of one length.",
    to; "How long each edge is when it is taken in, from side to side of the piece as it lies.",
    how; "With gathers, or with so many pleats.",
    stitch; "Stitch length.",
});
