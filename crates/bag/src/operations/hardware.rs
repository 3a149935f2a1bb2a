//! Attach hardware through a panel.

use measure::Point;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::CopyId;

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
    fn word(&self) -> &'static str {
        "hardware"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let backing = if self.backing.is_empty() {
            String::new()
        } else {
            format!(" Lay {} behind it on the wrong side first.", self.backing)
        };
        Told::new(format!(
            "Attach {} to {} at the mark.{backing} Pierce no more than its prongs or shank need.",
            self.what,
            t.names(&self.copies())
        ))
        .mind("wear eye protection when you set rivets or eyelets with a hammer.")
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (copy, at) in &self.at {
            work.pierce(*copy, *at);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        let mut copies: Vec<CopyId> = self.at.iter().map(|(copy, _)| *copy).collect();
        copies.dedup();
        copies
    }
}
