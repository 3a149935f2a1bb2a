//! Attach hardware through a panel.

use measure::Point;

use super::{Hand, Operation, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{Datum, Form, Plain, Reader, Table, record};

/// Fasten a snap, a rivet, an eyelet or the like at points of panels.
#[derive(Clone, Debug)]
pub struct AttachHardware {
    /// What: "one half of the magnetic snap".
    pub what: String,
    /// Where: panels and points on them.
    pub at: Vec<(CopyId, Point)>,
    /// What is laid behind it on the wrong side, so that it does not tear out; may be empty.
    pub backing: String,
}

impl Operation for AttachHardware {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let backing = if self.backing.is_empty() {
            String::new()
        } else {
            format!(" Lay {} behind it on the wrong side first.", self.backing)
        };
        let told = Told::new(format!(
            "Attach {} to {} at the mark.{backing} Pierce no more than its prongs or shank need.",
            self.what,
            t.names(&self.copies())
        ));
        if self.what.contains("rivet") || self.what.contains("eyelet") {
            told.mind("wear eye protection when you set them with a hammer.")
        } else {
            told.mind("try it on a scrap first: a hole in the wrong place stays.")
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { spots: self.at.clone(), ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Set, self.at.len())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (copy, at) in &self.at {
            work.pierce(*copy, *at);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        Spots::copies(&self.at)
    }
}

impl Worded for AttachHardware {
    const WORD: &'static str = "hardware";
}

record!(AttachHardware: "Fasten a snap, a rivet, an eyelet or the like at points of panels." {
    what; "What: \"one half of the magnetic snap\".",
    at via Spots; "Where: panels and points on them.",
    backing = String::new(); "What is laid behind it on the wrong side, so that it does not tear out.",
});

/// Points on copies.
#[derive(Debug)]
pub(super) struct Spots;

impl Spots {
    /// The copies that they are on, neighbours of one copy told once.
    pub(super) fn copies(spots: &[(CopyId, Point)]) -> Vec<CopyId> {
        let mut copies: Vec<CopyId> = spots.iter().map(|(copy, _)| *copy).collect();
        copies.dedup();
        copies
    }
}

impl Form<Vec<(CopyId, Point)>> for Spots {
    fn takes() -> String {
        "a list, each `{ copy, point }`".to_owned()
    }

    fn write(spots: &Vec<(CopyId, Point)>, pattern: &Pattern) -> Option<Datum> {
        let one = |(copy, point): &(CopyId, Point)| {
            Some(Datum::Record(vec![
                ("copy".to_owned(), Plain::write(copy, pattern)?),
                ("point".to_owned(), Plain::write(point, pattern)?),
            ]))
        };
        Some(Datum::List(spots.iter().filter_map(one).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<(CopyId, Point)>> {
        reader.items(datum, |reader, datum| {
            let mut table = Table::open(reader, datum)?;
            let copy = table.field::<CopyId, Plain>(reader, "copy", None);
            let point = table.field::<Point, Plain>(reader, "point", None);
            table.close(reader);
            Some((copy?, point?))
        })
    }
}
