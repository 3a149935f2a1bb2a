//! Ends of ties, tabs, flaps and straps are fastened where they are promised.

use measure::Length;

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "ends-as-promised",
    looks_for: "ends of ties, tabs, flaps and straps that lie elsewhere than promised, or with their \
                other face up",
    why: "a flap that is sewn on askew, or with its lining out, is found when the bag is turned, and \
          its halves miss each other",
    run,
};

/// What the eye forgives: 1 mm.
const EVEN: Length = Length::MM;

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Placed { what, onto, feet, .. } = event else { continue };
        let name = &context.pattern.copy(*what).name;
        let mut wrong = |message: String, cure: &str| {
            let place = Place::step(context.step_id(*step)).of_piece(name);
            findings.push(Finding::error(CHECK.name, place, message, cure.to_owned()));
        };
        for claim in context.pattern.claims.ends.iter().filter(|claim| claim.copy == *what) {
            let edge = context.edge_name(*what, claim.edge);
            let on = &context.pattern.copy(claim.on).name;
            let Some(foot) = feet.iter().find(|foot| foot.edge == claim.edge) else {
                wrong(
                    format!("the {edge} of the {name} is promised to be fastened, and is not"),
                    "fasten it with the others",
                );
                continue;
            };
            let off = foot.at.distance(claim.at);
            if claim.on != *onto {
                wrong(
                    format!("the {name} is fastened to another panel than the {on}"),
                    "fasten it where it is promised",
                );
            } else if off > EVEN {
                wrong(
                    format!(
                        "the {edge} of the {name} lies {} from its place on the {on}",
                        context.show(off)
                    ),
                    "lay it at its marks",
                );
            } else if foot.face_up != claim.face_up {
                wrong(
                    format!("the {edge} of the {name} lies with its {} up", foot.face_up.words()),
                    "turn it over",
                );
            }
        }
    }
    findings
}
