//! Changing a pattern: steps found by their operation, taken out, changed and put back; pieces
//! recut, with the steps that sew their edges refitted.

use std::sync::Arc;

use bag::assembly::Assembly;
use bag::operations::{CutOut, FinishEdges, FrenchSeam, Hem, Join, Operation, Turn};
use bag::pattern::{CopyId, Form, Pattern, PieceId, Run, Step};
use measure::{Length, Outline, Point};

use super::Site;
use crate::Rng;

/// Indices of the steps with an operation of this type.
pub(super) fn steps<T: Operation>(pattern: &Pattern) -> Vec<usize> {
    steps_where(pattern, |_: &T| true)
}

/// Indices of the steps with such an operation.
pub(super) fn steps_where<T: Operation>(
    pattern: &Pattern,
    such: impl Fn(&T) -> bool,
) -> Vec<usize> {
    let is_such = |step: &Step| step.as_a().is_some_and(&such);
    (0..pattern.steps.len()).filter(|index| is_such(&pattern.steps[*index])).collect()
}

/// The pattern with the operation of one step changed; nothing if it is not of this type.
pub(super) fn change<T: Operation + Clone>(
    pattern: &Pattern,
    index: usize,
    change: impl FnOnce(&mut T),
) -> Option<Pattern> {
    let mut changed = pattern.clone();
    let step = changed.steps.get_mut(index)?;
    let mut operation: T = step.as_a::<T>()?.clone();
    change(&mut operation);
    step.operation = Arc::new(operation);
    Some(changed)
}

/// The pattern without a step.
pub(super) fn without(pattern: &Pattern, index: usize) -> Pattern {
    let mut changed = pattern.clone();
    changed.steps.remove(index);
    changed
}

/// The pattern with the step taken from one index and put in before what was at another.
pub(super) fn moved(pattern: &Pattern, from: usize, to: usize) -> Pattern {
    let mut changed = pattern.clone();
    let step = changed.steps.remove(from);
    changed.steps.insert(if to > from { to - 1 } else { to }, step);
    changed
}

/// A step and everything that it handles.
pub(super) fn step_sites(pattern: &Pattern, index: usize) -> Vec<Site> {
    let step = &pattern.steps[index];
    let mut copies = step.operation.copies();
    if let Some(cut) = step.as_a::<CutOut>() {
        let of_it = |copy: &CopyId| cut.materials.contains(&pattern.piece_of(*copy).material);
        copies.extend(pattern.copy_ids().filter(of_it));
    }
    if let Some(turn) = step.as_a::<Turn>() {
        let work = Assembly::sew_first(pattern, index);
        copies.extend(turn.bodies.iter().flat_map(|body| work.body_copies(*body)));
    }
    std::iter::once(Site::Step(step.id.clone())).chain(copies.into_iter().map(Site::Copy)).collect()
}

/// Every copy of a piece, and every step that handles one of them.
pub(super) fn piece_sites(pattern: &Pattern, piece: PieceId) -> Vec<Site> {
    let copies: Vec<CopyId> = pattern.copies_of(piece).collect();
    let handles = |step: &&Step| step.operation.copies().iter().any(|copy| copies.contains(copy));
    let steps = pattern.steps.iter().filter(handles);
    let steps: Vec<Site> = steps.map(|step| Site::Step(step.id.clone())).collect();
    copies.into_iter().map(Site::Copy).chain(steps).collect()
}

/// The free arm of a domestic machine reaches so far into a bag: about 4 in (common practice, no
/// source).
pub(super) const ARM: Length = Length::mm(100);

/// A length that a person could slip by, in whole millimetres.
pub(super) fn slip(rng: &mut Rng, least: i64, most: i64) -> Length {
    Length::mm(rng.between(least, most))
}

/// The pattern with a piece recut to another outline of as many edges. What is sewn along a whole
/// edge is sewn along the whole new edge.
pub(super) fn recut(pattern: &Pattern, piece: PieceId, points: Vec<Point>) -> Option<Pattern> {
    let net = Outline::polygon(points).ok()?;
    let before = pattern.pieces[piece.0].net.clone();
    if net.edge_count() != before.edge_count() {
        return None;
    }
    let mut changed = pattern.clone();
    changed.pieces[piece.0].net = net.clone();
    let fit = |run: &Run| {
        let mut run = run.clone();
        for span in &mut run.spans {
            if pattern.copy(span.copy).piece != piece {
                continue;
            }
            let (old, new) = (before.edge_length(span.edge), net.edge_length(span.edge));
            for end in [&mut span.from, &mut span.to] {
                if *end == old {
                    *end = new;
                }
            }
        }
        run
    };
    for step in &mut changed.steps {
        refit(step, &fit);
    }
    Some(changed)
}

/// Fits every run of a step.
fn refit(step: &mut Step, fit: &impl Fn(&Run) -> Run) {
    let pairs = |seams: &[[Run; 2]]| seams.iter().map(|[a, b]| [fit(a), fit(b)]).collect();
    if let Some(join) = step.as_a::<Join>() {
        step.operation = Arc::new(Join { seams: pairs(&join.seams), ..join.clone() });
    } else if let Some(seam) = step.as_a::<FrenchSeam>() {
        step.operation = Arc::new(FrenchSeam { seams: pairs(&seam.seams), ..seam.clone() });
    } else if let Some(hem) = step.as_a::<Hem>() {
        step.operation = Arc::new(Hem { run: fit(&hem.run), ..hem.clone() });
    } else if let Some(finish) = step.as_a::<FinishEdges>() {
        let runs = finish.runs.iter().map(fit).collect();
        step.operation = Arc::new(FinishEdges { runs, ..finish.clone() });
    }
}

/// Corners of a piece's outline.
pub(super) fn corners(pattern: &Pattern, piece: PieceId) -> Vec<Point> {
    pattern.piece(piece).net.vertices().collect()
}

/// Whether a piece is a strap: a strip whose edges are turned in, or webbing.
pub(super) fn is_strap(pattern: &Pattern, piece: PieceId) -> bool {
    pattern.claims.handles.iter().any(|handle| pattern.copy(handle.strap).piece == piece)
}

/// Whether a piece is a strip that other edges are bound with.
pub(super) fn is_binding(pattern: &Pattern, piece: PieceId) -> bool {
    pattern.piece(piece).id == "binding"
}

/// Whether it is webbing, which has its width from the roll.
pub(super) fn is_webbing(pattern: &Pattern, piece: PieceId) -> bool {
    matches!(pattern.material(pattern.piece(piece).material).form, Form::Webbing { .. })
}

/// Pieces that are sewn along their edges: no strap, no binding.
pub(super) fn panels(pattern: &Pattern) -> Vec<PieceId> {
    pattern.piece_ids().filter(|id| !is_strap(pattern, *id) && !is_binding(pattern, *id)).collect()
}
