//! In which order things go on a panel while it lies flat: patches first, and last a pocket inside that
//! nothing else may close.

use super::Drafter;
use crate::design::{Chosen, Design};
use crate::pattern::Chapter;
use crate::pockets;

/// The order in which pockets are made. Without a lining those inside are stitched through the
/// panel, so they come first: later they would close a pocket that lies on the outside.
pub(super) fn pocket_order(design: &Design, is_lined: bool) -> Vec<usize> {
    let mut order: Vec<usize> = (0..design.pockets.len()).collect();
    if !is_lined {
        let inside = |at: usize| {
            let chosen = &design.pockets[at];
            pockets::find(chosen.kind).is_some_and(|kind| kind.is_inside(&chosen.values))
        };
        order.sort_by_key(|at| !inside(*at));
    }
    order
}

/// Whether a pocket is sewn on after everything else on its panel: one inside, without a lining, behind
/// which no pocket lies on the outside. What is stitched through the panel before cannot close it.
pub(super) fn goes_last(design: &Design, index: usize, is_lined: bool) -> bool {
    let inside = |chosen: &Chosen| {
        pockets::find(chosen.kind).is_some_and(|kind| kind.is_inside(&chosen.values))
    };
    let on = |chosen: &Chosen| chosen.values.get("on").map(|_| chosen.values.choice("on"));
    let own = &design.pockets[index];
    let held = pockets::find(own.kind).is_none_or(|kind| !kind.needs(&own.values).is_empty());
    let behind = design.pockets.iter().any(|other| {
        let apart = matches!((on(own), on(other)), (Some(one), Some(two))
            if one != two && one != "both" && two != "both");
        !inside(other) && !apart
    });
    !is_lined && inside(own) && !held && !behind
}

impl Drafter<'_> {
    /// Has a step come before the pockets on its panels: that of a patch, which nothing may lie under.
    pub(crate) fn comes_first(&mut self, id: &str) {
        self.first.insert(id.to_owned());
    }

    /// Has the steps and the pockets since then come after everything else on their panels.
    pub(super) fn hold_back(&mut self, (steps, pockets): (usize, usize)) {
        let panels = self.steps[steps..].iter().filter(|step| step.chapter == Chapter::Panels);
        self.held_back.extend(panels.map(|step| step.id.clone()));
        self.late.extend(self.claims.pockets[pockets..].iter().map(|claim| claim.copy));
    }

    /// Puts the steps since then in the order in which they go on their panels.
    pub(super) fn order_panels(&mut self, since: usize) {
        let (first, held_back) = (&self.first, &self.held_back);
        self.steps[since..].sort_by_key(|step| {
            i32::from(held_back.contains(&step.id)) - i32::from(first.contains(&step.id))
        });
    }
}
