//! A print with an up and a down stands upright on both sides of the bag.

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::pattern::Grain;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "print-stands-upright",
    looks_for: "a panel that is folded at the base, of a fabric whose print or nap has an up and a \
                down",
    why: "what stands upright on the front stands on its head on the back, and no cutting layout \
          can help it",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let pattern = context.pattern;
    let mut findings: Vec<Finding> = Vec::new();
    for copy in pattern.copy_ids() {
        let piece = pattern.piece_of(copy);
        let material = pattern.material(piece.material);
        let one_way = material.cloth().is_some_and(|cloth| cloth.one_way);
        let rides =
            context.sewn.riders.iter().any(|rider| context.sewn.is_one_body(rider.what, copy));
        if !one_way || rides || piece.grain == Grain::Crosswise {
            continue;
        }
        if context.sewn.folds_on_itself(copy).is_empty() {
            continue;
        }
        let message = format!(
            "the {} goes down the front and up the back in one piece: what stands upright on the {} \
             at the front stands on its head at the back",
            pattern.copy(copy).name,
            material.name
        );
        let cure = "take a fabric without an up and a down, choose a body with a seam at the base, \
                    or let the better side be the front";
        let place = Place::parameter("body.kind").of_piece(&pattern.copy(copy).name);
        findings.push(Finding::warning(CHECK.name, place, message, cure.to_owned()));
    }
    findings
}
