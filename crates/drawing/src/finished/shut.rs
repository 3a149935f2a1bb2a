//! A top that is rolled or folded down and so closes the bag: the roll at the top of the closed bag, and
//! the straps at its sides that hold it.

use bag::assembly::{Assembly, Event};
use bag::operations::Over;
use bag::pattern::{ClosureClaim, Look, Pattern};
use kurbo::Affine;
use measure::Length;

use super::{Bag, Showing};
use crate::line::LineKind;
use crate::scene::{Fill, Scene, closed};
use crate::space::Space;
use crate::texture::{Side, Texture};

/// How thick the roll is drawn: at first, and more by each turn, in mm of cloth.
const THICK: (f64, f64) = (4.0, 3.0);
/// A buckle on a strap: how much wider than it, and how high in parts of its width.
const BUCKLE: (f64, f64) = (1.25, 1.5);

/// How the top of a bag is shut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shut {
    /// What of the height of the panels is in the roll, in mm; nothing when they are folded to its
    /// height already.
    pub(super) takes: f64,
    /// The height of the roll, in mm.
    bar: f64,
    turns: usize,
}

/// Rows of a panel that are seen of its closure, up to its rim: it is rolled down by them.
fn rows(pattern: &Pattern, closure: &ClosureClaim) -> Vec<f64> {
    let rolled = || closure.shows.iter().filter(|shown| shown.of == Some(shown.on));
    let to_rim = rolled().any(|shown| {
        let rim = pattern.piece_of(shown.on).net.bounds().1.y;
        shown.outline.iter().any(|at| at.y > rim - Length::MM)
    });
    if !to_rim {
        return Vec::new();
    }
    rolled().map(|shown| height(&shown.outline)).collect()
}

fn height(outline: &[measure::Point]) -> f64 {
    let all = outline.iter().map(|at| at.y.to_mm());
    all.clone().fold(f64::MIN, f64::max) - all.fold(f64::MAX, f64::min)
}

/// A top that the work folds down to the front at last.
fn is_folded(work: &Assembly<'_>) -> bool {
    let down =
        |(_, event): &(usize, Event)| matches!(event, Event::TurnedDown { over: Over::Front, .. });
    work.events.iter().any(down)
}

/// How a bag is shut, if its top is rolled or folded down.
pub(super) fn of(work: &Assembly<'_>) -> Option<Shut> {
    let closures = &work.pattern.claims.closures;
    let rolled = closures.iter().map(|it| rows(work.pattern, it)).find(|rows| !rows.is_empty());
    if let Some(rows) = rolled {
        let bar = rows.first().copied().unwrap_or_default();
        return Some(Shut { takes: rows.iter().sum(), bar, turns: rows.len() });
    }
    let folded = closures.iter().filter(|_| is_folded(work)).find_map(|it| it.shows.last())?;
    Some(Shut { takes: 0.0, bar: height(&folded.outline), turns: 1 })
}

/// Whether what is seen of a closure is the roll, which is drawn by itself.
pub(super) fn holds(bag: &Bag<'_, '_>, closure: &ClosureClaim) -> bool {
    bag.shut.is_some() && (!rows(bag.pattern(), closure).is_empty() || is_folded(bag.outer.work))
}

/// The roll, and the straps that hold it.
pub(super) fn draw(bag: &Bag<'_, '_>, scene: &mut Scene) {
    let Some(shut) = bag.shut.filter(|_| bag.options.showing == Showing::Closed) else { return };
    let Some(front) = bag.outer.facets.first() else { return };
    let (low, high) = bag.box_in_space();
    let thick = THICK.0 + THICK.1 * shut.turns as f64;
    let middle = f64::midpoint(low.y, high.y);
    let (near, far) = (middle - thick, middle + 2.0);
    let (top, foot) = (high.z + 1.0, high.z + 1.0 - shut.bar);
    side_straps(bag, scene, foot + shut.bar / 2.0);
    let at = Space::new;
    let (x0, x1) = (low.x, high.x);
    // What is folded once lies on the front; a roll hangs before it.
    let lies = if shut.turns == 1 { near - bag.outer.before_top(foot) } else { near };
    let faces = [
        [at(x0, near, top), at(x1, near, top), at(x1, far, top), at(x0, far, top)],
        [at(x0, lies + far - near, foot), at(x0, lies, foot), at(x0, near, top), at(x0, far, top)],
        [at(x1, lies, foot), at(x1, lies + far - near, foot), at(x1, far, top), at(x1, near, top)],
        [at(x0, lies, foot), at(x1, lies, foot), at(x1, near, top), at(x0, near, top)],
    ];
    let texture = bag.outer.texture(front.copy, Side::Right);
    for corners in faces {
        let [a, b, _, d] = corners;
        if !bag.eye.faces((b - a).cross(d - a)) {
            continue;
        }
        let unit = |step: Space| step * (1.0 / step.length().max(1e-6));
        let origin = bag.eye.see(a);
        let see = |way: Space| (bag.eye.see(a + way) - origin) / bag.eye.scale;
        let (x, y) = (see(unit(b - a)), see(unit(d - a)));
        let lay = Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y]);
        let seen = corners.map(|it| bag.eye.see(it));
        let fill = Fill::Cloth(texture, lay);
        scene.layer("roll").shape(closed(seen), fill, Some(LineKind::Edge));
    }
}

/// Webbing that is caught in the sides of the bag, below the roll: it comes up to the roll's ends and is
/// clipped to them.
fn side_straps(bag: &Bag<'_, '_>, scene: &mut Scene, up_to: f64) {
    let (pattern, outer) = (bag.pattern(), &bag.outer);
    let (low, high) = bag.box_in_space();
    let of_handles = |copy| {
        pattern.claims.handles.iter().any(|it| it.strap == copy || it.fastened.contains(&copy))
    };
    for (_, event) in &outer.work.events {
        let Event::Placed { what, onto, feet, .. } = event else { continue };
        let piece = pattern.piece_of(*what);
        let webbing = pattern.material(piece.material).look == Look::Webbing;
        let Some(foot) = feet.first().filter(|_| webbing && !of_handles(*what)) else { continue };
        let at = foot.at.to_mm();
        let Some(facet) = outer.facet_near(*onto, at) else { continue };
        let from = outer.place(facet, at);
        let (wide, long) = piece.net.size();
        let half = wide.min(long).to_mm() / 2.0;
        if up_to - from.z < half * 4.0 {
            continue;
        }
        let right = from.x > f64::midpoint(low.x, high.x);
        let (x, out) = if right { (high.x + 1.0, 1.0) } else { (low.x - 1.0, -1.0) };
        if !bag.eye.faces(Space::new(out, 0.0, 0.0)) {
            continue;
        }
        let y = f64::midpoint(low.y, high.y);
        let quad = |half: f64, z0: f64, z1: f64| {
            [(y - half, z0), (y + half, z0), (y + half, z1), (y - half, z1)]
                .map(|(y, z)| bag.eye.see(Space::new(x, y, z)))
        };
        let layer = scene.layer("roll");
        let origin = bag.eye.see(Space::new(x, y, from.z));
        let see =
            |way: Space| (bag.eye.see(Space::new(x, y, from.z) + way) - origin) / bag.eye.scale;
        let (across, along) = (see(Space::new(0.0, 1.0, 0.0)), see(Space::new(0.0, 0.0, 1.0)));
        let lay = Affine::new([across.x, across.y, along.x, along.y, origin.x, origin.y]);
        let texture = Texture { side: Side::Right, ..outer.texture(*what, Side::Right) };
        let fill = Fill::Cloth(texture, lay);
        layer.shape(closed(quad(half, from.z, up_to)), fill, Some(LineKind::Edge));
        let buckle = half * 2.0 * BUCKLE.1;
        let middle = from.z + (up_to - from.z) * 0.7;
        let (foot, head) = (middle - buckle / 2.0, middle + buckle / 2.0);
        layer.shape(closed(quad(half * BUCKLE.0, foot, head)), Fill::Paper, Some(LineKind::Edge));
        layer.line(quad(half * BUCKLE.0, middle, middle)[..2].iter().copied(), LineKind::Edge);
    }
}
