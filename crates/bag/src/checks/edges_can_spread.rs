//! An edge that is sewn round a corner or a curve of another piece was clipped before, so that its
//! allowance can spread.

use measure::{Length, Outline};

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::operations::{Spot, listed};
use crate::pattern::{Run, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "edges-can-spread",
    looks_for: "a straight edge sewn round a corner or a curve without clips in its allowance",
    why: "an allowance that cannot spread pulls the seam off its line and puckers it, and a corner \
          cannot be turned at all",
    run,
};

/// A bend of less than this, from one end of an edge to the other, is nothing to a bias-cut eye:
/// 20° (common practice, no source).
pub(super) const BEND: f64 = 20.0;

/// A clip so near a corner serves it: 3 mm (common practice, no source).
const NEAR: Length = Length::mm(3);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let (mut spots, mut rows): (Vec<Spot>, Vec<Span>) = (Vec::new(), Vec::new());
    let mut findings = Vec::new();
    for (step, event) in &context.sewn.events {
        match event {
            Event::Clipped { corners, curves } => {
                spots.extend(corners);
                rows.extend(curves.iter().flat_map(|run| run.spans.iter().copied()));
            }
            Event::Joined { sides: [a, b], .. } => {
                let place = Place::step(context.step_id(*step));
                for (bent, other) in [(a, b), (b, a)] {
                    let unclipped = unclipped(context, (bent, other), (&spots, &rows));
                    if let Some((span, at)) = unclipped {
                        findings.push(told(context, &place, (bent, other), span, at));
                    }
                }
            }
            _ => {}
        }
    }
    findings
}

fn told(
    context: &Context<'_>,
    place: &Place,
    (bent, other): (&Run, &Run),
    span: Span,
    at: Length,
) -> Finding {
    let names = |run: &Run| {
        let names: Vec<String> = run
            .copies()
            .iter()
            .map(|copy| format!("the {}", context.pattern.copy(*copy).name))
            .collect();
        listed(&names)
    };
    let message = format!(
        "{} is sewn round a bend of {} and has no clip there, {} along its {}",
        names(other),
        names(bent),
        context.show(at),
        context.edge_name(span.copy, span.edge)
    );
    let place = context.at_run(place.clone(), other);
    Finding::error(CHECK.name, place, message, "clip its allowance there before this seam".to_owned())
}

/// The first place on the other side of a seam, by span and distance along its edge, that is sewn
/// round a bend which it does not have itself, and is not clipped.
fn unclipped(
    context: &Context<'_>,
    (bent, other): (&Run, &Run),
    (spots, rows): (&[Spot], &[Span]),
) -> Option<(Span, Length)> {
    let (long, total) = (bent.length(), other.length());
    if !long.is_positive() {
        return None;
    }
    let own = bends(context, other);
    for (from, to, degrees) in bends(context, bent) {
        let scale = total.to_mm() / long.to_mm();
        let there = |at: Length| Length::from_mm_f64(at.to_mm() * scale);
        let (from, to) = (there(from), there(to));
        // The other side bends the same way round, seen from its own inside, when it mirrors this.
        let alike = own
            .iter()
            .any(|(a, b, turn)| *a <= to + NEAR && from <= *b + NEAR && (turn - degrees).abs() < BEND);
        if alike {
            continue;
        }
        let middle = (from + to).half();
        let Some((span, at)) = point_on(other, middle) else { continue };
        let on = |copy, edge| (copy, edge) == (span.copy, span.edge);
        let cut = |spot: &Spot| on(spot.copy, spot.edge) && (spot.at - at).abs() <= NEAR;
        let row = |row: &Span| {
            let (low, high) = row.ordered();
            on(row.copy, row.edge) && low - NEAR <= at && at <= high + NEAR
        };
        // A seam of another panel may end just there: two edges spread by themselves.
        let ends = at <= NEAR || other_end(context, span) - at <= NEAR;
        if !ends && !spots.iter().any(cut) && !rows.iter().any(row) {
            return Some((span, at));
        }
    }
    None
}

fn other_end(context: &Context<'_>, span: Span) -> Length {
    context.pattern.piece_of(span.copy).net.edge_length(span.edge)
}

/// Where a run bends outwards, and by how many degrees: from and to along it. Corners between
/// edges, and edges that are curved.
fn bends(context: &Context<'_>, run: &Run) -> Vec<(Length, Length, f64)> {
    let mut found = Vec::new();
    let mut at = Length::ZERO;
    let count = run.spans.len();
    for (index, span) in run.spans.iter().enumerate() {
        let net = &context.pattern.piece_of(span.copy).net;
        if span.edge >= net.edge_count() {
            return Vec::new();
        }
        let turn = curve_of(net, *span);
        let end = at + span.length();
        if turn > BEND {
            found.push((at, end, turn));
        }
        at = end;
        let next = if index + 1 < count {
            run.spans.get(index + 1)
        } else {
            run.spans.first().filter(|_| run.closed)
        };
        if let Some(turn) = next.and_then(|next| corner_of(net, *span, *next))
            && turn > BEND
        {
            found.push((at, at, turn));
        }
    }
    found
}

/// By how many degrees a span bends outwards from its start to its end.
pub(super) fn curve_of(net: &Outline, span: Span) -> f64 {
    let edge = net.edge(span.edge);
    if edge.is_straight() {
        return 0.0;
    }
    let (low, high) = span.ordered();
    let steps = 16;
    let direction = |step: i64| edge.direction_along(low + (high - low) * step / steps);
    (0..steps)
        .map(|step| {
            let (a, b) = (direction(step), direction(step + 1));
            libm::atan2(a.cross(b), a.dot(b)).to_degrees()
        })
        .sum()
}

/// By how many degrees the outline turns from one span of a run to the next, if they meet at a
/// corner of one piece.
fn corner_of(net: &Outline, span: Span, next: Span) -> Option<f64> {
    if span.copy != next.copy || span.edge == next.edge {
        return None;
    }
    let count = net.edge_count();
    let vertex = if (span.edge + 1) % count == next.edge {
        next.edge
    } else if (next.edge + 1) % count == span.edge {
        span.edge
    } else {
        return None;
    };
    Some(180.0 - net.interior_angle(vertex).to_degrees())
}

/// The span of a run at a distance, and how far along its edge that is.
fn point_on(run: &Run, distance: Length) -> Option<(Span, Length)> {
    let mut before = Length::ZERO;
    for span in &run.spans {
        let end = before + span.length();
        if distance <= end {
            let into = distance - before;
            let at = if span.from <= span.to { span.from + into } else { span.from - into };
            return Some((*span, at));
        }
        before = end;
    }
    None
}
