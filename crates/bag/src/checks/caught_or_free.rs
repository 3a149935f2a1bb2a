//! Nothing is caught that should be free, nothing is missed that should be caught.

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::pattern::CopyId;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "caught-or-free",
    looks_for: "a strap or a pocket sewn into a seam that it should stay out of, or laid on a \
                seam that was sewn before",
    why: "what is caught by mistake must be ripped out, and what is missed comes off in use",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let (rider, host, host_edge) = match event {
            Event::CaughtLoose { rider, host, host_edge }
            | Event::TooLate { rider, host, host_edge } => (*rider, *host, *host_edge),
            _ => continue,
        };
        let [what, on] = [rider, host].map(|copy| context.pattern.copy(copy).name.as_str());
        let edge = context.edge_name(host, host_edge);
        let (message, cure) = if matches!(event, Event::TooLate { .. }) {
            (
                format!("the {what} is laid on the {edge} of the {on}, which has been sewn already"),
                "place it before that edge is sewn".to_owned(),
            )
        } else {
            (
                format!("the {what} is stitched down across the {edge} of the {on}, and caught in its seam"),
                "let the stitching end before the seam".to_owned(),
            )
        };
        let place = Place::step(context.step_id(*step)).of_piece(what).at_edge(edge);
        findings.push(Finding::error(CHECK.name, place, message, cure));
    }
    findings.extend(unheld(context));
    findings
}

/// Pieces that nothing holds at last: neither sewn to anything nor stitched down.
fn unheld(context: &Context<'_>) -> Vec<Finding> {
    let caught = |copy: CopyId| {
        context.sewn.events.iter().any(|(_, event)| match event {
            Event::Caught { rider, .. } => context.sewn.is_one_body(*rider, copy),
            Event::Stitched { what, onto, .. } => {
                let held = what.iter().any(|part| context.sewn.is_one_body(*part, copy));
                held && !context.sewn.is_one_body(*onto, copy)
            }
            _ => false,
        })
    };
    let mut findings = Vec::new();
    for body in context.sewn.bodies() {
        let rides = context.sewn.riders.iter().any(|r| context.sewn.is_one_body(r.what, body));
        if rides && !caught(body) && !is_tucked(context, body) {
            let name = &context.pattern.copy(body).name;
            findings.push(Finding::error(
                CHECK.name,
                Place::piece(name),
                format!("the {name} is pinned or basted, and nothing holds it at last"),
                "stitch it down, or let a seam catch it".to_owned(),
            ));
        }
    }
    findings
}

/// Held under a hem: an end turned under without stitches of its own.
fn is_tucked(context: &Context<'_>, copy: CopyId) -> bool {
    let net = &context.pattern.piece_of(copy).net;
    let held = |edge| {
        context
            .sewn
            .stretches(copy, edge)
            .iter()
            .any(|s| matches!(s.edging, crate::assembly::Edging::TurnedUnder(_)))
    };
    (0..net.edge_count()).all(held)
}
