//! The squares by which a print is checked.

use kurbo::{Point, Rect, Shape};
use measure::Length;

use crate::line::LineKind;
use crate::scene::{Fill, Scene};
use crate::text::Text;

/// Side of the square in inches.
const INCHES: i64 = 3;
/// Side of the square in centimetres.
const CENTIMETRES: i64 = 8;

/// Two squares side by side, 3 in and 8 cm, with a mark at every inch and centimetre.
pub fn test_squares() -> Scene {
    let mut scene = Scene::new(
        "test-squares",
        "Test squares",
        format!(
            "A square of {INCHES} in and a square of {CENTIMETRES} cm, with a mark at every inch and \
             centimetre."
        ),
    );
    let inch = (Length::inch(1), INCHES, format!("{INCHES} in"));
    let centimetre = (Length::mm(10), CENTIMETRES, format!("{CENTIMETRES} cm"));
    let mut x = 0.0;
    for (unit, count, words) in [inch, centimetre] {
        let side = (unit * count).to_mm();
        let square = Rect::new(x, 0.0, x + side, side);
        scene.layer("squares").shape(square.to_path(0.1), Fill::None, Some(LineKind::Edge));
        for at in 1..count {
            let along = (unit * at).to_mm();
            let ticks = scene.layer("ticks");
            ticks.line(
                [Point::new(x + along, side), Point::new(x + along, side - 3.0)],
                LineKind::Thin,
            );
            ticks.line([Point::new(x, along), Point::new(x + 3.0, along)], LineKind::Thin);
        }
        scene.layer("words").text(Text::new(words, square.center()).bold());
        x += side + 10.0;
    }
    scene
}
