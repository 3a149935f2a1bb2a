//! Every opening that was left for turning is closed at last.

use super::{Check, Context};
use crate::assembly::{Edging, Event, SideOut};
use crate::finding::{Finding, Place};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "openings-closed",
    looks_for: "an opening left for turning that no step closes, or a closing with nothing to close",
    why: "small things would fall between outside and lining, and the seam would go on opening",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (copy, edge, stretches) in context.sewn.edges() {
        for stretch in stretches {
            let Edging::Gap(step) = stretch.edging else { continue };
            let name = &context.pattern.copy(copy).name;
            let edge = &context.pattern.piece_of(copy).edges[edge].name;
            let mut place = Place::step(context.step_id(step)).of_piece(name).at_edge(edge);
            place.at = Some(stretch.from);
            findings.push(Finding::error(
                CHECK.name,
                place,
                format!(
                    "the opening of {} in the {edge} of the {name} is never closed",
                    context.show(stretch.to - stretch.from)
                ),
                "close it when the bag has been turned".to_owned(),
            ));
        }
    }
    for (step, event) in &context.sewn.events {
        let Event::Closed { left_by, closed, side_out } = event else { continue };
        if closed.is_empty() {
            findings.push(Finding::error(
                CHECK.name,
                Place::step(context.step_id(*step)),
                format!("nothing is open there: the step `{left_by}` left no opening"),
                "name the step that leaves the opening, and let it come first".to_owned(),
            ));
        } else if *side_out == Some(SideOut::Wrong) {
            findings.push(Finding::error(
                CHECK.name,
                Place::step(context.step_id(*step)),
                "the opening is closed while the wrong side is out".to_owned(),
                "turn right side out first, then close it".to_owned(),
            ));
        }
    }
    findings
}
