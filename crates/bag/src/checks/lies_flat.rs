//! A pocket that is stitched on lies on one side of an edge round which its panel bends.

use measure::Length;

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::pattern::{HingeLine, PocketClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "lies-flat",
    looks_for: "a pocket that is stitched on across an edge round which its panel bends: the edge of \
                a boxed top",
    why: "it cannot lie flat there, and what is put into it is bent or holds the edge open",
    run,
};

/// What may reach beyond an edge: a row of stitches.
const BEYOND: Length = Length::mm(3);
/// A panel that bends to less than this has an edge there, in degrees; flat is 180.
const EDGE: f64 = 135.0;

fn run(context: &Context<'_>) -> Vec<Finding> {
    context.pattern.claims.pockets.iter().filter_map(|pocket| across(context, pocket)).collect()
}

/// A pocket across a level edge of its panel. One that is held in a seam beyond the edge goes round
/// it with its panel.
fn across(context: &Context<'_>, pocket: &PocketClaim) -> Option<Finding> {
    let lying = context.sewn.riders.iter().find(|rider| rider.what == pocket.copy)?;
    if !lying.level.is_empty() || lying.onto != pocket.on {
        return None;
    }
    let (low, high) = (pocket.at.y, pocket.at.y + pocket.size.1);
    let (left, right) = (pocket.at.x, pocket.at.x + pocket.size.0);
    let mut edges = context.pattern.hinges.iter().filter_map(|hinge| match hinge.line {
        HingeLine::Fold(on, a, b) if on == pocket.on && a.y == b.y && hinge.degrees < EDGE => {
            (a.x.min(b.x) < right && left < a.x.max(b.x)).then_some(a.y)
        }
        _ => None,
    });
    let edge = edges.find(|edge| (*edge - low).min(high - *edge) > BEYOND)?;
    let (above, below) = (high - edge, edge - low);
    // All that are stitched on away from the seams say so where they begin.
    let place = Place::piece(&context.pattern.copy(pocket.copy).name).in_field("below");
    let message = format!(
        "the {} lies across an edge round which the {} bends, with {} of it above and {} below: it \
         does not lie flat there",
        pocket.name,
        context.pattern.copy(pocket.on).name,
        context.show(above),
        context.show(below)
    );
    let cure = format!("let it begin {} lower, or make it so much less high", context.show(above));
    Some(Finding::warning(CHECK.name, place, message, cure))
}
