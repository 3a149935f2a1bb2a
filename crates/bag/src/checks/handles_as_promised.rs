//! The straps, as they are cut and fastened, give the handles that the pattern promises; and
//! something is sewn across each leg where its pull comes.

use measure::Length;

use super::{Check, Context};
use crate::assembly::{Edging, Event};
use crate::finding::{Finding, Place};
use crate::operations::{BoxAndX, FastenEnd, FoldStrip, Foot, RollStrip, SetZip, StitchDown};
use crate::pattern::{CopyId, Form, HandleClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "handles-as-promised",
    looks_for: "straps whose cut length, width and fastening do not give the loop and the drop \
                that are promised, and legs with nothing sewn across them",
    why: "a handle of another length is noticed on the first walk, and a leg held only lengthwise \
          peels off",
    run,
};

/// A loop may differ by so much: what the eye forgives at both feet.
const EVEN: Length = Length::mm(2);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = folds(context);
    for handle in &context.pattern.claims.handles {
        findings.extend(width(context, handle));
        findings.extend(length(context, handle));
        findings.extend(across(context, handle));
        findings.extend(along(context, handle));
    }
    findings
}

fn error(place: Place, message: String, cure: String) -> Finding {
    Finding::error(CHECK.name, place, message, cure)
}

fn name<'c>(context: &Context<'c>, copy: CopyId) -> &'c str {
    &context.pattern.copy(copy).name
}

/// Width across and length along a strip as it is cut.
fn strip(context: &Context<'_>, strap: CopyId) -> (Length, Length) {
    let (a, b) = context.pattern.piece_of(strap).cut_size();
    (a.min(b), a.max(b))
}

/// The width that a folding names is the one that the strip is cut in.
fn folds(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for step in &context.pattern.steps {
        let Some(fold) = step.as_a::<FoldStrip>() else { continue };
        for strap in &fold.strips {
            let (cut, _) = strip(context, *strap);
            if (cut - fold.cut_width).abs() > Length::MM {
                let message = format!(
                    "the {} is cut {} wide, and folded as if it were {}",
                    name(context, *strap),
                    context.show(cut),
                    context.show(fold.cut_width)
                );
                let cure = format!("fold it to {}", context.show(cut / 4));
                let place = Place::step(&step.id).of_piece(name(context, *strap));
                findings.push(error(place, message, cure));
            }
        }
    }
    findings
}

fn width(context: &Context<'_>, handle: &HandleClaim) -> Option<Finding> {
    let piece = context.pattern.piece_of(handle.strap);
    let (cut, _) = strip(context, handle.strap);
    let folded = context.pattern.steps.iter().any(|step| {
        step.as_a::<FoldStrip>().is_some_and(|it| it.strips.contains(&handle.strap))
    });
    let rolled = context.pattern.steps.iter().find_map(|step| {
        let roll = step.as_a::<RollStrip>()?;
        roll.strips.contains(&handle.strap).then_some(roll.allowance)
    });
    let given = match context.pattern.material(piece.material).form {
        // A tube lies flat as two layers between its folds.
        _ if rolled.is_some() => (cut - rolled.unwrap_or(Length::ZERO) * 2).half(),
        Form::Webbing { width, .. } => width,
        _ if folded => cut / 4,
        _ => return None,
    };
    ((given - handle.width).abs() > Length::MM).then(|| {
        let message = format!(
            "the {} is promised {} wide, and its strip gives {}",
            handle.name,
            context.show(handle.width),
            context.show(given)
        );
        let place = Place::piece(name(context, handle.strap)).by_parameter("handles.width");
        error(place, message, "change the strip, or the promise".to_owned())
    })
}

/// How much of a strap lies below the finished rim at one foot: from its raw end up the panels to
/// the rim; or, under a hem, up to the crease and down again.
fn below(context: &Context<'_>, handle: &HandleClaim, onto: CopyId, foot: &Foot, rim: Length) -> Length {
    let level = context
        .sewn
        .riders
        .iter()
        .filter(|rider| rider.what == handle.strap && rider.onto == onto)
        .flat_map(|rider| &rider.level)
        .find(|(own, _)| *own == foot.edge)
        .and_then(|(_, host)| context.pattern.piece_of(onto).edges.get(*host));
    let rise = if onto == handle.on && context.sewn.is_below_fold(onto, foot.at) {
        foot.at.y - rim
    } else if onto == handle.on {
        rim - foot.at.y
    } else {
        context.pattern.piece_of(onto).net_size().1 - foot.at.y + rim
    };
    // An end with an allowance of its own may stand above the raw edge.
    let own = context.pattern.piece_of(handle.strap).edges.get(foot.edge);
    let own = own.map_or(Length::ZERO, |edge| edge.allowance);
    match level {
        Some(_) if own.is_positive() => rise + own,
        Some(edge) => rise + edge.allowance,
        None => rise * 2,
    }
}

/// The loop above the rim, and the drop: √((free / 2)² − (apart / 2)²) (Pythagoras).
fn length(context: &Context<'_>, handle: &HandleClaim) -> Option<Finding> {
    let ends = fastened_ends(context, handle.strap);
    if !ends.is_empty() {
        return hung(context, handle, &ends);
    }
    let (onto, feet) = context.sewn.events.iter().find_map(|(_, event)| match event {
        Event::Placed { what, onto, feet, .. } if *what == handle.strap => Some((*onto, feet)),
        _ => None,
    })?;
    let [a, b] = feet.as_slice() else { return None };
    let (_, cut) = strip(context, handle.strap);
    let below = below(context, handle, onto, a, handle.feet[0].y)
        + below(context, handle, onto, b, handle.feet[1].y);
    let free = cut - below;
    let (half, apart) = (free.half().to_mm(), a.at.distance(b.at).half().to_mm());
    let drop = Length::from_mm_f64((half * half - apart * apart).max(0.0).sqrt());
    let off = |given: Length, promised: Length| (given - promised).abs() > EVEN;
    let (what, given, promised) = if off(free, handle.free) {
        ("loop", free, handle.free)
    } else if off(drop, handle.drop) {
        ("drop", drop, handle.drop)
    } else {
        return None;
    };
    let message = format!(
        "the {} is promised a {what} of {}, and a handle {} long, fastened so, gives {}",
        handle.name,
        context.show(promised),
        context.show(cut),
        context.show(given)
    );
    let cure = format!(
        "cut the handle {} {}, or change the promise",
        context.show((given - promised).abs()),
        if given < promised { "longer" } else { "shorter" }
    );
    let place = Place::piece(name(context, handle.strap)).by_parameter("handles.drop");
    Some(error(place, message, cure))
}

/// How much each end takes of a strap that is fastened to rings, a slider or eyelets.
fn fastened_ends(context: &Context<'_>, strap: CopyId) -> Vec<Length> {
    let mut ends = Vec::new();
    for step in &context.pattern.steps {
        let Some(fasten) = step.as_a::<FastenEnd>() else { continue };
        ends.extend(fasten.ends.iter().filter(|(it, _)| *it == strap).map(|_| fasten.by.takes()));
    }
    ends
}

/// The loop of a strap that hangs from rings or comes out of eyelets.
fn hung(context: &Context<'_>, handle: &HandleClaim, ends: &[Length]) -> Option<Finding> {
    let place = Place::piece(name(context, handle.strap)).by_parameter("handles");
    // Of two ends, one may be caught in a seam.
    let caught = context.sewn.events.iter().any(|(_, event)| {
        matches!(event, Event::Placed { what, .. } if *what == handle.strap)
    });
    if ends.len() + usize::from(caught) < 2 {
        let message = format!("only one end of the {} is fastened", handle.name);
        return Some(error(place, message, "fasten both ends".to_owned()));
    }
    let (_, cut) = strip(context, handle.strap);
    let free = cut - ends.iter().copied().sum::<Length>() - handle.doubled + handle.added;
    let apart = handle.apart.unwrap_or_else(|| handle.feet[0].distance(handle.feet[1]));
    let (half, apart) = (free.half().to_mm(), apart.half().to_mm());
    let drop = Length::from_mm_f64((half * half - apart * apart).max(0.0).sqrt());
    if (free - handle.free).abs() <= EVEN && (drop - handle.drop).abs() > EVEN {
        let message = format!(
            "the {} is promised a drop of {}, and a strap cut {} long, fastened so, gives {}",
            handle.name,
            context.show(handle.drop),
            context.show(cut),
            context.show(drop)
        );
        return Some(error(place, message, "cut another length, or change the promise".to_owned()));
    }
    ((free - handle.free).abs() > EVEN).then(|| {
        let message = format!(
            "the {} is promised {} long, and a strap cut {} long, fastened so, gives {}",
            handle.name,
            context.show(handle.free),
            context.show(cut),
            context.show(free)
        );
        let cure = format!(
            "cut it {} {}, or change the promise",
            context.show((free - handle.free).abs()),
            if free < handle.free { "longer" } else { "shorter" }
        );
        error(place, message, cure)
    })
}

/// A strap that is promised to run up from the base is stitched down on its way.
fn along(context: &Context<'_>, handle: &HandleClaim) -> Option<Finding> {
    let stitched = context.pattern.steps.iter().any(|step| {
        step
            .as_a::<StitchDown>()
            .is_some_and(|down| down.items.iter().any(|item| item.what == handle.strap))
    });
    // A box and X holds no more of a strap than about one and a half times its width, or 1 1/4 in.
    let boxed = (handle.width * 2).max(Length::mm(33));
    let long = handle.lies.is_some_and(|[stop, end]| end - stop > boxed);
    ((handle.from_base || long) && !stitched).then(|| {
        let from = if handle.from_base { "run up from the base" } else { "lie on its panel" };
        let message = format!(
            "the {} is promised to {from}, and is not stitched down on its way",
            handle.name
        );
        let cure = "edgestitch both sides of each leg".to_owned();
        error(Place::piece(name(context, handle.strap)).by_parameter("handles.from"), message, cure)
    })
}

/// A leg that runs over the panel, or is tucked under a hem, needs stitches across it at the top:
/// a box with a cross at each leg. One that is set into the seam at the rim, or along a zip there, has
/// that seam.
fn across(context: &Context<'_>, handle: &HandleClaim) -> Option<Finding> {
    // A strap that is stitched on by itself is its own holder.
    if !handle.fastened.is_empty() && handle.fastened != [handle.strap] {
        return holders(context, handle);
    }
    if handle.fastened.is_empty() && !fastened_ends(context, handle.strap).is_empty() {
        return None;
    }
    let into_rim = context.sewn.events.iter().any(|(step, event)| {
        // A lining that is sewn to the zip later does not undo the seam there.
        let at_zip = context.pattern.steps.get(*step).and_then(|step| step.as_a::<SetZip>());
        let seam = |edge: usize, host: CopyId| {
            let joined = context.sewn.stretches(host, edge);
            at_zip.is_some() || joined.iter().any(|s| s.edging == Edging::Joined(*step))
        };
        matches!(event, Event::Caught { rider, host, host_edge, .. }
            if *rider == handle.strap && *host == handle.on && seam(*host_edge, *host))
    });
    if into_rim && !handle.from_base {
        return None;
    }
    let boxes: usize = context
        .pattern
        .steps
        .iter()
        .filter_map(|step| step.as_a::<BoxAndX>())
        .map(|boxed| boxed.boxes.iter().filter(|(strap, ..)| *strap == handle.strap).count())
        .sum();
    let legs = handle.feet.len();
    (boxes < legs).then(|| {
        let message = format!(
            "{boxes} of the {legs} legs of the {} are sewn across where the pull comes",
            handle.name
        );
        let cure = "sew a box and X on each leg, where it comes free".to_owned();
        error(Place::piece(name(context, handle.strap)).by_parameter("handles"), message, cure)
    })
}

/// What holds the strap is itself caught in a seam, or sewn across.
fn holders(context: &Context<'_>, handle: &HandleClaim) -> Option<Finding> {
    let held = |copy: CopyId| {
        context.sewn.events.iter().any(|(_, event)| match event {
            Event::Caught { rider, .. } => *rider == copy,
            Event::Stitched { what, lines, .. } => what.contains(&copy) && lines.len() > 1,
            _ => false,
        })
    };
    let loose = handle.fastened.iter().copied().find(|copy| !held(*copy))?;
    let message =
        format!("the {} holds the {}, and nothing holds it", name(context, loose), handle.name);
    let cure = "let a seam catch both its ends, or sew a box and X".to_owned();
    Some(error(Place::piece(name(context, loose)).by_parameter("handles"), message, cure))
}
