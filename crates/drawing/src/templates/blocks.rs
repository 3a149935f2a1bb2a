//! What has to come to paper in one part: a piece, or a small guide to mark with.

use bag::pattern::{Mark, MarkShape, Pattern, PieceId};
use kurbo::{Affine, Point, Rect, Shape};
use measure::System;

use super::clip;
use crate::LineKind;
use crate::pieces;
use crate::scene::{Fill, Item, Layer, Scene, rings};
use crate::text::{Text, size};

/// White kept around a piece on paper, in mm, so that its line does not lie on a sheet's edge.
const AIR: f64 = 3.0;

/// A part of the templates: its layers, and its box on paper.
pub(super) struct Block {
    /// What it is, for people.
    pub(super) title: String,
    /// What is drawn.
    pub(super) layers: Vec<Layer>,
    /// The box around it, air included.
    pub(super) room: Rect,
    /// The cut outline, curves replaced by chords.
    pub(super) ring: Vec<Point>,
}

impl Block {
    /// Whether it fits on one sheet, upright or turned.
    pub(super) fn fits(&self, (width, height): (f64, f64)) -> bool {
        let (own_width, own_height) = (self.room.width(), self.room.height());
        let fits = |w: f64, h: f64| w <= width && h <= height;
        fits(own_width, own_height) || fits(own_height, own_width)
    }

    /// The same, a quarter turn clockwise.
    pub(super) fn turned(&self) -> Self {
        let turn = Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]);
        let layers = self.layers.iter().map(|layer| Layer {
            name: layer.name.clone(),
            items: layer.items.iter().map(|item| item.moved(turn)).collect(),
        });
        Self {
            title: self.title.clone(),
            layers: layers.collect(),
            room: turn.transform_rect_bbox(self.room),
            ring: self.ring.iter().map(|point| turn * *point).collect(),
        }
    }

    /// Draws what of it lies within `window` onto a sheet.
    pub(super) fn draw(&self, onto: &mut Scene, window: Rect, by: Affine) {
        for layer in &self.layers {
            clip::add(onto, &layer.name, &layer.items, window, by);
        }
    }

    /// Every text of it.
    pub(super) fn texts(&self) -> impl Iterator<Item = &Text> {
        self.layers.iter().flat_map(|layer| &layer.items).filter_map(|item| match item {
            Item::Text(text) => Some(text),
            Item::Shape { .. } => None,
        })
    }
}

/// The template of a piece.
pub(super) fn piece(pattern: &Pattern, id: PieceId, system: System) -> Block {
    let scene = pieces::template(pattern, id, system);
    let outline = pattern.piece(id).cut().unwrap_or_else(|_| pattern.piece(id).net.clone());
    let path = crate::Scale::TRUE.affine() * outline.to_path();
    let room = scene.layers.iter().flat_map(|layer| &layer.items).map(Item::bounds);
    let room = room.fold(path.bounding_box(), |a, b| a.union(b)).inflate(AIR, AIR);
    let ring = rings(&path).into_iter().next().unwrap_or_default();
    Block { title: scene.title.clone(), layers: scene.layers, room, ring }
}

/// Small guides: the part of a piece around a kind of mark, up to the nearest corner, so that it
/// can be laid to the cut edges and drawn round. Only of pieces that fill a sheet or have no
/// template of their own.
pub(super) fn guides(
    pattern: &Pattern,
    id: PieceId,
    system: System,
    frame: (f64, f64),
) -> Vec<Block> {
    let whole = piece(pattern, id, system);
    let piece = pattern.piece(id);
    let mut labels: Vec<&str> = Vec::new();
    for mark in &piece.marks {
        let drawn = matches!(
            mark.shape,
            MarkShape::Stitching(..) | MarkShape::Placement(..) | MarkShape::BoxAndX(..)
        );
        if drawn && !labels.contains(&mark.label.as_str()) {
            labels.push(&mark.label);
        }
    }
    let of = |label: &str| piece.marks.iter().filter(|m| m.label == label).collect::<Vec<_>>();
    labels.iter().filter_map(|label| guide(&whole, label, &of(label), frame)).collect()
}

/// The box of a mark on paper.
fn mark_box(mark: &Mark) -> Option<Rect> {
    let (MarkShape::Stitching(a, b) | MarkShape::Placement(a, b) | MarkShape::BoxAndX(a, b)) =
        mark.shape
    else {
        return None;
    };
    let [a, b] = [a, b].map(|point| crate::Scale::TRUE.point(point));
    Some(Rect::from_points(a, b))
}

/// The guide for marks of one label: those of the left half, from the nearest corner of the cut
/// piece. Nothing when that is larger than a sheet, or nearly the whole piece.
fn guide(whole: &Block, label: &str, marks: &[&Mark], frame: (f64, f64)) -> Option<Block> {
    let outline = whole
        .ring
        .iter()
        .map(|point| Rect::from_points(*point, *point))
        .reduce(|a, b| a.union(b))?;
    let middle = outline.center();
    let left = marks.iter().filter_map(|mark| mark_box(mark)).filter(|r| r.center().x <= middle.x);
    let marked = left.reduce(|a, b| a.union(b))?;
    let upper = marked.center().y <= middle.y;
    let (y0, y1) = if upper {
        (outline.y0, marked.y1 + 2.0 * AIR)
    } else {
        (marked.y0 - 2.0 * AIR, outline.y1)
    };
    let part = Rect::new(outline.x0, y0, marked.x1 + 2.0 * AIR, y1).intersect(outline);
    let title = format!("guide: {label}");
    let text = Text::new(&title, Point::ZERO).sized(size::NOTE);
    let room = Rect::new(part.x0, part.y0, part.x1.max(part.x0 + text.width()), part.y1 + 6.0);
    let small =
        room.width() * 2.0 <= outline.width() * 1.5 || part.height() * 2.0 <= outline.height();
    let block = Block {
        title: title.clone(),
        layers: Vec::new(),
        room: room.inflate(AIR, AIR),
        ring: Vec::new(),
    };
    if !small || !block.fits(frame) {
        return None;
    }
    let mut scene = Scene::new("guide", title, "");
    for layer in whole.layers.iter().filter(|layer| layer.name == "lines") {
        let lines: Vec<Item> =
            layer.items.iter().filter(|i| matches!(i, Item::Shape { .. })).cloned().collect();
        clip::add(&mut scene, "lines", &lines, part, Affine::IDENTITY);
    }
    let border = part.to_path(0.1);
    scene.layer("lines").shape(border, Fill::None, Some(LineKind::Thin));
    let foot = Point::new(room.x0, part.y1 + 3.5);
    scene.layer("names").text(Text { at: foot, anchor: crate::Anchor::Start, ..text });
    Some(Block { layers: scene.layers, ..block })
}
