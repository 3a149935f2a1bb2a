//! Topstitch, edgestitch or understitch.

use measure::Length;

use super::takes::{edge_length, last_seam, mouth};
use super::{
    Along, Operation, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::{AtLeastOne, record, words};

/// A row of stitches that shows, along an edge or a seam.
#[derive(Clone, Debug)]
pub struct Topstitch {
    /// "the rim", "the pocket's top edge".
    pub what: String,
    /// The copies that it goes through.
    pub copies: Vec<CopyId>,
    /// How far from the edge or seam each row lies.
    pub rows: Vec<Length>,
    /// Whether the rows are measured from an edge or from a seam.
    pub beside: Beside,
    /// The edges that each row runs along, if it is not one edge of each: the sides and the lower
    /// edge of a flap.
    pub along: Vec<Run>,
    /// Stitch length.
    pub stitch: Length,
    /// Whether it runs all the way round.
    pub round: bool,
}

/// What a row of topstitching runs beside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// A finished edge.
    Edge,
    /// A seam.
    Seam,
}

impl Operation for Topstitch {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let rows: Vec<String> = self.rows.iter().map(|row| t.len(*row)).collect();
        let ends = if self.round { "all the way round" } else { "from end to end" };
        let beside = match self.beside {
            Beside::Edge => "edge",
            Beside::Seam => "seam",
        };
        // A row round the edge on which handles stand would catch their loops.
        let catches = |copy: CopyId| self.copies.contains(&copy);
        let loops = if self.round
            && self.beside == Beside::Edge
            && t.pattern.claims.handles.iter().any(|handle| catches(handle.on))
        {
            "Fold the loops of the handles down on the outside, away from the needle. "
        } else {
            ""
        };
        Told::new(format!(
            "{loops}Topstitch {} {ends}, {} from the {beside} (stitch length {}).",
            self.what,
            super::listed(&rows),
            t.stitch(self.stitch)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let beside = match (self.beside, self.round) {
            (Beside::Edge, false) => Along::Finished(self.copies.clone(), self.what.clone()),
            (Beside::Edge, true) => Along::Mouth(self.copies.clone()),
            (Beside::Seam, _) => Along::Seam(self.copies.clone()),
        };
        let row =
            |from: &Length| Row { beside: beside.clone(), from: *from, kind: RowKind::Stitch };
        Shown {
            rows: self.rows.iter().map(row).collect(),
            measures: self.rows.clone(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let row = |length| {
            Sewing::new(Stitching::Shown, length, self.stitch)
                .times(self.rows.len())
                .round(self.round)
        };
        let seen = |copy: CopyId, length: Length| row(length).through(copy, 2);
        match (self.beside, self.round) {
            (_, true) => {
                let around = self.copies.first().map_or(Length::ZERO, |copy| mouth(work, *copy));
                let row =
                    self.copies.iter().take(2).fold(row(around), |row, copy| row.through(*copy, 2));
                Takes::rows([row])
            }
            (Beside::Seam, false) => {
                let seam = |copy: &CopyId| seen(*copy, last_seam(work, *copy));
                Takes::rows(self.copies.iter().map(seam))
            }
            (Beside::Edge, false) if !self.along.is_empty() => {
                let run = |run: &Run| row(run.length()).over(work, &[run], 2);
                Takes::rows(self.along.iter().map(run))
            }
            (Beside::Edge, false) => {
                // Layers that were joined to each other are stitched through together.
                let mut done: Vec<CopyId> = Vec::new();
                let mut rows = Vec::new();
                for copy in &self.copies {
                    if !done.iter().any(|other| work.is_one_body(*other, *copy)) {
                        rows.push(seen(*copy, self.top_of(work, *copy)));
                    }
                    done.push(*copy);
                }
                Takes::rows(rows)
            }
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        if self.round {
            work.topstitch_round(&self.copies);
        } else {
            work.topstitch(&self.copies);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Topstitch {
    /// Length of the edge that the sentence names, or else of the highest one.
    fn top_of(&self, work: &Assembly<'_>, copy: CopyId) -> Length {
        let piece = work.pattern.piece_of(copy);
        let named = piece.edges.iter().position(|edge| self.what.contains(&edge.name));
        let height = |edge: &usize| {
            let it = piece.net.edge(*edge);
            it.start().y + it.end().y
        };
        let top = (0..piece.net.edge_count()).max_by_key(height).unwrap_or(0);
        edge_length(work, copy, named.unwrap_or(top))
    }
}

impl Worded for Topstitch {
    const WORD: &'static str = "topstitch";
}

record!(Topstitch: "Topstitch, edgestitch or understitch along an edge or a seam." {
    what; "\"the rim\", \"the pocket's top edge\".",
    copies via AtLeastOne; "The copies that it goes through.",
    rows via AtLeastOne; "How far from the edge or seam each row lies.",
    beside; "Whether the rows are measured from an edge or from a seam.",
    along = Vec::new(); "The edges that each row runs along, if it is not the top edge of each.",
    stitch; "Stitch length.",
    round; "Whether it runs all the way round.",
});

words!(Beside { "edge" => Edge, "seam" => Seam });
