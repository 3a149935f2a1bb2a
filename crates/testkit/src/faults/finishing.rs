//! What is left raw, unfinished, unstiffened or too thick.

use bag::operations::{BlockFuse, CutOut, FinishEdges, Hem, Interface, JoinStrips, MarkPieces};
use bag::pattern::{Form, InterfacingCut, Pattern};
use measure::Length;

use super::edit::{change, moved, panels, piece_sites, step_sites, steps, steps_where, without};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("hem-left-out", "a rim or a pocket's top stays raw", unhemmed),
    Kind::new("finish-left-out", "the allowances of an unlined bag stay raw", unfinished),
    Kind::new(
        "finish-in-part",
        "one edge is left out where the allowances are finished",
        part_finished,
    ),
    Kind::new("binding-left-out", "the edges are bound, and no strip is named for it", unbound),
    Kind::new(
        "interfacing-left-out",
        "an interfacing is bought and cut, and never applied",
        unstiffened,
    ),
    Kind::new(
        "interfaced-too-late",
        "an interfacing is applied to a piece that is sewn already",
        stiffened_late,
    ),
    Kind::new(
        "interfacing-in-the-seam",
        "a thick interfacing is left in the seams of a heavy bag",
        in_the_seam,
    )
    .warned(),
    Kind::new("marks-left-out", "no step transfers the marks", unmarked),
    Kind::new("cutting-left-out", "no step cuts a material", uncut),
    Kind::new(
        "strips-not-joined",
        "straps longer than the fabric are folded without being joined",
        unjoined,
    ),
];

fn left_out(pattern: &Pattern, index: usize) -> Seeded {
    let what = format!("`{}`", pattern.steps[index].id);
    Seeded::new(without(pattern, index), what, step_sites(pattern, index))
}

fn unhemmed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    rng.pick(&steps::<Hem>(pattern)).map(|index| left_out(pattern, *index))
}

fn unfinished(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    rng.pick(&steps::<FinishEdges>(pattern)).map(|index| left_out(pattern, *index))
}

fn part_finished(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<FinishEdges>(pattern))?;
    let runs = pattern.steps[index].as_a::<FinishEdges>()?.runs.len();
    if runs < 2 {
        return None;
    }
    let at = rng.below(runs / 2) * 2;
    // Both edges of one seam.
    let changed = change(pattern, index, |finish: &mut FinishEdges| {
        finish.runs.drain(at..at + 2);
    })?;
    let what = format!("`{}`, seam {}", pattern.steps[index].id, at / 2);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn unbound(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let bound = steps_where(pattern, |finish: &FinishEdges| finish.bound_with.is_some());
    let index = *rng.pick(&bound)?;
    let mut changed = pattern.clone();
    let mut sites = step_sites(pattern, index);
    for index in bound {
        changed = change(&changed, index, |finish: &mut FinishEdges| finish.bound_with = None)?;
        sites.extend(step_sites(pattern, index));
    }
    let strips = pattern.piece_ids().filter(|id| super::edit::is_binding(pattern, *id));
    sites.extend(strips.flat_map(|id| piece_sites(pattern, id)));
    Some(Seeded::new(changed, format!("`{}`", pattern.steps[index].id), sites))
}

fn stiffening(pattern: &Pattern) -> Vec<usize> {
    [steps::<Interface>(pattern), steps::<BlockFuse>(pattern)].concat()
}

fn unstiffened(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    rng.pick(&stiffening(pattern)).map(|index| left_out(pattern, *index))
}

fn stiffened_late(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&stiffening(pattern))?;
    let copies = pattern.steps[index].operation.copies();
    let sews = |at: &usize| {
        let step = &pattern.steps[*at];
        let sewing = matches!(step.operation.word(), "join" | "french-seam" | "hem" | "fold-strip");
        sewing && step.operation.copies().iter().any(|copy| copies.contains(copy))
    };
    let last = (index..pattern.steps.len()).rfind(sews)?;
    let what = format!("`{}` after `{}`", pattern.steps[index].id, pattern.steps[last].id);
    let sites = step_sites(pattern, index);
    Some(Seeded::new(moved(pattern, index, last + 1), what, sites))
}

fn in_the_seam(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let stiffened: Vec<_> =
        panels(pattern).into_iter().filter(|id| pattern.piece(*id).interfacing.is_some()).collect();
    let piece = *rng.pick(&stiffened)?;
    let mut changed = pattern.clone();
    let material = changed.pieces[piece.0].interfacing.as_mut().map(|on| {
        on.cut = InterfacingCut::Full;
        on.material
    })?;
    // A foam of 5 mm, and heavy canvas.
    for (index, material_) in changed.materials.iter_mut().enumerate() {
        match &mut material_.form {
            Form::Interfacing(cloth) if index == material.0 => {
                cloth.thickness = Some(Length::mm(5));
            }
            Form::Fabric(cloth) | Form::Interfacing(cloth) => {
                cloth.thickness = Some(Length::nm(900_000));
            }
            Form::Webbing { .. } => {}
        }
    }
    let what = pattern.piece(piece).name.clone();
    Some(Seeded::new(changed, what, piece_sites(pattern, piece)))
}

fn unmarked(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    rng.pick(&steps::<MarkPieces>(pattern)).map(|index| left_out(pattern, *index))
}

fn uncut(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<CutOut>(pattern))?;
    let cut = pattern.steps[index].as_a::<CutOut>()?;
    let used = |material: &bag::pattern::MaterialId| {
        pattern.pieces.iter().any(|piece| piece.material == *material)
    };
    let materials: Vec<_> = cut.materials.iter().copied().filter(used).collect();
    let material = *rng.pick(&materials)?;
    let changed = change(pattern, index, |cut: &mut CutOut| {
        cut.materials.retain(|other| *other != material);
    })?;
    let of_it = pattern.piece_ids().filter(|id| pattern.piece(*id).material == material);
    let mut sites: Vec<Site> = of_it.flat_map(|id| piece_sites(pattern, id)).collect();
    sites.push(Site::Step(pattern.steps[index].id.clone()));
    Some(Seeded::new(changed, pattern.material(material).name.clone(), sites))
}

fn unjoined(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    rng.pick(&steps::<JoinStrips>(pattern)).map(|index| left_out(pattern, *index))
}
