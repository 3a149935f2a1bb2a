//! Nothing raw is left where it shows, frays or carries load.

use measure::Length;

use super::{Check, Context};
use crate::assembly::{Edging, Event, Mouth, Stretch, Surface};
use crate::finding::{Finding, Place};
use crate::pattern::{CopyId, Form, Look};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "raw-edges",
    looks_for: "edges that end raw: never sewn, basted and never caught, or an allowance that \
                stays in sight and is not finished",
    why: "a raw edge frays, and one that carries a load pulls out",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for body in context.sewn.bodies() {
        let surface = context.sewn.surface(body);
        // The inside of a bag with a mouth can be seen, and its allowances with it. A single
        // layer lying on another has the other behind it, and a strap has no inside.
        let a_bag = surface.copies.len() > 1
            || context.pattern.claims.height_gauge.lowest() == Some(body);
        let seen = is_seen_into(&surface) && a_bag && !is_rider(context, body);
        for copy in surface.copies {
            for edge in 0..context.pattern.piece_of(copy).net.edge_count() {
                for stretch in context.sewn.stretches(copy, edge) {
                    findings.extend(judge(context, copy, edge, stretch, seen));
                }
            }
        }
    }
    findings.extend(boxed(context));
    findings.extend(turned_in_once(context));
    for slit in context.sewn.slits.iter().filter(|slit| slit.held.is_none()) {
        let name = &context.pattern.copy(slit.copy).name;
        findings.push(Finding::error(
            CHECK.name,
            Place::step(context.step_id(slit.step)).of_piece(name),
            format!(
                "a slit {} long in the {name} stays raw",
                context.show(slit.from.distance(slit.to))
            ),
            "set a zip or a pocket into it".to_owned(),
        ));
    }
    findings
}

/// Edges of a pocket of one layer that are turned in once and stitched down: the raw edge lies
/// open inside the pocket, where a hand and what is kept there fray it.
fn turned_in_once(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for claim in &context.pattern.claims.pockets {
        let piece = context.pattern.piece_of(claim.copy);
        let frays = context.pattern.material(piece.material).look != Look::Window;
        if !frays || context.sewn.body_copies(claim.copy).len() > 1 {
            continue;
        }
        for edge in 0..piece.net.edge_count() {
            let open = |s: &&Stretch| matches!(s.edging, Edging::TurnedUnder(_)) && !s.finished;
            let Some(stretch) = context.sewn.stretches(claim.copy, edge).iter().find(open) else {
                continue;
            };
            let name = &context.pattern.copy(claim.copy).name;
            let edge = context.edge_name(claim.copy, edge);
            let long = context.show(stretch.to - stretch.from);
            findings.push(Finding::error(
                CHECK.name,
                Place::piece(name).at_edge(edge),
                format!("{long} of the {edge} of the {name} are turned in once, and stay raw inside the pocket"),
                "overcast this edge before it is turned in, or turn it twice".to_owned(),
            ));
        }
    }
    findings
}

/// Where a cord comes out of its casing, so much around: nothing is seen through it.
const CORD_EXIT: Length = Length::mm(100);

/// Whether there is a mouth through which the inside is seen.
fn is_seen_into(surface: &Surface) -> bool {
    let exit = |mouth: &Mouth| {
        let hemmed = |edging: &Edging| matches!(edging, Edging::Hemmed(_));
        mouth.around <= CORD_EXIT && mouth.edgings.iter().all(hemmed)
    };
    surface.slits > 0 || !surface.mouths.iter().all(exit)
}

fn is_rider(context: &Context<'_>, copy: CopyId) -> bool {
    context.sewn.riders.iter().any(|rider| context.sewn.is_one_body(rider.what, copy))
}

/// The edges along webbing are woven: those that lie as far apart as it is wide, or else the
/// longest.
fn is_selvedge(context: &Context<'_>, copy: CopyId, edge: usize) -> bool {
    let piece = context.pattern.piece_of(copy);
    let Form::Webbing { width, .. } = context.pattern.material(piece.material).form else {
        return false;
    };
    let count = piece.net.edge_count();
    let along = |edge: usize| {
        let beside = [edge + count - 1, edge + 1].map(|it| piece.net.edge_length(it % count));
        beside == [width; 2]
    };
    if (0..count).any(along) {
        return along(edge);
    }
    let longest = (0..count).map(|e| piece.net.edge_length(e)).max();
    Some(piece.net.edge_length(edge)) == longest
}

fn is_partly_joined(context: &Context<'_>, copy: CopyId, edge: usize) -> bool {
    let joined = |s: &Stretch| matches!(s.edging, Edging::Joined(_));
    context.sewn.stretches(copy, edge).iter().any(joined)
}

fn judge(
    context: &Context<'_>,
    copy: CopyId,
    edge: usize,
    stretch: &Stretch,
    seen: bool,
) -> Option<Finding> {
    let named = |what: &str| {
        let edge = context.edge_name(copy, edge);
        let long = context.show(stretch.to - stretch.from);
        format!("{long} of the {edge} of the {} {what}", context.pattern.copy(copy).name)
    };
    let (message, cure, step) = match stretch.edging {
        Edging::Raw if is_selvedge(context, copy, edge) => return None,
        // A finished edge may lie open, but not where a seam that runs along it stops short.
        Edging::Raw if stretch.finished && !is_partly_joined(context, copy, edge) => return None,
        Edging::Raw => (
            named("are never sewn, and stay raw"),
            "join, hem or bind this edge, or turn it under".to_owned(),
            None,
        ),
        Edging::Basted(host, _) => (
            named(&format!("are basted to the {}, and no seam catches them", context.pattern.copy(host).name)),
            "place it before that edge is sewn".to_owned(),
            None,
        ),
        Edging::Joined(step) | Edging::Zipped(step) if seen && !stretch.finished => (
            named("are sewn, and the raw allowance stays in sight inside the bag"),
            "overcast or bind it, sew a French seam, or line the bag".to_owned(),
            Some(step),
        ),
        _ => return None,
    };
    let mut place = Place::piece(&context.pattern.copy(copy).name)
        .at_edge(context.edge_name(copy, edge));
    place.step = step.map(|step| context.step_id(step).to_owned());
    place.at = Some(stretch.from).filter(|at| *at > Length::ZERO);
    Some(Finding::error(CHECK.name, place, message, cure))
}

/// The raw edge of a boxed corner, in a bag whose inside can be seen.
fn boxed(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Boxed { corners, finished: false, .. } = event else { continue };
        let Some(copy) = corners.iter().flatten().map(|corner| corner.copy).next() else {
            continue;
        };
        if is_seen_into(&context.sewn.surface(copy)) {
            findings.push(Finding::error(
                CHECK.name,
                Place::step(context.step_id(*step)),
                "the trimmed edges of the boxed corners stay raw and in sight".to_owned(),
                "overcast or bind them".to_owned(),
            ));
        }
    }
    findings
}
