//! Press a seam or an edge.

use measure::Length;

use super::takes::last_seam;
use super::{Hem, Operation, Phrase, Shown, Takes, Telling, Told, Tool, Worded};
use crate::assembly::Assembly;
use crate::pattern::CopyId;
use crate::record::record;

/// Press something as told.
#[derive(Clone, Debug)]
pub struct PressSeam {
    /// What, and how: "the rim so that the seam lies exactly on the edge".
    pub what: Phrase,
    /// The copies that are pressed.
    pub copies: Vec<CopyId>,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
}

impl Operation for PressSeam {
    fn tell(&self, t: &Telling<'_>) -> Told {
        Told {
            text: format!("Press {}.", self.what.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let measures: Vec<Length> = self.what.lengths().collect();
        // Both turns of a hem that is stitched later.
        let hem = t.pattern.steps.iter().find_map(|step| {
            let hem = step.as_a::<Hem>()?;
            let alike = measures == [hem.first, hem.depth];
            let same = hem.run.copies().iter().any(|copy| self.copies.contains(copy));
            (alike && same).then_some(hem)
        });
        let stages = hem.map_or_else(Vec::new, |hem| hem.folds().to_vec());
        Shown { tools: vec![Tool::Iron], stages, measures, ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        Takes::default().press(self.copies.iter().map(|copy| last_seam(work, *copy)).sum())
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for PressSeam {
    const WORD: &'static str = "press";
}

record!(PressSeam: "Press something as told." {
    what; "What, and how: \"the rim so that the seam lies exactly on the edge\".",
    copies; "The copies that are pressed.",
    mind; "Where people go wrong.",
});
