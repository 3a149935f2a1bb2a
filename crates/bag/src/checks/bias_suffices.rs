//! Bias strips come from squares that are large enough, in time, as wide as what they cover needs;
//! and what goes round a curve is cut on the bias.

use measure::Length;

use super::edges_can_spread::{BEND, curve_of};
use super::{Check, Context};
use crate::draft::strip_from;
use crate::finding::{Finding, Place};
use crate::operations::{Bind, CoverCord, CutBias, FinishEdges, Pipe};
use crate::pattern::{CopyId, Run};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "bias-suffices",
    looks_for: "a square that is too small for its bias strip, a bias strip too narrow or too short for \
                its cord, one that is cut too late or not at all, and a straight strip round a curve",
    why: "the strip runs out within the seam, does not reach round the cord, or puckers where it bends",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, step) in context.pattern.steps.iter().enumerate() {
        let place = Place::step(&step.id);
        if let Some(cut) = step.as_a::<CutBias>() {
            findings.extend(square_suffices(context, place, cut));
        } else if let Some(cover) = step.as_a::<CoverCord>() {
            findings.extend(covers(context, (at, place), cover));
        } else if let Some(finish) = step.as_a::<FinishEdges>() {
            if let Some(strip) = &finish.bound_with {
                findings.extend(bends(context, (at, place), (strip, &finish.runs)));
            }
        } else if let Some(bind) = step.as_a::<Bind>() {
            let runs = std::slice::from_ref(&bind.run);
            findings.extend(bends(context, (at, place), (&bind.bound_with, runs)));
        }
    }
    findings
}

fn square_suffices(context: &Context<'_>, place: Place, cut: &CutBias) -> Option<Finding> {
    let system = context.pattern.units.system();
    let of = |copy: &CopyId| {
        strip_from(context.pattern.piece_of(*copy).net_size(), cut.strip, system)
    };
    let given: Length = cut.squares.iter().map(of).sum();
    let first = cut.squares.first()?;
    (given < cut.long).then(|| {
        let name = &context.pattern.copy(*first).name;
        let message = format!(
            "the {name} gives about {} of bias strip {} wide, and {} are needed",
            context.show(given),
            context.show(cut.strip),
            context.show(cut.long)
        );
        let cure = "cut it larger, or cut another one".to_owned();
        Finding::error(CHECK.name, place.of_piece(name), message, cure)
    })
}

/// The strip round a cord: cut before, as wide as its circumference with an allowance on either
/// side, and as long as what is piped.
fn covers(context: &Context<'_>, (at, place): (usize, Place), cover: &CoverCord) -> Vec<Finding> {
    let piece = context.pattern.pieces.iter().find(|piece| piece.id == cover.from);
    let name = piece.map_or("strip", |piece| piece.name.as_str());
    let place = place.of_piece(name);
    let Some((_, cut)) =
        CutBias::of_piece(context.pattern, &cover.from).filter(|(cut, _)| *cut < at)
    else {
        let message = format!("no step before this one cuts the {name} into bias strips");
        let cure = "cut the bias strip first".to_owned();
        return vec![Finding::error(CHECK.name, place, message, cure)];
    };
    let mut findings = Vec::new();
    let cords = cover.cords.iter().map(|cord| context.pattern.piece_of(*cord).net_size());
    let thick = cords.map(|(thick, _)| thick).max().unwrap_or(Length::ZERO);
    let needed =
        Length::from_mm_f64(thick.to_mm() * core::f64::consts::PI) + cover.allowance * 2;
    // A whole millimetre less is what a ruler does not show.
    if cut.strip + Length::MM < needed {
        let message = format!(
            "the bias strip is {} wide; round a cord {} thick, with an allowance of {} on either \
             side, it needs {}",
            context.show(cut.strip),
            context.show(thick),
            context.show(cover.allowance),
            context.show(needed)
        );
        let cure = format!("cut it {} wide", context.show(needed));
        findings.push(Finding::error(CHECK.name, place.clone(), message, cure));
    }
    let pipes = context.pattern.steps.iter().filter_map(|step| step.as_a::<Pipe>());
    let piped: Length = pipes
        .filter(|pipe| cover.cords.contains(&pipe.cord))
        .map(|pipe| pipe.along.length())
        .sum();
    if cut.long < piped {
        let message = format!(
            "the bias strip is joined to {}, and the edges that are piped with it are {}",
            context.show(cut.long),
            context.show(piped)
        );
        let cure = format!("join it to {} or more", context.show(piped));
        findings.push(Finding::error(CHECK.name, place, message, cure));
    }
    findings
}

/// What goes round a curve is cut on the bias, and before.
fn bends(
    context: &Context<'_>,
    (at, place): (usize, Place),
    (strip, runs): (&str, &[Run]),
) -> Option<Finding> {
    let piece = context.pattern.pieces.iter().find(|piece| piece.id == *strip)?;
    let place = place.of_piece(&piece.name);
    if let Some((cut, _)) = CutBias::of_piece(context.pattern, strip) {
        return (cut > at).then(|| {
            let message = format!("the {} is cut into bias strips only after this", piece.name);
            Finding::error(CHECK.name, place, message, "cut the bias strip first".to_owned())
        });
    }
    let spans = runs.iter().flat_map(|run| &run.spans);
    let curved = spans.into_iter().find(|span| {
        let net = &context.pattern.piece_of(span.copy).net;
        span.edge < net.edge_count() && curve_of(net, **span).abs() > BEND
    })?;
    let message = format!(
        "the {} is cut on the straight grain and goes round the curve of the {} of the {}: it will \
         not lie flat there",
        piece.name,
        context.edge_name(curved.copy, curved.edge),
        context.pattern.copy(curved.copy).name
    );
    let cure = "cut it on the bias, from a square".to_owned();
    Some(Finding::warning(CHECK.name, place, message, cure))
}

#[cfg(test)]
mod tests {
    use measure::{Length, Units};

    use crate::design::{Chosen, Design};
    use crate::kinds::Value;
    use crate::operations::{CutBias, FinishEdges};
    use crate::pattern::{Chapter, Pattern};
    use crate::{bodies, checks, linings};

    fn bound(body: &str) -> Pattern {
        let mut design = Design::of(bodies::find(body).unwrap(), Units::Inch);
        design.lining = Chosen::new(linings::find("unlined").unwrap(), design.system());
        assert!(design.lining.values.set("finish", Value::Choice("bound")));
        crate::draft(&design).pattern.expect("it can be drafted")
    }

    /// A barrel's ends are circles: their seams are bound with bias; the straight seams of a bag with
    /// boxed corners are bound with a strip on the straight grain.
    #[test]
    fn curved_seams_are_bound_with_bias() {
        for (body, bias) in
            [("duffel", true), ("round-base", true), ("boxed", false), ("wrapped", false)]
        {
            let pattern = bound(body);
            let found = checks::run(&pattern);
            let of_bias: Vec<_> = found.iter().filter(|f| f.check == super::CHECK.name).collect();
            assert!(of_bias.is_empty(), "{body}: {of_bias:#?}");
            assert_eq!(CutBias::of_piece(&pattern, "binding").is_some(), bias, "{body}");
        }
    }

    /// Without the step that cuts the square into strips it would be a straight strip.
    #[test]
    fn a_straight_strip_round_a_curve_is_warned_of() {
        let mut pattern = bound("duffel");
        pattern.steps.retain(|step| step.as_a::<CutBias>().is_none());
        let found = checks::run(&pattern);
        assert!(found.iter().any(|f| f.message.contains("goes round the curve")), "{found:#?}");
    }

    /// Cut at last, it is too late.
    #[test]
    fn bias_is_cut_before_it_is_needed() {
        let mut pattern = bound("duffel");
        let (at, _) = CutBias::of_piece(&pattern, "binding").unwrap();
        let mut late = pattern.steps.remove(at);
        late.chapter = Chapter::Finish;
        pattern.steps.push(late);
        let found = checks::run(&pattern);
        assert!(found.iter().any(|f| f.message.contains("only after this")), "{found:#?}");
    }

    /// A square that gives less than is needed: (s − 1)² / w.
    #[test]
    fn a_square_that_is_too_small_is_found() {
        let mut pattern = bound("duffel");
        let (_, cut) = CutBias::of_piece(&pattern, "binding").unwrap();
        let side = pattern.piece_of(cut.squares[0]).net_size().0;
        let gives = (side.to_inch() - 1.0).powi(2) / cut.strip.to_inch();
        assert!(gives >= cut.long.to_inch(), "{gives}");
        let bound = pattern.steps.iter().filter_map(|step| step.as_a::<FinishEdges>());
        let bound = bound.filter(|it| it.bound_with.is_some());
        let seams: Length =
            bound.flat_map(|it| &it.runs).map(|run| run.length().half()).sum();
        assert!(cut.long >= seams && cut.long < seams * 13 / 10, "{:?} {seams:?}", cut.long);
        let piece = pattern.copy(cut.squares[0]).piece;
        let small = side * 9 / 10;
        pattern.pieces[piece.0].net = measure::Outline::rectangle(small, small);
        let found = checks::run(&pattern);
        assert!(found.iter().any(|f| f.message.contains("of bias strip")), "{found:#?}");
    }
}
