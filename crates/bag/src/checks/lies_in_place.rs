//! What is placed lies within its panel, reaches the edges that are to hold it, and where it is
//! promised, on the face that it is promised on.

use measure::{Length, Point};

use super::{Check, Context};
use crate::assembly::{Event, Rider};
use crate::finding::{Finding, Place};
use crate::operations::{FaceSide, FastenEnd, Foot, JoinOverZip};
use crate::pattern::{CopyId, PocketClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "lies-in-place",
    looks_for: "pockets and straps that hang over their panel, do not reach the edge that should \
                hold them, or lie elsewhere than promised",
    why: "a seam cannot catch what does not reach it, and a pocket off its place is seen at once",
    run,
};

/// What the eye forgives: 1 mm.
const EVEN: Length = Length::MM;
/// How far apart the two edges along a zip may lie: half of its two tapes (common practice, no
/// source).
const ZIP: Length = Length::mm(16);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Placed { what, onto, at, feet, ground, .. } = event else { continue };
        let name = &context.pattern.copy(*what).name;
        let place = Place::step(context.step_id(*step)).of_piece(name);
        if feet.is_empty() {
            findings.extend(beyond(context, &place, (*what, *onto), *at, *step));
        } else {
            findings.extend(feet_beyond(context, &place, (*what, *onto), feet));
        }
        // Of something that is laid on by one end and then by the other, what is laid now.
        let lying =
            |rider: &&Rider| rider.what == *what && rider.onto == *onto && rider.at == *at;
        if let Some(rider) = context.sewn.riders.iter().find(lying) {
            findings.extend(level(context, &place, rider, feet));
        }
        let claims = context.pattern.claims.pockets.iter();
        for claim in claims.filter(|claim| claim.copy == *what) {
            findings.extend(promised(context, &place, claim, (*onto, *at)));
            findings.extend(on_face(context, &place, claim, *onto, *ground));
        }
    }
    findings.extend(layers_level(context));
    findings.extend(unplaced(context));
    findings
}

/// A pocket and its lining, joined along one edge and lying on each other, have that edge in the
/// same place: neither is higher than the other.
fn layers_level(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for glue in &context.sewn.glues {
        let lying = |copy| context.sewn.riders.iter().find(|rider| rider.what == copy);
        let (Some(a), Some(b)) = (lying(glue.a.copy), lying(glue.b.copy)) else { continue };
        // A leaf that is set into the rim by its raw end lies where that end is.
        let by_its_end = context.straps().any(|strap| strap == a.what || strap == b.what);
        if a.onto != b.onto || by_its_end {
            continue;
        }
        let middle = |rider, edge| match edge_on_host(context, rider, edge).as_slice() {
            [start, end] => Some(start.middle(*end)),
            _ => None,
        };
        let (Some(one), Some(other)) = (middle(a, glue.a.edge), middle(b, glue.b.edge)) else {
            continue;
        };
        let off = one.distance(other);
        // Between two edges that are sewn to a zip, its teeth and a strip of tape show.
        let most = if glue.zip { ZIP } else { EVEN };
        if off > most {
            let [what, with] = [a.what, b.what].map(|copy| &context.pattern.copy(copy).name);
            let message = format!(
                "the {what} and the {with} are joined, and lie {} apart there: one is longer",
                context.show(off)
            );
            let place = Place::step(context.step_id(glue.step)).of_piece(with);
            findings.push(error(&place, message, "cut both equally high".to_owned()));
        }
    }
    findings
}

fn error(place: &Place, message: String, cure: String) -> Finding {
    Finding::error(CHECK.name, place.clone(), message, cure)
}

/// Whether another panel goes on beyond a host's edge, sewn on before this step.
fn goes_on(context: &Context<'_>, host: CopyId, step: usize) -> bool {
    context.sewn.glues.iter().any(|glue| {
        glue.step < step && (glue.a.copy == host || glue.b.copy == host)
    })
}

/// How far a thing hangs over the sides of its panel; upwards and downwards it may go on to the
/// next panel of the same side of the bag.
fn beyond(
    context: &Context<'_>,
    place: &Place,
    (what, onto): (CopyId, CopyId),
    at: Point,
    step: usize,
) -> Option<Finding> {
    let (low, high) = context.pattern.piece_of(onto).net.bounds();
    let (width, height) = context.sewn.lying_size(what);
    let across = (low.x - at.x).max(at.x + width - high.x);
    let up = (low.y - at.y).max(at.y + height - high.y);
    // A pocket that goes on above its panel may be wider there, as the bag is.
    let over = match (goes_on(context, onto, step), at.y + height > high.y + EVEN) {
        (true, true) => Length::ZERO,
        (true, false) => across,
        (false, _) => across.max(up),
    };
    (over > EVEN).then(|| {
        let [name, on] = [what, onto].map(|copy| &context.pattern.copy(copy).name);
        let message = format!("the {name} hangs {} over the edge of the {on}", context.show(over));
        error(place, message, format!("move it by {}, or make it smaller", context.show(over)))
    })
}

fn feet_beyond(
    context: &Context<'_>,
    place: &Place,
    (what, onto): (CopyId, CopyId),
    feet: &[Foot],
) -> Option<Finding> {
    let (low, high) = context.pattern.piece_of(onto).net.bounds();
    let out = |p: Point| {
        p.x < low.x - EVEN || p.x > high.x + EVEN || p.y < low.y - EVEN || p.y > high.y + EVEN
    };
    feet.iter().any(|foot| out(foot.at)).then(|| {
        let [name, on] = [what, onto].map(|copy| &context.pattern.copy(copy).name);
        let message = format!("an end of the {name} lies beside the {on}");
        error(place, message, "set it on the panel".to_owned())
    })
}

/// The edges of a thing that are to be caught with edges of its panel lie on them.
fn level(context: &Context<'_>, place: &Place, rider: &Rider, feet: &[Foot]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (own, host) in &rider.level {
        let points = match feet.iter().find(|foot| foot.edge == *own) {
            Some(foot) => vec![foot.at],
            None => edge_on_host(context, rider, *own),
        };
        let piece = context.pattern.piece_of(rider.onto);
        if *host >= piece.net.edge_count() {
            continue;
        }
        let edge = piece.net.edge(*host);
        let (a, b) = (edge.start(), edge.end());
        // Of a curve the nearest place counts; a straight edge may go on over another panel.
        let curved = piece.net.edge_length(*host) > a.distance(b) + EVEN;
        let off = |point: &Point| {
            if curved { edge.distance_from(*point) } else { off_line(*point, a, b) }
        };
        let off = points.iter().map(off).max().unwrap_or(Length::ZERO);
        if off > EVEN {
            let [what, on] = [rider.what, rider.onto].map(|it| &context.pattern.copy(it).name);
            let (own, host) =
                (context.edge_name(rider.what, *own), context.edge_name(rider.onto, *host));
            let message = format!(
                "the {own} of the {what} lies {} from the {host} of the {on}, which is to hold it",
                context.show(off)
            );
            let cure = format!("lay or cut it {} farther out or in", context.show(off));
            findings.push(error(&place.clone().at_edge(own), message, cure));
        }
    }
    findings
}

/// Both ends of an edge of what lies on a panel, in the panel's coordinates.
fn edge_on_host(context: &Context<'_>, rider: &Rider, edge: usize) -> Vec<Point> {
    let net = &context.pattern.piece_of(rider.what).net;
    if edge >= net.edge_count() {
        return Vec::new();
    }
    let there = |point: Point| context.sewn.lying_point(rider, point);
    vec![there(net.edge(edge).start()), there(net.edge(edge).end())]
}

/// Distance of a point from the line through two others.
pub(super) fn off_line(point: Point, a: Point, b: Point) -> Length {
    let (dx, dy) = ((b.x - a.x).to_mm(), (b.y - a.y).to_mm());
    let long = (dx * dx + dy * dy).sqrt();
    if long == 0.0 {
        return point.distance(a);
    }
    let cross = dx * (point.y - a.y).to_mm() - dy * (point.x - a.x).to_mm();
    Length::from_mm_f64((cross / long).abs())
}

/// Size and place as the pattern promises them.
fn promised(
    context: &Context<'_>,
    place: &Place,
    claim: &PocketClaim,
    (onto, at): (CopyId, Point),
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let piece = context.pattern.piece_of(claim.copy);
    let size = context.sewn.lying_size(claim.copy);
    let differs = |a: Length, b: Length| (a - b).abs() > EVEN;
    // Of a pocket that tapers, the width at its top is promised.
    let top = (0..piece.net.edge_count()).max_by_key(|edge| {
        let edge = piece.net.edge(*edge);
        edge.start().y + edge.end().y
    });
    let taken_in = size.0 != piece.net_size().0;
    let wide = top.filter(|_| !taken_in).map_or(size.0, |edge| piece.net.edge_length(edge));
    if differs(wide, claim.size.0) || differs(size.1, claim.size.1) {
        let system = context.pattern.units.system();
        let message = format!(
            "the {} is promised {}, and its pieces give {}",
            claim.name,
            measure::show_size(claim.size.0, claim.size.1, system),
            measure::show_size(wide, size.1, system)
        );
        findings.push(error(place, message, "change the piece, or the promise".to_owned()));
    }
    if let Some(edge) = top.map(|edge| piece.net.edge(edge))
        && differs(edge.start().y, edge.end().y)
    {
        let message = format!("the top edge of the {} is not level", claim.name);
        findings.push(error(place, message, "cut both of its sides equally high".to_owned()));
    }
    let off = at.distance(claim.at);
    if onto != claim.on || off > EVEN {
        let message = if onto == claim.on {
            format!("the {} lies {} from where it is promised", claim.name, context.show(off))
        } else {
            let on = [onto, claim.on].map(|copy| &context.pattern.copy(copy).name);
            format!("the {} lies on the {}, and is promised on the {}", claim.name, on[0], on[1])
        };
        findings.push(error(place, message, "lay it where it is promised".to_owned()));
    }
    findings
}

/// A pocket on the outside shows on the right side; one inside an unlined bag on the wrong side,
/// one on a lining on its right side.
fn on_face(
    context: &Context<'_>,
    place: &Place,
    claim: &PocketClaim,
    onto: CopyId,
    ground: FaceSide,
) -> Option<Finding> {
    let layers = context.sewn.events.iter().find_map(|(_, event)| match event {
        Event::DroppedIn { copies, .. } => Some(copies),
        _ => None,
    });
    let outside = &context.pattern.claims.width_gauge;
    let on_lining = layers.is_some_and(|layers| {
        layers.iter().any(|layer| {
            let shell = outside.lowest().is_some_and(|copy| layer.contains(&copy));
            layer.contains(&onto) && !shell
        })
    });
    // A lining that is sewn on over a zip never lies in the other.
    let over_zip = context.pattern.steps.iter().any(|step| {
        step.as_a::<JoinOverZip>().is_some_and(|join| {
            join.seams.iter().any(|[outside, lining]| {
                // Or what hangs from its facing.
                let of_lining = |copy: CopyId| lining.copies().contains(&copy);
                let joined = context.sewn.glues.iter().any(|glue| {
                    glue.a.copy == onto && of_lining(glue.b.copy)
                        || glue.b.copy == onto && of_lining(glue.a.copy)
                });
                of_lining(onto) || joined && !outside.copies().contains(&onto)
            })
        })
    });
    let on_lining = on_lining || over_zip;
    let wanted = if claim.inside && !on_lining { FaceSide::Wrong } else { FaceSide::Right };
    (ground != wanted).then(|| {
        let on = &context.pattern.copy(onto).name;
        let message = format!(
            "the {} is put on the {} of the {on}, and belongs on its {}",
            claim.name,
            ground.words(),
            wanted.words()
        );
        error(place, message, "turn the panel over".to_owned())
    })
}

/// Whether an end of a strap is knotted behind an eyelet, or folded over a ring.
fn fastens(context: &Context<'_>, strap: CopyId) -> bool {
    context.pattern.steps.iter().any(|step| {
        step
            .as_a::<FastenEnd>()
            .is_some_and(|fasten| fasten.ends.iter().any(|(it, _)| *it == strap))
    })
}

/// What is promised and never placed.
fn unplaced(context: &Context<'_>) -> Vec<Finding> {
    let placed = |copy: CopyId| {
        context
            .sewn
            .events
            .iter()
            .any(|(_, event)| matches!(event, Event::Placed { what, .. } if *what == copy))
    };
    let claims = &context.pattern.claims;
    let pockets = claims.pockets.iter().map(|pocket| (&pocket.name, pocket.copy));
    let handles = claims.handles.iter().flat_map(|handle| {
        let hung = fastens(context, handle.strap) && handle.fastened.is_empty();
        let holders = if hung { Vec::new() } else { handle.holders() };
        holders.into_iter().map(|copy| (&handle.name, copy))
    });
    pockets
        .chain(handles)
        .filter(|(_, copy)| !placed(*copy))
        .map(|(name, copy)| {
            let place = Place::piece(&context.pattern.copy(copy).name);
            let message = format!("the {name} is promised, and no step puts it on");
            error(&place, message, "place it while its panel lies flat".to_owned())
        })
        .collect()
}
