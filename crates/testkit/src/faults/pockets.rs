//! Pockets: on their heads, wrong side up, too late, off their place, unhemmed, not closed.

use bag::operations::{
    Hem, InsertElastic, Line, Operation, Place, Placed, PullThrough, StitchDown, TakeIn,
};
use bag::pattern::{CopyId, Pattern};
use measure::{Length, Point};

use super::edit::{ARM, change, slip, step_sites, steps, steps_where, without};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new(
        "pocket-upside-down",
        "a pocket is put on with its opening at the bottom",
        upside_down,
    ),
    Kind::new("pocket-wrong-side-up", "a pocket is put on with its wrong side showing", wrong_side)
        .harmless_if(
            "the pocket's layers are two of the same piece: both of its faces are right sides",
        ),
    Kind::new(
        "pocket-on-the-wrong-face",
        "a pocket is put on the other face of its panel",
        wrong_ground,
    ),
    Kind::new(
        "pocket-after-the-tube",
        "a pocket is placed and stitched when its panel is part of a tube",
        too_late,
    )
    .harmless_if(
        "all of the pocket lies within 4 in (100 mm) of the open rim, where the free arm of the \
         machine reaches",
    ),
    Kind::new("pocket-off-the-panel", "a pocket hangs over the edge of its panel", beyond),
    Kind::new("pocket-off-its-place", "a pocket lies elsewhere than it is promised", elsewhere)
        .harmless_if("it is moved by less than 1 mm, which no eye sees on a bag"),
    Kind::new(
        "pocket-not-level",
        "an edge of a pocket does not reach the seam that should hold it",
        not_level,
    ),
    Kind::new("pocket-top-unhemmed", "the top edge of a pocket stays raw", unhemmed),
    Kind::new("pocket-not-stitched", "a pocket is pinned and never stitched down", unstitched),
    Kind::new(
        "pocket-side-left-loose",
        "one side of a pocket is not held by the stitches that should",
        loose_side,
    )
    .harmless_if("a second row beside it holds the same edge: it is weaker, and not loose"),
    Kind::new(
        "division-outside-the-pocket",
        "a division is stitched beside the pocket",
        division_beside,
    ),
    Kind::new(
        "division-left-out",
        "a pocket has fewer compartments than it is promised",
        undivided,
    ),
    Kind::new(
        "bag-not-pulled-through",
        "the bag of a zip pocket stays on the right side of its panel",
        not_pulled,
    ),
    Kind::new(
        "pocket-on-a-pocket",
        "a pocket is laid over another one and promised there",
        on_another,
    ),
    Kind::new(
        "elastic-too-long",
        "the elastic of a pocket is longer than the pocket lies wide",
        long_elastic,
    ),
    Kind::new(
        "fullness-not-taken-in",
        "the lower edge of a pocket is not pleated or gathered",
        not_taken_in,
    ),
    Kind::new(
        "stitched-on-another-panel",
        "a pocket is stitched to another panel than it lies on",
        other_panel,
    ),
    Kind::new(
        "divider-left-hanging",
        "a divider is stitched to one side of the bag only",
        hanging_divider,
    ),
];

/// Takes the stitches of one divider to one side of the bag away.
fn hanging_divider(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let dividers: Vec<CopyId> = pattern.claims.dividers.iter().map(|claim| claim.copy).collect();
    let holds = |index: &usize| {
        pattern.steps[*index]
            .as_a::<StitchDown>()
            .is_some_and(|down| down.items.iter().any(|item| dividers.contains(&item.what)))
    };
    let found: Vec<usize> = steps::<StitchDown>(pattern).into_iter().filter(holds).collect();
    let index = *rng.pick(&found)?;
    let items = pattern.steps[index].as_a::<StitchDown>()?.items.len();
    let at = rng.below(items);
    let what = format!("`{}`, item {at}", pattern.steps[index].id);
    let mut sites = step_sites(pattern, index);
    sites.extend(dividers.into_iter().map(Site::Copy));
    // A step that stitches nothing down is none.
    let changed = if items == 1 {
        without(pattern, index)
    } else {
        change(pattern, index, |down: &mut StitchDown| {
            down.items.remove(at);
        })?
    };
    Some(Seeded::new(changed, what, sites))
}

/// Pockets, by the step that places them and the index of the item.
fn pockets(pattern: &Pattern) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    for index in steps::<Place>(pattern) {
        let Some(place) = pattern.steps[index].as_a::<Place>() else { continue };
        let pocket =
            |item: &Placed| pattern.claims.pockets.iter().any(|pocket| pocket.copy == item.what);
        let items = (0..place.items.len()).filter(|at| pocket(&place.items[*at]));
        found.extend(items.map(|at| (index, at)));
    }
    found
}

fn item(pattern: &Pattern, (index, at): (usize, usize)) -> Option<&Placed> {
    pattern.steps[index].as_a::<Place>()?.items.get(at)
}

fn with_pocket(
    pattern: &Pattern,
    (index, at): (usize, usize),
    what: &str,
    edit: impl FnOnce(&mut Placed),
) -> Option<Seeded> {
    let changed = change(pattern, index, |place: &mut Place| edit(&mut place.items[at]))?;
    let what = format!("`{}`, pocket {at}{what}", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn upside_down(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    with_pocket(pattern, at, "", |item| item.upside_down = !item.upside_down)
}

fn wrong_side(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    let pocket = item(pattern, at)?.what;
    // A pocket of two layers of one piece, sewn together all round and turned, has no wrong side.
    let alike = pattern.count(pattern.copy(pocket).piece) > 1
        && pattern.copy_ids().any(|other| {
            other != pocket
                && pattern.copy(other).piece == pattern.copy(pocket).piece
                && sewn_together(pattern, pocket, other)
        });
    let seeded = with_pocket(pattern, at, "", |item| item.face_up = item.face_up.other())?;
    Some(seeded.harmless_if(alike))
}

fn sewn_together(pattern: &Pattern, a: CopyId, b: CopyId) -> bool {
    let joins = steps_where(pattern, |join: &bag::operations::Join| {
        join.seams.iter().any(|[one, other]| {
            let (one, other) = (one.copies(), other.copies());
            (one.contains(&a) && other.contains(&b)) || (one.contains(&b) && other.contains(&a))
        })
    });
    !joins.is_empty()
}

fn wrong_ground(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    with_pocket(pattern, at, "", |item| item.ground = item.ground.other())
}

fn too_late(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let (index, at) = *rng.pick(&pockets(pattern))?;
    let placed = item(pattern, (index, at))?;
    let closes_tube = pattern.steps.iter().rposition(|step| {
        let closes = step.id.ends_with("-seam") || step.id.ends_with("-gusset");
        closes && step.operation.copies().contains(&placed.onto)
    })?;
    if closes_tube < index {
        return None;
    }
    // The placing, and what is sewn on it, come after the seams.
    let pocket = placed.what;
    let mut changed = pattern.clone();
    let handles = |step: &bag::pattern::Step| {
        step.operation.copies().contains(&pocket) && step.as_a::<StitchDown>().is_some()
    };
    let mut late = Vec::new();
    for from in (index..closes_tube).rev() {
        if from == index || handles(&changed.steps[from]) {
            late.push(changed.steps.remove(from));
        }
    }
    let to = closes_tube + 1 - late.len();
    for step in late {
        changed.steps.insert(to, step);
    }
    let mut sites = step_sites(pattern, index);
    let others = (0..pattern.steps.len()).filter(|other| handles(&pattern.steps[*other]));
    sites.extend(others.flat_map(|other| step_sites(pattern, other)));
    let (_, rim) = pattern.piece_of(placed.onto).net.bounds();
    // The opening of what stands on its head lies toward the lower end of its panel.
    let reach = if placed.upside_down {
        placed.at.y + pattern.piece_of(placed.what).net_size().1
    } else {
        rim.y - placed.at.y
    };
    let near = placed.level.is_empty() && reach <= ARM;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, sites).harmless_if(near))
}

/// A pocket that is moved takes its stitches along.
fn shifted(pattern: &Pattern, at: (usize, usize), by: Point) -> Option<Seeded> {
    let pocket = item(pattern, at)?.what;
    let move_ = |point: &mut Point| *point = Point::new(point.x + by.x, point.y + by.y);
    let what = format!(", {} mm across and {} mm up", by.x.to_mm(), by.y.to_mm());
    let mut seeded = with_pocket(pattern, at, &what, |item| move_(&mut item.at))?;
    for index in steps::<StitchDown>(pattern) {
        let moved = change(&seeded.pattern, index, |down: &mut StitchDown| {
            for item in down.items.iter_mut().filter(|item| item.what == pocket) {
                for line in &mut item.lines {
                    move_(&mut line.from);
                    move_(&mut line.to);
                }
            }
        })?;
        let handles = pattern.steps[index].operation.copies().contains(&pocket);
        if handles {
            seeded.pattern = moved;
            seeded.sites.extend(step_sites(pattern, index));
        }
    }
    Some(seeded)
}

fn beyond(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    let placed = item(pattern, at)?;
    let (_, high) = pattern.piece_of(placed.onto).net.bounds();
    let (width, _) = pattern.piece_of(placed.what).net_size();
    let over = slip(rng, 5, 60).min(width.half());
    let right = high.x - placed.at.x - width + over;
    let left = -placed.at.x - over;
    let by = if rng.flip() { right } else { left };
    if by.abs() < Length::mm(3) {
        return None;
    }
    shifted(pattern, at, Point::new(by, Length::ZERO))
}

fn elsewhere(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    let little = rng.below(8) == 0;
    let by = if little { Length::nm(400_000) } else { slip(rng, 3, 30) };
    let by = match rng.below(3) {
        0 => Point::new(by, Length::ZERO),
        1 => Point::new(-by, Length::ZERO),
        _ => Point::new(Length::ZERO, by),
    };
    Some(shifted(pattern, at, by)?.harmless_if(little))
}

fn not_level(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = *rng.pick(&pockets(pattern))?;
    let (levels, pocket) = (item(pattern, at)?.level.clone(), item(pattern, at)?.what);
    let (edge, ..) = *rng.pick(&levels)?;
    let mut seeded = with_pocket(pattern, at, ", an edge", |item| {
        item.level.retain(|(own, ..)| *own != edge);
    })?;
    seeded.sites.push(Site::Copy(pocket));
    Some(seeded)
}

fn unhemmed(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let hems = |hem: &Hem| {
        let copies = hem.run.copies();
        pattern.claims.pockets.iter().any(|pocket| copies.contains(&pocket.copy))
    };
    let index = *rng.pick(&steps_where(pattern, hems))?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, step_sites(pattern, index)))
}

/// Steps that stitch the outline of a pocket down.
fn outlines(pattern: &Pattern) -> Vec<usize> {
    steps_where(pattern, |down: &StitchDown| down.items.iter().any(|item| !item.holds.is_empty()))
}

fn unstitched(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&outlines(pattern))?;
    let mut sites = step_sites(pattern, index);
    if let Some(left_by) = pattern.steps[index].as_a::<StitchDown>()?.closes.clone() {
        sites.push(Site::Step(left_by));
    }
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, sites))
}

fn loose_side(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&outlines(pattern))?;
    let lines = pattern.steps[index].as_a::<StitchDown>()?.items.first()?.lines.len();
    let at = rng.below(lines);
    let changed = change(pattern, index, |down: &mut StitchDown| {
        down.items[0].lines.remove(at);
    })?;
    let what = format!("`{}`, line {at}", pattern.steps[index].id);
    let lines = &pattern.steps[index].as_a::<StitchDown>()?.items.first()?.lines;
    let twin =
        lines.iter().enumerate().any(|(other, line)| other != at && beside(line, &lines[at]));
    Some(Seeded::new(changed, what, step_sites(pattern, index)).harmless_if(twin))
}

/// Whether a row runs beside another, within 1 in (26 mm), and as far.
fn beside(row: &Line, other: &Line) -> bool {
    let near = |a: Point, b: Point| a.distance(b) <= Length::mm(26);
    (near(row.from, other.from) && near(row.to, other.to))
        || (near(row.from, other.to) && near(row.to, other.from))
}

/// Steps that only divide pockets.
fn divisions(pattern: &Pattern) -> Vec<usize> {
    steps_where(pattern, |down: &StitchDown| {
        down.items.iter().all(|item| {
            let pocket = pattern.claims.pockets.iter().any(|pocket| pocket.copy == item.what);
            pocket && item.holds.is_empty()
        })
    })
}

fn division_beside(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&divisions(pattern))?;
    let item = pattern.steps[index].as_a::<StitchDown>()?.items.first()?;
    let (width, _) = pattern.piece_of(item.what).net_size();
    let by = width + slip(rng, 5, 40);
    let changed = change(pattern, index, |down: &mut StitchDown| {
        for line in &mut down.items[0].lines {
            line.from = Point::new(line.from.x + by, line.from.y);
            line.to = Point::new(line.to.x + by, line.to.y);
        }
    })?;
    let what = format!("`{}`, by {} mm", pattern.steps[index].id, by.to_mm());
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn undivided(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&divisions(pattern))?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, step_sites(pattern, index)))
}

fn other_panel(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&outlines(pattern))?;
    let item = pattern.steps[index].as_a::<StitchDown>()?.items.first()?.clone();
    let piece = pattern.copy(item.onto).piece;
    let others: Vec<CopyId> = pattern.copies_of(piece).filter(|copy| *copy != item.onto).collect();
    let other = *rng.pick(&others)?;
    let changed = change(pattern, index, |down: &mut StitchDown| down.items[0].onto = other)?;
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

/// A step moved is not a pocket moved.
fn not_pulled(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<PullThrough>(pattern))?;
    let mut sites = step_sites(pattern, index);
    let pulled = pattern.steps[index].as_a::<PullThrough>()?;
    sites.extend(
        placing(pattern, pulled.what).map(|step| Site::Step(pattern.steps[step].id.clone())),
    );
    let what = format!("`{}` left out", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, sites))
}

/// The step that places a copy.
fn placing(pattern: &Pattern, copy: CopyId) -> Option<usize> {
    steps::<Place>(pattern).into_iter().find(|index| {
        pattern.steps[*index]
            .as_a::<Place>()
            .is_some_and(|place| place.items.iter().any(|item| item.what == copy))
    })
}

/// Lays one pocket where another one lies on the same side of the same panel.
fn on_another(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let claims = &pattern.claims.pockets;
    let mut pairs = Vec::new();
    for one in 0..claims.len() {
        for other in 0..claims.len() {
            let (a, b) = (&claims[one], &claims[other]);
            if one != other && a.on == b.on && a.inside == b.inside {
                pairs.push((one, other));
            }
        }
    }
    let (one, other) = *rng.pick(&pairs)?;
    let (copy, at) = (claims[one].copy, claims[other].at);
    let index = placing(pattern, copy)?;
    let mut changed = change(pattern, index, |place: &mut Place| {
        place.items.iter_mut().filter(|item| item.what == copy).for_each(|item| item.at = at);
    })?;
    changed.claims.pockets[one].at = at;
    let mut sites = step_sites(&changed, index);
    sites.extend([Site::Copy(copy), Site::Copy(claims[other].copy)]);
    let both = placing(pattern, claims[other].copy);
    sites.extend(both.map(|step| Site::Step(pattern.steps[step].id.clone())));
    let what = format!("the {} is laid where the {} lies", claims[one].name, claims[other].name);
    Some(Seeded::new(changed, what, sites))
}

fn long_elastic(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let index = *rng.pick(&steps::<InsertElastic>(pattern))?;
    let by = slip(rng, 12, 60);
    let changed = change(pattern, index, |elastic: &mut InsertElastic| elastic.length += by)?;
    let what = format!("`{}` by {:.0} mm", pattern.steps[index].id, by.to_mm());
    let copies = pattern.steps[index].as_a::<InsertElastic>()?.copies();
    let mut sites = step_sites(pattern, index);
    sites.extend(copies.iter().map(|copy| Site::Copy(*copy)));
    Some(Seeded::new(changed, what, sites))
}

fn not_taken_in(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    // An elastic at the top draws in the whole pocket, and the lower edge with it.
    let elastic: Vec<CopyId> = steps::<InsertElastic>(pattern)
        .into_iter()
        .filter_map(|index| pattern.steps[index].as_a::<InsertElastic>())
        .flat_map(Operation::copies)
        .collect();
    let sites = steps_where(pattern, |take: &TakeIn| {
        !take.copies().iter().any(|copy| elastic.contains(copy))
    });
    let index = *rng.pick(&sites)?;
    let copies = pattern.steps[index].as_a::<TakeIn>()?.copies();
    let mut sites = step_sites(pattern, index);
    sites.extend(copies.iter().map(|copy| Site::Copy(*copy)));
    let what = format!("`{}` left out", pattern.steps[index].id);
    Some(Seeded::new(without(pattern, index), what, sites))
}

#[cfg(test)]
mod tests {
    use super::super::edit::moved;

    #[test]
    fn a_moved_step_keeps_all_others() {
        let sample = &crate::corpus::combinations(1, 3)[0];
        let changed = moved(&sample.pattern, 0, 3);
        assert_eq!(changed.steps.len(), sample.pattern.steps.len());
        assert_eq!(changed.steps[2].id, sample.pattern.steps[0].id);
    }
}
