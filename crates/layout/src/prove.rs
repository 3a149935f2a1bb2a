//! Whether pieces fit on a given length: the question behind "no shorter purchase exists".
//!
//! Pieces that may lie both ways make it hard. How many of each kind are turned is tried one kind
//! after the other; bars in both directions rule most of it out, and what is left has fixed ways
//! and goes to the constraint solver.

use crate::bars::{Bars, Kind};
use crate::effort::Stop;
use crate::pairwise::{self, Answer, Pairwise};
use crate::tight::Tight;

/// What ruling out one choice costs, in steps of the constraint solver.
const STEPS_PER_CHOICE: u32 = 10;
/// What it costs to make a model.
const STEPS_PER_MODEL: u32 = 100;

/// The question, and how far the proof has come.
pub(crate) struct Prover {
    width: i64,
    length: i64,
    /// Kinds that may lie both ways, the largest first, and then those that lie one way.
    kinds: Vec<Kind>,
    free: usize,
    /// An area that is cut from what is left.
    loose: i128,
    /// Choices that are still to be looked at: how many of the first kinds lie the first way.
    open: Vec<Vec<i64>>,
    /// The choice at which the constraint solver is at work.
    model: Option<(Question, Pairwise)>,
    /// Choices that were too large for it.
    is_left_over: bool,
}

/// What a proof says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// They do not fit.
    No,
    /// All pieces but the loose area fit, here.
    Yes(Vec<Laid>),
    /// Not known yet.
    Open,
    /// It will not be known: the question is too large, or hangs on how strips are joined.
    Unknown,
}

/// A rectangle of this size at this place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Laid {
    pub(crate) width: i64,
    pub(crate) length: i64,
    pub(crate) x: i64,
    pub(crate) y: i64,
}

/// Rectangles with fixed ways in their true sizes, in the order of the model.
struct Question {
    sizes: Vec<(i64, i64)>,
    /// The same in the units of the model.
    units: Vec<(i64, i64)>,
}

impl Prover {
    /// Whether pieces of these kinds, and a loose area beside them, fit on this width and length.
    pub(crate) fn new(width: i64, length: i64, kinds: &[Kind], loose: i128) -> Self {
        let mut kinds: Vec<Kind> = kinds.to_vec();
        for kind in &mut kinds {
            kind.ways.retain(|way| way.0 <= width && way.1 <= length);
        }
        kinds.retain(|kind| kind.count > 0);
        let area = |kind: &Kind| {
            let one = kind.ways.first().map_or(0, |way| i128::from(way.0) * i128::from(way.1));
            one * i128::from(kind.count)
        };
        kinds.sort_by_key(|kind| (kind.ways.len() < 2, -area(kind), kind.ways.clone()));
        let free = kinds.iter().filter(|kind| kind.ways.len() > 1).count();
        let open = vec![Vec::new()];
        Self { width, length, kinds, free, loose, open, model: None, is_left_over: false }
    }

    /// Goes on for about so many steps, or until it is told to stop.
    pub(crate) fn step(&mut self, mut steps: u32, stop: &Stop) -> Verdict {
        while steps > 0 && !stop.is_stopped() {
            if let Some((question, model)) = &mut self.model {
                match model.search(steps, stop) {
                    Answer::Open => return Verdict::Open,
                    Answer::No => {
                        steps = steps.saturating_sub(STEPS_PER_MODEL);
                    }
                    Answer::Lost => {
                        steps = steps.saturating_sub(STEPS_PER_MODEL);
                        self.is_left_over = true;
                    }
                    Answer::Yes(places) => {
                        let laid = question.laid(&places, self.width, self.length);
                        match laid.filter(|_| self.loose == 0) {
                            Some(laid) => return Verdict::Yes(laid),
                            None => self.is_left_over = true,
                        }
                    }
                }
                self.model = None;
            }
            let Some(choice) = self.open.pop() else {
                return if self.is_left_over { Verdict::Unknown } else { Verdict::No };
            };
            if self.is_left_over {
                // There will be no proof, and no layout is looked for by proving.
                return Verdict::Unknown;
            }
            steps = steps.saturating_sub(STEPS_PER_CHOICE);
            self.look_at(&choice);
        }
        Verdict::Open
    }

    /// Rules a choice out, or splits it, or asks the constraint solver.
    fn look_at(&mut self, choice: &[i64]) {
        let kinds = self.chosen(choice);
        if kinds.iter().any(|kind| kind.ways.is_empty()) || self.exceeds(&kinds) {
            return;
        }
        if let Some(kind) = self.kinds.get(choice.len()).filter(|_| choice.len() < self.free) {
            for first in 0..=kind.count {
                let mut next = choice.to_vec();
                next.push(first);
                self.open.push(next);
            }
            return;
        }
        let rects: Vec<(i64, i64, usize)> = kinds
            .iter()
            .filter_map(|kind| {
                let &(width, length) = kind.ways.first()?;
                Some((width, length, usize::try_from(kind.count).ok()?))
            })
            .collect();
        let count: usize = rects.iter().map(|rect| rect.2).sum();
        if count > pairwise::MOST {
            self.is_left_over = true;
            return;
        }
        let Some(tight) = Tight::new(self.width, self.length, rects.clone()) else { return };
        let spread = |kinds: &[(i64, i64, usize)]| -> Vec<(i64, i64)> {
            kinds.iter().flat_map(|kind| vec![(kind.0, kind.1); kind.2]).collect()
        };
        let question = Question { sizes: spread(&rects), units: spread(&tight.kinds) };
        match Pairwise::new(&tight) {
            Some(model) => self.model = Some((question, model)),
            None => self.is_left_over = true,
        }
    }

    /// The kinds, of which the first lie as chosen.
    fn chosen(&self, choice: &[i64]) -> Vec<Kind> {
        let mut kinds: Vec<Kind> = Vec::new();
        let mut add = |ways: Vec<(i64, i64)>, count: i64| match kinds
            .iter_mut()
            .find(|kind| kind.ways == ways)
        {
            Some(same) => same.count += count,
            None if count > 0 => kinds.push(Kind { ways, count }),
            None => {}
        };
        for (index, kind) in self.kinds.iter().enumerate() {
            match choice.get(index) {
                Some(&first) => {
                    add(vec![kind.ways[0]], first);
                    add(vec![kind.ways[1]], kind.count - first);
                }
                None => add(kind.ways.clone(), kind.count),
            }
        }
        kinds
    }

    /// Whether bars in either direction show that they do not fit.
    fn exceeds(&self, kinds: &[Kind]) -> bool {
        let turn = |way: &(i64, i64)| (way.1, way.0);
        let turned: Vec<_> = kinds
            .iter()
            .map(|kind| Kind { ways: kind.ways.iter().map(turn).collect(), count: kind.count })
            .collect();
        Bars { kinds, width: self.width, loose: self.loose, recesses: &[] }.exceed(self.length)
            || Bars { kinds: &turned, width: self.length, loose: self.loose, recesses: &[] }
                .exceed(self.width)
    }
}

impl Question {
    /// Places for the true sizes in the same relations as the places of the model; none when they
    /// do not fit, which can be when sizes were rounded.
    fn laid(&self, places: &[(i64, i64)], width: i64, length: i64) -> Option<Vec<Laid>> {
        let at = |index: usize| (places[index], self.units[index]);
        let xs = pushed(places.len(), |one, other| {
            let (((x, _), (w, _)), ((other_x, _), _)) = (at(one), at(other));
            (x + w <= other_x).then_some(self.sizes[one].0)
        })?;
        let ys = pushed(places.len(), |one, other| {
            let (((_, y), (_, l)), ((_, other_y), _)) = (at(one), at(other));
            (y + l <= other_y).then_some(self.sizes[one].1)
        })?;
        let laid: Vec<_> = self
            .sizes
            .iter()
            .zip(xs.into_iter().zip(ys))
            .map(|(&(width, length), (x, y))| Laid { width, length, x, y })
            .collect();
        let fits =
            laid.iter().all(|one| one.x + one.width <= width && one.y + one.length <= length);
        fits.then_some(laid)
    }
}

/// How far each of `count` is pushed back by those before it. `room(one, other)` is the room that
/// `one` takes when it lies before `other`.
fn pushed(count: usize, room: impl Fn(usize, usize) -> Option<i64>) -> Option<Vec<i64>> {
    let mut places = vec![0_i64; count];
    // A chain has at most `count` members.
    for _ in 0..=count {
        let mut is_still = true;
        for (one, other) in (0..count).flat_map(|one| (0..count).map(move |other| (one, other))) {
            let Some(room) = room(one, other).filter(|_| one != other) else { continue };
            if places[other] < places[one] + room {
                places[other] = places[one] + room;
                is_still = false;
            }
        }
        if is_still {
            return Some(places);
        }
    }
    None
}
