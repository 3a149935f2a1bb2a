//! Each step can be done as the work then lies, and reached by the machine.

use super::{Check, Context};
use crate::assembly::{Event, Reachable, SideOut};
use crate::finding::{Finding, Place};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "machine-reaches",
    looks_for: "a step for which the work is not ready, or which the machine cannot get at",
    why: "nothing can be stitched flat inside a closed tube, nor sewn twice",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let place = Place::step(context.step_id(*step));
        match event {
            Event::Stitched { onto, reach: Reachable::Buried, .. } => {
                let name = &context.pattern.copy(*onto).name;
                findings.push(Finding::error(
                    CHECK.name,
                    place.of_piece(name),
                    format!("the {name} is part of a bag already: it cannot be stitched through flat"),
                    "do it while the panel lies flat, before its sides are sewn".to_owned(),
                ));
            }
            Event::Impossible { why, cure, copy, edge } => {
                let mut place = place.of_piece(&context.pattern.copy(*copy).name);
                if let Some(edge) = edge {
                    place = place.at_edge(context.edge_name(*copy, *edge));
                }
                findings.push(Finding::error(CHECK.name, place, why.clone(), cure.clone()));
            }
            Event::Boxed { unsewn, side_out, corners, .. } => {
                findings.extend(boxing(context, place, unsewn, *side_out, corners));
            }
            _ => {}
        }
    }
    findings
}

fn boxing(
    context: &Context<'_>,
    place: Place,
    unsewn: &[crate::operations::Corner],
    side_out: SideOut,
    corners: &[Vec<crate::operations::Corner>],
) -> Option<Finding> {
    if let Some(corner) = unsewn.first() {
        let name = &context.pattern.copy(corner.copy).name;
        return Some(Finding::error(
            CHECK.name,
            place.of_piece(name),
            format!("a corner of the {name} is boxed before its side and base seams are sewn"),
            "sew the side seams and the base seam first".to_owned(),
        ));
    }
    if side_out == SideOut::Right {
        let name = corners.iter().flatten().next().map(|corner| &context.pattern.copy(corner.copy).name)?;
        return Some(Finding::error(
            CHECK.name,
            place.of_piece(name),
            format!("the corners of the bag with the {name} are boxed with the right side out"),
            "box them while the wrong side is out, before turning".to_owned(),
        ));
    }
    None
}
