//! Everything is cut, marked, stiffened and joined to its length before it is sewn, and once.

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::operations::{Bind, BlockFuse, CutOut, FinishEdges, Interface, JoinStrips, MarkPieces, Operation};
use crate::pattern::{CopyId, Grain, InterfacingHold, MarkShape, MaterialId, Step};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "prepared",
    looks_for: "pieces that are never cut, marked, stiffened or joined to their length, too late, \
                or twice",
    why: "what is sewn cannot be marked, stiffened or lengthened any more",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = cut(context);
    for copy in context.pattern.copy_ids() {
        if is_used(context, copy) {
            findings.extend(marked(context, copy));
            findings.extend(stiffened(context, copy));
            findings.extend(lengthened(context, copy));
        }
    }
    // One finding for each step or piece: its copies share their preparation.
    findings.dedup_by(|a, b| a.message == b.message);
    findings
}

/// Indices of the steps with such an operation.
fn steps<T: Operation>(context: &Context<'_>, such: impl Fn(&T) -> bool) -> Vec<usize> {
    let is_such = |step: &Step| {
        step.as_a::<T>().is_some_and(&such)
    };
    let steps = &context.pattern.steps;
    (0..steps.len()).filter(|index| is_such(&steps[*index])).collect()
}

/// Whether a step does anything with a copy besides preparing it.
fn is_used(context: &Context<'_>, copy: CopyId) -> bool {
    first_use(context, copy).is_some()
}

/// The first step that sews, presses, folds or places a copy.
fn first_use(context: &Context<'_>, copy: CopyId) -> Option<usize> {
    context.pattern.steps.iter().position(|step| {
        let prepares = matches!(
            step.operation.word(),
            "cut-out" | "block-fuse" | "mark" | "interface" | "join-strips" | "quilt"
        );
        !prepares && step.operation.copies().contains(&copy)
    })
}

fn name<'c>(context: &Context<'c>, copy: CopyId) -> &'c str {
    &context.pattern.piece_of(copy).name
}

fn error(place: Place, message: String, cure: &str) -> Finding {
    Finding::error(CHECK.name, place, message, cure.to_owned())
}

/// Every material is cut, once, and before anything of it is used.
fn cut(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, material) in context.pattern.materials.iter().enumerate() {
        let id = MaterialId(index);
        let of_it: Vec<CopyId> = context
            .pattern
            .copy_ids()
            .filter(|copy| {
                let piece = context.pattern.piece_of(*copy);
                piece.material == id || piece.interfacing.is_some_and(|on| on.material == id)
            })
            .collect();
        let Some(first) = of_it.first() else { continue };
        let cuts = steps(context, |cut: &CutOut| cut.materials.contains(&id));
        let what = &material.name;
        match cuts.as_slice() {
            [] => findings.push(error(
                Place::piece(name(context, *first)),
                format!("no step cuts the pieces of {what}"),
                "name it in the step that cuts",
            )),
            [once] => {
                let used = |step: &Step| {
                    let handles = |copy: &CopyId| step.operation.copies().contains(copy);
                    step.operation.word() != "block-fuse" && of_it.iter().any(handles)
                };
                let early = context.pattern.steps[..*once].iter().position(used);
                findings.extend(early.map(|early| {
                    let (now, then) = (context.step_id(early), context.step_id(*once));
                    error(
                        Place::step(now),
                        format!("`{now}` handles pieces of {what}, which `{then}` cuts later"),
                        "cut first",
                    )
                }));
            }
            [_, again, ..] => findings.push(error(
                Place::step(context.step_id(*again)),
                format!("the pieces of {what} have been cut already"),
                "cut each material once",
            )),
        }
    }
    let fused = steps(context, |_: &BlockFuse| true);
    let cuts = steps(context, |_: &CutOut| true);
    if let (Some(block), Some(cut)) = (fused.last(), cuts.first())
        && block > cut
    {
        findings.push(error(
            Place::step(context.step_id(*block)),
            "a block is fused after the pieces are cut from it".to_owned(),
            "fuse the block before anything is cut",
        ));
    }
    findings
}

/// What must be done to a copy once and before it is used.
fn once_before(context: &Context<'_>, copy: CopyId, found: &[usize], what: &str) -> Option<Finding> {
    let piece = name(context, copy);
    match found {
        [] => Some(error(
            Place::piece(piece),
            format!("the {piece} is never {what}"),
            "let a step do it before the piece is sewn",
        )),
        [step] => first_use(context, copy).filter(|used| used < step).map(|used| {
            error(
                Place::step(context.step_id(*step)).of_piece(piece),
                format!("the {piece} is {what} after `{}`", context.step_id(used)),
                "do it before the piece is used",
            )
        }),
        [_, again, ..] => Some(error(
            Place::step(context.step_id(*again)).of_piece(piece),
            format!("the {piece} has been {what} already"),
            "do it once",
        )),
    }
}

/// Marks are transferred. Marking again does no harm.
fn marked(context: &Context<'_>, copy: CopyId) -> Option<Finding> {
    let drawn = |mark: &crate::pattern::Mark| !matches!(mark.shape, MarkShape::Fold(..));
    if !context.pattern.piece_of(copy).marks.iter().any(drawn) {
        return None;
    }
    let mut found = steps(context, |mark: &MarkPieces| mark.copies.contains(&copy));
    found.truncate(1);
    once_before(context, copy, &found, "marked")
}

fn stiffened(context: &Context<'_>, copy: CopyId) -> Option<Finding> {
    let on = context.pattern.piece_of(copy).interfacing?;
    let mut found = match on.hold {
        InterfacingHold::Block => steps(context, |fuse: &BlockFuse| fuse.copies.contains(&copy)),
        InterfacingHold::Fused | InterfacingHold::Basted => {
            steps(context, |it: &Interface| it.copies.contains(&copy))
        }
    };
    found.sort_unstable();
    once_before(context, copy, &found, "stiffened with its interfacing")
}

/// Strips that are shorter than they must be are joined first. Binding strips are joined as they
/// are sewn on.
fn lengthened(context: &Context<'_>, copy: CopyId) -> Option<Finding> {
    let piece = context.pattern.piece_of(copy);
    let joined = steps(context, |join: &JoinStrips| join.straps.contains(&copy));
    let finishes = |it: &FinishEdges| it.bound_with.as_ref() == Some(&piece.id);
    let bound = |it: &Bind| it.bound_with == piece.id;
    let binds = !(steps(context, finishes).is_empty() && steps(context, bound).is_empty());
    let cloth = context.pattern.material(piece.material).cloth();
    let long = cloth.is_some_and(|cloth| {
        piece.join.is_some()
            && piece.grain == Grain::Crosswise
            && piece.cut_size().1 > cloth.usable_width
    });
    if joined.is_empty() && (!long || binds) {
        return None;
    }
    once_before(context, copy, &joined, "joined to its length")
}
