//! Fold the bag of a pocket aside, so that another can be set beside it.

use measure::Length;

use super::{Operation, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::{AtLeastOne, record};

/// Fold bags of pockets, which hang behind their panel, out of the way of a slit.
#[derive(Clone, Debug)]
pub struct FoldAside {
    /// Fronts of the bags that are folded aside.
    pub bags: Vec<CopyId>,
    /// Front of the bag of the pocket that is made meanwhile.
    pub clear_of: CopyId,
    /// What that pocket is called: "the zip pocket 2".
    pub of: String,
    /// How far the slits lie apart.
    pub apart: Length,
}

impl Operation for FoldAside {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let (pinned, hang) = match self.bags.len() {
            1 => ("pin it to itself. Leave it so", "it hangs"),
            _ => ("pin each to itself. Leave them so", "they hang"),
        };
        Told::new(format!(
            "On the wrong side of the panel, fold {}, with the other layer of its bag, away from \
             where {} will be slit, and {pinned} until the bag of {} is sewn; then {hang} down \
             again, one bag over the other.",
            t.names(&self.bags),
            self.of,
            self.of,
        ))
        .mind(format!(
            "the slits lie {} apart: feel behind the panel before each row that nothing of the other \
             bag lies under the needle.",
            t.len(self.apart)
        ))
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { tools: vec![Tool::Pins], ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default()
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for bag in &self.bags {
            work.needs_hanging(*bag);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.bags.clone()
    }
}

impl Worded for FoldAside {
    const WORD: &'static str = "fold-aside";
}

record!(FoldAside: "Fold bags of pockets, which hang behind their panel, out of the way of a slit." {
    bags via AtLeastOne; "Fronts of the bags that are folded aside.",
    clear_of; "Front of the bag of the pocket that is made meanwhile.",
    of; "What that pocket is called: \"the zip pocket 2\".",
    apart; "How far the slits lie apart.",
});
