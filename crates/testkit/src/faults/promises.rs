//! What the pattern promises, and what it measures: sizes, drops, checkpoints.

use bag::pattern::{Checkpoint, Grain, Pattern, Reach};
use measure::Length;

use super::edit::{slip, step_sites};
use super::{Kind, Seeded, Site};
use crate::Rng;

/// Kinds of this group.
pub(super) const KINDS: &[Kind] = &[
    Kind::new("width-promised-wrong", "the pattern promises another finished width", width),
    Kind::new("height-promised-wrong", "the pattern promises another finished height", height),
    Kind::new("depth-promised-wrong", "the pattern promises another finished depth", depth),
    Kind::new(
        "top-width-promised-wrong",
        "the pattern promises another width at the top",
        top_width,
    ),
    Kind::new("drop-promised-wrong", "the pattern promises another drop of its handles", drop),
    Kind::new("loop-promised-wrong", "the pattern promises another length of loop", free),
    Kind::new(
        "strap-width-promised-wrong",
        "the pattern promises another width of its handles",
        strap_width,
    ),
    Kind::new("pocket-promised-wrong", "the pattern promises another size of a pocket", pocket),
    Kind::new(
        "compartments-promised-wrong",
        "the pattern promises more compartments than it sews",
        compartments,
    ),
    Kind::new(
        "checkpoint-of-another-edge",
        "a checkpoint measures another edge than it names",
        checkpoint,
    ),
    Kind::new("gauge-of-another-edge", "a promised size is measured along another edge", gauge)
        .harmless_if("the other edge is as long: the measure is the same"),
    Kind::new("more-joins-than-allowed", "a strap needs more joins than it may have", joins),
    Kind::new("holds-too-much", "the bag promises to hold a thing that does not go in", holds),
    Kind::new("strap-across-a-one-way-print", "a crosswise strap of a one-way fabric", crosswise)
        .harmless_if(
            "it is a strap, which shows both ways of the print whichever way it is cut: a loop goes up and down",
        ),
];

fn signed(rng: &mut Rng) -> Length {
    let by = slip(rng, 3, 40);
    if rng.flip() { by } else { -by }
}

fn promise(
    pattern: &Pattern,
    rng: &mut Rng,
    site: &'static str,
    edit: impl FnOnce(&mut Pattern, Length) -> Option<Site>,
) -> Option<Seeded> {
    let by = signed(rng);
    let mut changed = pattern.clone();
    let other = edit(&mut changed, by)?;
    let what = format!("by {} mm", by.to_mm());
    Some(Seeded::new(changed, what, vec![Site::Parameter(site), other]))
}

fn width(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    promise(pattern, rng, "body.width", |it, by| {
        it.claims.width += by;
        Some(Site::Parameter("body.width"))
    })
}

fn height(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    promise(pattern, rng, "body.height", |it, by| {
        it.claims.height += by;
        Some(Site::Parameter("body.height"))
    })
}

fn depth(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    promise(pattern, rng, "body.depth", |it, by| {
        it.claims.depth = (it.claims.depth + by).max(it.claims.depth - it.claims.depth.half());
        (it.claims.depth != pattern.claims.depth).then_some(Site::Parameter("body.depth"))
    })
}

fn top_width(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    promise(pattern, rng, "body.taper", |it, by| {
        it.claims.top_width += by;
        Some(Site::Parameter("body.taper"))
    })
}

fn drop(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = rng.below(pattern.claims.handles.len());
    promise(pattern, rng, "handles.drop", |it, by| {
        let handle = it.claims.handles.get_mut(at)?;
        handle.drop += by;
        Some(Site::Copy(handle.strap))
    })
}

fn free(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = rng.below(pattern.claims.handles.len());
    promise(pattern, rng, "handles.drop", |it, by| {
        let handle = it.claims.handles.get_mut(at)?;
        handle.free += by;
        Some(Site::Copy(handle.strap))
    })
}

fn strap_width(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = rng.below(pattern.claims.handles.len());
    promise(pattern, rng, "handles.width", |it, by| {
        let handle = it.claims.handles.get_mut(at)?;
        handle.width += by.abs();
        Some(Site::Copy(handle.strap))
    })
}

fn pocket(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = rng.below(pattern.claims.pockets.len());
    let across = rng.flip();
    promise(pattern, rng, "pocket.width", |it, by| {
        let pocket = it.claims.pockets.get_mut(at)?;
        let side = if across { &mut pocket.size.0 } else { &mut pocket.size.1 };
        *side += by;
        Some(Site::Copy(pocket.copy))
    })
}

fn compartments(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let at = rng.below(pattern.claims.pockets.len());
    promise(pattern, rng, "pocket.divisions", |it, _| {
        let pocket = it.claims.pockets.get_mut(at)?;
        let each = pocket.compartments.first()?.half();
        pocket.compartments.push(each);
        Some(Site::Copy(pocket.copy))
    })
}

/// Another edge of the same copy, of another length or reach.
fn turned(reach: Reach) -> Reach {
    match reach {
        Reach::Along(copy, edge) => Reach::Along(copy, edge + 1),
        Reach::Across(copy, from, to) => Reach::Across(copy, from + 1, to + 1),
        Reach::Folded(copy, from, to, layers) => Reach::Folded(copy, from + 1, to + 1, layers),
        Reach::OnFold(copy, from, to) => Reach::OnFold(copy, from + 1, to + 1),
        Reach::Wide(copy) | Reach::High(copy) => Reach::Along(copy, usize::from(u8::MAX)),
        Reach::Half(copy, edge) => Reach::Half(copy, edge + 1),
        Reach::FromFold(copy, point, edge) => Reach::FromFold(copy, point, edge + 1),
        Reach::BoxedOff(copy, edge) => Reach::BoxedOff(copy, edge + 1),
        Reach::Zip(copy, edge) => Reach::Zip(copy, edge + 1),
    }
}

fn within_four(reach: Reach) -> Reach {
    match reach {
        Reach::Along(copy, edge) => Reach::Along(copy, edge % 4),
        Reach::Across(copy, from, to) => Reach::Across(copy, from % 4, to % 4),
        Reach::Folded(copy, from, to, layers) => Reach::Folded(copy, from % 4, to % 4, layers),
        Reach::OnFold(copy, from, to) => Reach::OnFold(copy, from % 4, to % 4),
        Reach::Wide(_) | Reach::High(_) => reach,
        Reach::Half(copy, edge) => Reach::Half(copy, edge % 4),
        Reach::FromFold(copy, point, edge) => Reach::FromFold(copy, point, edge % 4),
        Reach::BoxedOff(copy, edge) => Reach::BoxedOff(copy, edge % 4),
        Reach::Zip(copy, edge) => Reach::Zip(copy, edge % 4),
    }
}

fn checkpoint(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let measuring: Vec<usize> = (0..pattern.steps.len())
        .filter(|at| {
            let checkpoint = &pattern.steps[*at].checkpoint;
            matches!(checkpoint, Some(Checkpoint::Measures { .. } | Checkpoint::Size { .. }))
        })
        .collect();
    let index = *rng.pick(&measuring)?;
    let mut changed = pattern.clone();
    match changed.steps[index].checkpoint.as_mut()? {
        Checkpoint::Measures { gauge, .. } | Checkpoint::Size { height: gauge, .. } => {
            // An edge that the piece does not have: the others are told for what they are.
            for reach in &mut gauge.0 {
                *reach = turned(turned(turned(turned(*reach))));
            }
        }
        Checkpoint::Look(_) => return None,
    }
    let what = format!("`{}`", pattern.steps[index].id);
    Some(Seeded::new(changed, what, step_sites(pattern, index)))
}

fn gauge(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let mut changed = pattern.clone();
    let claims = &mut changed.claims;
    let (gauge, site, name) = match rng.below(3) {
        0 => (&mut claims.width_gauge, "body.width", "width"),
        1 => (&mut claims.height_gauge, "body.height", "height"),
        _ => (&mut claims.top_gauge, "body.taper", "top width"),
    };
    for reach in &mut gauge.0 {
        *reach = within_four(turned(*reach));
    }
    let mut sites = vec![Site::Parameter(site)];
    sites.extend(gauge.lowest().map(Site::Copy));
    // The measure is taken anew, on the correct pattern: the same number is no fault.
    let sewn = bag::assembly::Assembly::sew(pattern);
    let found = gauge.measure(pattern, &sewn.sewn)?;
    let promised = match name {
        "width" => pattern.claims.width,
        "height" => pattern.claims.height,
        _ => pattern.claims.top_width,
    };
    let harmless = (found - promised).abs() < Length::nm(100_000);
    Some(Seeded::new(changed, name, sites).harmless_if(harmless))
}

fn joins(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let joined: Vec<_> = pattern
        .piece_ids()
        .filter(|id| super::edit::is_strap(pattern, *id) && pattern.piece(*id).join.is_some())
        .filter(|id| pattern.piece(*id).grain == Grain::Crosswise)
        .collect();
    let piece = *rng.pick(&joined)?;
    let material = pattern.piece(piece).material;
    let (_, long) = pattern.piece(piece).cut_size();
    let mut changed = pattern.clone();
    let bag::pattern::Form::Fabric(cloth) = &mut changed.materials[material.0].form else {
        return None;
    };
    let most = i64::from(pattern.piece(piece).join?.most);
    cloth.usable_width = long / (most + 2);
    let mut sites = super::edit::piece_sites(pattern, piece);
    sites.push(Site::Parameter("handles.joins"));
    Some(Seeded::new(changed, pattern.piece(piece).name.clone(), sites))
}

fn holds(pattern: &Pattern, rng: &mut Rng) -> Option<Seeded> {
    let claims = &pattern.claims;
    let too_large: Vec<&'static str> = measure::fits()
        .iter()
        .filter(|thing| {
            let [short, long] = [thing.width.min(thing.height), thing.width.max(thing.height)];
            let [low, wide] = [claims.width.min(claims.height), claims.width.max(claims.height)];
            short > low || long > wide
        })
        .map(|thing| thing.id)
        .collect();
    let thing = *rng.pick(&too_large)?;
    let mut changed = pattern.clone();
    changed.claims.holds.push(thing.to_owned());
    Some(Seeded::new(changed, thing, vec![Site::Parameter("body.holds")]))
}

fn crosswise(pattern: &Pattern, _: &mut Rng) -> Option<Seeded> {
    let piece = pattern.piece_ids().find(|id| super::edit::is_strap(pattern, *id))?;
    let mut changed = pattern.clone();
    let bag::pattern::Form::Fabric(cloth) =
        &mut changed.materials[pattern.piece(piece).material.0].form
    else {
        return None;
    };
    cloth.one_way = true;
    let sites = super::edit::piece_sites(pattern, piece);
    Some(Seeded::new(changed, pattern.piece(piece).name.clone(), sites).harmless_if(true))
}
