//! Runs that are joined have the same length along the stitching line, or a declared ease.

use measure::Length;

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::operations::Corner;
use crate::pattern::{Run, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "joined-edges-match",
    looks_for: "edges that are sewn together and differ in length along the stitching line",
    why: "the longer edge would be left over at the end, or be gathered in as a pucker",
    run,
};

/// Straight edges match exactly but for the rounding of sloped ones to whole nanometres; curved
/// ones are measured within 0.01 mm, and 0.1 mm cannot be seen at the machine.
const TOLERANCE: Length = Length::nm(100_000);

/// A difference of up to this share of a seam can be eased in (2 %), and no more; common practice,
/// no source.
const MOST_EASE: i64 = 50;

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = broken(context);
    findings.extend(across_zips(context));
    for (step, event) in &context.sewn.events {
        let Event::Joined { sides, ease, .. } = event else { continue };
        let [a, b] = [sides[0].length(), sides[1].length()];
        let place = Place::step(context.step_id(*step));
        if (a - b - *ease).abs() > TOLERANCE {
            let message = format!(
                "{} is {} long along the stitching line, and {} is {}",
                name(context, &sides[0]),
                context.show(a),
                name(context, &sides[1]),
                context.show(b)
            );
            let cure = format!(
                "change one by {}, or declare the difference as ease",
                context.show((a - b - *ease).abs())
            );
            let place = context.by_ease(context.at_run(place, &sides[0]), [&sides[0], &sides[1]]);
            findings.push(Finding::error(CHECK.name, place, message, cure));
        } else if ease.abs().times(MOST_EASE) > a.max(b) {
            let message = format!(
                "{} is meant to be {} {} than {}: more than a seam of {} eases in",
                name(context, &sides[1]),
                context.show(ease.abs()),
                if ease.is_positive() { "shorter" } else { "longer" },
                name(context, &sides[0]),
                context.show(a)
            );
            let most = context.show(a.max(b) / MOST_EASE);
            let cure = format!("cut it no more than {most} different");
            let place = context.by_ease(context.at_run(place, &sides[1]), [&sides[0], &sides[1]]);
            findings.push(Finding::error(CHECK.name, place, message, cure));
        } else if let Some(off) = askew(context, sides).filter(|off| *off > ease.abs() + SEAMS_OFF) {
            let message = format!(
                "the side seams do not meet: where one panel ends on {}, the other side goes on \
                 for {}",
                name(context, &sides[0]),
                context.show(off)
            );
            let cure = "begin at the same side seam on both".to_owned();
            let place = context.at_run(place, &sides[0]);
            findings.push(Finding::error(CHECK.name, place, message, cure));
        }
    }
    findings
}

/// Corners that are boxed across a zip: the stitches take as much of both panels, and of the zip
/// between them, as of the sides that are sewn to these.
fn across_zips(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Boxed { corners, tip, .. } = event else { continue };
        for corner in corners {
            let at_zip = |panel: &Corner| context.sewn.sewn.zips.get(&(panel.copy, panel.base));
            let Some(shows) = corner.first().and_then(at_zip) else { continue };
            let panels = corner.iter().map(|panel| panel.half_depth(context.pattern, *tip));
            let across = panels.sum::<Length>() + *shows;
            let sides = corner.iter().map(|_| *tip).sum::<Length>();
            if (across - sides).abs() <= TOLERANCE {
                continue;
            }
            let message = format!(
                "the line along which a corner is boxed takes {} of the top, of which the zip shows \
                 {}, and {} of the sides",
                context.show(across),
                context.show(*shows),
                context.show(sides)
            );
            let cure = format!(
                "draw the line {} from the seams of the zip and {} from the side seam",
                context.show(*tip - shows.half()),
                context.show(*tip)
            );
            let place = Place::step(context.step_id(*step));
            let name = corner.first().map(|panel| &context.pattern.copy(panel.copy).name);
            let place = name.map_or(place.clone(), |name| place.of_piece(name));
            findings.push(Finding::error(CHECK.name, place, message, cure));
            break;
        }
    }
    findings
}

/// Sides of seams that go from one panel to another which is not sewn to it there: the needle would
/// have to jump.
fn broken(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Joined { sides, .. } = event else { continue };
        for run in sides {
            for pair in run.spans.windows(2) {
                let [before, after] = pair else { continue };
                if meet(context, *step, before, after) {
                    continue;
                }
                let [a, b] =
                    [before, after].map(|span| context.pattern.copy(span.copy).name.as_str());
                let edges = [before, after].map(|span| context.edge_name(span.copy, span.edge));
                let message = format!(
                    "this seam goes on from the {} of the {a} to the {} of the {b}, and they do not \
                     hang together there",
                    edges[0], edges[1]
                );
                let cure = "sew the two together first, end to end".to_owned();
                let place = Place::step(context.step_id(*step)).of_piece(b).at_edge(edges[1]);
                findings.push(Finding::error(CHECK.name, place, message, cure));
            }
        }
    }
    findings
}

/// How far the ends of two stitching lines may lie apart where they meet (common practice, no
/// source).
const MEET: Length = Length::mm(2);

/// Whether the end of one stretch is, before a step, the beginning of the other: on one panel the
/// same point; else through the seams that have been sewn.
fn meet(context: &Context<'_>, step: usize, before: &Span, after: &Span) -> bool {
    let net = |copy| &context.pattern.piece_of(copy).net;
    let start = (before.copy, net(before.copy).point_along(before.edge, before.to));
    let end = (after.copy, net(after.copy).point_along(after.edge, after.from));
    let mut reached = vec![start];
    let mut next = 0;
    while let Some((copy, point)) = reached.get(next).copied() {
        next += 1;
        if copy == end.0 && point.distance(end.1) <= MEET {
            return true;
        }
        for glue in context.sewn.glues.iter().filter(|glue| glue.step < step) {
            for (own, other) in [(&glue.a, &glue.b), (&glue.b, &glue.a)] {
                if own.copy != copy {
                    continue;
                }
                for (here, there) in [(own.from, other.from), (own.to, other.to)] {
                    let at = net(own.copy).point_along(own.edge, here);
                    let to = (other.copy, net(other.copy).point_along(other.edge, there));
                    if at.distance(point) <= MEET && !reached.contains(&to) {
                        reached.push(to);
                    }
                }
            }
        }
    }
    false
}

/// Seams that meet may be so far apart (common practice, no source).
const SEAMS_OFF: Length = Length::mm(4);

/// How far the seams of two rims of as many panels lie from each other, at worst.
fn askew(context: &Context<'_>, sides: &[Run; 2]) -> Option<Length> {
    let [a, b] = sides;
    if !a.closed || !b.closed {
        return None;
    }
    let (ends_a, ends_b) = (panel_ends(context, a), panel_ends(context, b));
    let around = a.length();
    if ends_a.len() != ends_b.len() {
        return None;
    }
    // One seam each: to let them lie opposite each other keeps the place thin, and is on purpose.
    if let ([a], [b]) = (&ends_a[..], &ends_b[..]) {
        let apart = (*a - *b).abs();
        let apart = apart.min((around - apart).abs());
        return Some(apart.min((around.half() - apart).abs()));
    }
    let off = |at: &Length| {
        let apart = ends_b.iter().map(|other| {
            let apart = (*at - *other).abs();
            apart.min((around - apart).abs())
        });
        apart.min().unwrap_or(Length::ZERO)
    };
    ends_a.iter().map(off).max()
}

/// Where a closed run goes over from one edge to another that does not begin where it ends: to the
/// next panel, or to the other end of the same one. As distances from its start.
fn panel_ends(context: &Context<'_>, run: &Run) -> Vec<Length> {
    let mut ends = Vec::new();
    let mut at = Length::ZERO;
    for (index, span) in run.spans.iter().enumerate() {
        let before = &run.spans[(index + run.spans.len() - 1) % run.spans.len()];
        let net = &context.pattern.piece_of(span.copy).net;
        let goes_on = before.copy == span.copy
            && net.point_along(before.edge, before.to).distance(net.point_along(span.edge, span.from))
                <= TOLERANCE;
        if !goes_on {
            ends.push(at);
        }
        at += span.length();
    }
    ends
}

/// "the rim of the front panel", or the first of several edges and how many there are.
fn name(context: &Context<'_>, run: &Run) -> String {
    let Some(first) = run.spans.first() else { return "nothing".to_owned() };
    let edge = &context.pattern.piece_of(first.copy).edges[first.edge].name;
    let copies: Vec<String> = run
        .copies()
        .iter()
        .map(|copy| format!("the {}", context.pattern.copy(*copy).name))
        .collect();
    format!("the {edge} of {}", crate::operations::listed(&copies))
}
