//! Clip the allowance of a straight edge before it is sewn round a corner or a curve.

use measure::{Length, System, show_length};

use super::{Operation, Telling, Told, Worded, listed};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run};
use crate::record::{
    Datum, Field, Fields, Part, Plain, Reader, Table, edge_named, name_of_edge, record,
};

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
    fn word(&self) -> &'static str {
        Self::WORD
    }

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

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
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

impl ClipEdge {
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
