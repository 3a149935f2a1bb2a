//! Binding strips are as long and as wide as what they bind needs.

use measure::Length;

use super::{Check, Context};
use crate::finding::{Finding, Place};
use crate::operations::{Bind, BoxCorner, CutBias, EdgeFinish, FinishEdges};
use crate::pattern::Run;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "binding-suffices",
    looks_for: "a binding strip that is shorter than the edges it binds, or not four times as wide",
    why: "the binding runs out within a seam, or does not reach around the edge",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for id in context.pattern.piece_ids() {
        let piece = context.pattern.piece(id);
        let Some((place, needed, width)) = needed(context, &piece.id) else { continue };
        let (a, b) = piece.net_size();
        let strips = i64::try_from(context.pattern.count(id)).unwrap_or(1);
        let (cut, long) = match CutBias::of_piece(context.pattern, &piece.id) {
            Some((_, cut)) => (cut.strip, cut.long),
            None => (a.min(b), a.max(b) * strips),
        };
        let place = place.of_piece(&piece.name);
        if long < needed {
            let message = format!(
                "the {} is {} long, and the edges that it binds are {}",
                piece.name,
                context.show(long),
                context.show(needed)
            );
            let cure = format!("cut {} more of it", context.show(needed - long));
            findings.push(Finding::error(CHECK.name, place.clone(), message, cure));
        }
        if (cut - width * 4).abs() > Length::MM {
            let message = format!(
                "the {} is cut {} wide, and a binding {} wide needs {}",
                piece.name,
                context.show(cut),
                context.show(width),
                context.show(width * 4)
            );
            let cure = format!("cut it {} wide", context.show(width * 4));
            findings.push(Finding::error(CHECK.name, place, message, cure));
        }
    }
    findings
}

/// The first step that binds with a piece, how long all of them are together, and how wide the
/// binding finishes. Two edges that are bound together are as long as one of them; corners that are
/// boxed and bound need their own length besides.
fn needed(context: &Context<'_>, piece: &str) -> Option<(Place, Length, Length)> {
    let mut found: Option<(Place, Length, Length)> = None;
    let mut finishes = false;
    for step in &context.pattern.steps {
        let Some(finish) = step.as_a::<FinishEdges>() else { continue };
        let EdgeFinish::Bound(width) = finish.how else { continue };
        if finish.bound_with.as_deref() != Some(piece) {
            continue;
        }
        finishes = true;
        let edges: Length = finish.runs.iter().map(Run::length).sum();
        let long = if finish.together { edges.half() } else { edges };
        let (_, sum, _) =
            found.get_or_insert_with(|| (Place::step(&step.id), Length::ZERO, width));
        *sum += long;
    }
    for step in &context.pattern.steps {
        let Some(bind) = step.as_a::<Bind>() else { continue };
        if bind.bound_with == piece {
            let place = Place::step(&step.id);
            let (_, sum, _) = found.get_or_insert((place, Length::ZERO, bind.width));
            *sum += bind.run.length();
        }
    }
    if !finishes {
        return found;
    }
    let corners = context.pattern.steps.iter().filter_map(|step| {
        step.as_a::<BoxCorner>()
    });
    let bound = |boxing: &&BoxCorner| matches!(boxing.finish, Some(EdgeFinish::Bound(_)));
    let boxed: Length = corners
        .filter(bound)
        .map(|boxing| boxing.depth * i64::try_from(boxing.corners.len()).unwrap_or(0))
        .sum();
    found.map(|(place, sum, width)| (place, sum + boxed, width))
}
