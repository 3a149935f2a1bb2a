//! Clip the allowance of a straight edge before it is sewn round a corner or a curve.

use measure::{Length, Point, System, show_length};

use super::{
    Line, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, Worded, listed,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run};
use crate::record::{Datum, Field, Part, Plain, Reader, Table, edge_named, name_of_edge, record};

/// A point on an edge of a copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// Which copy.
    pub copy: CopyId,
    /// Index of the edge.
    pub edge: usize,
    /// Distance along its stitching line.
    pub at: Length,
}

/// Short cuts into the allowance of edges that are still raw, square to them, so that they can
/// spread when they are sewn round a corner or a curve.
#[derive(Clone, Debug)]
pub struct ClipEdge {
    /// "the gusset".
    pub what: String,
    /// Where it goes round a corner: one cut each.
    pub corners: Vec<Spot>,
    /// Where it goes round a curve: a row of cuts.
    pub curves: Vec<Run>,
    /// How far from cut to cut along a curve.
    pub every: Length,
    /// How far from the stitching line each cut ends.
    pub leave: Length,
    /// Length of the stitches of a row just outside the stitching line, sewn first, that keeps the
    /// cuts from running on.
    pub stitch: Length,
}

impl Operation for ClipEdge {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let leave = show_length(self.leave, t.system);
        let inch = match t.system {
            System::Inch => Length::INCH,
            System::Metric => Length::mm(25),
        };
        let every = t.len(self.every);
        let (mut rows, mut cuts) = (Vec::new(), Vec::new());
        if !self.corners.is_empty() {
            rows.push(format!("for {} on both sides of each corner mark", t.len(inch)));
            cuts.push("straight in at each corner mark".to_owned());
        }
        if !self.curves.is_empty() {
            if self.is_whole(t.pattern) {
                cuts.push(format!("every {every}"));
            } else {
                rows.push("along each curve, from mark to mark".to_owned());
                cuts.push(format!("there every {every}"));
            }
        }
        let row = if rows.is_empty() { String::new() } else { format!(" {}", listed(&rows)) };
        Told::new(format!(
            "Staystitch {}{row}, within the seam allowance and close to the stitching line (stitch \
             length {}). Then clip the allowance {}, to {leave} from the stitching line, so that \
             it can spread.",
            self.what,
            t.stitch(self.stitch),
            listed(&cuts),
        ))
        .mind(
            "use the points of the scissors and stop short of the stitching line: a clip that \
             goes past it is a hole in the bag.",
        )
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let mut snips: Vec<(CopyId, Line)> =
            self.corners.iter().filter_map(|spot| self.snip(t.pattern, *spot)).collect();
        for span in self.curves.iter().flat_map(|run| &run.spans) {
            let (from, to) = span.ordered();
            // Evenly spread, so that the picture has one at both ends.
            let cuts = ((to - from).to_nm() / self.every.to_nm().max(1)).clamp(1, MOST_DRAWN);
            let at = |cut: i64| from + (to - from) * cut / cuts;
            let spots =
                (0..=cuts).map(|cut| Spot { copy: span.copy, edge: span.edge, at: at(cut) });
            snips.extend(spots.filter_map(|spot| self.snip(t.pattern, spot)));
        }
        Shown {
            snips,
            tools: vec![Tool::Scissors],
            measures: vec![self.every, self.leave],
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let mut rows = Vec::new();
        for spot in &self.corners {
            // As told: an inch on both sides of the mark.
            let row = Sewing::new(Stitching::Seam, Length::INCH * 2, self.stitch);
            rows.push(row.through(spot.copy, 1));
        }
        for run in &self.curves {
            let row = Sewing::new(Stitching::Seam, run.length(), self.stitch).round(run.closed);
            rows.push(row.over(work, &[run], 1));
        }
        let sewn = rows.iter().map(|row| row.length).sum();
        Takes::rows(rows).trim(sewn)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.clip(&self.corners, &self.curves, self.leave);
    }

    fn copies(&self) -> Vec<CopyId> {
        let mut copies: Vec<CopyId> = self.corners.iter().map(|spot| spot.copy).collect();
        copies.extend(self.curves.iter().flat_map(Run::copies));
        let mut each = Vec::new();
        for copy in copies {
            if !each.contains(&copy) {
                each.push(copy);
            }
        }
        each
    }
}

impl Worded for ClipEdge {
    const WORD: &'static str = "clip-edge";
}

impl Field for Spot {
    fn takes() -> String {
        "`{ copy, edge, at }`, a length along the edge".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::Record(vec![
            ("copy".to_owned(), self.copy.write(pattern)?),
            ("edge".to_owned(), name_of_edge(pattern, self.copy, self.edge)),
            ("at".to_owned(), Datum::Length(self.at)),
        ]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let copy = table.field::<CopyId, Plain>(reader, "copy", None);
        let edge = edge_named(reader, &mut table, "edge", copy);
        let at = table.field::<Length, Plain>(reader, "at", None);
        table.close(reader);
        let (copy, edge, at) = (copy?, edge?, at?);
        let whole = reader.edge_length(copy, edge);
        if at > whole {
            let hint = format!("the edge is {} long", reader.show(whole));
            reader.within(Part::Key("at".to_owned()), |reader| {
                reader.report("this lies beyond the end of the edge", hint);
            });
            return None;
        }
        Some(Self { copy, edge, at })
    }
}

record!(ClipEdge: "Clip the allowance of an edge that is still raw, so that it can be sewn round a corner or a curve." {
    what; "\"the gusset\".",
    corners = Vec::new(); "Where it goes round a corner: one cut each.",
    curves = Vec::new(); "Where it goes round a curve: a row of cuts along these stretches.",
    every; "How far from cut to cut along a curve.",
    leave; "How far from the stitching line each cut ends.",
    stitch; "Stitch length of the row that is sewn first.",
} check ClipEdge::clips_something);

/// No more cuts than this are drawn along one stretch.
const MOST_DRAWN: i64 = 60;

impl ClipEdge {
    /// One cut, from the raw edge inwards, in the coordinates of its copy.
    fn snip(&self, pattern: &Pattern, spot: Spot) -> Option<(CopyId, Line)> {
        let piece = pattern.piece_of(spot.copy);
        let allowance = piece.edges.get(spot.edge)?.allowance;
        let (at, along) = {
            let edge = piece.net.edge(spot.edge);
            (edge.point_along(spot.at), edge.direction_along(spot.at))
        };
        let out = |by: Length| {
            let (x, y) = (along.y * by.to_mm(), -along.x * by.to_mm());
            at + Point::new(Length::from_mm_f64(x), Length::from_mm_f64(y))
        };
        Some((spot.copy, Line { from: out(allowance), to: out(self.leave.min(allowance)) }))
    }

    /// Whether whole edges are clipped from end to end.
    fn is_whole(&self, pattern: &Pattern) -> bool {
        self.curves
            .iter()
            .flat_map(|run| &run.spans)
            .all(|span| span.length() == pattern.piece_of(span.copy).net.edge_length(span.edge))
    }

    /// Whether there is anything to clip.
    fn clips_something(&self, reader: &mut Reader) -> bool {
        let some = !self.corners.is_empty() || !self.curves.is_empty();
        if !some {
            reader.report("nothing is clipped here", "name a corner or a curve");
        }
        some
    }
}
