//! The key to the drawings: a small sample of each kind of line, mark and texture, with its
//! meaning in words.

use kurbo::{Affine, Point, Rect, Shape as _, Vec2};

use crate::line::LineKind;
use crate::marks;
use crate::scene::{Fill, Layer, Scene, closed};
use crate::steps::icons;
use crate::texture::{Cloth, Side, Texture};

/// A sample and what it means.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The sample.
    pub scene: Scene,
    /// What it means, without a full stop.
    pub meaning: &'static str,
}

/// Size of a sample, width × height in mm.
const SAMPLE: (f64, f64) = (26.0, 11.0);

/// Every kind of line and mark that pieces and layouts are drawn with.
pub fn lines() -> Vec<Entry> {
    let line = |kind: LineKind| {
        move |layer: &mut Layer| {
            let y = SAMPLE.1 / 2.0;
            layer.line([Point::new(1.0, y), Point::new(SAMPLE.0 - 1.0, y)], kind);
        }
    };
    let middle = Point::new(SAMPLE.0 / 2.0, SAMPLE.1 / 2.0);
    vec![
        entry("cut", "cut here", line(LineKind::Cut)),
        entry(
            "stitch",
            "sew here; between it and the cutting line lies the seam allowance",
            line(LineKind::Stitch),
        ),
        entry("fold", "fold here", line(LineKind::Fold)),
        entry("place", "something is placed here", line(LineKind::Place)),
        entry("grain", "grain: lay it along the selvedge", move |layer| {
            marks::grain(layer, middle, Vec2::new(1.0, 0.0), 22.0);
        }),
        entry("notch", "notch: a short snip within the allowance, to match", move |layer| {
            let edge = Point::new(middle.x, middle.y - 2.0);
            layer.line([edge - Vec2::new(10.0, 0.0), edge + Vec2::new(10.0, 0.0)], LineKind::Cut);
            marks::notch(layer, edge, Vec2::new(0.0, 1.0));
        }),
        entry("opening", "leave open between the bars", move |layer| {
            for side in [-6.0, 6.0] {
                let foot = middle + Vec2::new(side, 0.0);
                layer.line([foot, foot + Vec2::new(side, 0.0)], LineKind::Stitch);
                layer
                    .line([foot - Vec2::new(0.0, 2.0), foot + Vec2::new(0.0, 2.0)], LineKind::Edge);
            }
        }),
        entry("box", "sew a box and a cross in it", move |layer| {
            let frame = Rect::from_center_size(middle, (8.0, 8.0));
            layer.shape(frame.to_path(0.1), Fill::None, Some(LineKind::Stitch));
            layer.line(
                [Point::new(frame.x0, frame.y0), Point::new(frame.x1, frame.y1)],
                LineKind::Thin,
            );
            layer.line(
                [Point::new(frame.x1, frame.y0), Point::new(frame.x0, frame.y1)],
                LineKind::Thin,
            );
        }),
        entry("selvedge", "selvedge, the woven edge of the fabric", move |layer| {
            for y in [middle.y - 0.7, middle.y + 0.7] {
                let ends = [Point::new(1.0, y), Point::new(SAMPLE.0 - 1.0, y)];
                layer.line(ends, LineKind::Selvedge);
            }
        }),
        entry("size", "a size, from arrow to arrow", move |layer| {
            let (a, b) = (middle - Vec2::new(11.0, 0.0), middle + Vec2::new(11.0, 0.0));
            marks::dimension_across(layer, a, b, middle.y, "");
        }),
    ]
}

/// What the pictures of steps show besides.
pub fn signs() -> Vec<Entry> {
    let line = |kind: LineKind| {
        move |layer: &mut Layer| {
            let y = SAMPLE.1 / 2.0;
            layer.line([Point::new(1.0, y), Point::new(SAMPLE.0 - 1.0, y)], kind);
        }
    };
    let middle = Point::new(SAMPLE.0 / 2.0, SAMPLE.1 / 2.0);
    vec![
        entry("new", "new in this step: what is cut, folded or laid on", line(LineKind::New)),
        entry("sewing", "stitches of this step", line(LineKind::Sewing)),
        entry("sewn", "stitches of a step before", line(LineKind::Sewn)),
        entry("hidden", "an edge that lies behind something", line(LineKind::Hidden)),
        entry("motion", "it moves, turns or is folded this way", move |layer| {
            let (from, to) = (middle - Vec2::new(10.0, 0.0), middle + Vec2::new(7.0, 0.0));
            layer.line([from, to], LineKind::Motion);
            let head =
                [to + Vec2::new(3.0, 0.0), to + Vec2::new(0.0, 1.1), to - Vec2::new(0.0, 1.1)];
            layer.shape(closed(head), Fill::Ink, None);
        }),
        entry("pin", "pin it here", move |layer| {
            let edge = middle + Vec2::new(0.0, 2.4);
            layer.line([edge - Vec2::new(10.0, 0.0), edge + Vec2::new(10.0, 0.0)], LineKind::Edge);
            icons::pin(layer, edge, Vec2::new(0.0, -1.0));
        }),
        entry("iron", "press with an iron", move |layer| {
            icons::iron(layer, middle + Vec2::new(0.0, 3.4));
        }),
        entry("scissors", "cut or snip here", move |layer| {
            icons::scissors(layer, middle - Vec2::new(5.0, 0.0), Vec2::new(-1.0, 0.0));
        }),
        entry("needle", "sew by hand", move |layer| {
            icons::needle(layer, middle - Vec2::new(6.0, 0.0));
        }),
    ]
}

/// The textures of some cloths, and of left-over fabric.
pub fn cloths(textures: &[Texture]) -> Vec<Entry> {
    textures
        .iter()
        .map(|texture| {
            let meaning = match (texture.cloth, texture.side) {
                (Cloth::Outside, Side::Right) => "outside fabric, right side",
                (Cloth::Outside, Side::Wrong) => "outside fabric, wrong side",
                (Cloth::Lining, Side::Right) => "lining, right side",
                (Cloth::Lining, Side::Wrong) => "lining, wrong side",
                (Cloth::Contrast, Side::Right) => "contrast fabric, right side",
                (Cloth::Contrast, Side::Wrong) => "contrast fabric, wrong side",
                (Cloth::Interfacing, _) => "interfacing",
                (Cloth::Webbing, _) => "webbing",
                (Cloth::Waste, _) => "fabric left over: blank",
            };
            entry(&texture.name(), meaning, move |layer| {
                let frame = Rect::new(0.5, 0.5, SAMPLE.0 - 0.5, SAMPLE.1 - 0.5);
                let fill = Fill::Cloth(*texture, Affine::IDENTITY);
                layer.shape(frame.to_path(0.1), fill, Some(LineKind::Edge));
            })
        })
        .collect()
}

/// A sample, drawn by `draw` within an invisible frame that makes all samples the same size.
fn entry(id: &str, meaning: &'static str, draw: impl Fn(&mut Layer)) -> Entry {
    let mut scene =
        Scene::new(format!("key-{id}"), meaning, format!("A sample of the drawings: {meaning}."));
    scene.margin = 0.0;
    let frame = Rect::new(0.0, 0.0, SAMPLE.0, SAMPLE.1);
    scene.layer("frame").shape(frame.to_path(0.1), Fill::Paper, None);
    draw(scene.layer("sample"));
    Entry { scene, meaning }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_are_of_one_size_and_names_are_unique() {
        let textures: Vec<Texture> = Cloth::ALL
            .into_iter()
            .flat_map(|cloth| [Texture::right(cloth), Texture::wrong(cloth)])
            .collect();
        let all: Vec<Entry> = lines().into_iter().chain(signs()).chain(cloths(&textures)).collect();
        for entry in &all {
            assert_eq!(entry.scene.bounds().size(), SAMPLE.into(), "{}", entry.meaning);
        }
        let mut meanings: Vec<_> = lines().iter().map(|entry| entry.meaning).collect();
        meanings.sort_unstable();
        meanings.dedup();
        assert_eq!(meanings.len(), lines().len());
    }
}
