//! The zips that close the finished bag: along the rim of a flat one, or between two of its edges, whose
//! mouth is seen when it is open.

use bag::assembly::Event;
use bag::operations::{FaceSide, JoinOverZip, SetZip, ZipInto};
use bag::pattern::{CopyId, Run};
use kurbo::Point;

use super::{Bag, Showing};
use crate::facets::common;
use crate::folding::lies_on_side;
use crate::line::LineKind;
use crate::scene::{Fill, Scene, closed};
use crate::tape::{Tape, sides_of};
use crate::texture::{Cloth, Side, Texture};

/// How high the chain of a zip stands above the rim of a flat bag, and its pull, in mm of cloth.
const CHAIN: f64 = 5.0;
const PULL: (f64, f64) = (5.0, 14.0);

/// The zip that closes a flat bag along its rim: seen from the side, its chain stands above the edges
/// that are sewn to it.
pub(super) fn at_rim(bag: &Bag<'_, '_>, scene: &mut Scene) {
    let outer = &bag.outer;
    if bag.options.showing == Showing::Inside || !outer.is_flat() {
        return;
    }
    let zipped: Vec<CopyId> = bag
        .pattern()
        .steps
        .iter()
        .flat_map(|step| {
            let between =
                step.as_a::<SetZip>().is_some_and(|zip| matches!(zip.into, ZipInto::Edges(..)));
            let is_zip = between || step.as_a::<JoinOverZip>().is_some();
            if is_zip { step.operation.copies() } else { Vec::new() }
        })
        .collect();
    for (facet, a, b) in outer.rim() {
        if !zipped.contains(&facet.copy) || !outer.is_near(&bag.eye, facet) {
            continue;
        }
        // The rim runs from right to left, the outline being counter-clockwise.
        let along = (b - a) / crate::space::length_of(b - a).max(1e-9);
        let up = kurbo::Vec2::new(along.y, -along.x);
        let band = [a, b, b + up * CHAIN, a + up * CHAIN];
        let lay = outer.lay(&bag.eye, facet, bag::pattern::Grain::Crosswise);
        let fill = Fill::Cloth(Texture::right(Cloth::Webbing), lay);
        let layer = scene.layer("closure");
        layer.shape(closed(outer.seen(&bag.eye, facet, &band)), fill, Some(LineKind::Edge));
        let open = bag.options.showing == Showing::Open;
        let at = a.lerp(b, if open { 0.04 } else { 0.9 }) + up * CHAIN * 0.5;
        let (half, down) = (along * PULL.0 * 0.5, up * -PULL.1);
        let pull = [at - half, at + half, at + half + down, at - half + down];
        layer.shape(closed(outer.seen(&bag.eye, facet, &pull)), Fill::Paper, Some(LineKind::Edge));
    }
}

/// How far beside the seam the chain of a zip reaches where its two edges meet, in mm of cloth.
const BESIDE: f64 = 8.0;

/// The zip between two edges of a bag that is not flat: its tape lies between them, or its chain over
/// both where they meet. Open, its mouth is seen.
pub(super) fn between(bag: &Bag<'_, '_>, scene: &mut Scene) {
    let outer = &bag.outer;
    if bag.options.showing == Showing::Inside || outer.is_flat() {
        return;
    }
    // That of a pocket lies between two parts of the pocket, which are no panels.
    let of_panels = |sides: &[Run; 2]| {
        let spans = sides.iter().flat_map(|run| run.spans.first());
        spans.into_iter().all(|span| outer.facet_of(span.copy).is_some())
    };
    let sides = bag.pattern().steps.iter().filter_map(sides_of).find(of_panels);
    let Some(sides) = sides else { return };
    let open = bag.options.showing == Showing::Open;
    let tape = Tape::of(outer).filter(|tape| outer.is_near(&bag.eye, tape.beside));
    if let Some(tape) = &tape {
        if !open {
            closed_by(bag, scene, tape);
            return;
        }
        // Between its edges one looks into the bag.
        let panel = tape.beside.copy;
        let lay = outer.lay(&bag.eye, tape.beside, bag.pattern().piece_of(panel).grain);
        let fill = Fill::Cloth(inner_side(bag, panel), lay);
        scene.layer("closure").shape(closed(tape.outline(&bag.eye)), fill, None);
    }
    if lies_on_side(bag.pattern()) {
        return;
    }
    for span in sides.iter().flat_map(|run| &run.spans) {
        chain(bag, scene, span, open);
    }
}

/// The tape of a zip that is closed, with its pull.
fn closed_by(bag: &Bag<'_, '_>, scene: &mut Scene, tape: &Tape<'_>) {
    let layer = scene.layer("closure");
    tape.paint(&bag.outer, &bag.eye, layer);
    // The run goes from right to left: the pull lies at its end, where it is closed.
    let (from, to) = (0.92, 0.92 - PULL.1 / tape.long());
    let pull = [(from, 0.35), (to, 0.35), (to, 0.65), (from, 0.65)];
    let pull = pull.map(|(along, across)| bag.eye.see(tape.at(along, across)));
    layer.shape(closed(pull), Fill::Paper, Some(LineKind::Edge));
}

/// What is seen of the inside of a panel: what was laid on its wrong side, a lining, or itself.
fn inner_side(bag: &Bag<'_, '_>, panel: CopyId) -> Texture {
    let lies_there = bag.outer.work.events.iter().find_map(|(_, event)| match event {
        Event::Placed { what, onto, face_up, ground: FaceSide::Wrong, feet, .. }
            if *onto == panel && feet.is_empty() =>
        {
            let side = if *face_up == FaceSide::Right { Side::Right } else { Side::Wrong };
            Some(bag.outer.texture(*what, side))
        }
        _ => None,
    });
    match lies_there {
        Some(texture) => texture,
        None if bag.lined => Texture::right(Cloth::Lining),
        None => bag.outer.texture(panel, Side::Wrong),
    }
}

/// How far the edges of an open zip stand apart in the middle, either of them, in parts of its length.
const GAPES: f64 = 0.12;

/// One side of the chain of a zip, beside the edge to which it is sewn; open, half of the mouth between
/// its edges, narrow at the ends.
fn chain(bag: &Bag<'_, '_>, scene: &mut Scene, span: &bag::pattern::Span, open: bool) {
    let outer = &bag.outer;
    let edge = bag.pattern().piece_of(span.copy).net.edge(span.edge);
    let (low, high) = span.ordered();
    let [from, to] = [low, high].map(|along| edge.point_along(along).to_mm());
    let way = (to - from) / crate::space::length_of(to - from).max(1e-9);
    let inwards = kurbo::Vec2::new(-way.y, way.x);
    let middle = from.midpoint(to) + inwards * BESIDE;
    let Some(facet) = outer.facet_near(span.copy, middle) else { return };
    if !outer.is_near(&bag.eye, facet) {
        return;
    }
    let band = |from: Point, to: Point, wide: f64| {
        common(&[from, to, to + inwards * wide, from + inwards * wide], &facet.polygon)
    };
    let layer = scene.layer("closure");
    let strip = band(from, to, BESIDE);
    if strip.len() > 2 && !open {
        let shape = closed(outer.seen(&bag.eye, facet, &strip));
        layer.shape(shape, Fill::Paper, Some(LineKind::Thin));
    }
    let reaches = || strip.iter().map(|at| (*at - from).dot(way));
    let reach = reaches().fold(f64::MAX, f64::min);
    if open {
        let long = reaches().fold(f64::MIN, f64::max) - reach;
        let deep = facet.polygon.iter().map(|at| (*at - from).dot(inwards)).fold(0.0, f64::max);
        let gapes = (long * GAPES).min(deep * 0.7);
        let bend = |gapes: f64| {
            (0..=16).map(move |part| {
                let share = f64::from(part) / 16.0;
                from + way * (reach + long * share)
                    + inwards * gapes * (4.0 * share * (1.0 - share))
            })
        };
        let mouth: Vec<Point> = bend(gapes).collect();
        // Where its own edge was, the mouth goes on on the other side.
        let lay = outer.lay(&bag.eye, facet, bag.pattern().piece_of(span.copy).grain);
        let fill = Fill::Cloth(inner_side(bag, span.copy), lay);
        layer.shape(closed(outer.seen(&bag.eye, facet, &mouth)), fill, None);
        // The tape, up to the seam.
        let tape: Vec<Point> = bend(gapes).chain(bend(gapes - BESIDE.min(gapes)).rev()).collect();
        layer.shape(closed(outer.seen(&bag.eye, facet, &tape)), Fill::Paper, Some(LineKind::Thin));
        return;
    }
    // The pull lies at the end where the zip is closed, on the front.
    let start = from + way * (reach + PULL.1);
    let pull = band(start, start + way * PULL.1 * 1.5, BESIDE * 0.7);
    if pull.len() > 2 && Some(&span.copy) == bag.outer.facets.first().map(|it| &it.copy) {
        let shape = closed(outer.seen(&bag.eye, facet, &pull));
        layer.shape(shape, Fill::Paper, Some(LineKind::Edge));
    }
}

#[cfg(test)]
mod tests {
    use bag::design::Design;
    use measure::{System, Units};

    use super::super::FinishedOptions;
    use super::*;

    /// A pouch whose zip lies along its top is seen open: its mouth, and in it its inside.
    #[test]
    fn an_open_pouch_shows_its_mouth() {
        let body = bag::bodies::ALL.iter().find(|it| it.name() == "boxed-pouch").unwrap();
        let pattern = bag::draft(&Design::of(*body, Units::Mm)).pattern.unwrap();
        let shapes = |showing| {
            let options =
                FinishedOptions { showing, ..FinishedOptions::new(System::Metric, (100.0, 100.0)) };
            let scene = super::super::draw(&pattern, options);
            let layer = scene.layers.iter().find(|it| it.name == "closure");
            layer.map_or(0, |it| it.items.len())
        };
        // What is seen between its edges, and two halves, each its inside and its tape.
        assert_eq!(shapes(Showing::Open), 5);
        assert_eq!(shapes(Showing::Inside), 0);
        assert!(shapes(Showing::Closed) > 0);
    }
}
