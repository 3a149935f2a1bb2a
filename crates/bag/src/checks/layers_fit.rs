//! Outside and lining have the same depth from rim to rim, and are boxed alike.

use std::collections::BTreeSet;

use measure::Length;

use super::{Check, Context};
use crate::assembly::{Edging, Event};
use crate::finding::{Finding, Place};
use crate::operations::{JoinOverZip, SlipstitchToZip, Worded};
use crate::pattern::{CopyId, Run, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "layers-fit",
    looks_for: "a lining that is deeper or shallower than the outside, boxed otherwise, or sewn up where \
                the zip opens",
    why: "too deep a lining sags into folds, and too shallow a one takes the load and tears",
    run,
};

/// From rim to rim a lining may be so much shorter: 1/2 in (12 mm) of ease on either side.
const EASE: Length = Length::mm(26);
/// And no more than this longer (common practice, no source).
const SAG: Length = Length::mm(4);
/// What may differ at boxed corners.
const BOXED: Length = Length::mm(3);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::DroppedIn { copies, .. } = event else { continue };
        let lowest = context.pattern.claims.width_gauge.lowest();
        let outside = usize::from(lowest.is_some_and(|copy| copies[1].contains(&copy)));
        let (shell, lining) = (&copies[outside], &copies[1 - outside]);
        let ways = [shell, lining].map(|layer| {
            let rim = rim(context, *step, layer)?;
            girth(context, rim, |by| by < *step)
        });
        findings.extend(depths(context, at(context, *step, lining), ways));
        findings.extend(boxed(context, *step, shell, lining));
    }
    findings.extend(over_zips(context));
    findings.extend(sewn_up(context));
    findings
}

/// So much of a zip may lie under the lining at its ends (common practice, no source).
const UNDER: Length = Length::mm(6);

/// Linings that are slip stitched to a zip and are sewn up where it opens, between its boxed corners.
fn sewn_up(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Joined { sides: [sewn, lining], .. } = event else { continue };
        let operation = context.pattern.steps.get(*step).map(|step| &step.operation);
        if operation.is_none_or(|it| it.word() != SlipstitchToZip::WORD) {
            continue;
        }
        let (Some(rim), Some(own)) = (sewn.spans.first(), lining.spans.first()) else { continue };
        let whole = context.pattern.piece_of(rim.copy).net.edge_length(rim.edge);
        let at_ends = context.sewn.sewn.boxed.iter();
        let at_ends = at_ends.filter(|((copy, _, base), _)| (*copy, *base) == (rim.copy, rim.edge));
        let opens = whole - at_ends.map(|(_, boxing)| boxing.tip).sum::<Length>();
        if sewn.length() + UNDER * 2 >= opens {
            continue;
        }
        let seam = context.sewn.stretches(own.copy, own.edge).iter().find_map(|s| match s.edging {
            Edging::Joined(by) if by < *step => Some(by),
            _ => None,
        });
        let name = &context.pattern.copy(own.copy).name;
        let place = Place::step(context.step_id(seam.unwrap_or(*step)));
        let message = format!(
            "the {name} is open for {} where the zip opens by {}: sewn up over it, it keeps the zip from \
             opening",
            context.show(sewn.length()),
            context.show(opens)
        );
        let cure = format!("leave {} open, from corner to corner", context.show(opens));
        findings.push(Finding::warning(CHECK.name, place.of_piece(name), message, cure));
        break;
    }
    findings
}

/// The piece of a layer that shows in messages.
fn at(context: &Context<'_>, step: usize, layer: &[CopyId]) -> Place {
    let place = Place::step(context.step_id(step));
    match layer.first() {
        Some(copy) => place.of_piece(&context.pattern.copy(*copy).name),
        None => place,
    }
}

/// Layers that are joined over a zip hang from it on either side.
fn over_zips(context: &Context<'_>) -> Vec<Finding> {
    let operation = |step: usize| context.pattern.steps.get(step)?.as_a::<JoinOverZip>();
    let mut findings = Vec::new();
    for (step, join) in (0..context.pattern.steps.len()).filter_map(|at| Some((at, operation(at)?))) {
        let Some([outside, lining]) = join.seams.first() else { continue };
        let ways = [outside, lining].map(|run| {
            let start = run.spans.first().map(|span| (span.copy, span.edge))?;
            girth(context, start, |by| operation(by).is_none())
        });
        let place = at(context, step, &lining.copies());
        findings.extend(depths(context, place.clone(), ways));
        let boxed = [outside, lining].map(|run| {
            let layer = layer_of(context, run, |by| operation(by).is_none());
            let corners = context.sewn.events.iter().filter_map(|(_, event)| match event {
                Event::Boxed { corners, .. } => Some(corners.iter().flatten()),
                _ => None,
            });
            corners.flatten().filter(|corner| layer.contains(&corner.copy)).count()
        });
        if boxed[0] != boxed[1] {
            let message = format!(
                "the outside is boxed at {} corners of its panels, and the lining at {}",
                boxed[0], boxed[1]
            );
            let cure = "box both layers alike".to_owned();
            findings.push(Finding::error(CHECK.name, place, message, cure));
        }
    }
    findings
}

fn depths(
    context: &Context<'_>,
    place: Place,
    [outside, inside]: [Option<Length>; 2],
) -> Option<Finding> {
    let (outside, inside) = (outside?, inside?);
    if inside <= outside + SAG && inside + EASE >= outside {
        return None;
    }
    let message = format!(
        "from rim to rim, down and up again, the lining is {} and the outside {}",
        context.show(inside),
        context.show(outside)
    );
    // Too short a lining is cut so by its ease.
    let place = if inside < outside { place.by_parameter("lining.ease") } else { place };
    let cure = format!(
        "cut the lining {} {} on each side",
        context.show((inside - outside).abs().half()),
        if inside > outside { "lower" } else { "higher" }
    );
    Some(Finding::error(CHECK.name, place, message, cure))
}

/// The way from one rim down across the base and up to the rim on the other side, from panel to
/// panel across the seams, each panel crossed to its opposite edge. Nothing if panels have no
/// opposite edge; seams count that are sewn by these steps.
fn girth(
    context: &Context<'_>,
    (mut copy, mut edge): (CopyId, usize),
    counts: impl Fn(usize) -> bool,
) -> Option<Length> {
    let (mut way, mut way_begins) = (Length::ZERO, true);
    for _ in context.pattern.copy_ids() {
        let net = &context.pattern.piece_of(copy).net;
        let edges = net.edge_count();
        if !edges.is_multiple_of(2) {
            return None;
        }
        let opposite = (edge + edges / 2) % edges;
        let middle = |edge: usize| net.edge(edge).start().middle(net.edge(edge).end());
        way += middle(edge).distance(middle(opposite));
        if way_begins {
            way -= turned_in(context, (copy, edge));
            way_begins = false;
        }
        match beyond(context, &counts, (copy, opposite)) {
            Some(next) => (copy, edge) = next,
            None => return Some(way - turned_in(context, (copy, opposite))),
        }
    }
    None
}

/// How much more of an edge is turned in than its allowance.
fn turned_in(context: &Context<'_>, (copy, edge): (CopyId, usize)) -> Length {
    let cut = context.pattern.piece_of(copy).edges.get(edge).map(|edge| edge.allowance);
    let taken = context.sewn.sewn.taken.get(&(copy, edge)).copied();
    taken.zip(cut).map_or(Length::ZERO, |(taken, cut)| (taken - cut).max(Length::ZERO))
}

/// The copies of a layer: those that hang together with these by seams that count.
fn layer_of(context: &Context<'_>, run: &Run, counts: impl Fn(usize) -> bool) -> BTreeSet<CopyId> {
    let mut layer = BTreeSet::from_iter(run.copies());
    loop {
        let before = layer.len();
        for glue in context.sewn.glues.iter().filter(|glue| counts(glue.step)) {
            let sides = [glue.a.copy, glue.b.copy];
            if sides.iter().any(|copy| layer.contains(copy)) {
                layer.extend(sides);
            }
        }
        if layer.len() == before {
            return layer;
        }
    }
}

/// An edge that is open when the layers are put together, and is joined to the other layer later.
fn rim(context: &Context<'_>, step: usize, layer: &[CopyId]) -> Option<(CopyId, usize)> {
    layer.iter().copied().find_map(|copy| {
        let edges = context.pattern.piece_of(copy).net.edge_count();
        let joined = |edge: &usize| {
            let late = |edging| matches!(edging, Edging::Joined(by) if by > step);
            context.sewn.stretches(copy, *edge).iter().all(|s| late(s.edging))
        };
        (0..edges).find(joined).map(|edge| (copy, edge))
    })
}

/// The edge at the other side of the seam that was sewn along this one before.
fn beyond(
    context: &Context<'_>,
    counts: impl Fn(usize) -> bool,
    (copy, edge): (CopyId, usize),
) -> Option<(CopyId, usize)> {
    let is = |span: &Span| (span.copy, span.edge) == (copy, edge);
    context.sewn.glues.iter().filter(|glue| counts(glue.step)).find_map(|glue| match () {
        () if is(&glue.a) => Some((glue.b.copy, glue.b.edge)),
        () if is(&glue.b) => Some((glue.a.copy, glue.a.edge)),
        () => None,
    })
}

/// The depth to which the corners of a layer are boxed; none of it for an unboxed one.
fn boxed_depth(context: &Context<'_>, layer: &[CopyId]) -> Length {
    let mut deepest = Length::ZERO;
    for (_, event) in &context.sewn.events {
        let Event::Boxed { corners, tip, .. } = event else { continue };
        for corner in corners.iter().flatten().filter(|corner| layer.contains(&corner.copy)) {
            deepest = deepest.max(context.sewn.boxed_depth(corner, *tip));
        }
    }
    deepest
}

fn boxed(
    context: &Context<'_>,
    step: usize,
    shell: &[CopyId],
    lining: &[CopyId],
) -> Option<Finding> {
    let (outside, inside) = (boxed_depth(context, shell), boxed_depth(context, lining));
    ((outside - inside).abs() > BOXED).then(|| {
        let message = format!(
            "the outside is boxed to a depth of {}, and the lining to {}",
            context.show(outside),
            context.show(inside)
        );
        let cure = "box both layers to the same depth".to_owned();
        Finding::error(CHECK.name, at(context, step, lining), message, cure)
    })
}
