//! Outlines in a cutting job: corners in millimetres, in order round the piece either way.

use measure::{Length, Outline, Point};
use serde_json::Value;

use super::fields::Troubles;

/// More corners than this are not taken; they would be finer than any cloth.
const MOST_CORNERS: usize = 5_000;

/// No corner lies farther from the origin, in millimetres: a kilometre.
const FARTHEST: f64 = 1_000_000.0;

/// Reads `[[x, y], …]`: at least three corners of a polygon that does not cross or touch itself. The
/// last corner may repeat the first.
pub(super) fn read(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Outline> {
    const WANTED: &str = "must be a list of at least three corners, [[x, y], …] in mm";
    let Some(corners) = value.as_array() else {
        troubles.add(at, WANTED);
        return None;
    };
    if corners.len() > MOST_CORNERS {
        troubles.add(at, &format!("has more than {MOST_CORNERS} corners; leave some out"));
        return None;
    }
    let mut points = Vec::with_capacity(corners.len());
    for (index, corner) in corners.iter().enumerate() {
        let Some(point) = point(corner) else {
            let what = "must be a corner, [x, y] in mm, each within 1000000 of 0";
            troubles.add(&format!("{at}[{index}]"), what);
            return None;
        };
        points.push(point);
    }
    points.dedup();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    if points.len() < 3 {
        troubles.add(at, WANTED);
        return None;
    }
    let outline = Outline::polygon(points.iter().copied())
        .or_else(|_| Outline::polygon(points.iter().rev().copied()));
    match outline {
        Ok(outline) if outline.is_simple() => Some(outline),
        Ok(_) => {
            troubles
                .add(at, "crosses or touches itself; give the corners in order round the piece");
            None
        }
        Err(_) => {
            troubles.add(at, "encloses nothing; give the corners in order round the piece");
            None
        }
    }
}

fn point(value: &Value) -> Option<Point> {
    let coordinate = |value: &Value| {
        let mm = value.as_f64().filter(|mm| mm.abs() <= FARTHEST);
        mm.map(Length::from_mm_f64)
    };
    match value.as_array()?.as_slice() {
        [x, y] => Some(Point::new(coordinate(x)?, coordinate(y)?)),
        _ => None,
    }
}
