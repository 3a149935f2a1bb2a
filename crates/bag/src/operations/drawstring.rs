//! Thread a drawstring through a casing.

use measure::Length;

use super::{Along, Hand, Operation, Row, RowKind, Shown, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};
use crate::record::record;

/// Thread a cord through the hem of a mouth.
#[derive(Clone, Debug)]
pub struct ThreadDrawstring {
    /// The cord: "a cord", "two cords".
    pub what: String,
    /// How they run, if there are several; the ends are fastened in a later step.
    pub route: String,
    /// The hem that it runs in.
    pub casing: Run,
    /// Length of each cord.
    pub length: Length,
}

impl Operation for ThreadDrawstring {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let then = if self.route.is_empty() {
            ", and knot the ends".to_owned()
        } else {
            format!(": {}", self.route)
        };
        Told::new(format!(
            "Thread {} ({} long) through the casing with a safety pin or a bodkin{then}.",
            self.what,
            t.len(self.length)
        ))
        .mind(
            "cords are a strangling hazard for small children: keep them short, and check the \
             rules where you live before you give or sell the bag for a child.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let row = Row {
            beside: Along::Raw(self.casing.clone()),
            from: Length::ZERO,
            kind: RowKind::Cord,
        };
        Shown { rows: vec![row], measures: vec![self.length], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default().hand(Hand::Draw, 1)
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.thread(&self.casing, self.length);
    }

    fn copies(&self) -> Vec<CopyId> {
        self.casing.copies()
    }
}

impl Worded for ThreadDrawstring {
    const WORD: &'static str = "drawstring";
}

record!(ThreadDrawstring: "Thread a cord through the hem of a mouth." {
    what; "The cord: \"a cord\", \"two cords\".",
    route = String::new(); "How they run, if there are several. Left out: the ends are knotted.",
    casing; "The hem that it runs in.",
    length; "Length of each cord.",
});
