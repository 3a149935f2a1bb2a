//! What must fit goes in, and the handles go where they are meant to.

use measure::{Length, System, find_fit};

use super::{Check, Context};
use crate::finding::{Finding, Place};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "goes-in",
    looks_for: "a thing that the bag must hold and that is larger than its inside, and handles \
                that neither a hand nor a shoulder goes through",
    why: "the bag would be of no use for what it was made for",
    run,
};

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for id in &context.pattern.claims.holds {
        let Some(thing) = find_fit(id) else { continue };
        findings.extend(fits(context, &thing));
    }
    findings.extend(drops(context));
    findings
}

/// Whether a thing goes in standing, upright or on its side, along the width, within the height, of
/// a bag so wide, high and deep. A flat bag must go around it.
pub fn goes(thing: &measure::Fit, (width, height, depth): (Length, Length, Length)) -> bool {
    let goes = |wide: Length, high: Length| {
        if depth.is_positive() {
            wide <= width && thing.thickness <= depth && high <= height
        } else {
            wide + thing.thickness <= width && high + thing.thickness.half() <= height
        }
    };
    goes(thing.width, thing.height) || goes(thing.height, thing.width)
}

fn fits(context: &Context<'_>, thing: &measure::Fit) -> Option<Finding> {
    let claims = &context.pattern.claims;
    let measure = |gauge: &crate::pattern::Gauge, claimed| {
        gauge.measure(context.pattern, &context.sewn.sewn).unwrap_or(claimed)
    };
    let width = measure(&claims.width_gauge, claims.width);
    let height = measure(&claims.height_gauge, claims.height);
    if goes(thing, (width, height, claims.depth)) {
        return None;
    }
    let system = context.pattern.units.system();
    let message = format!(
        "{} ({}, {} thick) does not go into {}, {} deep",
        thing.title,
        measure::show_size(thing.width, thing.height, system),
        context.show(thing.thickness),
        measure::show_size(width, height, system),
        context.show(claims.depth)
    );
    let cure = "make the bag larger, or give it more ease".to_owned();
    Some(Finding::error(CHECK.name, Place::parameter("body.holds"), message, cure))
}

/// A drop that is too long for the hand and too short for the shoulder (common practice, no
/// source): between 7 and 9 in a bag neither hangs free of the ground comfortably nor goes over a
/// shoulder.
fn drops(context: &Context<'_>) -> Option<Finding> {
    let drop = context.pattern.claims.handles.iter().map(|handle| handle.drop).min()?;
    let (hand, shoulder) = match context.pattern.units.system() {
        System::Inch => (Length::inch(7), Length::inch(9)),
        System::Metric => (Length::mm(180), Length::mm(230)),
    };
    if drop <= hand || drop >= shoulder {
        return None;
    }
    let message = format!(
        "the handles drop {}: long for the hand, and short for the shoulder",
        context.show(drop)
    );
    let cure = format!(
        "ask for {} or less to carry it in the hand, {} or more for the shoulder",
        context.show(hand),
        context.show(shoulder)
    );
    Some(Finding::note(CHECK.name, Place::parameter("handles.drop"), message, cure))
}
