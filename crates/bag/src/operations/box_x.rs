//! The box with a cross in it that holds a strap.

use measure::{Length, Point};

use super::takes::box_and_cross;
use super::{Line, Operation, Phrase, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{Datum, Form, Plain, Reader, Table, record};

/// Sew a box with a cross in it through straps and what lies below.
#[derive(Clone, Debug)]
pub struct BoxAndX {
    /// The boxes: which strap is sewn to which copy, and where its lower left corner lies there.
    pub boxes: Vec<(CopyId, CopyId, Point)>,
    /// Where: "below the mark where the strap comes free".
    pub where_: Phrase,
    /// Width × height of the box.
    pub size: (Length, Length),
    /// Stitch length.
    pub stitch: Length,
}

impl Operation for BoxAndX {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let (width, height) = self.size;
        let (straps, onto) = (self.straps(), self.onto());
        let through = match straps.len() {
            1 => format!("{} and {}", t.names(&straps), t.names(&onto)),
            _ if self.of_handles(t) => "each handle and what lies below it".to_owned(),
            _ => "each of them and what lies below it".to_owned(),
        };
        Told::new(format!(
            "Sew a box and X, {} wide and {} high, through {through}, {} (stitch \
             length {}). Go round the box once, sew both diagonals, and go over the upper side \
             again: it carries the load.",
            t.len(width),
            t.len(height),
            self.where_.tell(t),
            t.stitch(self.stitch),
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (width, height) = self.size;
        Shown {
            measures: [width, height].into_iter().chain(self.where_.lengths()).collect(),
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let (width, height) = self.size;
        Takes::rows(self.boxes.iter().map(|(strap, onto, _)| {
            Sewing::new(Stitching::Shown, box_and_cross(width, height), self.stitch)
                .through(*strap, work.pattern.piece_of(*strap).folded_layers())
                .through(*onto, 1)
        }))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        let (width, height) = self.size;
        for (strap, onto, low) in &self.boxes {
            let high = Point::new(low.x + width, low.y + height);
            let (left, right) = (Point::new(low.x, high.y), Point::new(high.x, low.y));
            let lines = [
                (*low, right),
                (right, high),
                (high, left),
                (left, *low),
                (*low, high),
                (left, right),
            ]
            .map(|(from, to)| Line { from, to });
            work.stitch_through(&[*strap], *onto, &lines);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        [self.straps(), self.onto()].concat()
    }
}

impl Worded for BoxAndX {
    const WORD: &'static str = "box-and-x";
}

impl BoxAndX {
    /// Whether what is held are handles, or their tabs.
    fn of_handles(&self, t: &Telling<'_>) -> bool {
        let handles = &t.pattern.claims.handles;
        self.straps().iter().all(|strap| handles.iter().any(|handle| handle.strap == *strap))
    }

    /// The straps that are held, each once.
    fn straps(&self) -> Vec<CopyId> {
        once(self.boxes.iter().map(|(strap, ..)| *strap))
    }

    /// The copies that they are sewn to, each once.
    fn onto(&self) -> Vec<CopyId> {
        once(self.boxes.iter().map(|(_, onto, _)| *onto))
    }
}

fn once(copies: impl Iterator<Item = CopyId>) -> Vec<CopyId> {
    let mut kept = Vec::new();
    for copy in copies {
        if !kept.contains(&copy) {
            kept.push(copy);
        }
    }
    kept
}

record!(BoxAndX: "Sew a box with a cross in it through straps and what lies below." {
    boxes via Boxes; "The boxes: the strap, the copy it is sewn to, the box's lower left corner there.",
    where_; "Where: \"below the mark where the strap comes free\".",
    size; "Width and height of the box.",
    stitch; "Stitch length.",
});

struct Boxes;

impl Form<Vec<(CopyId, CopyId, Point)>> for Boxes {
    fn takes() -> String {
        "a list, each `{ strap, on, at }`".to_owned()
    }

    fn write(boxes: &Vec<(CopyId, CopyId, Point)>, pattern: &Pattern) -> Option<Datum> {
        let one = |(strap, on, at): &(CopyId, CopyId, Point)| {
            Some(Datum::Record(vec![
                ("strap".to_owned(), Plain::write(strap, pattern)?),
                ("on".to_owned(), Plain::write(on, pattern)?),
                ("at".to_owned(), Plain::write(at, pattern)?),
            ]))
        };
        Some(Datum::List(boxes.iter().filter_map(one).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<(CopyId, CopyId, Point)>> {
        reader.items(datum, |reader, datum| {
            let mut table = Table::open(reader, datum)?;
            let strap = table.field::<CopyId, Plain>(reader, "strap", None);
            let on = table.field::<CopyId, Plain>(reader, "on", None);
            let at = table.field::<Point, Plain>(reader, "at", None);
            table.close(reader);
            Some((strap?, on?, at?))
        })
    }
}
