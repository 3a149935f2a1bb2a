//! Something of known size beside the bag: a person who carries it, or a sheet of paper.

use kurbo::{Affine, BezPath, Point, Rect, Vec2};
use measure::{Length, System};

use super::{Bag, MEASURES};
use crate::line::LineKind;
use crate::scene::{Fill, Item, Scene, closed};
use crate::space::{Eye, Space};
use crate::text::Text;

/// The right half of a standing figure from the crown of the head down, in parts of its height: a
/// figure of seven and a half heads, its arms at its sides. Common practice of figure drawing, no
/// source.
const FIGURE: [(f64, f64); 30] = [
    (0.000, 1.000),
    (0.030, 0.990),
    (0.046, 0.960),
    (0.044, 0.925),
    (0.030, 0.885),
    (0.028, 0.855),
    (0.060, 0.832),
    (0.110, 0.815),
    (0.134, 0.785),
    (0.143, 0.700),
    (0.150, 0.620),
    (0.158, 0.530),
    (0.165, 0.455),
    (0.160, 0.400),
    (0.145, 0.385),
    (0.138, 0.430),
    (0.132, 0.520),
    (0.120, 0.620),
    (0.104, 0.725),
    (0.092, 0.640),
    (0.092, 0.590),
    (0.108, 0.510),
    (0.100, 0.390),
    (0.078, 0.280),
    (0.080, 0.210),
    (0.052, 0.050),
    (0.085, 0.008),
    (0.030, 0.000),
    (0.024, 0.060),
    (0.014, 0.470),
];
/// Height of the shoulder on which a strap lies, of the closed hand, and how far each is from the
/// middle, in parts of the height of the person.
const SHOULDER: (f64, f64) = (0.095, 0.822);
const HAND: (f64, f64) = (0.155, 0.41);
/// A strap with this drop or more, in mm, goes over a shoulder (common practice, no source).
const OVER_SHOULDER: f64 = 220.0;
/// Room below for the words.
const WORDS: f64 = 6.0;

/// The name of the sheet that a reader has.
pub(super) const fn sheet_name(system: System) -> &'static str {
    match system {
        System::Inch => "Letter",
        System::Metric => "A4",
    }
}

/// A sheet of paper stands to the left of the bag, level with its front.
pub(super) fn sheet(bag: &mut Bag<'_, '_>, scene: &mut Scene) {
    // ISO 216, and ANSI/ASME Y14.1.
    let (wide, high) = match bag.options.system {
        System::Inch => (215.9, 279.4),
        System::Metric => (210.0, 297.0),
    };
    let (low, _) = bag.box_in_space();
    let right = low.x - 40.0;
    let corners = [(right - wide, 0.0), (right, 0.0), (right, high), (right - wide, high)]
        .map(|(x, z)| Space::new(x, low.y, low.z + z));
    bag.fit(bag.options, |bag| {
        corners.iter().fold(bag.extent(), |all, at| all.union_pt(bag.eye.see(*at)))
    });
    let seen = corners.map(|at| bag.eye.see(at));
    let layer = scene.layer("sheet");
    layer.shape(closed(seen), Fill::Paper, Some(LineKind::Dimension));
    let middle = seen[0].midpoint(seen[2]);
    layer.text(Text::new(sheet_name(bag.options.system), middle));
    bag.paint(scene);
}

/// A person carries the bag: over the shoulder, in the hand, or on the back.
pub(super) fn person(bag: &mut Bag<'_, '_>, scene: &mut Scene, height: Length) {
    let tall = height.to_mm().max(1.0);
    let room = bag.options.room;
    let measures = if bag.options.measures { MEASURES } else { 0.0 };
    let claims = &bag.pattern().claims;
    let on_back = claims.handles.iter().any(|handle| handle.stands_out);
    bag.worn = on_back;
    let drop = claims.handles.iter().map(|handle| handle.drop.to_mm()).fold(0.0, f64::max);
    // Where on the person it is held, from the middle of the feet, y upwards.
    let hold = if on_back {
        (0.0, 0.80)
    } else if drop >= OVER_SHOULDER {
        SHOULDER
    } else {
        HAND
    };
    // The figure is drawn upright, whatever the view; feet at the origin.
    let place = |bag: &Bag<'_, '_>, scale: f64| -> Vec2 {
        let at = bag.held_at();
        let held = if claims.handles.is_empty() {
            // Without handles it stands on the floor beside the person.
            let (low, high) = bag.box_in_space();
            let foot = bag.eye.see(Space::new((low.x + high.x) / 2.0, low.y, low.z));
            return Vec2::new((tall * 0.2 + (high.x - low.x) / 2.0) * scale, 0.0) - foot.to_vec2();
        } else {
            Point::new(hold.0 * tall * scale, -hold.1 * tall * scale)
        };
        held - at
    };
    bag.eye = Eye::new(bag.view.turn, bag.view.rise, 1.0);
    let body = Rect::new(-0.17 * tall, -tall, 0.17 * tall, 0.0);
    let whole = body.union(bag.extent() + place(bag, 1.0));
    let scale = ((room.0 - 2.0 * measures) / whole.width().max(1.0))
        .min((room.1 - measures - WORDS) / whole.height().max(1.0));
    bag.eye = Eye::new(bag.view.turn, bag.view.rise, scale);
    let by = place(bag, scale);
    let layer = scene.layer("person");
    layer.shape(Affine::scale(scale) * figure(tall), Fill::Paper, Some(LineKind::Edge));
    let words = format!("{} tall", show_height(height, bag.options.system));
    layer.text(Text::new(words, Point::new(0.0, 4.0)));
    let mut own = Scene::new("own", "", "");
    bag.paint(&mut own);
    for layer in own.layers {
        let moved: Vec<Item> =
            layer.items.iter().map(|item| item.moved(Affine::translate(by))).collect();
        scene.layer(&layer.name).items.extend(moved);
    }
}

/// The height of a person as people say it: feet and inches, or centimetres.
pub(super) fn show_height(height: Length, system: System) -> String {
    match system {
        System::Inch => {
            let inches = (height.to_nm() + Length::INCH.to_nm() / 2) / Length::INCH.to_nm();
            format!("{} ft {} in", inches / 12, inches % 12)
        }
        System::Metric => {
            let cm = (height.to_nm() + Length::mm(5).to_nm()) / Length::mm(10).to_nm();
            format!("{cm} cm")
        }
    }
}

/// The outline of a person of that height, feet at the origin, y downwards.
fn figure(tall: f64) -> BezPath {
    let right = FIGURE.iter().map(|(x, y)| Point::new(x * tall, -y * tall));
    let left = FIGURE.iter().skip(1).rev().map(|(x, y)| Point::new(-x * tall, -y * tall));
    let points: Vec<Point> = right.chain(left).collect();
    // A smooth curve through all of them: Catmull–Rom, its tangents a sixth of the way between the
    // neighbours (textbook conversion to Bézier curves).
    let count = points.len();
    let at = |index: usize| points[index % count];
    let mut path = BezPath::new();
    path.move_to(at(0));
    for index in 0..count {
        let (before, from, to, after) =
            (at(index + count - 1), at(index), at(index + 1), at(index + 2));
        path.curve_to(from + (to - before) / 6.0, to - (after - from) / 6.0, to);
    }
    path.close_path();
    path
}
