//! The cut pieces, sewn as the steps say, give back the finished size that the pattern claims and
//! the design asked for.

use measure::{Length, System};

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::pattern::Checkpoint;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "finished-size",
    looks_for: "a finished size, computed back from the cut pieces, that is not the one promised",
    why: "the bag would come out in another size, and what must fit would not",
    run,
};

/// What no eye sees on a bag: the rounding of sloped sizes.
const TOLERANCE: Length = Length::nm(100_000);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let claims = &context.pattern.claims;
    let sewn = &context.sewn.sewn;
    let measured = [
        ("width", claims.width, claims.width_gauge.measure(context.pattern, sewn)),
        ("height", claims.height, claims.height_gauge.measure(context.pattern, sewn)),
        ("top width", claims.top_width, claims.top_gauge.measure(context.pattern, sewn)),
        ("depth", claims.depth, depth(context)),
    ];
    let at_zips = depths_at_zips(context).into_iter();
    let at_zips = at_zips.map(|depth| ("depth at the zip", claims.depth, Some(depth)));
    let mut findings = Vec::new();
    for (what, claimed, found) in measured.into_iter().chain(at_zips) {
        let place = place(context, what);
        match found {
            Some(found) if (found - claimed).abs() <= TOLERANCE => {}
            Some(found) => findings.push(Finding::error(
                CHECK.name,
                place,
                format!(
                    "the pattern promises a finished {what} of {}, and the cut pieces give {}",
                    context.show(claimed),
                    context.show(found)
                ),
                format!(
                    "change the pieces by {}, or the promise",
                    context.show((found - claimed).abs())
                ),
            )),
            None => findings.push(Finding::error(
                CHECK.name,
                place,
                format!("the finished {what} cannot be measured on the pieces"),
                "name edges that the pieces have".to_owned(),
            )),
        }
    }
    findings.extend(unmeasured(context));
    findings.extend(asked(context));
    findings
}

/// The parameter that a size follows, and the piece on which it is measured.
fn place(context: &Context<'_>, what: &str) -> Place {
    let claims = &context.pattern.claims;
    let (parameter, gauge) = match what {
        "width" => ("body.width", &claims.width_gauge),
        "top width" => ("body.taper", &claims.top_gauge),
        "height" => ("body.height", &claims.height_gauge),
        _ => ("body.depth", &claims.height_gauge),
    };
    let place = Place::parameter(parameter);
    match gauge.lowest().and_then(|copy| context.pattern.copies.get(copy.0)) {
        Some(copy) => place.of_piece(&copy.name),
        None => place,
    }
}

/// Checkpoints that measure what the pieces do not have.
fn unmeasured(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, step) in context.pattern.steps.iter().enumerate() {
        let wanted = match &step.checkpoint {
            Some(Checkpoint::Measures { .. }) => 1,
            Some(Checkpoint::Size { depth, .. }) => 2 + usize::from(depth.is_some()),
            Some(Checkpoint::Look(_)) | None => continue,
        };
        if context.sewn.measured.get(&index).map_or(0, Vec::len) < wanted {
            findings.push(Finding::error(
                CHECK.name,
                Place::step(&step.id),
                "what is to be measured after this step cannot be measured on the pieces".to_owned(),
                "name edges that the pieces have".to_owned(),
            ));
        }
    }
    findings
}

/// What was asked, against what the ruler allows: a boxing line is drawn on a mark of the ruler.
fn asked(context: &Context<'_>) -> Vec<Finding> {
    let claims = &context.pattern.claims;
    let step = match context.pattern.units.system() {
        System::Inch => Length::inch_frac(1, 8),
        System::Metric => Length::mm(2),
    };
    let mut findings = Vec::new();
    for (key, wanted) in &claims.asked {
        let given = match *key {
            "width" => claims.width,
            "height" => claims.height,
            _ => claims.depth,
        };
        let off = (given - *wanted).abs();
        let shown = context.show(given);
        if off <= Length::nm(1_000) || (off <= step && shown == context.show(*wanted)) {
            continue;
        }
        let place = Place::parameter(&format!("body.{key}"));
        let message = format!(
            "the {key} comes out as {shown} instead of {}, because the boxing line is drawn on a \
             mark of the ruler",
            context.show(*wanted)
        );
        let cure = "nothing has to be done; a depth of twice a mark on the ruler comes out exactly";
        findings.push(if off <= step {
            Finding::note(CHECK.name, place, message, cure.to_owned())
        } else if off <= step * 2 {
            // Sides that lean far make more of the same half mark of the ruler.
            let cure = "ask for another depth, or for sides that lean less, if it matters";
            Finding::warning(CHECK.name, place, message, cure.to_owned())
        } else {
            Finding::error(CHECK.name, place, message, "ask for another size".to_owned())
        });
    }
    findings
}

/// The depth that the boxed corners give, from their distance to the tip; zero if none is boxed.
fn depth(context: &Context<'_>) -> Option<Length> {
    let gauge = &context.pattern.claims.depth_gauge;
    if !gauge.0.is_empty() {
        return gauge.measure(context.pattern, &context.sewn.sewn);
    }
    let mut deepest = Length::ZERO;
    for (_, event) in &context.sewn.events {
        let Event::Boxed { corners, tip, .. } = event else { continue };
        for corner in corners.iter().flatten() {
            if Some(corner.copy) != context.pattern.claims.height_gauge.lowest() {
                continue;
            }
            // Beside a zip the line is shorter on the panel, and is looked at by itself.
            if corner.beside.is_none() {
                deepest = deepest.max(corner.half_depth(context.pattern, *tip) * 2);
            }
        }
    }
    Some(deepest)
}

/// The depths where corners are boxed across zips of a width that is told: what is boxed off of
/// each panel there, and what the zip shows between them.
fn depths_at_zips(context: &Context<'_>) -> Vec<Length> {
    let zips = &context.sewn.sewn.zips;
    let mut depths = Vec::new();
    for (_, event) in &context.sewn.events {
        let Event::Boxed { corners, tip, .. } = event else { continue };
        for corner in corners {
            let shows = corner.first().and_then(|panel| zips.get(&(panel.copy, panel.base)));
            let Some(shows) = shows else { continue };
            let panels = corner.iter().map(|it| it.half_depth(context.pattern, *tip));
            depths.push(panels.sum::<Length>() + *shows);
        }
    }
    depths.sort_unstable();
    depths.dedup();
    depths
}
