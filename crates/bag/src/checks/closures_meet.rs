//! What closes the bag meets: both halves as far from the rim and from the middle, and fastened
//! where the pattern promises.

use measure::{Length, Point};

use super::lies_in_place::off_line;
use super::{Check, Context};
use crate::assembly::Event;
use crate::finding::{Finding, Place};
use crate::operations::{AttachHardware, Fasten, SetEyelets, SewOn};
use crate::pattern::{CopyId, Form, Half};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "closures-meet",
    looks_for: "halves of snaps, locks and ties that do not come to lie on each other when the bag is \
                closed",
    why: "a snap that misses its other half by a finger never closes, and its holes stay",
    run,
};

/// What a snap forgives, and what the eye does: 2 mm.
const EVEN: Length = Length::mm(2);

fn run(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for closure in &context.pattern.claims.closures {
        for pair in &closure.meets {
            findings.extend(apart(context, &closure.name, pair));
            findings.extend(pair.iter().filter_map(|half| unfastened(context, &closure.name, half)));
        }
    }
    findings
}

/// How far down from the rim a half lies, and how far from the middle of its edge.
fn place(context: &Context<'_>, half: &Half) -> Option<(Length, Length)> {
    let net = &context.pattern.piece_of(half.on).net;
    if half.edge >= net.edge_count() {
        return None;
    }
    let (a, b) = (net.edge(half.edge).start(), net.edge(half.edge).end());
    // What lies within a top that is turned down hangs as far below the new rim as it stood above.
    let turned = context.sewn.sewn.turned_down_at(half.on, half.edge);
    let from_edge = off_line(half.at, a, b) - turned;
    let down = if turned.is_positive() { from_edge.abs() } else { from_edge } - half.spent;
    let long = a.distance(b);
    // Along the edge, from its middle (dot product with its direction).
    let middle = a.middle(b);
    let (dx, dy) = ((b.x - a.x).to_mm(), (b.y - a.y).to_mm());
    let (px, py) = ((half.at.x - middle.x).to_mm(), (half.at.y - middle.y).to_mm());
    let aside = if long.is_positive() { (dx * px + dy * py) / long.to_mm() } else { 0.0 };
    // An edge that goes round front and back has the middle of each at a quarter of its length.
    let round = goes_round(context, half.on, half.edge);
    let aside = if round { (aside.abs() - long.to_mm() / 4.0).abs() } else { aside.abs() };
    Some((down, Length::from_mm_f64(aside)))
}

/// Whether an edge goes all round the bag: the edges at its two ends are sewn to each other.
fn goes_round(context: &Context<'_>, copy: CopyId, edge: usize) -> bool {
    let count = context.pattern.piece_of(copy).net.edge_count();
    let beside = [(edge + count - 1) % count, (edge + 1) % count].map(|it| (copy, it));
    context.sewn.glues.iter().any(|glue| {
        let sides = [glue.a, glue.b].map(|span| (span.copy, span.edge));
        sides == beside || sides == [beside[1], beside[0]]
    })
}

fn apart(context: &Context<'_>, name: &str, pair: &[Half; 2]) -> Option<Finding> {
    let [a, b] = pair;
    let (one, other) = (place(context, a)?, place(context, b)?);
    let on = |half: &Half| &context.pattern.copy(half.on).name;
    let (off, from, values) = if (one.0 - other.0).abs() > EVEN {
        ((one.0 - other.0).abs(), "below the rim", (one.0, other.0))
    } else if (one.1 - other.1).abs() > EVEN {
        ((one.1 - other.1).abs(), "from the middle", (one.1, other.1))
    } else {
        return None;
    };
    let message = format!(
        "one half of the {name} comes to lie {} {from} and the other, on the {}, {}: they miss each \
         other",
        context.show(values.0),
        on(b),
        context.show(values.1)
    );
    let cure = format!("move one of them by {}", context.show(off));
    Some(Finding::error(CHECK.name, Place::piece(on(a)).by_parameter("closure"), message, cure))
}

/// Whether something was placed just there: the end of a tie, a strip of tape.
fn lies_there(context: &Context<'_>, event: &Event, half: &Half) -> bool {
    let Event::Placed { what, onto, at, feet, .. } = event else { return false };
    if *onto != half.on {
        return false;
    }
    if !feet.is_empty() {
        // An end that is tucked under a hem lies below the rim, at the hem's inner fold.
        return feet.iter().any(|foot| (foot.at.x - half.at.x).abs() <= EVEN);
    }
    let (width, height) = context.pattern.piece_of(*what).net_size();
    let middle = Point::new(at.x + width.half(), at.y + height.half());
    middle.distance(half.at) <= EVEN
}

/// Hardware is fastened at the very place that is promised.
fn unfastened(context: &Context<'_>, name: &str, half: &Half) -> Option<Finding> {
    let spots = |spots: &[(CopyId, Point)]| {
        let here: Vec<Point> =
            spots.iter().filter(|(copy, _)| *copy == half.on).map(|(_, at)| *at).collect();
        here
    };
    let mut near = false;
    for step in &context.pattern.steps {
        let at = step
            .as_a::<AttachHardware>()
            .map(|it| spots(&it.at))
            .or_else(|| step.as_a::<SetEyelets>().map(|it| spots(&it.at)))
            .or_else(|| step.as_a::<SewOn>().map(|it| spots(&it.at)))
            .or_else(|| step.as_a::<Fasten>().map(|it| spots(&it.at)));
        near |= at.into_iter().flatten().any(|at| at.distance(half.at) <= EVEN);
    }
    // A loop of cord is itself what fastens.
    let piece = context.pattern.piece_of(half.on);
    near |= matches!(context.pattern.material(piece.material).form, Form::Webbing { .. });
    near |= context.sewn.events.iter().any(|(_, event)| lies_there(context, event, half));
    (!near).then(|| {
        let on = &context.pattern.copy(half.on).name;
        let message = format!("no half of the {name} is fastened to the {on} where it is promised");
        let cure = "fasten it at its mark".to_owned();
        Finding::error(CHECK.name, Place::piece(on).by_parameter("closure"), message, cure)
    })
}
