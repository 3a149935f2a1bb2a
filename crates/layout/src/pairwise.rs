//! Whether rectangles fit, decided by a constraint solver that learns from its mistakes.
//!
//! The model: a place across and one along for each rectangle; for each pair one of four relations
//! must hold (left of, right of, before, behind); and in both directions no line may be overfull
//! (cumulative). Equal rectangles are in order of their places across, and one rectangle lies in
//! the first half of the fabric, which loses nothing since a layout may be mirrored.

use std::panic::{AssertUnwindSafe, catch_unwind};

use pumpkin_conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_constraints::{cumulative, less_than_or_equals};
use pumpkin_core::Solver;
use pumpkin_core::constraints::Constraint;
use pumpkin_core::results::{ProblemSolution, SatisfactionResult};
use pumpkin_core::variables::{DomainId, TransformableVariable};

use crate::effort::Stop;
use crate::steps::{Counted, Steps};
use crate::tight::Tight;

/// More rectangles than this make too large a model.
pub(crate) const MOST: usize = 60;

/// A model and how far its search has come.
pub(crate) struct Pairwise {
    solver: Solver,
    brancher: Counted,
    steps: Steps,
    places: Vec<(DomainId, DomainId)>,
    is_refuted: bool,
}

/// What a search says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    /// They do not fit.
    No,
    /// They fit with their lower left corners here (in the units of the question).
    Yes(Vec<(i64, i64)>),
    /// Not known yet.
    Open,
    /// The solver failed; what it was asked is left without an answer.
    Lost,
}

/// One rectangle of the model.
#[derive(Clone, Copy)]
struct Rect {
    kind: usize,
    size: (i32, i32),
    at: (DomainId, DomainId),
}

impl Pairwise {
    /// A model of the question; none when it would be too large.
    pub(crate) fn new(question: &Tight) -> Option<Self> {
        let count: usize = question.kinds.iter().map(|kind| kind.2).sum();
        let small = |value: i64| i32::try_from(value).ok();
        let (width, length) = (small(question.width)?, small(question.length)?);
        if count > MOST {
            return None;
        }
        let mut solver = Solver::default();
        let mut rects = Vec::new();
        let halved = halved(question);
        for (kind, &(across, along, count)) in question.kinds.iter().enumerate() {
            let size = (small(across)?, small(along)?);
            for copy in 0..count {
                let mut room = (width - size.0, length - size.1);
                if halved == Some(kind) && copy == 0 {
                    // Mirrored along, the order of equal rectangles stays as it is; mirrored
                    // across only a single one may be halved.
                    room.1 /= 2;
                    if count == 1 {
                        room.0 /= 2;
                    }
                }
                let across = solver.new_bounded_integer(0, room.0);
                let along = solver.new_bounded_integer(0, room.1);
                rects.push(Rect { kind, size, at: (across, along) });
            }
        }
        let whole = (width, length);
        let pairs = rects.iter().enumerate();
        let mut pairs =
            pairs.flat_map(|(at, one)| rects[at + 1..].iter().map(move |two| (one, two)));
        // A model that is refuted while it is made may not be added to.
        let is_refuted = !pairs.all(|(one, two)| apart(&mut solver, *one, *two, whole))
            || !lines(&mut solver, &rects, whole);
        let (brancher, steps) = Counted::new(solver.default_brancher());
        let places = rects.iter().map(|rect| rect.at).collect();
        Some(Self { solver, brancher, steps, places, is_refuted })
    }

    /// Searches on for so many steps, or until it is told to stop. The solver asserts inside; should that ever fail, the
    /// question stays without an answer, and nothing else does.
    pub(crate) fn search(&mut self, steps: u32, stop: &Stop) -> Answer {
        if self.is_refuted {
            return Answer::No;
        }
        catch_unwind(AssertUnwindSafe(|| self.ask(steps, stop))).unwrap_or(Answer::Lost)
    }

    fn ask(&mut self, steps: u32, stop: &Stop) -> Answer {
        let mut resolver = ResolutionResolver::default();
        self.steps.allow(steps, stop);
        match self.solver.satisfy(&mut self.brancher, &mut self.steps, &mut resolver) {
            SatisfactionResult::Unsatisfiable(..) => {
                self.is_refuted = true;
                Answer::No
            }
            SatisfactionResult::Unknown(..) => Answer::Open,
            SatisfactionResult::Satisfiable(found) => {
                let found = found.solution();
                let at = |place: DomainId| i64::from(found.get_integer_value(place));
                Answer::Yes(self.places.iter().map(|&(x, y)| (at(x), at(y))).collect())
            }
        }
    }
}

/// The kind of which one may lie in the first half: a single one if there is one, the largest.
fn halved(question: &Tight) -> Option<usize> {
    let size = |&(across, along, _): &(i64, i64, usize)| i128::from(across) * i128::from(along);
    let kinds = question.kinds.iter().enumerate();
    kinds.max_by_key(|(_, kind)| (kind.2 == 1, size(kind))).map(|(index, _)| index)
}

/// One of four relations holds between two rectangles; whether that leaves the model open.
fn apart(solver: &mut Solver, one: Rect, other: Rect, whole: (i32, i32)) -> bool {
    let tag = solver.new_constraint_tag();
    let is_same = one.kind == other.kind;
    if is_same {
        let order = less_than_or_equals([one.at.0.scaled(1), other.at.0.scaled(-1)], 0, tag);
        solver.add_constraint(order).post();
        if solver.is_inconsistent() {
            return false;
        }
    }
    let beside = one.size.0 + other.size.0 <= whole.0;
    let behind = one.size.1 + other.size.1 <= whole.1;
    let ways = [
        (beside, one.at.0, one.size.0, other.at.0),
        (beside && !is_same, other.at.0, other.size.0, one.at.0),
        (behind, one.at.1, one.size.1, other.at.1),
        (behind, other.at.1, other.size.1, one.at.1),
    ];
    let mut any = Vec::new();
    for (_, first, size, second) in ways.into_iter().filter(|way| way.0) {
        let literal = solver.new_literal();
        let order = less_than_or_equals([first.scaled(1), second.scaled(-1)], -size, tag);
        order.implied_by(solver, literal);
        if solver.is_inconsistent() {
            return false;
        }
        any.push(literal.get_true_predicate());
    }
    if any.is_empty() {
        return false;
    }
    solver.add_clause(any, tag);
    !solver.is_inconsistent()
}

/// No line across or along is overfull; whether that leaves the model open.
fn lines(solver: &mut Solver, rects: &[Rect], whole: (i32, i32)) -> bool {
    let tag = solver.new_constraint_tag();
    let (across, along): (Vec<_>, Vec<_>) = rects.iter().map(|rect| rect.at).unzip();
    let (widths, lengths): (Vec<_>, Vec<_>) = rects.iter().map(|rect| rect.size).unzip();
    let rows = cumulative(along, lengths.clone(), widths.clone(), whole.0, tag);
    solver.add_constraint(rows).post();
    if solver.is_inconsistent() {
        return false;
    }
    let columns = cumulative(across, widths, lengths, whole.1, tag);
    solver.add_constraint(columns).post();
    !solver.is_inconsistent()
}
