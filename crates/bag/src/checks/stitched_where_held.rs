//! Stitches go through what they are to hold: along each edge that they hold, within the pocket or
//! strap that they belong to, as many as the promised compartments need, and as low as the promised
//! depth of a pocket.

use measure::{Length, Point};

use super::lies_in_place::off_line;
use super::{Check, Context};
use crate::assembly::{Event, Rider};
use crate::finding::{Finding, Place};
use crate::operations::{BoxAndX, Line, StitchDown, StitchedDown};
use crate::pattern::{CopyId, PocketClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "stitched-where-held",
    looks_for: "stitches beside what they should hold, edges said to be held that no stitches \
                follow, pockets without a floor, compartments that no stitches divide, pockets that \
                are less deep than promised",
    why: "what no stitch goes through comes off, and a pocket without its divisions is one pocket",
    run,
};

/// Stitches may lie so far outside what they go through: the width of a needle and a line.
const EVEN: Length = Length::mm(2);
/// Stitches that hold an edge lie no farther from it (common practice, no source).
const NEAR: Length = Length::mm(13);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for step in &context.pattern.steps {
        if let Some(down) = step.as_a::<StitchDown>() {
            for item in &down.items {
                let name = &context.pattern.copy(item.what).name;
                let place = Place::step(&step.id).of_piece(name);
                findings.extend(held_edges(context, &place, item));
                findings.extend(beside(context, &place, (item.what, item.onto), &item.lines));
            }
        }
        if let Some(boxed) = step.as_a::<BoxAndX>() {
            for (strap, onto, low) in &boxed.boxes {
                let high = Point::new(low.x + boxed.size.0, low.y + boxed.size.1);
                let across = [Line { from: *low, to: high }];
                let place = Place::step(&step.id).of_piece(&context.pattern.copy(*strap).name);
                findings.extend(beside(context, &place, (*strap, *onto), &across));
            }
        }
    }
    for claim in &context.pattern.claims.pockets {
        findings.extend(divided(context, claim));
        findings.extend(deep(context, claim));
    }
    findings
}

fn error(place: Place, message: String, cure: &str) -> Finding {
    Finding::error(CHECK.name, place, message, cure.to_owned())
}

fn rider<'c>(context: &'c Context<'_>, what: CopyId, onto: CopyId) -> Option<&'c Rider> {
    context.sewn.riders.iter().find(|rider| rider.what == what && rider.onto == onto)
}

/// Along each edge that stitches are said to hold runs a line, near it and parallel to it.
fn held_edges(context: &Context<'_>, place: &Place, item: &StitchedDown) -> Vec<Finding> {
    let Some(rider) = rider(context, item.what, item.onto) else { return Vec::new() };
    let net = &context.pattern.piece_of(item.what).net;
    let there = |p: Point| context.sewn.lying_point(rider, p);
    let mut findings = Vec::new();
    for edge in item.holds.iter().filter(|edge| **edge < net.edge_count()) {
        let (a, b) = (there(net.edge(*edge).start()), there(net.edge(*edge).end()));
        if !item.lines.iter().any(|line| follows(line, a, b)) {
            let edge = context.edge_name(item.what, *edge);
            let name = &context.pattern.copy(item.what).name;
            findings.push(error(
                place.clone().at_edge(edge),
                format!("the {edge} of the {name} is said to be held, and no stitches follow it"),
                "stitch along this edge too",
            ));
        }
    }
    findings
}

/// Whether a line of stitches runs along the edge from one point to another.
fn follows(line: &Line, a: Point, b: Point) -> bool {
    let [one, other] = [line.from, line.to].map(|point| off_line(point, a, b));
    one <= NEAR
        && other <= NEAR
        && (one - other).abs() <= EVEN
        && line.from.distance(line.to) + NEAR * 2 >= a.distance(b)
}

/// A pocket that is stitched on is as deep in use as it is high above the row along its lower edge; one
/// that only seams at its sides hold has such a row, too, or no floor.
fn deep(context: &Context<'_>, claim: &PocketClaim) -> Option<Finding> {
    let rider = rider(context, claim.copy, claim.on)?;
    let net = &context.pattern.piece_of(claim.copy).net;
    let (low, _) = net.bounds();
    let mut edges = (0..net.edge_count()).map(|edge| net.edge(edge));
    let lower = edges.find(|edge| edge.start().y == low.y && edge.end().y == low.y)?;
    let [a, b] = [lower.start(), lower.end()].map(|p| context.sewn.lying_point(rider, p));
    let rows = rider.held.iter().filter(|line| follows(line, a, b));
    let Some(row) = rows.map(|line| off_line(line.from, a, b)).max() else {
        let at = (0..net.edge_count()).find(|edge| net.edge(*edge).start() == lower.start());
        let in_seams = !rider.level.is_empty();
        let caught = rider.level.iter().any(|(own, _)| Some(*own) == at);
        return (in_seams && !caught).then(|| {
            error(
                Place::piece(&context.pattern.copy(claim.copy).name),
                format!(
                    "nothing holds the lower edge of the {}: what is put in falls out",
                    claim.name
                ),
                "stitch its lower edge down, or lay it level with a seam that catches it",
            )
        });
    };
    let (deep, promised) = (claim.size.1 - row, claim.true_depth);
    ((deep - promised).abs() > EVEN).then(|| {
        error(
            Place::piece(&context.pattern.copy(claim.copy).name),
            format!(
                "the {} is promised {} deep in use, and is {} deep above its lowest stitches",
                claim.name,
                context.show(promised),
                context.show(deep)
            ),
            "promise what is left, or stitch its lower edge where that is",
        )
    })
}

/// Lines that run beside the pocket or the strap that they are to hold.
fn beside(
    context: &Context<'_>,
    place: &Place,
    (what, onto): (CopyId, CopyId),
    lines: &[Line],
) -> Option<Finding> {
    let spans = legs(context, what, onto).or_else(|| {
        let at = placed(context, what, onto)?;
        let (width, _) = context.sewn.lying_size(what);
        Some(vec![(at.x, at.x + width)])
    })?;
    let within = |point: Point| {
        spans.iter().any(|(low, high)| point.x >= *low - EVEN && point.x <= *high + EVEN)
    };
    let upright = pocket_height(context, what, onto);
    let inside = |point: Point| {
        within(point)
            && upright.is_none_or(|(low, high)| point.y >= low - EVEN && point.y <= high + EVEN)
    };
    let outside = lines.iter().any(|line| !inside(line.from) || !inside(line.to));
    outside.then(|| {
        let name = &context.pattern.copy(what).name;
        let on = &context.pattern.copy(onto).name;
        error(
            place.clone(),
            format!("stitches that should go through the {name} run beside it on the {on}"),
            "move them onto it",
        )
    })
}

/// Where something was placed on a panel. On a panel beyond a seam, on which it lies too, its place is
/// not told.
fn placed(context: &Context<'_>, what: CopyId, onto: CopyId) -> Option<Point> {
    context.sewn.events.iter().find_map(|(_, event)| match event {
        Event::Placed { what: it, onto: on, at, .. } if (*it, *on) == (what, onto) => Some(*at),
        _ => None,
    })
}

/// From where to where a pocket reaches up on a panel, if it ends on it.
fn pocket_height(
    context: &Context<'_>,
    what: CopyId,
    onto: CopyId,
) -> Option<(Length, Length)> {
    let pocket = context.pattern.claims.pockets.iter().find(|claim| claim.copy == what)?;
    let at = (pocket.on == onto).then(|| rider(context, what, onto))??.at;
    let (_, height) = context.pattern.piece_of(what).net_size();
    Some((at.y, at.y + height))
}

/// Where the legs of a strap lie across a panel: around its feet there, or around the points at
/// which it is promised to cross the rim. Nothing if it is no strap, or unknown on this panel.
fn legs(context: &Context<'_>, what: CopyId, onto: CopyId) -> Option<Vec<(Length, Length)>> {
    let claim = context.pattern.claims.handles.iter().find(|handle| handle.strap == what);
    let feet = context.sewn.events.iter().find_map(|(_, event)| match event {
        Event::Placed { what: strap, onto: on, feet, .. } if *strap == what => {
            (!feet.is_empty()).then(|| (*on, feet.iter().map(|foot| foot.at.x).collect::<Vec<_>>()))
        }
        _ => None,
    })?;
    let (width, _) = context.pattern.piece_of(what).net_size();
    let half = claim.map_or(width, |claim| claim.width).half();
    let middles = if feet.0 == onto {
        feet.1
    } else {
        let claim = claim.filter(|claim| claim.on == onto)?;
        claim.feet.iter().map(|point| point.x).collect()
    };
    Some(middles.into_iter().map(|x| (x - half, x + half)).collect())
}

/// As many lines of stitches, or legs of straps, divide a pocket as its compartments need.
fn divided(context: &Context<'_>, claim: &PocketClaim) -> Option<Finding> {
    let pocket = rider(context, claim.copy, claim.on)?;
    let (box_width, _) = context.sewn.lying_size(claim.copy);
    let middle = pocket.at.x + box_width.half();
    let (low, high) = (middle - claim.size.0.half(), middle + claim.size.0.half());
    let placed = context.sewn.events.iter().find_map(|(step, event)| match event {
        Event::Placed { what, .. } if *what == claim.copy => Some(*step),
        _ => None,
    })?;
    // What was stitched on before the pocket lies below it, and goes through its panel only.
    let later = |strap: CopyId| {
        context.sewn.events.iter().any(|(step, event)| {
            matches!(event, Event::Stitched { what, .. } if what.contains(&strap))
                && *step > placed
        })
    };
    let mut cuts: Vec<(Length, Length)> = Vec::new();
    for rider in context.sewn.riders.iter().filter(|rider| rider.onto == claim.on) {
        let long = |line: &&Line| claim.is_divided_by((line.from.y - line.to.y).abs());
        if rider.what == claim.copy {
            let lines = rider.held.iter().filter(long).map(|line| line.from.x);
            let inner = lines.filter(|x| *x > low + NEAR && *x < high - NEAR);
            cuts.extend(inner.map(|x| (x, x)));
        } else if let Some(legs) = legs(context, rider.what, rider.onto)
            && later(rider.what)
            && rider.held.iter().filter(long).any(|line| {
                let (low, high) = (line.from.y.min(line.to.y), line.from.y.max(line.to.y));
                low < pocket.at.y + claim.size.1 && high > pocket.at.y
            })
        {
            cuts.extend(legs);
        } else if context.pattern.claims.dividers.iter().any(|it| it.copy == rider.what) {
            // Its two rows hold one side of it.
            let rows = || rider.held.iter().filter(long).map(|line| line.from.x);
            cuts.extend(rows().min().zip(rows().max()));
        }
    }
    cuts.sort_unstable();
    let (mut found, mut start) = (0_usize, low);
    for (from, to) in cuts {
        found += usize::from(from > start);
        start = start.max(to);
    }
    found += usize::from(high > start);
    let promised = claim.compartments.len();
    (promised > found).then(|| {
        let name = &context.pattern.copy(claim.copy).name;
        error(
            Place::piece(name),
            format!(
                "the {} is promised {promised} compartments, and its stitches give {found}",
                claim.name
            ),
            "stitch its divisions, or promise fewer",
        )
    })
}
