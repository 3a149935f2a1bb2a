//! The faces meet as they must, and nothing ends wrong side out.

use super::{Check, Context};
use crate::assembly::{Event, Facing, SideOut};
use crate::finding::{Finding, Place};
use crate::operations::{FaceSide, Meeting};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "faces-meet",
    looks_for: "seams in which the wrong faces meet, and a bag that ends wrong side out",
    why: "the wrong side of a panel would show, and the seam would have to be ripped",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let place = Place::step(context.step_id(*step));
        match event {
            Event::Joined { sides, meet, facing, .. } => {
                let place = context.at_run(place, &sides[0]);
                findings.extend(seam(place, *meet, *facing));
            }
            Event::DroppedIn { inner, inner_out, outer_out, .. }
                if (*inner_out, *outer_out) != (SideOut::Right, SideOut::Wrong) =>
            {
                let message = format!(
                    "the inner bag goes in with its {} out, and the outer one has its {} out: \
                     right sides do not meet",
                    out(*inner_out),
                    out(*outer_out)
                );
                let cure = "turn the inner one right side out, and leave the outer one wrong \
                            side out";
                let place = place.of_piece(&context.pattern.copy(*inner).name);
                findings.push(Finding::error(CHECK.name, place, message, cure.to_owned()));
            }
            Event::Placed { what, onto, face_up, ground, .. } => {
                findings.extend(placed(context, place, (*what, *face_up), (*onto, *ground)));
            }
            _ => {}
        }
    }
    findings.extend(at_last(context));
    findings
}

fn out(side: SideOut) -> &'static str {
    match side {
        SideOut::Flat => "both sides",
        SideOut::Wrong => "wrong side",
        SideOut::Right => "right side",
    }
}

fn seam(place: Place, meet: Meeting, facing: Facing) -> Option<Finding> {
    let (message, cure) = match (meet, facing) {
        (_, Facing::AsTold)
        | (Meeting::RightSides, Facing::Right)
        | (Meeting::WrongSides, Facing::Wrong) => return None,
        (_, Facing::Mixed) => (
            "the right side of one side of this seam meets the wrong side of the other".to_owned(),
            "turn one of the two over before it is sewn".to_owned(),
        ),
        (_, Facing::Apart) => (
            "two finished rims are joined, and neither bag lies in the other".to_owned(),
            "put the one into the other first, right sides together".to_owned(),
        ),
        (Meeting::Lapped, Facing::Right | Facing::Wrong)
        | (Meeting::RightSides, Facing::Wrong)
        | (Meeting::WrongSides, Facing::Right) => (
            format!("{} are called for, and the other sides meet", meet.words()),
            "turn both bodies first".to_owned(),
        ),
    };
    Some(Finding::error(CHECK.name, place, message, cure))
}

type Laid = (crate::pattern::CopyId, FaceSide);

/// A panel that lies with its wrong side up where its right side should show. The lining of a
/// pocket lies face down under it; what is under a right side up copy of the same step is hidden.
fn placed(context: &Context<'_>, place: Place, what: Laid, onto: Laid) -> Option<Finding> {
    let (copy, face_up) = what;
    let hidden = context
        .sewn
        .glues
        .iter()
        .any(|glue| glue.a.copy == copy || glue.b.copy == copy);
    if face_up == FaceSide::Right || hidden {
        return None;
    }
    let name = &context.pattern.copy(copy).name;
    let message = format!(
        "the {name} lies wrong side up on the {}",
        context.pattern.copy(onto.0).name
    );
    let cure = "lay it right side up".to_owned();
    Some(Finding::error(CHECK.name, place.of_piece(name), message, cure))
}

fn at_last(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for body in context.sewn.bodies() {
        let surface = context.sewn.surface(body);
        let name = &context.pattern.copy(body).name;
        if !surface.orientable {
            findings.push(Finding::error(
                CHECK.name,
                Place::piece(name),
                format!("the body with the {name} is one-sided: a seam is sewn with a twist in it"),
                "sew each seam from the same end on both sides".to_owned(),
            ));
        }
        if context.sewn.side_out(body) == SideOut::Wrong {
            let message = format!("the body with the {name} ends wrong side out");
            let cure = "turn it right side out through its opening".to_owned();
            findings.push(Finding::error(CHECK.name, Place::piece(name), message, cure));
        }
    }
    findings
}
