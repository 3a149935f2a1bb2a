//! Seam allowances: cut one way and sewn another.

use bag::operations::{FrenchSeam, Hem, Join};
use bag::pattern::{CopyId, Pattern};
use measure::Length;

use super::edit::{change, panels, piece_sites, slip, step_sites, steps};
use super::{Kind, Seeded};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new(
        "allowance-on-one-side",
        "one side of a seam is sewn at another distance from the edge than cut",
        one_side,
    ),
    Kind::new(
        "allowance-on-both-sides",
        "both sides of a seam are sewn at another distance than cut",
        both_sides,
    ),
    Kind::new(
        "allowance-on-the-piece",
        "an edge is cut with another allowance than is sewn there",
        on_piece,
    ),
    Kind::new(
        "french-rows-changed",
        "the two rows of a French seam take more or less than was cut",
        french_rows,
    ),
    Kind::new("hem-of-another-depth", "a hem takes more or less than was cut for it", hem_depth),
];

fn signed(rng: &mut Rng, from: Length) -> Length {
    let by = slip(rng, 2, 8);
    if rng.flip() && from > by + Length::MM { -by } else { by }
}

fn one_side(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<Join>(pattern))?;
    let side = rng.below(2);
    let by = signed(rng, Length::mm(3));
    let changed = change(pattern, index, |join: &mut Join| join.allowance[side] += by)?;
    let what = format!("`{}`, side {side}, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn both_sides(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<Join>(pattern))?;
    let by = signed(rng, Length::mm(3));
    let change_both = |join: &mut Join| join.allowance = join.allowance.map(|one| one + by);
    let changed = change(pattern, index, change_both)?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn on_piece(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let piece = *rng.pick(&panels(pattern))?;
    let edge = rng.below(pattern.piece(piece).edges.len());
    let by = signed(rng, pattern.piece(piece).edges.get(edge)?.allowance);
    let mut changed = pattern.clone();
    changed.pieces[piece.0].edges[edge].allowance += by;
    let named = &pattern.piece(piece).edges[edge].name;
    let what = format!("{named} of {}, by {} mm", pattern.piece(piece).name, by.to_mm());
    Some(Seeded::new(changed, what, piece_sites(pattern, piece)))
}

fn french_rows(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<FrenchSeam>(pattern))?;
    let by = signed(rng, Length::ZERO);
    let first = rng.flip();
    let changed = change(pattern, index, |seam: &mut FrenchSeam| {
        let row = if first { &mut seam.first } else { &mut seam.second };
        *row += by;
    })?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn hem_depth(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<Hem>(pattern))?;
    let by = signed(rng, Length::mm(5));
    let first = rng.flip();
    let changed = change(pattern, index, |hem: &mut Hem| {
        let turn = if first { &mut hem.first } else { &mut hem.depth };
        *turn += by;
    })?;
    let hemmed: Vec<CopyId> = pattern.steps[index].operation.copies();
    let mut sites = step_sites(pattern, index);
    let pieces = hemmed.first().map(|copy| pattern.copy(*copy).piece);
    sites.extend(pieces.into_iter().flat_map(|piece| piece_sites(pattern, piece)));
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, sites))
}
