//! The mouth of a pocket lets a hand in, unless the pocket is so shallow that fingers do.

use measure::{Length, System};

use super::{Check, Context};
use crate::finding::{Finding, Place};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "hand-goes-in",
    looks_for: "deep pockets of which no compartment is wide enough for a hand",
    why: "what has slid to the bottom cannot be got out again",
    run,
};

/// Width of a hand, flat: 3 1/2 in (90 mm), common practice, no source.
fn hand(system: System) -> Length {
    match system {
        System::Inch => Length::inch_frac(7, 2),
        System::Metric => Length::mm(90),
    }
}

/// Fingers reach the things in a pocket that is so deep: 8 in (200 mm), about a hand's length,
/// common practice, no source.
const FINGERS: Length = Length::mm(204);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let least = hand(context.pattern.units.system());
    let mut findings = Vec::new();
    for pocket in &context.pattern.claims.pockets {
        let widest = pocket.compartments.iter().copied().max().unwrap_or(pocket.size.0);
        let mouth = if pocket.opening.is_positive() { widest.min(pocket.opening) } else { widest };
        if mouth >= least || pocket.true_depth <= FINGERS {
            continue;
        }
        let message = format!(
            "the {} is {} deep, and its widest opening is {}: a hand does not go in",
            pocket.name,
            context.show(pocket.true_depth),
            context.show(mouth)
        );
        let cure = format!("make it {} wide or wider, or less deep", context.show(least));
        let place = Place::piece(&context.pattern.copy(pocket.copy).name);
        findings.push(Finding::warning(CHECK.name, place, message, cure));
    }
    findings
}
