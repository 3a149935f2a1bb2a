//! Stitch one thing down on another, along lines.

use measure::{Length, Point};

use super::takes::lines_length;
use super::{Operation, Phrase, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{Datum, Field, Plain, Reader, StepId, Table, name_of_edge, record};

/// Stitch something down, or through something, along lines.
#[derive(Clone, Debug)]
pub struct StitchDown {
    /// The sentence up to the stitch length, with its measures.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// What is stitched down where.
    pub items: Vec<StitchedDown>,
    /// Id of the step whose opening these lines close, if they do.
    pub closes: Option<String>,
    /// Stitch length.
    pub stitch: Length,
}

/// One thing, stitched down on a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StitchedDown {
    /// What is stitched down.
    pub what: CopyId,
    /// What it is stitched to.
    pub onto: CopyId,
    /// The stitching lines, in the coordinates of what lies below.
    pub lines: Vec<Line>,
    /// Edges of what is stitched down that these lines hold: no longer raw or loose.
    pub holds: Vec<usize>,
}

/// A straight line of stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

impl Operation for StitchDown {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told {
            text: format!(
                "{} Backstitch at both ends (stitch length {}).",
                self.how.tell(t),
                t.stitch(self.stitch)
            ),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: self.how.lengths().collect(), ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::rows(self.items.iter().map(|item| {
            Sewing::new(Stitching::Shown, lines_length(&item.lines), self.stitch)
                .through(item.what, work.pattern.piece_of(item.what).folded_layers())
                .through(item.onto, 1)
        }))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for item in &self.items {
            work.stitch_down(item);
        }
        if let Some(left_by) = &self.closes {
            work.close(left_by);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.items.iter().flat_map(|item| [item.what, item.onto]).collect()
    }
}

impl Worded for StitchDown {
    const WORD: &'static str = "stitch-down";
}

record!(StitchDown: "Stitch one thing down on another, or through it, along lines." {
    how; "The sentence up to the stitch length, with its measures.",
    mind; "Where people go wrong.",
    items; "What is stitched down where.",
    closes via StepId; "The step whose opening these lines close, if they do.",
    stitch; "Stitch length.",
});

impl Field for Line {
    fn takes() -> String {
        <[Point; 2]>::takes()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        [self.from, self.to].write(pattern)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        <[Point; 2]>::read(reader, datum).map(|[from, to]| Self { from, to })
    }
}

impl Field for StitchedDown {
    fn takes() -> String {
        "`{ what, onto, lines, holds }`: lines in the coordinates of what lies below, and the edges \
         of what is stitched down that they hold"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let holds = self.holds.iter().map(|edge| name_of_edge(pattern, self.what, *edge));
        let mut fields = vec![
            ("what".to_owned(), self.what.write(pattern)?),
            ("onto".to_owned(), self.onto.write(pattern)?),
            ("lines".to_owned(), self.lines.write(pattern)?),
        ];
        if !self.holds.is_empty() {
            fields.push(("holds".to_owned(), Datum::List(holds.collect())));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let what = table.field::<CopyId, Plain>(reader, "what", None);
        let onto = table.field::<CopyId, Plain>(reader, "onto", None);
        let lines = table.field::<Vec<Line>, Plain>(reader, "lines", None);
        let holds = reader.list_at(&mut table, "holds", |reader, datum| {
            let name = String::read(reader, datum)?;
            reader.edge_of(what?, &name)
        });
        table.close(reader);
        Some(Self { what: what?, onto: onto?, lines: lines?, holds: holds? })
    }
}
