//! The allowance cut on each side of a seam is the one that is sewn there.

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};

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
    findings
}
