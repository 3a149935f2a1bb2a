//! The numbered cuts of a layout in strips: each a line from edge to edge of what it cuts, with its
//! number in a ring where it begins.

use kurbo::{Circle, Point, Rect, Shape};

use crate::line::LineKind;
use crate::scene::{Fill, Scene};
use crate::text::{Text, size};

/// How far apart the places are that are tried for a number, in mm.
const PITCH: f64 = 1.5;
/// Room around a number within its ring, in mm.
const ROOM: f64 = 0.6;

/// Draws the cuts, in order, over what is there already. A number moves along its line until it
/// covers no other lettering; one for which there is no room is left out, as the cuts are listed in
/// words as well.
pub(crate) fn draw(scene: &mut Scene, cuts: &[(Point, Point)]) {
    let mut taken: Vec<Rect> = scene.texts().map(frame_of).collect();
    let mut rings = Vec::new();
    for (number, &(from, to)) in (1..).zip(cuts) {
        scene.layer("cuts").line([from, to], LineKind::Cut);
        let text = Text::new(format!("{number}"), Point::ZERO).sized(size::NOTE);
        let radius = (text.width() / 2.0).max(size::NOTE * 0.4) + ROOM;
        // Cuts run along the fabric or across it.
        let reach = (to.x - from.x).abs() + (to.y - from.y).abs();
        let along = (to - from) / reach.max(PITCH);
        let steps = (0..).map(|step| radius + f64::from(step) * PITCH);
        let found = steps.take_while(|at| at + radius <= reach).find_map(|at| {
            let ring = Circle::new(from + along * at, radius);
            let frame = ring.bounding_box();
            let is_free = taken.iter().all(|other| other.intersect(frame).is_zero_area());
            is_free.then_some(ring)
        });
        if let Some(ring) = found {
            taken.push(ring.bounding_box());
            rings.push((ring, text));
        }
    }
    let layer = scene.layer("cut-numbers");
    for (ring, text) in rings {
        layer.shape(ring.to_path(0.01), Fill::Paper, Some(LineKind::Dimension));
        layer.text(Text { at: ring.center, ..text });
    }
}

/// The level box around a text.
fn frame_of(text: &Text) -> Rect {
    let [first, others @ ..] = text.corners();
    others.into_iter().fold(Rect::from_points(first, first), |frame, corner| frame.union_pt(corner))
}
