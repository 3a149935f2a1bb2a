//! Fold a panel.

use measure::Point;

use super::{Line, Meeting, Operation, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Fold a panel along a line, so that parts of its edge come to lie on each other.
#[derive(Clone, Debug)]
pub struct FoldPanel {
    /// The panel.
    pub copy: CopyId,
    /// Where the fold begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Which faces meet.
    pub meet: Meeting,
    /// Whether the fold is pressed to a crease.
    pub press: bool,
}

impl Operation for FoldPanel {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let press = if self.press { ", and press the fold" } else { "; do not press the fold" };
        Told::new(format!(
            "Fold the {} along its fold line, {}{press}.",
            t.name(self.copy),
            self.meet.words()
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let tools = if self.press { vec![Tool::Iron] } else { Vec::new() };
        let line = Line { from: self.from, to: self.to };
        Shown { folds: vec![(self.copy, line)], tools, ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        let length = self.from.distance(self.to);
        if self.press { Takes::default().press(length) } else { Takes::default().in_hand() }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.needs_flat(self.copy, "fold it");
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.copy]
    }
}

impl Worded for FoldPanel {
    const WORD: &'static str = "fold-panel";
}

record!(FoldPanel: "Fold a panel along a line, so that parts of its edge come to lie on each other." {
    copy; "The panel.",
    from; "Where the fold begins.",
    to; "Where it ends.",
    meet; "Which faces meet.",
    press; "Whether the fold is pressed to a crease.",
});
