//! The work before and after each step, and how its parts have been lying.

use std::collections::{BTreeMap, BTreeSet};

use bag::assembly::{Assembly, Event, SideOut};
use bag::operations::{FaceSide, Line, Shown, Telling, Tool};
use bag::pattern::{CopyId, Pattern};
use measure::System;

use crate::folding::Facet;

/// Panels that were last spread out on the table together, in order.
pub(super) type Sheet = Vec<CopyId>;

/// Two joined panels that are folded on each other; the one that stays in front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Folded {
    /// In the step that is shown.
    Now(CopyId),
    /// In a step before.
    Already(CopyId),
}

/// The whole course of the work.
pub(super) struct Story<'p> {
    pub(super) pattern: &'p Pattern,
    pub(super) system: System,
    /// The work before each step, and at the end.
    pub(super) states: Vec<Assembly<'p>>,
    /// What each step adds to its picture.
    pub(super) shown: Vec<Shown>,
    /// For each step, the sheets as they are before it.
    sheets: Vec<BTreeMap<CopyId, Sheet>>,
    /// The copies that become the bag itself, not something on it.
    bag: BTreeSet<CopyId>,
    /// The bodies of the bag, each with its copies, folded.
    bodies: Vec<(BTreeSet<CopyId>, Vec<Facet>)>,
}

impl<'p> Story<'p> {
    pub(super) fn new(pattern: &'p Pattern, system: System) -> Self {
        let mut states = Vec::new();
        let end = Assembly::sew_seeing(pattern, |_, work| states.push(work.clone()));
        states.push(end);
        let telling = Telling { pattern, system };
        let shown = pattern.steps.iter().map(|it| it.operation.shown(&telling)).collect();
        let mut sheets = Vec::new();
        let mut now: BTreeMap<CopyId, Sheet> =
            pattern.copy_ids().map(|copy| (copy, vec![copy])).collect();
        for work in &states {
            for (copy, sheet) in &mut now {
                if work.lies_flat(*copy) {
                    *sheet = work.body_copies(*copy);
                }
            }
            sheets.push(now.clone());
        }
        let mut story =
            Self { pattern, system, states, shown, sheets, bag: BTreeSet::new(), bodies: vec![] };
        story.bag = story.bag_copies();
        story.bodies = story.fold();
        story
    }

    /// The copies of the outside, whatever is dropped into or around something, and a lining that
    /// hangs from a zip.
    fn bag_copies(&self) -> BTreeSet<CopyId> {
        let end = self.end();
        let mut copies: BTreeSet<CopyId> = crate::folding::front_copy(self.pattern)
            .map(|front| crate::folding::outside_of(end, front))
            .unwrap_or_default()
            .into_iter()
            .collect();
        for (_, event) in &end.events {
            if let Event::DroppedIn { copies: [a, b], .. } = event {
                copies.extend(a.iter().chain(b));
            }
        }
        let hung = crate::folding::lining_over_zip(end);
        copies.extend(hung.iter().flat_map(|lining| crate::folding::outside_of(end, *lining)));
        copies
    }

    /// Folds the outside, and what else the bag is made of.
    fn fold(&self) -> Vec<(BTreeSet<CopyId>, Vec<Facet>)> {
        let end = self.end();
        let mut bodies: Vec<(BTreeSet<CopyId>, Vec<Facet>)> = Vec::new();
        let front = crate::folding::front_copy(self.pattern);
        let mut starts: Vec<CopyId> = front.into_iter().collect();
        for (_, event) in &end.events {
            if let Event::DroppedIn { copies, .. } = event {
                for side in copies {
                    starts.extend(crate::folding::most_like_front(self.pattern, side));
                }
            }
        }
        starts.extend(crate::folding::lining_over_zip(end));
        for start in starts {
            if bodies.iter().all(|(copies, _)| !copies.contains(&start)) {
                let copies = crate::folding::outside_of(end, start).into_iter().collect();
                bodies.push((copies, crate::folding::fold_from(end, start)));
            }
        }
        bodies
    }

    /// The body that a copy belongs to, folded; nothing if it is not part of the bag.
    pub(super) fn folded_body(&self, copy: CopyId) -> Vec<Facet> {
        let body = self.bodies.iter().find(|(copies, _)| copies.contains(&copy));
        body.map_or_else(Vec::new, |(_, facets)| facets.clone())
    }

    /// The copies of that body.
    pub(super) fn folded_copies(&self, copy: CopyId) -> Vec<CopyId> {
        let body = self.bodies.iter().find(|(copies, _)| copies.contains(&copy));
        body.map_or_else(|| vec![copy], |(copies, _)| copies.iter().copied().collect())
    }

    /// Whether a step handles strips alone.
    pub(super) fn only_strips(&self, step: usize) -> bool {
        let copies = self.pattern.steps[step].operation.copies();
        copies.iter().all(|copy| crate::pieces::is_strip(self.pattern.piece_of(*copy)))
            && self.news(step).next().is_none()
    }

    /// Whether the picture of a step shows its layers from the side: when they have not been shown
    /// before, or nothing else tells its rows apart.
    pub(super) fn shows_stages(&self, step: usize) -> bool {
        let says = |shown: &Shown| -> Vec<String> {
            shown.stages.iter().map(|stage| stage.says.clone()).collect()
        };
        let own = says(&self.shown[step]);
        let known = self.shown[..step].iter().any(|shown| says(shown) == own);
        let apart = self.shown[step].stages.iter().filter(|it| !it.measures.is_empty()).count() > 1;
        !own.is_empty() && (!known || apart)
    }

    /// Whether two panels that were joined are folded on each other, wrong sides together, before a
    /// step or in it: later they are laid on something as one, one of them face down.
    pub(super) fn folded_over(&self, step: usize, sheet: &[CopyId]) -> Option<Folded> {
        let [a, b] = sheet else { return None };
        let placed = |copy: CopyId| {
            self.end().events.iter().find_map(|(at, event)| match event {
                Event::Placed { what, face_up, .. } if *what == copy => Some((*at, *face_up)),
                _ => None,
            })
        };
        let (first, second) = (placed(*a)?, placed(*b)?);
        if first.0 != second.0 || first.1 == second.1 {
            return None;
        }
        let pressed = |index: &usize| {
            let copies = self.pattern.steps[*index].operation.copies();
            let presses = self.shown[*index].tools.contains(&Tool::Iron);
            presses
                && self.news(*index).next().is_none()
                && copies.contains(a)
                && copies.contains(b)
        };
        let at = (0..first.0).find(pressed)?;
        let front = if first.1 == FaceSide::Right { *a } else { *b };
        match at.cmp(&step) {
            std::cmp::Ordering::Less => Some(Folded::Already(front)),
            std::cmp::Ordering::Equal => Some(Folded::Now(front)),
            std::cmp::Ordering::Greater => None,
        }
    }

    pub(super) fn end(&self) -> &Assembly<'p> {
        &self.states[self.states.len() - 1]
    }

    pub(super) fn before(&self, step: usize) -> &Assembly<'p> {
        &self.states[step]
    }

    pub(super) fn after(&self, step: usize) -> &Assembly<'p> {
        &self.states[step + 1]
    }

    /// What happens in a step.
    pub(super) fn news(&self, step: usize) -> impl Iterator<Item = &Event> {
        self.end().events.iter().filter(move |(at, _)| *at == step).map(|(_, event)| event)
    }

    /// What happened in the steps before.
    pub(super) fn past(&self, step: usize) -> impl Iterator<Item = &Event> {
        self.end().events.iter().filter(move |(at, _)| *at < step).map(|(_, event)| event)
    }

    /// The copies that were last spread out with this one, before a step.
    pub(super) fn sheet(&self, step: usize, copy: CopyId) -> Sheet {
        self.sheets[step].get(&copy).cloned().unwrap_or_else(|| vec![copy])
    }

    /// Whether a copy belongs to the bag itself.
    pub(super) fn is_bag(&self, copy: CopyId) -> bool {
        self.bag.contains(&copy)
    }

    /// What a copy lies on at last, itself if on nothing.
    pub(super) fn ground(&self, work: &Assembly<'_>, copy: CopyId) -> CopyId {
        let mut at = copy;
        for _ in 0..work.riders.len() {
            match work.riders.iter().find(|rider| rider.what == at) {
                Some(rider) => at = rider.onto,
                None => break,
            }
        }
        at
    }

    /// The fold along which a copy was folded before this step.
    pub(super) fn folded(&self, step: usize, copy: CopyId) -> Option<Line> {
        let folds = self.shown[..step].iter().flat_map(|shown| &shown.folds);
        folds.rev().find(|(on, _)| *on == copy).map(|(_, line)| *line)
    }

    /// Whether the wrong side of the body of this copy is out.
    pub(super) fn is_wrong_out(&self, work: &Assembly<'_>, copy: CopyId) -> bool {
        work.side_out(copy) == SideOut::Wrong
    }

    /// "the front panel".
    pub(super) fn the(&self, copy: CopyId) -> String {
        format!("the {}", self.pattern.copy(copy).name)
    }

    /// A length on the reader's ruler.
    pub(super) fn show(&self, length: measure::Length) -> String {
        measure::show_length(length, self.system)
    }
}
