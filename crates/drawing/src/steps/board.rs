//! The board on which a picture of a step is put together: the drawing, and beside it a column of
//! labels with leaders, so that no label lies on another or on the work.

use kurbo::{Point, Rect, Vec2};

use crate::line::LineKind;
use crate::marks;
use crate::scene::{Fill, Item, Layer, Scene};
use crate::text::{Anchor, Text, Weight, size, width};

/// The layers of a picture, lowest first.
const LAYERS: [&str; 11] = [
    "work", "corner", "riders", "new", "tools", "ear", "motion", "measures", "stages", "names",
    "labels",
];
/// Distance between the lines of one label, and between two labels, in mm.
const LINE: f64 = 3.9;
const APART: f64 = 2.2;
/// Room between the drawing and its labels, for the leaders.
const GUTTER: f64 = 5.0;
/// The narrowest column of labels.
const NARROWEST: f64 = 22.0;

/// A label on its way into the column.
struct Callout {
    at: Point,
    lines: Vec<String>,
}

/// A picture that is being put together, in mm on paper.
pub(super) struct Board {
    pub(super) scene: Scene,
    labels: Vec<(Point, String)>,
    /// How wide the whole may become.
    width: f64,
}

impl Board {
    pub(super) fn new(mut scene: Scene, width: f64) -> Self {
        for layer in LAYERS {
            scene.layer(layer);
        }
        Self { scene, labels: Vec::new(), width }
    }

    /// The layer of that name.
    pub(super) fn layer(&mut self, name: &str) -> &mut Layer {
        self.scene.layer(name)
    }

    /// Adds a label that points at a place; one text is written once.
    pub(super) fn label(&mut self, at: Point, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() && !self.labels.iter().any(|(_, known)| *known == text) {
            self.labels.push((at, text));
        }
    }

    /// Whether anything has been drawn.
    pub(super) fn is_empty(&self) -> bool {
        self.scene.layers.iter().all(|layer| layer.items.is_empty())
    }

    /// Sets the labels beside the drawing.
    pub(super) fn finish(mut self) -> Scene {
        let frame = self.frame();
        let room = (self.width - frame.width() - GUTTER - 2.0 * self.scene.margin).max(NARROWEST);
        let mut callouts: Vec<Callout> = std::mem::take(&mut self.labels)
            .into_iter()
            .map(|(at, text)| Callout { at, lines: wrapped(&text, room) })
            .collect();
        callouts.sort_by(|a, b| a.at.y.total_cmp(&b.at.y).then(b.at.x.total_cmp(&a.at.x)));
        let tall = |callout: &Callout| callout.lines.len() as f64 * LINE;
        let all: f64 = callouts.iter().map(tall).sum::<f64>()
            + APART * callouts.len().saturating_sub(1) as f64;
        let mut top = frame.y0;
        let mut below = all;
        let x = frame.x1 + GUTTER;
        let layer = self.scene.layer("labels");
        for callout in callouts {
            let own = tall(&callout);
            // As near to its place as those above and below allow.
            let last = (frame.y1.max(frame.y0 + all) - below).max(top);
            let start = (callout.at.y - own / 2.0).clamp(top, last);
            let first = Point::new(x, start + LINE / 2.0);
            marks::leader(layer, first - Vec2::new(0.8, 0.0), callout.at);
            for (index, line) in callout.lines.iter().enumerate() {
                let at = first + Vec2::new(0.0, LINE * index as f64);
                layer.text(Text::new(line, at).sized(size::NOTE).anchored(Anchor::Start));
            }
            top = start + own + APART;
            below -= own + APART;
        }
        self.scene.layers.retain(|layer| !layer.items.is_empty());
        self.scene
    }

    /// The box around what has been drawn.
    pub(super) fn frame(&self) -> Rect {
        let margin = self.scene.margin;
        self.scene.bounds().inflate(-margin, -margin)
    }

    /// Takes over what another board holds, moved.
    pub(super) fn take(&mut self, other: Self, by: Vec2) {
        for layer in other.scene.layers {
            for item in layer.items {
                let moved = match item {
                    Item::Shape { path, fill, line } => {
                        let to = kurbo::Affine::translate(by);
                        let fill = match fill {
                            Fill::Cloth(texture, lay) => Fill::Cloth(texture, to * lay),
                            other => other,
                        };
                        Item::Shape { path: to * path, fill, line }
                    }
                    Item::Text(text) => Item::Text(Text { at: text.at + by, ..text }),
                };
                self.scene.layer(&layer.name).items.push(moved);
            }
        }
    }

    /// An arrow for something that moves, from point to point along a bow.
    pub(super) fn arrow(&mut self, from: Point, to: Point, bow: f64) {
        let step = to - from;
        let long = crate::space::length_of(step).max(1e-9);
        let aside = Vec2::new(step.y, -step.x) / long * bow;
        let middle = from.midpoint(to) + aside;
        let mut path = kurbo::BezPath::new();
        path.move_to(from);
        path.quad_to(middle, to);
        let end = to - middle;
        let unit = end / crate::space::length_of(end).max(1e-9);
        let layer = self.scene.layer("motion");
        layer.shape(path, Fill::None, Some(LineKind::Motion));
        let across = Vec2::new(-unit.y, unit.x) * 1.1;
        let foot = to - unit * 3.0;
        let head = crate::scene::closed([to + unit * 0.6, foot + across, foot - across]);
        layer.shape(head, Fill::Ink, None);
    }
}

/// Words in lines no longer than `room`.
pub(super) fn wrapped(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size::NOTE, Weight::Regular) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
