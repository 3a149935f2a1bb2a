//! A divider is stitched to the front and to the back, all the way up, or caught in a seam at either end.

use std::collections::BTreeSet;

use measure::Length;

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::pattern::{CopyId, DividerClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "dividers-hold",
    looks_for: "dividers that are not stitched to both sides of the bag, from their lower end to \
                their upper one",
    why: "a divider that hangs from one side divides nothing, and what stands beside it falls over \
          it",
    run,
};

/// Rows may begin and end so far from the ends of a divider (common practice, no source: 1/8 in or
/// 3 mm at either end, and what a backstitch takes).
const SHORT: Length = Length::mm(12);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let claims = context.pattern.claims.dividers.iter();
    claims
        .flat_map(|claim| {
            if claim.front == claim.back {
                [ends(context, claim), None]
            } else {
                [claim.front, claim.back].map(|onto| side(context, claim, onto))
            }
        })
        .flatten()
        .collect()
}

/// One that runs from seam to seam is caught in both of them.
fn ends(context: &Context<'_>, claim: &DividerClaim) -> Option<Finding> {
    let caught = context.sewn.events.iter().filter_map(|(_, event)| match event {
        Event::Caught { rider, edge, host, .. } if *rider == claim.copy && *host == claim.front => {
            Some(*edge)
        }
        _ => None,
    });
    let ends = caught.collect::<BTreeSet<usize>>().len();
    if ends >= 2 {
        return None;
    }
    let name = |copy: CopyId| &context.pattern.copy(copy).name;
    let message = format!(
        "the {} is caught in {} beside the {}, and belongs into two: it divides nothing",
        name(claim.copy),
        if ends == 0 { "no seam" } else { "one seam" },
        name(claim.front)
    );
    let cure = "baste both of its ends before the seams there are sewn".to_owned();
    Some(Finding::error(CHECK.name, Place::piece(name(claim.copy)), message, cure))
}

/// How far up a divider it is stitched to a panel, by its longest row.
fn held(context: &Context<'_>, divider: CopyId, to: CopyId) -> Length {
    let rows = context.sewn.events.iter().filter_map(|(_, event)| match event {
        Event::Stitched { what, onto, lines, .. } if *onto == to && what.contains(&divider) => {
            lines.iter().map(|line| line.from.distance(line.to)).max()
        }
        _ => None,
    });
    rows.max().unwrap_or(Length::ZERO)
}

fn side(context: &Context<'_>, claim: &DividerClaim, onto: CopyId) -> Option<Finding> {
    let held = held(context, claim.copy, onto);
    let name = |copy: CopyId| &context.pattern.copy(copy).name;
    if held + SHORT >= claim.height {
        return None;
    }
    let message = if held.is_positive() {
        format!(
            "the {}, {} high, is stitched to the {} along {} only",
            name(claim.copy),
            context.show(claim.height),
            name(onto),
            context.show(held)
        )
    } else {
        format!("the {} is not stitched to the {}: it divides nothing", name(claim.copy), name(onto))
    };
    let cure = "stitch both of its sides down, each from its lower end to its upper one".to_owned();
    Some(Finding::error(CHECK.name, Place::piece(name(claim.copy)), message, cure))
}
