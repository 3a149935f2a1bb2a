//! The allowance cut on each side of a seam is the one that is sewn there.

use measure::Length;

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::pattern::{CopyId, Run};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "allowances-agree",
    looks_for: "a seam sewn at another distance from the edge than the piece was cut for",
    why: "the bag would come out larger or smaller than drafted, by twice the difference",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        if let Event::Hemmed { run, takes } = event {
            findings.extend(hemmed(context, *step, run, *takes));
        }
        let Event::Joined { sides, allowance, .. } = event else { continue };
        for (side, sewn) in sides.iter().zip(allowance) {
            for span in &side.spans {
                let edge = &context.pattern.piece_of(span.copy).edges[span.edge];
                if edge.allowance == *sewn {
                    continue;
                }
                let copy = &context.pattern.copy(span.copy).name;
                let message = format!(
                    "the {} of the {copy} is cut with {} seam allowance and sewn {} from the edge",
                    edge.name,
                    context.show(edge.allowance),
                    context.show(*sewn)
                );
                let cure = format!("sew it {} from the edge", context.show(edge.allowance));
                let place =
                    Place::step(context.step_id(*step)).of_piece(copy).at_edge(&edge.name);
                findings.push(Finding::error(CHECK.name, place, message, cure));
            }
        }
    }
    findings.extend(level(context));
    findings
}

/// A hem takes what was cut for it.
fn hemmed(context: &Context<'_>, step: usize, run: &Run, takes: Length) -> Vec<Finding> {
    let mut findings = Vec::new();
    for span in &run.spans {
        let Some(edge) = context.pattern.piece_of(span.copy).edges.get(span.edge) else { continue };
        if edge.allowance == takes {
            continue;
        }
        let copy = &context.pattern.copy(span.copy).name;
        let message = format!(
            "the {} of the {copy} is cut with {} for its hem, and the hem takes {}",
            edge.name,
            context.show(edge.allowance),
            context.show(takes)
        );
        let cure = format!("let both turns of the hem take {}", context.show(edge.allowance));
        let place = Place::step(context.step_id(step)).of_piece(copy).at_edge(&edge.name);
        findings.push(Finding::error(CHECK.name, place, message, cure));
    }
    findings
}

/// What lies level with the raw edge of a panel has the panel's allowance there, so that one seam
/// takes the same off both. Straps lie with their raw ends at the raw edge, and have none.
fn level(context: &Context<'_>) -> Vec<Finding> {
    let straps: Vec<CopyId> = context.straps().collect();
    let mut findings = Vec::new();
    for rider in context.sewn.riders.iter().filter(|rider| !straps.contains(&rider.what)) {
        for (own, host) in &rider.level {
            let edge = |copy, edge: usize| context.pattern.piece_of(copy).edges.get(edge);
            let (Some(own), Some(host)) = (edge(rider.what, *own), edge(rider.onto, *host)) else {
                continue;
            };
            if own.allowance == host.allowance {
                continue;
            }
            let [what, on] = [rider.what, rider.onto].map(|it| &context.pattern.copy(it).name);
            let message = format!(
                "the {} of the {what} is cut with {} seam allowance, and that of the {on} with {}: \
                 their raw edges are not level",
                own.name,
                context.show(own.allowance),
                context.show(host.allowance)
            );
            let cure = format!("cut it with {}", context.show(host.allowance));
            let place = Place::piece(what).at_edge(&own.name);
            findings.push(Finding::error(CHECK.name, place, message, cure));
        }
    }
    findings
}
