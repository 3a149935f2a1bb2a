//! Pockets lie clear of each other, and no stitches of anything else close them.

use measure::{Length, Point};

use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::operations::{FaceSide, FoldAside, Line};
use crate::pattern::CopyId;

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "pockets-clear",
    looks_for: "pockets that lie over each other on one face, and stitches of a handle or of \
                another pocket that go through a pocket",
    why: "the upper pocket hides the lower one, and a pocket that is sewn through is sewn shut",
    run,
};

/// What may meet at an edge: 1 mm, as the eye forgives, for what lies on each other, and the width
/// of a row of stitches for what is sewn through.
const EVEN: Length = Length::MM;
/// The same for stitches, which may run along the edge of a pocket.
const ALONG: Length = Length::mm(2);

/// Something that lies on a panel: a pocket, or what covers a panel from seam to seam.
#[derive(Clone, Debug)]
struct Lying {
    what: CopyId,
    onto: CopyId,
    step: usize,
    low: Point,
    high: Point,
    /// On which side of the panel.
    side: FaceSide,
    /// What is promised of it, if it is a pocket.
    pocket: Option<Pocket>,
}

/// What of a pocket's promise matters here.
#[derive(Clone, Debug)]
struct Pocket {
    name: String,
    /// Whether it is held in the seams, so that the legs of handles and the dividers of the bag divide
    /// it.
    may_be_divided: bool,
    /// How deep it is in use.
    true_depth: Length,
}

fn run(context: &Context<'_>) -> Vec<Finding> {
    let lying = lying(context);
    let mut findings = Vec::new();
    for (index, later) in lying.iter().enumerate() {
        for earlier in &lying[..index] {
            findings.extend(over_each_other(context, earlier, later));
        }
    }
    findings.extend(sewn_through(context, &lying));
    findings
}

/// Everything that lies on panels and matters, in the order in which it is placed.
fn lying(context: &Context<'_>) -> Vec<Lying> {
    let mut found = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Placed { what, onto, at, ground, feet, .. } = event else { continue };
        if !feet.is_empty() {
            continue;
        }
        let claim = context.pattern.claims.pockets.iter().find(|claim| claim.copy == *what);
        let mut riders = context.sewn.riders.iter();
        let level = riders.any(|rider| rider.what == *what && !rider.level.is_empty());
        if claim.is_none() && !level {
            continue;
        }
        let (width, height) = context.sewn.lying_size(*what);
        let side = match (context.sewn.is_pulled_through(*what), ground) {
            (true, FaceSide::Right) | (false, FaceSide::Wrong) => FaceSide::Wrong,
            (true, FaceSide::Wrong) | (false, FaceSide::Right) => FaceSide::Right,
        };
        found.push(Lying {
            what: *what,
            onto: *onto,
            step: *step,
            low: *at,
            high: Point::new(at.x + width, at.y + height),
            side,
            pocket: claim.map(|claim| Pocket {
                name: claim.name.clone(),
                may_be_divided: level,
                true_depth: claim.true_depth,
            }),
        });
    }
    found
}

/// What must be added to a point of one panel to have it in the coordinates of another: nothing for
/// the same panel, and for one that is joined to it above or below, with its rim up too.
fn between(context: &Context<'_>, from: CopyId, to: CopyId) -> Option<Point> {
    if from == to {
        return Some(Point::new(Length::ZERO, Length::ZERO));
    }
    let middle = |copy: CopyId, edge: usize| {
        let net = &context.pattern.piece_of(copy).net;
        if edge >= net.edge_count() {
            return None;
        }
        let (start, end) = (net.edge(edge).start(), net.edge(edge).end());
        (start.y == end.y).then(|| (start.middle(end), start.x < end.x))
    };
    let glues = context.sewn.glues.iter().filter(|glue| !glue.zip);
    let mut sides = glues.flat_map(|glue| [(glue.a, glue.b), (glue.b, glue.a)]);
    let (here, there) = sides.find(|(a, b)| a.copy == from && b.copy == to)?;
    let (one, rightward) = middle(here.copy, here.edge)?;
    let (other, also) = middle(there.copy, there.edge)?;
    // An upper edge runs to the left and a lower one to the right.
    (rightward != also).then(|| Point::new(other.x - one.x, other.y - one.y))
}

fn moved(point: Point, by: Point) -> Point {
    Point::new(point.x + by.x, point.y + by.y)
}

fn over_each_other(context: &Context<'_>, earlier: &Lying, later: &Lying) -> Option<Finding> {
    let one_thing = context.sewn.is_one_body(earlier.what, later.what);
    // What lies below and is no pocket is a backing, on which a pocket may lie.
    let nameless = later.pocket.is_none() && earlier.pocket.is_none()
        || earlier.pocket.is_none() && earlier.side == FaceSide::Wrong;
    if one_thing || nameless || earlier.side != later.side {
        return None;
    }
    if is_aside(context, earlier, later) {
        return None;
    }
    let by = between(context, earlier.onto, later.onto)?;
    let (low, high) = (moved(earlier.low, by), moved(earlier.high, by));
    let across = high.x.min(later.high.x) - low.x.max(later.low.x);
    let up = high.y.min(later.high.y) - low.y.max(later.low.y);
    (across > EVEN && up > EVEN).then(|| {
        let [one, other] = [later, earlier].map(|it| named(context, it));
        let system = context.pattern.units.system();
        let message = format!(
            "the {one} lies over the {other}, by {}",
            measure::show_size(across, up, system)
        );
        let cure = "move one of them, make it smaller, or put it on another side of the bag";
        let place = Place::step(context.step_id(later.step))
            .of_piece(&context.pattern.copy(later.what).name);
        Finding::error(CHECK.name, place, message, cure.to_owned())
    })
}

/// Whether a bag that hangs behind its slit was folded aside before another pocket was begun: their
/// bags hang one over the other then, and both are free.
fn is_aside(context: &Context<'_>, earlier: &Lying, later: &Lying) -> bool {
    context.sewn.is_pulled_through(later.what)
        && context.pattern.steps[..later.step].iter().any(|step| {
            step.as_a::<FoldAside>().is_some_and(|aside| {
                aside.clear_of == later.what && aside.bags.contains(&earlier.what)
            })
        })
}

fn named(context: &Context<'_>, lying: &Lying) -> String {
    match &lying.pocket {
        Some(pocket) => pocket.name.clone(),
        None => context.pattern.copy(lying.what).name.clone(),
    }
}

/// Stitches that go through a panel and through a pocket which lies on it by then.
fn sewn_through(context: &Context<'_>, lying: &[Lying]) -> Vec<Finding> {
    let straps: Vec<CopyId> = context.straps().collect();
    let mut findings: Vec<Finding> = Vec::new();
    for (step, event) in &context.sewn.events {
        let Event::Stitched { what, onto, lines, .. } = event else { continue };
        let is_strap = what.iter().any(|copy| straps.contains(copy));
        let is_divider =
            context.pattern.claims.dividers.iter().any(|divider| what.contains(&divider.copy));
        for below in lying.iter().filter(|it| it.step < *step) {
            let Some(pocket) = &below.pocket else { continue };
            let own = what.iter().any(|copy| context.sewn.is_one_body(*copy, below.what));
            // The zip of a slit is sewn to the panel and to the bag behind it.
            let own_slit = context.sewn.slits.iter().any(|slit| {
                slit.copy == *onto && slit.faced_by == Some(below.what) && what.is_empty()
            });
            // A pocket that lies over another has been found as such.
            let over = lying.iter().any(|it| {
                what.contains(&it.what)
                    && (over_each_other(context, below, it).is_some() || is_aside(context, below, it))
            });
            let divided = (is_strap || is_divider) && pocket.may_be_divided;
            if own || own_slit || over || divided {
                continue;
            }
            let Some(by) = between(context, below.onto, *onto) else { continue };
            let (mut low, high) = (moved(below.low, by), moved(below.high, by));
            // The foot of a pocket that is held in the seams lies under the bag, where nothing is put
            // and the prongs of feet may go through it.
            if what.is_empty() && pocket.may_be_divided {
                low.y = low.y.max(high.y - pocket.true_depth);
            }
            if !lines.iter().any(|line| crosses(line, low, high)) {
                continue;
            }
            let thing = what.first().map_or("hardware", |copy| &context.pattern.copy(*copy).name);
            let message = format!("stitches of the {thing} go through the {}", pocket.name);
            let cure = "set the pocket elsewhere, or make it narrower, or fasten the other thing so \
                        that it stays clear of it";
            let place = Place::step(context.step_id(*step))
                .of_piece(&context.pattern.copy(below.what).name);
            let finding = Finding::error(CHECK.name, place, message, cure.to_owned());
            if !findings.iter().any(|it| it.message == finding.message) {
                findings.push(finding);
            }
        }
    }
    findings
}

/// Whether a line, or a point, enters the inside of a box.
fn crosses(line: &Line, low: Point, high: Point) -> bool {
    let (left, right) = (low.x + ALONG, high.x - ALONG);
    let (bottom, top) = (low.y + ALONG, high.y - ALONG);
    if left >= right || bottom >= top {
        return false;
    }
    // Clipping by the four sides, in parts of the line (Liang and Barsky 1984).
    let (dx, dy) = ((line.to.x - line.from.x).to_mm(), (line.to.y - line.from.y).to_mm());
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, (line.from.x - left).to_mm()),
        (dx, (right - line.from.x).to_mm()),
        (-dy, (line.from.y - bottom).to_mm()),
        (dy, (top - line.from.y).to_mm()),
    ];
    for (along, room) in sides {
        if along.abs() < 1e-9 {
            if room <= 0.0 {
                return false;
            }
        } else if along < 0.0 {
            enters = enters.max(room / along);
        } else {
            leaves = leaves.min(room / along);
        }
    }
    enters < leaves || (dx.abs() < 1e-9 && dy.abs() < 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_crosses_a_box_or_runs_beside_it() {
        let at = |x, y| Point::new(Length::mm(x), Length::mm(y));
        let (low, high) = (at(0, 0), at(100, 50));
        let line = |from, to| Line { from, to };
        assert!(crosses(&line(at(50, -20), at(50, 80)), low, high));
        assert!(crosses(&line(at(-10, -10), at(110, 60)), low, high));
        assert!(crosses(&line(at(20, 20), at(20, 20)), low, high));
        assert!(!crosses(&line(at(0, -20), at(0, 80)), low, high));
        assert!(!crosses(&line(at(1, 10), at(1, 40)), low, high));
        assert!(!crosses(&line(at(50, 60), at(50, 80)), low, high));
        assert!(!crosses(&line(at(120, 10), at(120, 10)), low, high));
    }
}
