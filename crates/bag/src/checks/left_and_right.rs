//! Left and right, front and back agree: corners, straps equal and level, no strap twisted, no
//! pocket on its head.

use measure::{Length, Point};

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::operations::{Corner, Foot};
use crate::pattern::{CopyId, MarkShape};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "left-and-right",
    looks_for: "corners, handles and pockets of which one side differs from the other, a strap \
                with a twist, a pocket on its head",
    why: "the bag would hang and stand crooked, and a twisted strap cannot be put right later",
    run,
};

/// What the eye forgives: 1 mm.
const EVEN: Length = Length::MM;

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut straps: Vec<(CopyId, Length)> = Vec::new();
    let mut boxed: Vec<(usize, Length)> = Vec::new();
    for (step, event) in &context.sewn.events {
        let place = Place::step(context.step_id(*step));
        match event {
            Event::Placed { what, onto, at, upside_down, feet, .. } => {
                let name = &context.pattern.copy(*what).name;
                let place = place.of_piece(name);
                // Half of a panel that is folded at the base, and one end of a strip that goes round the
                // bag, stand on their head until they are sewn. A flap that is held by one end may point
                // up over the rim.
                let (width, height) = context.sewn.lying_size(*what);
                let middle = Point::new(at.x + width.half(), at.y + height.half());
                let below = context.sewn.is_below_fold(*onto, middle)
                    || context.sewn.is_on_its_head(*onto, middle);
                if *upside_down != below && feet.is_empty() {
                    let message = format!("the {name} is put on upside down");
                    let cure = "turn it, so that its opening is at the top".to_owned();
                    findings.push(Finding::error(CHECK.name, place.clone(), message, cure));
                }
                findings.extend(feet_agree(context, &place, (*what, *onto), feet));
                let promised = context.pattern.claims.handles.iter().any(|it| it.strap == *what);
                if let [a, b] = feet.as_slice()
                    && promised
                {
                    straps.push((*what, a.at.distance(b.at)));
                }
            }
            Event::Boxed { corners, tip, depth, .. } => {
                boxed.push((*step, *depth));
                findings.extend(corners_agree(context, &place, corners, (*tip, *depth)));
            }
            _ => {}
        }
    }
    findings.extend(straps_agree(context, &straps));
    findings.extend(layers_agree(context, &boxed));
    findings
}

fn feet_agree(
    context: &Context<'_>,
    place: &Place,
    (strap, onto): (CopyId, CopyId),
    feet: &[Foot],
) -> Vec<Finding> {
    let [a, b] = feet else { return Vec::new() };
    let name = &context.pattern.copy(strap).name;
    let mut findings = Vec::new();
    let mut wrong = |message: String, cure: &str| {
        findings.push(Finding::error(CHECK.name, place.clone(), message, cure.to_owned()));
    };
    // The ends of a folded tab lie on each other, and one of them is turned over.
    let folded = a.at == b.at && a.edge != b.edge;
    if folded && a.face_up == b.face_up {
        wrong(
            format!("the {name} is folded over, and the same side of it is up at both ends"),
            "turn one end over",
        );
    }
    if !folded && a.face_up != b.face_up {
        wrong(
            format!("the {name} is twisted: its {} is up at one end and its {} at the other", a.face_up.words(), b.face_up.words()),
            "lay the loop flat and turn one end over",
        );
    }
    let middle = middle_between(context, onto, a.at, b.at);
    let apart = |point: Point| (point.x - middle).abs();
    if !folded && (apart(a.at) - apart(b.at)).abs() > EVEN {
        wrong(
            format!(
                "one leg of the {name} stands {} from the centre line, the other {}",
                context.show(apart(a.at)),
                context.show(apart(b.at))
            ),
            "set both equally far from the centre line",
        );
    }
    if (a.at.y - b.at.y).abs() > EVEN {
        wrong(
            format!("one end of the {name} is fastened {} higher than the other", context.show((a.at.y - b.at.y).abs())),
            "fasten both ends level",
        );
    }
    findings
}

/// The centre line between two feet: that of the panel, or the nearest that a notch marks on a panel
/// of which the front is a part.
fn middle_between(context: &Context<'_>, onto: CopyId, a: Point, b: Point) -> Length {
    let piece = context.pattern.piece_of(onto);
    let (low, high) = piece.net.bounds();
    let marked = piece.marks.iter().filter_map(|mark| match mark.shape {
        MarkShape::Notch { edge, along } if mark.label.starts_with("centre") => {
            Some(piece.net.point_along(edge, along).x)
        }
        _ => None,
    });
    let between = (a.x + b.x).half();
    let own = (low.x + high.x).half();
    marked.chain([own]).min_by_key(|x| (*x - between).abs()).unwrap_or(own)
}

/// Corners come in pairs, left and right; each is the corner of two panels; and the line is as
/// long as the step says.
fn corners_agree(
    context: &Context<'_>,
    place: &Place,
    corners: &[Vec<Corner>],
    (tip, depth): (Length, Length),
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut wrong = |place: Place, message: String, cure: String| {
        findings.push(Finding::error(CHECK.name, place, message, cure));
    };
    let mut copies: Vec<CopyId> = corners.iter().flatten().map(|corner| corner.copy).collect();
    copies.sort_unstable();
    copies.dedup();
    for copy in copies {
        let of_copy = corners.iter().flatten().filter(|corner| corner.copy == copy);
        let name = &context.pattern.copy(copy).name;
        let count =
            corners.iter().filter(|of_bag| of_bag.iter().any(|corner| corner.copy == copy)).count();
        if count % 2 == 1 {
            wrong(
                place.clone().of_piece(name),
                format!("{count} corner of the {name} is boxed, and the other is not"),
                "box both corners of its base".to_owned(),
            );
        }
        for corner in of_copy {
            let long = context.sewn.boxed_depth(corner, tip);
            if (long - depth).abs() > EVEN {
                wrong(
                    place.clone().of_piece(name),
                    format!(
                        "a line {} from the tip is {} long, and the step says {}",
                        context.show(tip),
                        context.show(long),
                        context.show(depth)
                    ),
                    format!("measure from the tip until the line is {} long", context.show(depth)),
                );
                break;
            }
        }
    }
    findings
}

fn straps_agree(context: &Context<'_>, straps: &[(CopyId, Length)]) -> Vec<Finding> {
    let Some((first, apart)) = straps.first() else { return Vec::new() };
    let length = |copy: CopyId| {
        let (width, height) = context.pattern.piece_of(copy).net_size();
        width.max(height)
    };
    let mut findings = Vec::new();
    for (other, theirs) in straps.iter().skip(1) {
        let names = [*first, *other].map(|copy| &context.pattern.copy(copy).name);
        let place = Place::piece(names[1]);
        if (*theirs - *apart).abs() > EVEN {
            let message = format!(
                "the legs of the {} stand {} apart, those of the {} {}",
                names[0],
                context.show(*apart),
                names[1],
                context.show(*theirs)
            );
            let cure = "set both pairs equally far apart".to_owned();
            findings.push(Finding::error(CHECK.name, place.clone(), message, cure));
        }
        if (length(*first) - length(*other)).abs() > EVEN {
            let message = format!(
                "the {} is {} long, the {} {}",
                names[0],
                context.show(length(*first)),
                names[1],
                context.show(length(*other))
            );
            findings.push(Finding::error(CHECK.name, place, message, "cut both alike".to_owned()));
        }
    }
    findings
}

/// Outside and lining are boxed to the same depth.
fn layers_agree(context: &Context<'_>, boxed: &[(usize, Length)]) -> Vec<Finding> {
    let Some((first, depth)) = boxed.first() else { return Vec::new() };
    boxed
        .iter()
        .skip(1)
        .filter(|(_, other)| (*other - *depth).abs() > Length::mm(3))
        .map(|(step, other)| {
            let message = format!(
                "these corners are boxed to a depth of {}, and those of {} to {}",
                context.show(*other),
                context.step_id(*first),
                context.show(*depth)
            );
            let cure = "box both layers to the same depth".to_owned();
            Finding::error(CHECK.name, Place::step(context.step_id(*step)), message, cure)
        })
        .collect()
}
