//! A large piece on many sheets.

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use super::blocks::Block;
use super::clip::shared_area;
use super::maps::{Cell, Map};
use super::{Leaves, OVERLAP};
use crate::line::LineKind;
use crate::scene::{Fill, Scene};
use crate::text::{Anchor, Text, size};

/// Radius of the rings across joins, in mm.
const RING: f64 = 4.5;

/// Less of a piece than this on a sheet is left out, in mm².
const SPECK: f64 = 0.5;

/// The grid of sheets that a piece needs.
struct Grid<'b> {
    block: &'b Block,
    /// What one sheet shows.
    frame: (f64, f64),
    columns: usize,
    rows: usize,
}

impl<'b> Grid<'b> {
    fn new(block: &'b Block, frame: (f64, f64)) -> Self {
        let columns = sheets_for(block.room.width(), frame.0);
        let rows = sheets_for(block.room.height(), frame.1);
        Self { block, frame, columns, rows }
    }

    /// What the sheet of a row and a column shows, in the piece's own millimetres.
    fn window(&self, row: usize, column: usize) -> Rect {
        let step = |count: usize, room: f64| {
            f64::from(u32::try_from(count).unwrap_or(u32::MAX)) * (room - OVERLAP)
        };
        let corner = Point::new(
            self.block.room.x0 + step(column, self.frame.0),
            self.block.room.y0 + step(row, self.frame.1),
        );
        Rect::from_origin_size(corner, self.frame)
    }

    /// Whether the piece reaches into that sheet, beyond what its neighbours show as well.
    fn is_used(&self, row: usize, column: usize) -> bool {
        row < self.rows
            && column < self.columns
            && shared_area(&self.block.ring, self.window(row, column)) > SPECK
    }

    /// Row and column of the sheets that are printed.
    fn used(&self) -> Vec<(usize, usize)> {
        (0..self.rows)
            .flat_map(|row| (0..self.columns).map(move |column| (row, column)))
            .filter(|(row, column)| self.is_used(*row, *column))
            .collect()
    }
}

/// How many sheets a length takes.
fn sheets_for(length: f64, room: f64) -> usize {
    let mut count: u32 = 1;
    while f64::from(count) * (room - OVERLAP) + OVERLAP < length - 1e-9 && count < 1_000 {
        count += 1;
    }
    usize::try_from(count).unwrap_or(usize::MAX)
}

/// Spreads a piece over sheets, upright or turned, whichever takes fewer.
pub(super) fn spread(leaves: &mut Leaves<'_>, block: &Block) -> Map {
    let frame = leaves.stock.frame();
    let turned = block.turned();
    let upright_used = Grid::new(block, frame).used().len();
    let turned_used = Grid::new(&turned, frame).used().len();
    let chosen = if turned_used < upright_used { &turned } else { block };
    let grid = Grid::new(chosen, frame);
    let used = grid.used();
    let first = leaves.next();
    let number = |row: usize, column: usize| {
        used.iter().position(|at| *at == (row, column)).map(|at| first + at)
    };
    let mut cells = Vec::new();
    for (row, column) in &used {
        let (row, column) = (*row, *column);
        let window = grid.window(row, column);
        let by = Affine::translate(Point::ZERO - window.origin());
        let mut scene = Scene::new(
            "",
            format!("{}, row {}, column {}", chosen.title, row + 1, column + 1),
            format!(
                "Sheet {} of the template of the {}: row {} of {}, column {} of {}.",
                leaves.next(),
                chosen.title,
                row + 1,
                grid.rows,
                column + 1,
                grid.columns
            ),
        );
        chosen.draw(&mut scene, window, by);
        scene.layer("sheet").shape(
            Rect::from_origin_size(Point::ZERO, frame).to_path(0.1),
            Fill::None,
            Some(LineKind::Thin),
        );
        let left = column.checked_sub(1).and_then(|column| number(row, column));
        let above = row.checked_sub(1).and_then(|row| number(row, column));
        let joins = [
            (Side::Left, left),
            (Side::Right, number(row, column + 1)),
            (Side::Above, above),
            (Side::Below, number(row + 1, column)),
        ];
        for (side, neighbour) in joins {
            if let Some(neighbour) = neighbour {
                join(&mut scene, &grid, (row, column), side, neighbour);
            }
        }
        cells.push(Cell { window, number: leaves.next() });
        let says = format!(
            "{} – row {} of {}, column {} of {}",
            chosen.title,
            row + 1,
            grid.rows,
            column + 1,
            grid.columns
        );
        leaves.add(scene, frame.1, &says);
    }
    Map { title: chosen.title.clone(), ring: chosen.ring.clone(), cells }
}

/// Where the neighbour lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
    Above,
    Below,
}

/// Draws the join to a neighbour: the line where its edge comes to lie, and a ring across it, at
/// the same place of the piece on both sheets, with the neighbour's number beside it.
fn join(
    scene: &mut Scene,
    grid: &Grid<'_>,
    (row, column): (usize, usize),
    side: Side,
    neighbour: usize,
) {
    let (width, height) = grid.frame;
    let window = grid.window(row, column);
    let upright = matches!(side, Side::Left | Side::Right);
    let line = match side {
        Side::Left | Side::Above => 0.0,
        Side::Right => width - OVERLAP,
        Side::Below => height - OVERLAP,
    };
    let layer = scene.layer("joins");
    if line > 0.0 {
        let ends = if upright {
            [Point::new(line, 0.0), Point::new(line, height)]
        } else {
            [Point::new(0.0, line), Point::new(width, line)]
        };
        layer.line(ends, LineKind::Thin);
    }
    let along = ring_place(grid, window, upright, line);
    let centre = if upright { Point::new(line, along) } else { Point::new(along, line) };
    layer.shape(ring(centre, side), Fill::None, Some(LineKind::Edge));
    let label = label(centre, side, neighbour);
    layer.text(label);
}

/// The lettering beside a ring.
fn label(centre: Point, side: Side, neighbour: usize) -> Text {
    let out = RING + 2.0;
    let (at, anchor) = match side {
        Side::Left => (Point::new(centre.x + out, centre.y), Anchor::Start),
        Side::Right => (Point::new(centre.x - out, centre.y), Anchor::End),
        Side::Above => (Point::new(centre.x, centre.y + out + 1.0), Anchor::Middle),
        Side::Below => (Point::new(centre.x, centre.y - out - 1.0), Anchor::Middle),
    };
    Text::new(format!("sheet {neighbour}"), at).sized(size::NOTE).anchored(anchor).plated()
}

/// A whole ring where the paper goes on, half of one at the edge of the frame.
fn ring(centre: Point, side: Side) -> BezPath {
    use std::f64::consts::{FRAC_PI_2, PI, TAU};
    let (start, sweep) = match side {
        Side::Left => (-FRAC_PI_2, PI),
        Side::Above => (0.0, PI),
        Side::Right | Side::Below => (0.0, TAU),
    };
    kurbo::Arc::new(centre, (RING, RING), start, sweep, 0.0).to_path(0.01)
}

/// Where along a join its ring lies: in the middle, or where it is clear of the lettering of the
/// piece. It depends on the piece alone, so that both sheets agree.
fn ring_place(grid: &Grid<'_>, window: Rect, upright: bool, line: f64) -> f64 {
    let length = if upright { grid.frame.1 } else { grid.frame.0 };
    let clear = |share: &f64| {
        let along = length * share;
        let centre = if upright { Point::new(line, along) } else { Point::new(along, line) };
        let room = Rect::from_center_size(
            centre + window.origin().to_vec2(),
            if upright { (52.0, 14.0) } else { (24.0, 30.0) },
        );
        grid.block.texts().all(|text| {
            let corners = text.corners();
            let own = Rect::from_points(corners[0], corners[2]).union_pt(corners[1]);
            own.union_pt(corners[3]).intersect(room).is_zero_area()
        })
    };
    let share = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].into_iter().find(clear).unwrap_or(0.5);
    length * share
}
