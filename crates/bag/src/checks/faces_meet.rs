//! The faces meet as they must, and nothing ends wrong side out.

use super::{Check, Context};
use crate::assembly::{Event, Facing, SideOut};
use crate::finding::{Finding, Place};
use crate::operations::{EdgeFinish, FaceSide, FinishEdges, JoinFolded, Meeting, SlipstitchToZip};
use crate::pattern::{CopyId, Run};

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
                findings.extend(seam(place.clone(), *meet, *facing));
                // Edges that are turned in face each other between both layers.
                let turned_in = context.pattern.steps.get(*step).is_some_and(|step| {
                    step.as_a::<JoinFolded>().is_some() || step.as_a::<SlipstitchToZip>().is_some()
                });
                if !turned_in {
                    findings.extend(raw_outside(context, place, sides, *meet));
                }
            }
            Event::DroppedIn { inner, meet, inner_out, outer_out, .. }
                if (*inner_out, *outer_out) != sides_for(*meet) =>
            {
                let message = format!(
                    "the inner bag goes in with its {} out, and the outer one has its {} out: \
                     {} do not meet",
                    out(*inner_out),
                    out(*outer_out),
                    if *meet == Meeting::WrongSides { "wrong sides" } else { "right sides" }
                );
                let cure = if *meet == Meeting::WrongSides {
                    "leave the inner one wrong side out, and turn the outer one right side out"
                } else {
                    "turn the inner one right side out, and leave the outer one wrong side out"
                };
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

/// Which side of the inner bag and of the outer one must be out.
fn sides_for(meet: Meeting) -> (SideOut, SideOut) {
    match meet {
        Meeting::WrongSides => (SideOut::Wrong, SideOut::Right),
        Meeting::RightSides | Meeting::Lapped => (SideOut::Right, SideOut::Wrong),
    }
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
        (_, Facing::Against) => (
            "the two rims run opposite ways round in this seam".to_owned(),
            "sew both round in the same direction, from one side seam to the same side seam"
                .to_owned(),
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

/// A seam sewn with the wrong sides together has its allowances on the right side, where only a
/// binding hides them; and what one step binds lies all on one face of the bag.
fn raw_outside(
    context: &Context<'_>,
    place: Place,
    sides: &[Run; 2],
    meet: Meeting,
) -> Option<Finding> {
    if meet != Meeting::WrongSides {
        return None;
    }
    let edges = |run: &Run| run.spans.iter().map(|s| (s.copy, s.edge)).collect::<Vec<_>>();
    let here = edges(&sides[0]);
    let bound = context.pattern.steps.iter().find_map(|step| {
        let finish = step.as_a::<FinishEdges>()?;
        let all: Vec<_> = finish.runs.iter().flat_map(edges).collect();
        let binds = matches!(finish.how, EdgeFinish::Bound(_));
        (binds && here.iter().any(|edge| all.contains(edge))).then_some(all)
    });
    let (message, cure) = match bound {
        None => (
            "this seam is sewn with the wrong sides together, and its raw allowances lie on the \
             right side",
            "sew it with the right sides together, or as a French seam, or bind it",
        ),
        Some(bound) if is_sewn_otherwise(context, &bound) => (
            "this seam is sewn with the wrong sides together, and those that are bound with it with \
             the right sides together: their allowances lie on both faces of the bag",
            "sew all of them alike",
        ),
        Some(_) => return None,
    };
    Some(Finding::error(CHECK.name, place, message.to_owned(), cure.to_owned()))
}

/// Whether one of these edges is sewn with the right sides together.
fn is_sewn_otherwise(context: &Context<'_>, edges: &[(CopyId, usize)]) -> bool {
    context.sewn.events.iter().any(|(_, event)| {
        matches!(event, Event::Joined { sides, meet: Meeting::RightSides, .. }
            if sides[0].spans.iter().any(|span| edges.contains(&(span.copy, span.edge))))
    })
}

type Laid = (CopyId, FaceSide);

/// A panel that lies with its wrong side up where its right side should show. The lining of a
/// pocket lies face down under the pocket, and a pocket that was sewn all round and turned shows a
/// right side on both of its faces; so does a folded strap or a webbing.
fn placed(context: &Context<'_>, place: Place, what: Laid, onto: Laid) -> Option<Finding> {
    let (copy, face_up) = what;
    if context.sewn.is_pulled_through(copy) {
        return not_face_down(context, place, what, onto);
    }
    if face_up == FaceSide::Right || context.straps().any(|strap| strap == copy) {
        return None;
    }
    let body = context.sewn.body_copies(copy);
    let shown = context.sewn.events.iter().any(|(_, event)| {
        matches!(event, Event::Placed { what, face_up: FaceSide::Right, .. }
            if *what != copy && body.contains(what))
    });
    // A pouch of which every layer is of one fabric looks alike from both sides.
    let fabric = context.pattern.piece_of(copy).material;
    let alike = body.len() > 1
        && context.sewn.side_out(copy) == SideOut::Right
        && body.iter().all(|other| context.pattern.piece_of(*other).material == fabric);
    if shown || alike {
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

/// What is to be pulled through a slit lies face down before: right sides together, on the right
/// side of its panel.
fn not_face_down(
    context: &Context<'_>,
    place: Place,
    (copy, face_up): Laid,
    (onto, _): Laid,
) -> Option<Finding> {
    (face_up == FaceSide::Right).then(|| {
        let [name, on] = [copy, onto].map(|copy| &context.pattern.copy(copy).name);
        let message = format!(
            "the {name} lies right side up on the {on}, and shows its wrong side when it is pulled \
             through"
        );
        let cure = "lay it right sides together".to_owned();
        Finding::error(CHECK.name, place.of_piece(name), message, cure)
    })
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
        // The bag of a pocket hangs behind its panel: one sees its right side from within.
        let mut parts = surface.copies.iter();
        let hangs = parts.any(|copy| context.sewn.is_pulled_through(*copy));
        if context.sewn.side_out(body) == SideOut::Wrong && !hangs {
            let message = format!("the body with the {name} ends wrong side out");
            let cure = "turn it right side out through its opening".to_owned();
            findings.push(Finding::error(CHECK.name, Place::piece(name), message, cure));
        }
    }
    findings
}
