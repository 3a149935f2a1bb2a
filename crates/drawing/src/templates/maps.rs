//! How the sheets of a large piece are joined: a small picture with the number of each.

use kurbo::{Point, Rect, Shape};

use crate::line::LineKind;
use crate::scene::{Fill, Scene, closed};
use crate::text::{Text, size};

/// One sheet of a map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cell {
    /// What of the piece it shows.
    pub(super) window: Rect,
    /// The sheet's number.
    pub(super) number: usize,
}

/// The sheets of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// The piece.
    pub title: String,
    pub(super) ring: Vec<Point>,
    pub(super) cells: Vec<Cell>,
}

impl Map {
    /// The first and the last sheet.
    pub fn numbers(&self) -> (usize, usize) {
        let number = |cell: Option<&Cell>| cell.map_or(0, |cell| cell.number);
        (number(self.cells.first()), number(self.cells.last()))
    }

    /// Draws it within `room` (width × height in mm).
    pub fn draw(&self, id: &str, room: (f64, f64)) -> Scene {
        let all = self.cells.iter().map(|cell| cell.window).reduce(|a, b| a.union(b));
        let all = all.unwrap_or_default();
        let scale = (room.0 / all.width().max(1.0)).min(room.1 / all.height().max(1.0));
        let to_paper =
            kurbo::Affine::scale(scale) * kurbo::Affine::translate(Point::ZERO - all.origin());
        let (first, last) = self.numbers();
        let mut scene = Scene::new(
            id,
            format!("Sheets {first} to {last}: {}", self.title),
            format!(
                "How sheets {first} to {last} are joined to the template of the {}.",
                self.title
            ),
        );
        for cell in &self.cells {
            let frame = to_paper.transform_rect_bbox(cell.window);
            scene.layer("sheets").shape(frame.to_path(0.1), Fill::None, Some(LineKind::Thin));
        }
        let ring = closed(self.ring.iter().map(|point| to_paper * *point));
        scene.layer("piece").shape(ring, Fill::None, Some(LineKind::Cut));
        for cell in &self.cells {
            let at = to_paper.transform_rect_bbox(cell.window).center();
            let text = Text::new(cell.number.to_string(), at).sized(size::LABEL).bold().plated();
            scene.layer("numbers").text(text);
        }
        scene
    }
}
