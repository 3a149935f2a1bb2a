//! Fold a panel.

use measure::Point;

use super::{Meeting, Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

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
    fn word(&self) -> &'static str {
        "fold-panel"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let press = if self.press { ", and press the fold" } else { "; do not press the fold" };
        Told::new(format!(
            "Fold the {} along its fold line, {}{press}.",
            t.name(self.copy),
            self.meet.words()
        ))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        work.needs_flat(self.copy, "fold it");
    }

    fn copies(&self) -> Vec<CopyId> {
        vec![self.copy]
    }
}
