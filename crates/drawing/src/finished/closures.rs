//! What closes the finished bag: what hangs before its front, what goes over its mouth or lies
//! across it, and the same thrown back or drawn apart when the bag is open.

use bag::assembly::Assembly;
use bag::operations::ThreadDrawstring;
use bag::pattern::{ClosureClaim, CopyId, Shown};
use kurbo::{Affine, Point};
use measure::Length;

use super::{Bag, Showing, shut, zip};
use crate::facets::{area, common};
use crate::folding::Facet;
use crate::line::LineKind;
use crate::scene::{Fill, Scene, closed};
use crate::space::Space;
use crate::texture::{Cloth, Side, Texture};

/// Half the width of a zip that is drawn between its strips, at least, in mm of cloth.
const ZIP: f64 = 4.0;

/// Whether a closure goes over the mouth, from the rim of the back to the front.
fn goes_over(closure: &ClosureClaim) -> bool {
    closure.meets.iter().flatten().any(|half| half.spent.is_positive())
}

/// What is drawn before the bag itself: whatever of its closure is on the far side.
pub(super) fn behind(bag: &Bag<'_, '_>, scene: &mut Scene) {
    parts(bag, scene, "far-closure", false);
}

/// What is drawn last: whatever of its closure is on the near side, or above the mouth.
pub(super) fn before(bag: &Bag<'_, '_>, scene: &mut Scene) {
    if bag.options.showing == Showing::Closed {
        for closure in bag.pattern().claims.closures.iter().filter(|it| goes_over(it)) {
            for shown in &closure.shows {
                over(bag, scene, shown);
            }
        }
    }
    parts(bag, scene, "closure", true);
    shut::draw(bag, scene);
    zip::at_rim(bag, scene);
    zip::between(bag, scene);
    cords(bag, scene);
}

/// The parts before the front, or thrown back, on the near or the far side.
fn parts(bag: &Bag<'_, '_>, scene: &mut Scene, layer: &str, near: bool) {
    if bag.options.showing == Showing::Inside {
        return;
    }
    for closure in bag.pattern().claims.closures.iter().filter(|it| !shut::holds(bag, it)) {
        for (index, shown) in closure.shows.iter().enumerate() {
            let Some(facet) = facet_of(bag, shown) else { continue };
            // What goes over the mouth is thrown back when the bag is open; what holds it stays.
            let back = goes_over(closure) && bag.options.showing == Showing::Open;
            if back && index > 0 {
                continue;
            }
            let place = |at: Space| bag.eye.see(if back { thrown_back(bag, at) } else { at });
            let found = if back {
                let seen = bag.outer.is_near(&bag.eye, facet) != near;
                let outline = shown.outline.iter().map(|at| at.to_mm()).collect();
                seen.then_some(Part { facet, outline }).into_iter().collect()
            } else {
                on_facets(bag, facet, shown, near)
            };
            for part in found {
                let fill = match shown.of {
                    Some(copy) => cloth_fill(bag, part.facet, copy),
                    None => Fill::Paper,
                };
                let see = |outline: &[Point]| -> Vec<Point> {
                    bag.outer.spread(part.facet, outline).into_iter().map(place).collect()
                };
                let outline = see(&part.outline);
                scene.layer(layer).shape(closed(outline), fill, Some(LineKind::Edge));
                let inset = drawn_in(&part.outline, 1.2 / bag.eye.scale);
                if shown.of.is_some() && !inset.is_empty() {
                    scene.layer(layer).shape(closed(see(&inset)), Fill::None, Some(LineKind::Sewn));
                }
            }
        }
    }
}

fn facet_of<'b>(bag: &'b Bag<'_, '_>, shown: &Shown) -> Option<&'b Facet> {
    let points: Vec<Point> = shown.outline.iter().map(|at| at.to_mm()).collect();
    let count = points.len().max(1) as f64;
    let middle = points.iter().fold(kurbo::Vec2::ZERO, |sum, at| sum + at.to_vec2()) / count;
    bag.outer.facet_near(shown.on, middle.to_point())
}

fn cloth_fill(bag: &Bag<'_, '_>, facet: &Facet, copy: CopyId) -> Fill {
    let grain = bag.pattern().piece_of(copy).grain;
    let texture = bag.outer.texture(copy, Side::Right);
    Fill::Cloth(texture, bag.outer.lay(&bag.eye, facet, grain))
}

/// What of a part lies on one facet, in its coordinates.
struct Part<'b> {
    facet: &'b Facet,
    outline: Vec<Point>,
}

/// A part on the facets of its panel that are turned to the eye or away from it; one that reaches
/// beyond its panel is drawn whole, in the plane of the facet under its middle.
fn on_facets<'b>(
    bag: &'b Bag<'_, '_>,
    facet: &'b Facet,
    shown: &Shown,
    near: bool,
) -> Vec<Part<'b>> {
    let whole: Vec<Point> = shown.outline.iter().map(|at| at.to_mm()).collect();
    let parts: Vec<Part<'_>> = bag
        .outer
        .facets
        .iter()
        .filter(|it| it.copy == shown.on)
        .map(|facet| Part { facet, outline: common(&whole, &facet.polygon) })
        .filter(|part| part.outline.len() > 2 && area(&part.outline) > 1.0)
        .collect();
    let found: f64 = parts.iter().map(|part| area(&part.outline)).sum();
    if found < area(&whole).abs() * 0.98 {
        let seen = bag.outer.is_near(&bag.eye, facet) == near;
        return seen.then_some(Part { facet, outline: whole }).into_iter().collect();
    }
    parts.into_iter().filter(|part| bag.outer.is_near(&bag.eye, part.facet) == near).collect()
}

/// An outline moved inwards; nothing for one that is too small for it.
fn drawn_in(outline: &[Point], inset: f64) -> Vec<Point> {
    let count = outline.len().max(1) as f64;
    let sum = outline.iter().fold(kurbo::Vec2::ZERO, |sum, at| sum + at.to_vec2());
    let middle = (sum / count).to_point();
    let reach = |of: fn(&Point) -> f64| {
        let all = outline.iter().map(of);
        all.clone().fold(f64::MIN, f64::max) - all.fold(f64::MAX, f64::min)
    };
    if reach(|at| at.x) < inset * 5.0 || reach(|at| at.y) < inset * 5.0 {
        return Vec::new();
    }
    let towards =
        |value: f64, middle: f64| if value > middle { value - inset } else { value + inset };
    outline.iter().map(|at| Point::new(towards(at.x, middle.x), towards(at.y, middle.y))).collect()
}

/// A place before the front as it is when what lies there is thrown back.
fn thrown_back(bag: &Bag<'_, '_>, at: Space) -> Space {
    let (low, high) = bag.box_in_space();
    // A flap that is wider than the back reaches round to its sides only where it lies on them.
    Space { x: at.x.clamp(low.x, high.x), y: low.y + high.y - at.y, ..at }
}

/// The way of a flap over the mouth, from the back rim to the front rim.
fn over(bag: &Bag<'_, '_>, scene: &mut Scene, shown: &Shown) {
    let (Some(copy), Some(facet)) = (shown.of, facet_of(bag, shown)) else { return };
    let (low, high) = bag.box_in_space();
    // Its corners at the rim.
    let at_rim: Vec<Space> = shown
        .outline
        .iter()
        .map(|at| bag.outer.place(facet, at.to_mm()))
        // A flap that is wider than the front goes round its corners.
        .map(|at| Space { x: at.x.clamp(low.x, high.x), ..at })
        .filter(|at| (at.z - high.z).abs() < 2.0)
        .collect();
    let (Some(first), Some(last)) = (
        at_rim.iter().copied().min_by(|a, b| a.x.total_cmp(&b.x)),
        at_rim.iter().copied().max_by(|a, b| a.x.total_cmp(&b.x)),
    ) else {
        return;
    };
    let corners = [first, last, thrown_back(bag, last), thrown_back(bag, first)];
    let seen = corners.map(|at| bag.eye.see(at));
    let texture = bag.outer.texture(copy, Side::Right);
    let fill = Fill::Cloth(texture, lay_between(bag, corners));
    scene.layer("closure").shape(closed(seen), fill, Some(LineKind::Edge));
}

/// Texture space laid on a level quadrilateral, its y axis from its first side to its third.
fn lay_between(bag: &Bag<'_, '_>, corners: [Space; 4]) -> Affine {
    let [a, b, _, d] = corners;
    let unit = |step: Space| step * (1.0 / step.length().max(1e-6));
    let origin = bag.eye.see(a);
    let see = |way: Space| (bag.eye.see(a + way) - origin) / bag.eye.scale;
    let (x, y) = (see(unit(b - a)), see(unit(d - a)));
    Affine::new([x.x, x.y, y.x, y.y, origin.x, origin.y])
}

/// Strips that are doubled and caught with both long edges at the rim, and so reach across the mouth:
/// the strip, how long it is and how wide. A handle has both ends at the rim, too, each as long as the
/// strip that it is folded from is wide.
fn strips(work: &Assembly<'_>) -> Vec<(CopyId, f64, f64)> {
    let handles: Vec<CopyId> = work.pattern.claims.handles.iter().map(|it| it.strap).collect();
    let doubled = work.riders.iter().filter(|rider| {
        if handles.contains(&rider.what) {
            return false;
        }
        let own = |host: usize| rider.level.iter().filter(|(_, at)| *at == host).count();
        rider.level.iter().any(|(_, host)| own(*host) > 1)
    });
    doubled
        .map(|rider| {
            let net = &work.pattern.piece_of(rider.what).net;
            let long = rider.level.first().map_or(Length::ZERO, |(own, _)| net.edge_length(*own));
            let (wide, high) = net.size();
            let across = if long == wide { high } else { wide };
            (rider.what, long.to_mm(), across.to_mm() / 2.0)
        })
        .collect()
}

/// A panel that lies across the mouth: two strips with a zip between them. Drawn apart, each strip
/// stands at its own side of the mouth.
pub(super) fn across(bag: &Bag<'_, '_>, scene: &mut Scene) {
    let (low, high) = bag.box_in_space();
    // A tab or a loop that is doubled at the rim is as short there as it is wide.
    let mut found = strips(bag.outer.work);
    found.retain(|(_, long, _)| *long > (high.x - low.x) * 0.4);
    let [(front, long, wide), (back, ..)] = found[..] else { return };
    let (middle, centre, level) = ((low.x + high.x) / 2.0, (low.y + high.y) / 2.0, high.z - 5.0);
    let at = |x: f64, y: f64| Space::new(middle + x, y, level);
    let open = bag.options.showing == Showing::Open;
    // Strips that are longer than the mouth is wide go round its corners.
    let half = (long / 2.0).min((high.x - low.x) / 2.0 - 3.0).max(1.0);
    let teeth = ((high.y - low.y) / 2.0 - wide).max(ZIP);
    for (copy, rim, sign) in [(back, high.y, 1.0), (front, low.y, -1.0)] {
        let inner = if open { rim - sign * wide * 0.4 } else { centre + sign * teeth };
        let corners = [at(-half, inner), at(half, inner), at(half, rim), at(-half, rim)];
        let texture = bag.outer.texture(copy, Side::Right);
        let fill = Fill::Cloth(texture, lay_between(bag, corners));
        let seen = corners.map(|it| bag.eye.see(it));
        scene.layer("mouth").shape(closed(seen), fill, Some(LineKind::Edge));
    }
    if open {
        return;
    }
    let corners = [at(-half, -teeth), at(half, -teeth), at(half, teeth), at(-half, teeth)]
        .map(|it| Space { y: it.y + centre, ..it });
    // The teeth run across the zip.
    let lay = lay_between(bag, corners) * Affine::rotate(std::f64::consts::FRAC_PI_2);
    let fill = Fill::Cloth(Texture::right(Cloth::Webbing), lay);
    let layer = scene.layer("mouth");
    let seen = corners.map(|it| bag.eye.see(it));
    layer.shape(closed(seen), fill, Some(LineKind::Edge));
    layer.line([at(-half, centre), at(half, centre)].map(|it| bag.eye.see(it)), LineKind::Edge);
}

/// How far the ends of a cord are drawn at most, in parts of the height of the bag.
const HANGS: f64 = 0.45;

/// The ends of the cords that come out of a casing on the outside, knotted.
fn cords(bag: &Bag<'_, '_>, scene: &mut Scene) {
    if bag.options.showing == Showing::Inside {
        return;
    }
    let (low, high) = bag.box_in_space();
    let threaded = bag.pattern().steps.iter().find_map(|step| step.as_a::<ThreadDrawstring>());
    let Some(threaded) = threaded else { return };
    // What a cord has beyond its way round the mouth comes out of it, half at either end.
    let beyond = (threaded.length - threaded.casing.length()).half().to_mm();
    let hangs = beyond.clamp(0.0, (high.z - low.z) * HANGS);
    let in_casing = threaded.casing.copies();
    let shows = bag.pattern().claims.closures.iter().flat_map(|it| &it.shows);
    // A strip of its own, and no hem that a cord runs in.
    let strips = shows.filter(|it| it.of != Some(it.on));
    for shown in strips.filter(|it| it.of.is_some_and(|of| in_casing.contains(&of))) {
        let points: Vec<Point> = shown.outline.iter().map(|at| at.to_mm()).collect();
        let reach = |of: fn(&Point) -> f64| {
            let all = points.iter().map(of);
            (all.clone().fold(f64::MAX, f64::min), all.fold(f64::MIN, f64::max))
        };
        let ((x0, x1), (y0, y1)) = (reach(|at| at.x), reach(|at| at.y));
        let middle = f64::midpoint(y0, y1);
        for (x, sign) in [(x0, 1.0), (x1, -1.0)] {
            // A casing may reach round to the sides.
            let at = Point::new(x + sign, middle);
            let Some(facet) = bag.outer.facet_near(shown.on, at) else { continue };
            if !bag.outer.is_near(&bag.eye, facet) || hangs < 5.0 {
                continue;
            }
            for (side, share) in [(3.0, 1.0), (9.0, 0.88)] {
                // Out of the casing, and down with a bend.
                let (from, end) = (x, x + sign * side);
                let way: Vec<Point> = [(from, 0.0), (end, 0.02), (end, 0.1), (end, 1.0)]
                    .map(|(x, down)| Point::new(x, middle - hangs * share * down))
                    .into();
                let seen: Vec<Point> =
                    way.iter().map(|at| bag.eye.see(bag.outer.place(facet, *at))).collect();
                let layer = scene.layer("closure");
                let half = (threaded_width(bag) / 2.0 * bag.eye.scale).max(0.3);
                let ribbon = crate::straps::ribbon(&seen, half);
                layer.shape(closed(ribbon), Fill::Paper, Some(LineKind::Edge));
                if let Some(last) = seen.last() {
                    let knot = kurbo::Circle::new(*last, half * 2.0);
                    let knot = kurbo::Shape::to_path(&knot, 0.05);
                    layer.shape(knot, Fill::Paper, Some(LineKind::Edge));
                }
            }
        }
    }
}

/// The thickness of the cord that is threaded, in mm: that of the only cord there is.
fn threaded_width(bag: &Bag<'_, '_>) -> f64 {
    use bag::pattern::Look;
    let pattern = bag.pattern();
    let cords =
        pattern.pieces.iter().filter(|it| pattern.material(it.material).look == Look::Webbing);
    let narrow = cords.map(|it| it.net.size().0.min(it.net.size().1)).min();
    narrow.map_or(4.0, Length::to_mm)
}
