//! Pieces that are no rectangles, laid by their true outlines.

mod apart;
mod begin;
mod board;
mod bound;
mod convex;
mod job;
mod parts;
pub(crate) mod remnants;
mod rows;
mod separate;
pub(crate) mod within;

use measure::Length;

use self::board::Board;
use self::job::{Follows, Parts};
use self::separate::Separator;
use crate::cuts::Cuts;
use crate::effort::Stop;
use crate::{
    Cutting, Layout, NoLayout, Placement, Problem, Proof, Rotation, Shape, Stock, remnant, search,
    solve,
};

/// Whether a problem is solved here: some pieces are outlines, the fabric is folded, or pieces
/// have to match.
pub(crate) fn is_odd(problem: &Problem) -> bool {
    if problem.cutting != Cutting::Free || problem.stock.width().is_none() {
        return false;
    }
    let has_outline = problem.pieces.iter().any(|item| matches!(item.shape, Shape::Outline(_)));
    has_outline || is_bound(problem)
}

/// Whether where a piece lies is bound by a fold or a print.
fn is_bound(problem: &Problem) -> bool {
    let is_folded = matches!(problem.stock, Stock::Bolt { fold: true, .. });
    let has_group = problem.pieces.iter().any(|item| item.group.is_some());
    is_folded || (has_group && job::repeat(problem).is_some())
}

/// Pieces with more forms than this in all are laid in one order, by their outlines only.
const MOST_FORMS: usize = 60;

/// What is laid, and where.
struct Laid {
    parts: Parts,
    board: Board,
    cuts: Cuts,
    bound: Length,
}

/// A first layout: the better of the boxes' and of some orders in which outlines are laid as low
/// as they can lie.
pub(crate) fn first(problem: &Problem, usable: Length) -> Result<Layout, NoLayout> {
    let Laid { parts, board, cuts, bound } = begin(problem, usable)?;
    Ok(finish(problem, usable, &cuts, parts.placements(&board, &board.lies), bound))
}

/// Whether cuts that fit across by themselves can also be laid as fold and print ask.
pub(crate) fn fits(problem: &Problem, usable: Length, cuts: &[Cuts]) -> bool {
    let can = |cuts: &Cuts| {
        let mut turns = turns(problem).into_iter();
        turns.any(|turn| {
            Parts::on_board(problem, usable, &cuts.cuts, turn, Follows::Loosely).is_ok()
        })
    };
    !is_bound(problem) || problem.cutting != Cutting::Free || cuts.iter().any(can)
}

/// A layout that is no longer than `enough`; none when none is found at once.
pub(crate) fn serves(problem: &Problem, usable: Length, enough: Length) -> Option<Layout> {
    if bound::at_once(problem, usable) > enough {
        return None;
    }
    let layout = first(problem, usable).ok()?;
    (layout.length <= enough).then_some(layout)
}

/// A problem whose outlines are laid by their boxes.
fn boxed(problem: &Problem) -> Problem {
    let mut boxed = problem.clone();
    for item in &mut boxed.pieces {
        let (width, length) = item.shape.size();
        item.shape = Shape::Rect { width, length };
    }
    boxed
}

fn begin(problem: &Problem, usable: Length) -> Result<Laid, NoLayout> {
    let boxes = boxed(problem);
    let solved = solve::solve(&boxes, usable, Some(Length::ZERO))?;
    let bound = bound::at_once(problem, usable);
    let mut best: Option<(i64, Parts, Board)> = None;
    let mut trouble = None;
    for turn in turns(problem) {
        let made = Parts::on_board(problem, usable, &solved.cuts.cuts, turn, Follows::Loosely);
        let (parts, mut board) = match made {
            Ok(made) => made,
            Err(no) => {
                trouble = trouble.or(Some(no));
                continue;
            }
        };
        let by_boxes = (!is_bound(problem)).then(|| solve::finish(&boxes, usable, &solved));
        let lies = by_boxes.and_then(|boxes| parts.lies(&board, &boxes.placements));
        let Some(length) = lay(&mut board, lies, bound) else { continue };
        if best.as_ref().is_none_or(|(least, ..)| length < *least) {
            best = Some((length, parts, board));
        }
    }
    match best {
        Some((_, parts, board)) => Ok(Laid { parts, board, cuts: solved.cuts, bound }),
        None => Err(trouble.unwrap_or_else(|| {
            let what = "pieces that have to match have no rotation in common in which they fit";
            NoLayout::Nonsense(what.to_owned())
        })),
    }
}

/// Lays in some orders, beginning with lies that are known, and keeps the shortest; its length.
fn lay(board: &mut Board, known: Option<Vec<board::Lie>>, bound: Length) -> Option<i64> {
    let mut best: Option<(i64, Vec<board::Lie>, Vec<convex::Spot>)> = None;
    let forms: usize = board.units.iter().map(|unit| unit.forms.len()).sum();
    // Of many pieces, or ways to lay them, one order is enough, if it leads to a layout.
    let are_many = forms > MOST_FORMS;
    if let Some(lies) = known.filter(|_| !are_many) {
        board.lies = lies;
        begin::press(board);
        best = Some((board.reach_along(), board.lies.clone(), board.phases.clone()));
    }
    for (tried, order) in orders(board).into_iter().enumerate() {
        if best.as_ref().is_some_and(|(length, ..)| *length <= bound.to_nm())
            || (tried > 0 && best.is_some() && are_many)
        {
            break;
        }
        if !begin::lay(board, &order) {
            continue;
        }
        let length = board.reach_along();
        if best.as_ref().is_none_or(|(least, ..)| length < *least) {
            best = Some((length, board.lies.clone(), board.phases.clone()));
        }
    }
    let (length, lies, phases) = best?;
    (board.lies, board.phases) = (lies, phases);
    Some(length)
}

/// The rotations in which pieces that have to match may lie; any, when nothing has to.
fn turns(problem: &Problem) -> Vec<Option<Rotation>> {
    if job::repeat(problem).is_none() || problem.pieces.iter().all(|item| item.group.is_none()) {
        return vec![None];
    }
    let members = || problem.pieces.iter().filter(|item| item.group.is_some());
    let all = Rotation::ALL.into_iter();
    all.filter(|way| members().all(|item| item.rotations.allows(*way))).map(Some).collect()
}

/// Orders to lay in: by area, by length, by width.
fn orders(board: &Board) -> Vec<Vec<usize>> {
    let size = |unit: usize| board.apart.forms[board.units[unit].forms[0]].size;
    let area = |unit: usize| i128::from(size(unit).0) * i128::from(size(unit).1);
    let keys: [&dyn Fn(usize) -> i128; 3] =
        [&area, &|unit| size(unit).1.into(), &|unit| size(unit).0.into()];
    let order = |key: &&dyn Fn(usize) -> i128| {
        let mut order: Vec<usize> = (0..board.units.len()).collect();
        order.sort_by_key(|&unit| (-key(unit), unit));
        order
    };
    // Of pieces that have to match, the widest must come first if the others leave it no place:
    // the last order finds a layout always.
    keys.iter().map(order).collect()
}

/// The layout of some placements.
fn finish(
    problem: &Problem,
    usable: Length,
    cuts: &Cuts,
    placements: Vec<Placement>,
    bound: Length,
) -> Layout {
    let length = placements.iter().map(|one| one.y + one.length).max().unwrap_or(Length::ZERO);
    let bought = solve::bought(problem, length);
    let washed = problem.shrinkage.after_washing(bought) - problem.squaring;
    let bound = bound.min(length);
    let mut layout = Layout::claiming(placements, cuts.joins.clone(), usable);
    layout.length = length;
    layout.needed = solve::needed(problem, length);
    layout.bought = bought;
    layout.bound = bound;
    layout.proof = solve::proof(problem, length, bound);
    layout.remnant = remnant::largest(&layout.placements, usable, washed);
    layout
}

/// A search for a shorter layout of outlines.
pub(crate) struct Search {
    problem: Problem,
    usable: Length,
    parts: Parts,
    cuts: Cuts,
    separator: Separator,
    /// The same pieces laid by their boxes: of many pieces a search for rectangles lays more at once.
    boxes: Option<Box<search::Search>>,
    best: Layout,
    rounds: u64,
    stop: Stop,
}

/// So many pieces are laid by their boxes too, a round of that after so many others.
const MANY: usize = 40;
const BOXES: u64 = 16;

impl Search {
    /// Begins with a first layout.
    pub(crate) fn begin(problem: &Problem, usable: Length, seed: u64) -> Result<Self, NoLayout> {
        let Laid { parts, board, cuts, bound } = begin(problem, usable)?;
        let best = finish(problem, usable, &cuts, parts.placements(&board, &board.lies), bound);
        // It is laid again by outlines that follow the pieces more closely.
        let search = Self::from_layout(problem, usable, &best, seed);
        Ok(search.unwrap_or_else(|| Self::with(problem, usable, parts, board, cuts, best, seed)))
    }

    /// Begins with a layout of the problem.
    pub(crate) fn from_layout(
        problem: &Problem,
        usable: Length,
        best: &Layout,
        seed: u64,
    ) -> Option<Self> {
        let cuts: Vec<_> =
            best.placements.iter().map(|one| search::cut(problem, one, usable)).collect();
        let cuts = Cuts { cuts, joins: best.joins.clone() };
        let mut turn = best
            .placements
            .iter()
            .filter(|one| problem.pieces.get(one.piece).is_some_and(|item| item.group.is_some()));
        let turn = turn.next().map(|one| one.rotation).filter(|_| job::repeat(problem).is_some());
        let (parts, mut board) =
            Parts::on_board(problem, usable, &cuts.cuts, turn, Follows::Closely).ok()?;
        board.lies = parts.lies(&board, &best.placements)?;
        board.find_phases();
        Some(Self::with(problem, usable, parts, board, cuts, best.clone(), seed))
    }

    fn with(
        problem: &Problem,
        usable: Length,
        parts: Parts,
        board: Board,
        cuts: Cuts,
        best: Layout,
        seed: u64,
    ) -> Self {
        let bound = bound::by_bars(problem, usable).max(best.bound);
        let separator = Separator::new(board, bound.to_nm(), seed);
        let is_wanted = cuts.cuts.len() >= MANY && !is_bound(problem) && best.length > bound;
        let boxes = is_wanted.then(|| search::Search::begin(&boxed(problem), seed).ok());
        let boxes = boxes.flatten().map(Box::new);
        let (problem, stop) = (problem.clone(), Stop::default());
        let mut search =
            Self { problem, usable, parts, cuts, separator, boxes, best, rounds: 0, stop };
        search.take(bound);
        search
    }

    /// Ends a step early when it is told to stop.
    pub(crate) fn heed(&mut self, stop: &Stop) {
        self.stop = stop.clone();
        if let Some(boxes) = &mut self.boxes {
            boxes.heed(stop);
        }
    }

    pub(crate) const fn best(&self) -> &Layout {
        &self.best
    }

    pub(crate) fn is_done(&self) -> bool {
        self.best.proof == Proof::Shortest
    }

    pub(crate) const fn rounds(&self) -> u64 {
        self.rounds
    }

    pub(crate) fn step(&mut self, rounds: u32) -> bool {
        let before = self.best.length;
        for _ in 0..rounds {
            if self.is_done() || self.stop.is_stopped() {
                break;
            }
            if (self.rounds.is_multiple_of(BOXES) && self.lay_boxes()) || self.separator.round() {
                self.take(self.best.bound);
            }
            self.rounds += 1;
        }
        before != self.best.length
    }

    /// Goes on with the boxes, and from there when they lie better; whether they do.
    fn lay_boxes(&mut self) -> bool {
        let Some(boxes) = self.boxes.as_mut().filter(|boxes| !boxes.is_done()) else {
            return false;
        };
        boxes.step(1);
        let laid = boxes.best();
        if laid.length >= self.best.length {
            return false;
        }
        // Strips that are joined may be cut otherwise, and then lie as they did.
        let lies = self.parts.lies(&self.separator.board, &laid.placements);
        lies.is_some_and(|lies| self.separator.begin_from(lies))
    }

    /// Takes what the search has found if it is better, and right.
    fn take(&mut self, bound: Length) {
        let lies = &self.separator.best().lies;
        let placements = self.parts.placements(&self.separator.board, lies);
        let layout = finish(&self.problem, self.usable, &self.cuts, placements, bound);
        if layout.length <= self.best.length && crate::verify(&self.problem, &layout).is_ok() {
            self.best = layout;
        } else {
            let Layout { placements, .. } = self.best.clone();
            self.best = finish(&self.problem, self.usable, &self.cuts, placements, bound);
        }
    }
}
