//! The steps that every pattern begins with: block fusing, cutting, marking, interfacing; and the
//! small things that it needs.

use std::collections::BTreeMap;

use super::Drafter;
use crate::operations::{BlockFuse, CutOut, Interface, MarkPieces};
use crate::pattern::{
    Chapter, CopyId, Form, InterfacingCut, InterfacingHold, MarkShape, MaterialId, Step,
};

/// Adds what comes before sewing.
pub(super) fn tidy_up(d: &mut Drafter<'_>) {
    let sewing = d.steps.len();
    fuse_blocks(d);
    cut_out(d);
    mark(d);
    interface(d);
    // A layer may be backed in the chapter in which pieces are stiffened: that comes after these.
    d.steps.rotate_left(sewing);
    let own = d.steps.len() - sewing;
    quilt(d, own);
}

fn copies_where(d: &Drafter<'_>, wanted: impl Fn(&crate::pattern::Piece) -> bool) -> Vec<CopyId> {
    (0..d.copies.len()).map(CopyId).filter(|copy| wanted(d.piece_of(*copy))).collect()
}

fn fuse_blocks(d: &mut Drafter<'_>) {
    let mut blocks: BTreeMap<(MaterialId, MaterialId), Vec<CopyId>> = BTreeMap::new();
    for copy in (0..d.copies.len()).map(CopyId) {
        let piece = d.piece_of(copy);
        if let Some(on) = piece.interfacing.filter(|on| on.hold == InterfacingHold::Block) {
            blocks.entry((piece.material, on.material)).or_default().push(copy);
        }
    }
    for ((fabric, interfacing), copies) in blocks {
        let id = d.free_step_id("fuse-block");
        d.step(Chapter::Cut, &id, BlockFuse { fabric, interfacing, copies });
    }
}

fn cut_out(d: &mut Drafter<'_>) {
    let used: Vec<MaterialId> = (0..d.materials.len()).map(MaterialId).collect();
    let wash_first = d.materials.iter().any(|material| {
        material.cloth().is_some_and(|c| c.shrinks_in_length + c.shrinks_in_width > 0)
    });
    d.step(Chapter::Cut, "cut-out", CutOut { materials: used, wash_first });
}

fn mark(d: &mut Drafter<'_>) {
    let drawn = |shape: &MarkShape| !matches!(shape, MarkShape::Fold(..));
    let copies = copies_where(d, |piece| {
        !piece.trimmed.is_positive() && piece.marks.iter().any(|mark| drawn(&mark.shape))
    });
    if !copies.is_empty() {
        d.step(Chapter::Cut, "mark-pieces", MarkPieces { copies });
    }
}

/// What is cut larger is quilted and trimmed before anything else is laid on it, and is marked when
/// it has its size: both come behind the first `own` steps.
fn quilt(d: &mut Drafter<'_>, own: usize) {
    let is_quilt = |step: &Step| step.operation.word() == "quilt";
    let (quilts, others) = d.steps.split_off(own).into_iter().partition(is_quilt);
    d.steps.extend::<Vec<Step>>(quilts);
    let copies = copies_where(d, |piece| piece.trimmed.is_positive() && !piece.marks.is_empty());
    if !copies.is_empty() {
        d.step(Chapter::Interface, "mark-trimmed", MarkPieces { copies });
    }
    d.steps.extend::<Vec<Step>>(others);
}

fn interface(d: &mut Drafter<'_>) {
    let mut groups: Vec<((MaterialId, InterfacingHold, InterfacingCut), Vec<CopyId>)> = Vec::new();
    for copy in (0..d.copies.len()).map(CopyId) {
        let Some(on) = d.piece_of(copy).interfacing else { continue };
        if on.hold == InterfacingHold::Block {
            continue;
        }
        let key = (on.material, on.hold, on.cut);
        match groups.iter_mut().find(|(other, _)| *other == key) {
            Some((_, copies)) => copies.push(copy),
            None => groups.push((key, vec![copy])),
        }
    }
    let fused = groups.iter().any(|((_, hold, _), _)| *hold == InterfacingHold::Fused);
    let blocks = d
        .pieces
        .iter()
        .any(|piece| piece.interfacing.is_some_and(|on| on.hold == InterfacingHold::Block));
    if fused || blocks {
        d.tool("press cloth");
    }
    for ((material, hold, cut), copies) in groups {
        let id = d.free_step_id(&format!("interface-{}", d.materials[material.0].id));
        d.step(Chapter::Interface, &id, Interface { material, hold, cut, copies });
    }
    debug_assert!(
        d.materials
            .iter()
            .all(|m| !matches!(m.form, Form::Webbing { width, .. } if !width.is_positive())),
        "webbing has a width"
    );
}
