//! Layers at the thickest crossing, against what a domestic machine takes.

use measure::Length;

use super::{Check, Context};
use crate::assembly::{Assembly, Event};
use crate::finding::{Finding, Place};
use crate::pattern::{CopyId, InterfacingCut, Run, Span};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "thick-places",
    looks_for: "seams with more layers than a domestic machine sews easily",
    why: "the presser foot tilts, stitches are skipped and needles break",
    run,
};

/// What fits under the presser foot of a domestic machine (from memory: 5 to 7 mm).
const UNDER_THE_FOOT: Length = Length::mm(6);
/// From here on, one slows down and takes a thicker needle (common practice, no source).
const MANY: usize = 9;
/// Beyond this a domestic machine is not the tool (common practice, no source).
const TOO_MANY: usize = 18;

/// A pile of fabric: how many layers, and how thick if every one of them was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Pile {
    layers: usize,
    known: Option<Length>,
}

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let seams: Vec<(usize, &[Run; 2])> = context
        .sewn
        .events
        .iter()
        .filter_map(|(step, event)| match event {
            Event::Joined { sides, .. } => Some((*step, sides)),
            _ => None,
        })
        .collect();
    // What lies at a seam is what lies there before it is sewn.
    Assembly::sew_seeing(context.pattern, |now, before| {
        for (_, sides) in seams.iter().filter(|(step, _)| *step == now) {
            let thickest = sides.iter().map(|side| {
                let piles = side.spans.iter().map(|span| side_of_seam(before, span));
                piles.max_by_key(|pile| pile.layers)
            });
            let pile = thickest.flatten().fold(Pile { layers: 0, known: Some(Length::ZERO) }, add);
            findings.extend(judge(context, now, pile));
        }
    });
    findings
}

fn add(a: Pile, b: Pile) -> Pile {
    let known = a.known.zip(b.known).map(|(a, b)| a + b);
    Pile { layers: a.layers + b.layers, known }
}

/// The layers on one side of a seam: the host with its interfacing, and the thickest of the
/// riders that are caught there, on top of those that are caught all along.
fn side_of_seam(work: &Assembly<'_>, span: &Span) -> Pile {
    let mut pile = layers(work, span.copy, span.edge);
    for rider in work.riders.iter().filter(|rider| rider.onto == span.copy) {
        if rider.level.iter().any(|(_, host)| *host == span.edge) {
            pile = add(pile, layers(work, rider.what, usize::MAX));
        }
    }
    pile
}

/// The layers of one copy: four for a folded strip, one for others, with what stiffens it. An
/// interfacing without allowance ends before the seam.
fn layers(work: &Assembly<'_>, copy: CopyId, edge: usize) -> Pile {
    let piece = work.pattern.piece_of(copy);
    let folded = piece.marks.iter().any(|m| matches!(m.shape, crate::pattern::MarkShape::Fold(..)));
    let times = if folded { 4 } else { 1 };
    let thick = |id| {
        let material = work.pattern.material(id);
        material.cloth().and_then(|cloth| cloth.thickness)
    };
    let mut pile = Pile { layers: times, known: thick(piece.material).map(|t| t * 4.min(i64::try_from(times).unwrap_or(1))) };
    let free_of_seam = edge != usize::MAX;
    if let Some(on) = piece.interfacing
        && !(free_of_seam && on.cut == InterfacingCut::Net)
    {
        let known = thick(on.material).map(|t| t * i64::try_from(times).unwrap_or(1));
        pile = add(pile, Pile { layers: times, known });
    }
    pile
}

fn judge(context: &Context<'_>, step: usize, pile: Pile) -> Option<Finding> {
    let place = Place::step(context.step_id(step));
    if let Some(thick) = pile.known.filter(|thick| *thick > UNDER_THE_FOOT) {
        let message = format!(
            "{} layers, about {:.1} mm, meet here; under a domestic presser foot go about {} mm \
             (an estimate)",
            pile.layers,
            thick.to_mm(),
            UNDER_THE_FOOT.to_mm()
        );
        let cure = "trim interfacing out of the allowance, grade the layers, or sew it by the hand \
                    wheel with a needle 100/16 to 110/18";
        return Some(Finding::warning(CHECK.name, place, message, cure.to_owned()));
    }
    if pile.layers < MANY {
        return None;
    }
    let message = format!("{} layers meet at the thickest place of this seam", pile.layers);
    let cure = "take a needle 100/16, flatten the place with a hammer or a clapper, level the \
                foot with a folded scrap behind it, and turn the hand wheel";
    Some(if pile.layers > TOO_MANY {
        Finding::warning(CHECK.name, place, message, cure.to_owned())
    } else {
        Finding::note(CHECK.name, place, message, cure.to_owned())
    })
}
