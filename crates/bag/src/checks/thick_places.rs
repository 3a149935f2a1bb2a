//! Layers at the thickest crossing, against what a domestic machine takes.

use measure::{Length, Point};

use super::{Check, Context};
use crate::assembly::{Assembly, Event, Pierced, Rider};
use crate::finding::{Finding, Place};
use crate::operations::{FrenchSeam, Join};
use crate::pattern::{CopyId, InterfacingCut, Run, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "thick-places",
    looks_for: "seams with more layers than a domestic machine sews easily, and rows of stitches through \
                what lies on both sides of a panel",
    why: "the presser foot tilts, stitches are skipped and needles break",
    run,
};

/// What fits under the presser foot of a domestic machine (from memory: 5 to 7 mm).
const UNDER_THE_FOOT: Length = Length::mm(6);
/// From here on, one slows down and takes a thicker needle (common practice, no source).
const MANY: usize = 9;
/// From here on a domestic machine needs help, or another design (common practice, no source).
const TOO_MANY: usize = 14;

/// A pile of fabric: how many layers, and how thick if every one of them was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Pile {
    layers: usize,
    known: Option<Length>,
    /// Whether interfacing reaches into the seam.
    stiffened: bool,
    /// Whether a handle is caught there, and whether one is folded from fabric.
    handle: bool,
    folded: bool,
}

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let seams: Vec<(usize, &[Run; 2])> = context
        .sewn
        .events
        .iter()
        .filter_map(|(step, event)| match event {
            Event::Joined { sides, .. } => Some((*step, sides)),
            _ => None,
        })
        .collect();
    // What lies at a seam is what lies there before it is sewn.
    Assembly::sew_seeing(context.pattern, |now, before| {
        for (_, sides) in seams.iter().filter(|(step, _)| *step == now) {
            let thickest = sides.iter().map(|side| {
                let piles = side.spans.iter().map(|span| side_of_seam(before, span));
                piles.max_by_key(|pile| pile.layers)
            });
            let pile = thickest.flatten().fold(Pile { known: Some(Length::ZERO), ..Pile::default() }, add);
            findings.extend(judge(context, now, pile));
        }
    });
    for step in 0..context.pattern.steps.len() {
        let piles = context.sewn.pierced(step).into_iter().map(|it| both_sides(context.sewn, &it));
        let thickest = piles.max_by_key(|pile| pile.layers);
        findings.extend(thickest.and_then(|pile| judge(context, step, pile)));
    }
    findings
}

/// What lies under the needle where a row of stitches along the edge of what it holds goes through a
/// panel and the thickest of what lies behind it. The allowance of what it holds is turned in there,
/// so each of its layers counts twice.
fn both_sides(work: &Assembly<'_>, pierced: &Pierced) -> Pile {
    let own = pierced.what.iter().flat_map(|copy| work.body_copies(*copy));
    let mut pile = within(work, pierced.onto);
    for copy in own {
        let layer = within(work, copy);
        pile = add(add(pile, layer), layer);
    }
    let behind = pierced.others.iter().map(|copy| within(work, *copy));
    behind.max_by_key(|pile| pile.layers).map_or(pile, |behind| add(pile, behind))
}

/// The layers of one copy away from its edges.
fn within(work: &Assembly<'_>, copy: CopyId) -> Pile {
    layers(work, copy, usize::MAX)
}

fn add(a: Pile, b: Pile) -> Pile {
    let known = a.known.zip(b.known).map(|(a, b)| a + b);
    Pile {
        layers: a.layers + b.layers,
        known,
        stiffened: a.stiffened || b.stiffened,
        handle: a.handle || b.handle,
        folded: a.folded || b.folded,
    }
}

/// The layers on one side of a seam: the host with its interfacing, and the thickest of the
/// riders that are caught there, on top of those that are caught all along.
fn side_of_seam(work: &Assembly<'_>, span: &Span) -> Pile {
    let mut pile = layers(work, span.copy, span.edge);
    for rider in work.riders.iter().filter(|rider| rider.onto == span.copy) {
        let along = |(own, host): &&(usize, usize)| {
            *host == span.edge && lies_along(work, rider, *own, span)
        };
        if let Some((own, _)) = rider.level.iter().find(along) {
            pile = add(pile, layers(work, rider.what, *own));
        }
    }
    pile
}

/// Whether an edge of a rider lies along this stretch of its host's edge: a panel that goes round the
/// bag has front and back on one edge.
fn lies_along(work: &Assembly<'_>, rider: &Rider, own: usize, span: &Span) -> bool {
    let feet = work.events.iter().filter_map(|(_, event)| match event {
        Event::Placed { what, feet, .. } if *what == rider.what => Some(feet),
        _ => None,
    });
    let mut points: Vec<Point> =
        feet.flatten().filter(|foot| foot.edge == own).map(|foot| foot.at).collect();
    if points.is_empty() {
        let edge = work.pattern.piece_of(rider.what).net.edge(own);
        points = [edge.start(), edge.end()].map(|end| work.lying_point(rider, end)).into();
    }
    let host = work.pattern.piece_of(span.copy).net.edge(span.edge);
    let along = || points.iter().map(|point| host.distance_to(*point));
    let (low, high) = span.ordered();
    along().min().is_some_and(|from| from < high) && along().max().is_some_and(|to| to > low)
}

/// The layers of one copy at one of its edges: four for a folded strip, one for others, with what
/// stiffens it. An interfacing without allowance ends before the seam.
fn layers(work: &Assembly<'_>, copy: CopyId, edge: usize) -> Pile {
    let piece = work.pattern.piece_of(copy);
    let times = usize::try_from(piece.folded_layers()).unwrap_or(1);
    let folded = times > 1;
    let thick = |id| {
        let material = work.pattern.material(id);
        material.cloth().and_then(|cloth| cloth.thickness)
    };
    let known = thick(piece.material).map(|t| t * i64::try_from(times).unwrap_or(1));
    let handle = work.pattern.claims.handles.iter().any(|handle| handle.strap == copy);
    let mut pile = Pile { layers: times, known, stiffened: false, handle, folded };
    let free_of_seam = piece.edges.get(edge).is_some_and(|edge| edge.allowance.is_positive());
    if let Some(on) = piece.interfacing
        && !(free_of_seam && on.cut == InterfacingCut::Net)
    {
        let known = thick(on.material).map(|t| t * i64::try_from(times).unwrap_or(1));
        pile = add(pile, Pile { layers: times, known, stiffened: true, ..Pile::default() });
    }
    pile
}

/// The seam in words, and where in it: "the base seam, under the handles".
fn seam(context: &Context<'_>, step: usize, pile: Pile) -> String {
    let what = context.pattern.steps.get(step).and_then(|step| {
        let join = step.as_a::<Join>().map(|it| &it.what);
        join.or_else(|| step.as_a::<FrenchSeam>().map(|it| &it.what))
    });
    let through = !context.sewn.pierced(step).is_empty();
    let what = what.map_or(if through { "these rows" } else { "this seam" }, String::as_str);
    if pile.handle { format!("{what}, under the handles") } else { what.to_owned() }
}

/// What makes the place thinner, the best first, and at last how to sew it as it is.
fn cure(pile: Pile) -> String {
    let mut cures = Vec::new();
    if pile.stiffened {
        cures.push("cut the interfacing without seam allowances");
    }
    if pile.folded {
        cures.push("make the handles of webbing");
    }
    if pile.handle {
        cures.push("do not run the handles down into this seam");
    }
    cures.push(
        "flatten the place with a hammer or a clapper, level the foot with a folded scrap behind \
         it, take a needle 100/16, and turn the hand wheel",
    );
    cures.join("; or ")
}

fn judge(context: &Context<'_>, step: usize, pile: Pile) -> Option<Finding> {
    let place = Place::step(context.step_id(step));
    let seam = seam(context, step, pile);
    if let Some(thick) = pile.known.filter(|thick| *thick > UNDER_THE_FOOT) {
        let message = format!(
            "{} layers, about {:.1} mm, meet in {seam}; under a domestic presser foot go about \
             {} mm (an estimate)",
            pile.layers,
            thick.to_mm(),
            UNDER_THE_FOOT.to_mm()
        );
        return Some(Finding::warning(CHECK.name, place, message, cure(pile)));
    }
    if pile.layers < MANY {
        return None;
    }
    let message = format!("{} layers meet in {seam}", pile.layers);
    Some(if pile.layers >= TOO_MANY {
        Finding::warning(CHECK.name, place, message, cure(pile))
    } else {
        Finding::note(CHECK.name, place, message, cure(pile))
    })
}
