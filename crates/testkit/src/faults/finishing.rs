//! What is left raw, unfinished, unstiffened or too thick.

use bag::operations::{
    BlockFuse, CoverCord, CutBias, CutOut, FinishEdges, Hem, Interface, JoinStrips, MarkPieces,
};
use bag::pattern::{Form, InterfacingCut, Pattern, PieceId, Step};
use measure::{Length, Point};

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
        "bias-square-too-small",
        "the square of bias binding or piping is cut too small for its strip",
        small_square,
    ),
    Kind::new(
        "bias-strip-too-narrow",
        "a bias strip is cut too narrow for its cord, or for the binding",
        narrow_bias,
    ),
    Kind::new(
        "bias-cut-left-out",
        "no step cuts the square into bias strips: what is bound or piped bends",
        uncut_bias,
    )
    .warned(),
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

/// A step that cuts bias strips.
fn bias(pattern: &Pattern, rng: &mut Rng) -> Option<(usize, CutBias)> {
    let index = *rng.pick(&steps::<CutBias>(pattern))?;
    Some((index, pattern.steps[index].as_a::<CutBias>()?.clone()))
}

/// The step, its squares, and what is covered or bound with its strips.
fn bias_sites(pattern: &Pattern, index: usize, cut: &CutBias) -> Vec<Site> {
    let mut sites = step_sites(pattern, index);
    let pieces: Vec<PieceId> = cut.squares.iter().map(|copy| pattern.copy(*copy).piece).collect();
    for piece in pieces {
        sites.extend(piece_sites(pattern, piece));
        let id = &pattern.piece(piece).id;
        let uses = |step: &&Step| {
            step.as_a::<CoverCord>().is_some_and(|cover| cover.from == *id)
                || step.as_a::<FinishEdges>().is_some_and(|it| it.bound_with.as_ref() == Some(id))
        };
        sites.extend(pattern.steps.iter().filter(uses).map(|step| Site::Step(step.id.clone())));
    }
    sites
}

fn small_square(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, cut) = bias(pattern, rng)?;
    let piece = pattern.copy(*cut.squares.first()?).piece;
    let part = rng.between(4, 7);
    let points = super::edit::corners(pattern, piece)
        .into_iter()
        .map(|point| Point::new(point.x * part / 10, point.y * part / 10))
        .collect();
    let changed = super::edit::recut(pattern, piece, points)?;
    let what = format!("`{}`, {part} tenths", pattern.steps[index].id);
    Some(Seeded::new(changed, what, bias_sites(pattern, index, &cut)))
}

fn narrow_bias(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, cut) = bias(pattern, rng)?;
    let by = cut.strip * rng.between(2, 5) / 10;
    let changed = change(pattern, index, |cut: &mut CutBias| cut.strip -= by)?;
    let what = format!("`{}`, {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, bias_sites(pattern, index, &cut)))
}

fn uncut_bias(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, cut) = bias(pattern, rng)?;
    let mut seeded = left_out(pattern, index);
    seeded.sites.extend(bias_sites(pattern, index, &cut));
    Some(seeded)
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
