//! Hem an edge by turning it twice.

use measure::{Length, System};

use super::takes::edge_length;
use super::{
    Layer, Operation, Sewing, Shown, Stage, Stitching, Takes, Telling, Told, Tool, Worded,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::record;

/// Turn an edge to the wrong side twice, and stitch it down.
#[derive(Clone, Debug)]
pub struct Hem {
    /// "the top edge of the front pocket".
    pub what: String,
    /// The edge.
    pub run: Run,
    /// First turn.
    pub first: Length,
    /// Second turn: the depth of the finished hem.
    pub depth: Length,
    /// Ends of handles that are tucked under it: copy and edge.
    pub tucked: Vec<(CopyId, usize)>,
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for Hem {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let turns = if self.first == self.depth {
            format!("{}, and {} again", t.len(self.first), t.len(self.depth))
        } else {
            format!("{}, and then {}", t.len(self.first), t.len(self.depth))
        };
        let ends = if self.run.closed { "all the way round" } else { "from end to end" };
        // Ends can be tucked only under a hem that is folded already.
        let melts = t.melts(&self.run.copies());
        let crease = if melts {
            "creasing each fold with a roller or a fingernail"
        } else {
            "pressing each fold"
        };
        let start = if self.tucked.is_empty() {
            format!("Hem {}: turn it {turns} to the wrong side, {crease}. Stitch", self.what)
        } else {
            format!("Stitch down the pressed hem of {} ({turns})", self.what)
        };
        let told = Told::new(format!(
            "{start} {ends}, {} from the inner fold (stitch length {}).",
            t.len(match t.system {
                System::Inch => Length::inch_frac(1, 8),
                System::Metric => Length::mm(3),
            }),
            t.stitch(self.stitch)
        ));
        if melts { told.mind("no iron: it would melt.") } else { told }
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let (first, depth) = (self.first, self.depth);
        let stitch_in = match t.system {
            System::Inch => Length::inch_frac(1, 8),
            System::Metric => Length::mm(3),
        };
        let [once, mut twice] = self.folds();
        "turn again, stitch".clone_into(&mut twice.says);
        let out = (first + depth) * 2;
        let twice = twice.stitch(out - depth + stitch_in, 0, 2);
        Shown {
            stages: vec![once, twice],
            tools: if t.melts(&self.run.copies()) { Vec::new() } else { vec![Tool::Iron] },
            measures: vec![first, depth],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let length = self.run.length();
        let row = Sewing::new(Stitching::Shown, length, self.stitch).round(self.run.closed);
        let row = row.over(work, &[&self.run], 3);
        let row = self.tucked.iter().fold(row, |row, (copy, edge)| {
            let along = edge_length(work, *copy, *edge).min(length);
            let times = work.pattern.piece_of(*copy).folded_layers();
            let mut row = row;
            row.layers.push(Layer { copy: *copy, times, along });
            row
        });
        Takes::rows([row]).press(length * 2)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.hem(&self.run, self.first + self.depth, &self.tucked);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.run.copies()
    }
}

impl Hem {
    /// Both turns, as seen from the side, before they are stitched.
    pub(crate) fn folds(&self) -> [Stage; 2] {
        turned_twice(self.first, self.depth)
    }
}

/// An end that is turned under by `first`, and again by `depth`, as seen from the side.
pub(super) fn turned_twice(first: Length, depth: Length) -> [Stage; 2] {
    let zero = Length::ZERO;
    let out = (first + depth) * 2;
    let once = Stage::new("turn once")
        .under(&[(zero, 0), (out, 0), (out, 1), (out - first, 1)])
        .measure(out - first, out, 1);
    let twice = Stage::new("turn again")
        .under(&[
            (zero, 0),
            (out, 0),
            (out, 2),
            (out - depth, 2),
            (out - depth, 1),
            (out - depth + first, 1),
        ])
        .measure(out - depth, out, 2);
    [once, twice]
}

impl Worded for Hem {
    const WORD: &'static str = "hem";
}

record!(Hem: "Turn an edge to the wrong side twice, and stitch it down." {
    what; "\"the top edge of the front pocket\".",
    run; "The edge.",
    first; "First turn.",
    depth; "Second turn: the depth of the finished hem.",
    tucked; "Ends of handles that are tucked under it.",
    stitch; "Stitch length.",
});
