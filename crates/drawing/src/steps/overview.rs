//! Steps before the first seam: what is cut, marked, stiffened, fused as a block.

use bag::assembly::Event;
use bag::operations::{Lies, Tool};
use bag::pattern::{CopyId, Grain, InterfacingCut, MarkShape, MaterialId, Pattern, Piece, PieceId};
use kurbo::{Affine, Point, Rect, Vec2};
use measure::Outline;

use super::board::{Board, wrapped};
use super::icons;
use super::story::Story;
use super::table::{cloth_fill, left_of, mirror};
use crate::line::LineKind;
use crate::marks;
use crate::scene::{Fill, closed};
use crate::text::{Text, size};
use crate::texture::{Cloth, Side, Texture};

/// Width of the whole picture, and the height that it should not exceed.
const WIDE: f64 = 76.0;
const HIGH: f64 = 84.0;
/// A name below a piece takes lines of this height, and no less room than this.
const LINE: f64 = 3.8;
const NAME: f64 = 20.0;
const GAP: f64 = 3.0;

/// A piece in the overview.
struct Cell {
    id: PieceId,
    name: String,
    lying: bool,
    /// Width × height of cloth in mm, as drawn.
    size: (f64, f64),
}

/// Draws all pieces, or those of the step, side by side.
pub(super) fn draw(story: &Story<'_>, step: usize, board: &mut Board) -> Vec<String> {
    let pattern = story.pattern;
    let shown = &story.shown[step];
    if let Lies::Block(fabric, interfacing) = shown.lies {
        return block(story, step, board, fabric, interfacing);
    }
    let mut ids: Vec<(PieceId, usize)> = Vec::new();
    if shown.lies == Lies::CutOut {
        ids = pattern.piece_ids().map(|id| (id, pattern.count(id))).filter(|it| it.1 > 0).collect();
    } else {
        // What is laid behind another piece does not show.
        let behind: Vec<CopyId> = story
            .news(step)
            .filter_map(|event| match event {
                Event::Placed { what, .. } => Some(*what),
                _ => None,
            })
            .collect();
        let shows =
            |copy: &CopyId| !matches!(shown.lies, Lies::Quilted(_)) || !behind.contains(copy);
        for copy in pattern.steps[step].operation.copies().into_iter().filter(shows) {
            let id = pattern.copy(copy).piece;
            match ids.iter_mut().find(|(known, _)| *known == id) {
                Some((_, count)) => *count += 1,
                None => ids.push((id, 1)),
            }
        }
    }
    let cells: Vec<Cell> =
        ids.iter().map(|(id, count)| cell(pattern, &shown.lies, *id, *count)).collect();
    let scale = (1..=60)
        .map(|step| 0.6 * f64::powi(0.93, step))
        .find(|scale| rows(&cells, *scale).is_some_and(|(_, height)| height <= HIGH))
        .unwrap_or(0.004);
    let Some((places, _)) = rows(&cells, scale) else { return Vec::new() };
    for (cell, place) in cells.iter().zip(&places) {
        piece(story, step, board, cell, *place, scale);
    }
    if shown.tools.contains(&Tool::Iron) {
        let frame = board.frame();
        icons::iron(board.layer("tools"), Point::new(frame.x1 - 9.0, frame.y0 + 10.0));
    }
    said(story, step, &cells)
}

fn said(story: &Story<'_>, step: usize, cells: &[Cell]) -> Vec<String> {
    let names: Vec<&str> = cells.iter().map(|cell| cell.name.as_str()).collect();
    let what = match &story.shown[step].lies {
        Lies::Marked => "The pieces side by side, right side up, each with its marks",
        Lies::WrongSideUp => "The pieces side by side, wrong side up, the interfacing on them",
        Lies::Quilted(_) => {
            "The pieces side by side, right side up, as they are first cut, with the rows of \
             quilting and the line to which they are trimmed"
        }
        _ => "Everything that is cut, side by side, right side up",
    };
    vec![format!("{what}: {}.", names.join(", "))]
}

fn cell(pattern: &Pattern, lies: &Lies, id: PieceId, count: usize) -> Cell {
    let piece = pattern.piece(id);
    let (width, height) = match lies {
        Lies::Quilted(_) => piece.first_cut_size(),
        _ => piece.cut_size(),
    };
    let lying = crate::pieces::is_lying(piece);
    let (width, height) = if lying { (height, width) } else { (width, height) };
    let name = if count > 1 { format!("{count} × {}", piece.name) } else { piece.name.clone() };
    Cell { id, name, lying, size: (width.to_mm(), height.to_mm()) }
}

/// Where each piece stands (its upper left corner), in rows, and how high all is.
fn rows(cells: &[Cell], scale: f64) -> Option<(Vec<Point>, f64)> {
    let mut places = Vec::new();
    let (mut x, mut y, mut tallest) = (0.0, 0.0, 0.0_f64);
    for cell in cells {
        let wide = (cell.size.0 * scale).max(NAME);
        if wide > WIDE {
            return None;
        }
        if x > 0.0 && x + wide > WIDE {
            (x, y) = (0.0, y + tallest + GAP);
            tallest = 0.0;
        }
        places.push(Point::new(x, y));
        let lines = wrapped(&cell.name, wide).len() as f64;
        tallest = tallest.max(cell.size.1 * scale + 1.6 + lines * LINE);
        x += wide + GAP;
    }
    Some((places, y + tallest))
}

fn piece(story: &Story<'_>, step: usize, board: &mut Board, cell: &Cell, place: Point, scale: f64) {
    let pattern = story.pattern;
    let shown = &story.shown[step];
    let piece = pattern.piece(cell.id);
    let trimmed = piece.cut().unwrap_or_else(|_| piece.net.clone());
    let cut = match shown.lies {
        Lies::Quilted(_) => piece.first_cut().unwrap_or_else(|_| trimmed.clone()),
        _ => trimmed.clone(),
    };
    let wide = (cell.size.0 * scale).max(NAME);
    let (low, high) = cut.bounds();
    let (low, high) = (low.to_mm(), high.to_mm());
    let wrong = shown.lies == Lies::WrongSideUp;
    let flip = if wrong {
        Affine::new([-1.0, 0.0, 0.0, 1.0, low.x + high.x, 0.0])
    } else {
        Affine::IDENTITY
    };
    let turn = if cell.lying {
        Affine::new([0.0, 1.0, -1.0, 0.0, high.y, -low.x])
    } else {
        Affine::translate((-low.x, -low.y))
    };
    let left = place.x + (wide - cell.size.0 * scale) / 2.0;
    let to_paper = Affine::translate((left, place.y + cell.size.1 * scale))
        * Affine::new([scale, 0.0, 0.0, -scale, 0.0, 0.0])
        * turn
        * flip;
    let look = crate::pieces::cloth(pattern.material(piece.material).look);
    let side = if wrong { Side::Wrong } else { Side::Right };
    let fill = cloth_fill(Texture { cloth: look, side }, to_paper, piece.grain);
    let ring = |outline: &Outline| {
        let points = outline.flattened(0.5);
        closed(points.into_iter().map(|point| to_paper * point.to_mm()))
    };
    let kind = if shown.lies == Lies::CutOut { LineKind::Cut } else { LineKind::Edge };
    board.layer("work").shape(ring(&cut), fill, Some(kind));
    if let Some((_, how)) = shown.laid {
        let outline = if how == InterfacingCut::Net { &piece.net } else { &cut };
        let fill = cloth_fill(Texture::right(Cloth::Interfacing), to_paper, Grain::Lengthwise);
        board.layer("new").shape(ring(outline), fill, Some(LineKind::New));
    }
    if let Lies::Quilted(apart) = shown.lies {
        let points: Vec<Point> =
            cut.flattened(0.5).into_iter().map(measure::Point::to_mm).collect();
        for [from, to] in quilting(&points, apart.to_mm()) {
            board.layer("new").line([to_paper * from, to_paper * to], LineKind::Stitch);
        }
        board.layer("new").shape(ring(&trimmed), Fill::None, Some(LineKind::Cut));
    }
    if shown.lies == Lies::Marked {
        marked(board, piece, to_paper);
    }
    let foot = place.y + cell.size.1 * scale + 1.6;
    for (index, line) in wrapped(&cell.name, wide).into_iter().enumerate() {
        let at = Point::new(place.x + wide / 2.0, foot + LINE * (index as f64 + 0.5));
        board.layer("names").text(Text::new(line, at).sized(size::NOTE));
    }
}

/// Rows of quilting up and down within an outline, so far apart, from the middle out.
fn quilting(outline: &[Point], apart: f64) -> Vec<[Point; 2]> {
    let xs = outline.iter().map(|point| point.x);
    let (low, high) = (xs.clone().fold(f64::MAX, f64::min), xs.fold(f64::MIN, f64::max));
    let middle = f64::midpoint(low, high);
    let count = ((high - low) / 2.0 / apart.max(1.0)).min(400.0).floor();
    let mut rows = Vec::new();
    let mut step = -count;
    while step <= count {
        // A hair aside, so that no row runs through a corner.
        let x = middle + step * apart + 1e-4;
        let ends = outline.iter().zip(outline.iter().cycle().skip(1));
        let mut crossed: Vec<f64> = ends
            .filter(|(a, b)| (a.x < x) != (b.x < x))
            .map(|(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
            .collect();
        crossed.sort_by(f64::total_cmp);
        let pairs = crossed.chunks_exact(2);
        rows.extend(pairs.map(|pair| [Point::new(x, pair[0]), Point::new(x, pair[1])]));
        step += 1.0;
    }
    rows
}

/// The marks of a piece, emphasised.
fn marked(board: &mut Board, piece: &Piece, to_paper: Affine) {
    let at = |point: measure::Point| to_paper * point.to_mm();
    for mark in &piece.marks {
        match mark.shape {
            MarkShape::Notch { edge, along } => {
                let way = piece.net.edge(edge).direction_along(along);
                let inwards = Vec2::new(-way.y, way.x);
                let out = piece.edges.get(edge).map_or(0.0, |it| it.allowance.to_mm());
                let foot = piece.net.point_along(edge, along).to_mm() - inwards * out;
                let on_paper = to_paper * foot;
                let step = to_paper * (foot + inwards) - on_paper;
                let unit = step / crate::space::length_of(step).max(1e-9);
                marks::notch(board.layer("new"), on_paper, unit);
            }
            MarkShape::Placement(a, b) => board.layer("new").line([at(a), at(b)], LineKind::Place),
            MarkShape::Fold(a, b) => board.layer("new").line([at(a), at(b)], LineKind::Fold),
            MarkShape::Stitching(a, b) => board.layer("new").line([at(a), at(b)], LineKind::Stitch),
            MarkShape::BoxAndX(a, b) => {
                let frame = Rect::from_points(at(a), at(b));
                let corners = [
                    Point::new(frame.x0, frame.y0),
                    Point::new(frame.x1, frame.y0),
                    Point::new(frame.x1, frame.y1),
                    Point::new(frame.x0, frame.y1),
                ];
                board.layer("new").shape(closed(corners), Fill::None, Some(LineKind::Edge));
                board.layer("new").line([corners[0], corners[2]], LineKind::Thin);
                board.layer("new").line([corners[1], corners[3]], LineKind::Thin);
            }
            MarkShape::Opening { edge, from, to } => {
                for along in [from, to] {
                    let way = piece.net.edge(edge).direction_along(along);
                    let foot = at(piece.net.point_along(edge, along));
                    let arm = to_paper * Point::new(-way.y, way.x) - to_paper * Point::ZERO;
                    let arm = arm / crate::space::length_of(arm).max(1e-9) * 1.6;
                    board.layer("new").line([foot - arm, foot + arm], LineKind::New);
                }
            }
            MarkShape::Dot(point) => marks::cross(board.layer("new"), at(point)),
        }
    }
}

/// A block of fabric, wrong side up, with interfacing on it, and what is cut from both at once.
fn block(
    story: &Story<'_>,
    step: usize,
    board: &mut Board,
    fabric: MaterialId,
    interfacing: MaterialId,
) -> Vec<String> {
    let pattern = story.pattern;
    let rect = |frame: Rect| {
        vec![
            Point::new(frame.x0, frame.y0),
            Point::new(frame.x1, frame.y0),
            Point::new(frame.x1, frame.y1),
            Point::new(frame.x0, frame.y1),
        ]
    };
    let whole = Rect::new(0.0, 0.0, 50.0, 40.0);
    let look = crate::pieces::cloth(pattern.material(fabric).look);
    let wrong = Fill::Cloth(Texture::wrong(look), Affine::IDENTITY);
    board.layer("work").shape(closed(rect(whole)), wrong, Some(LineKind::Cut));
    // The corner of the interfacing that is turned back shows the fabric below.
    let (a, b) = (Point::new(37.0, 1.0), Point::new(49.0, 13.0));
    let inner = rect(whole.inset(-1.0));
    let (a, b) = if (b - a).cross(whole.center() - a) >= 0.0 { (a, b) } else { (b, a) };
    let over = Fill::Cloth(Texture::right(Cloth::Interfacing), Affine::IDENTITY);
    board.layer("new").shape(closed(left_of(&inner, a, b)), over, Some(LineKind::New));
    let ear: Vec<Point> = left_of(&inner, b, a).into_iter().map(|at| mirror(a, b) * at).collect();
    board.layer("new").shape(closed(ear), Fill::Paper, Some(LineKind::Edge));
    let copies = pattern.steps[step].operation.copies();
    let mut pieces: Vec<PieceId> = copies.iter().map(|copy| pattern.copy(*copy).piece).collect();
    pieces.dedup();
    outlines(pattern, board, &pieces);
    icons::iron(board.layer("tools"), Point::new(22.0, 33.0));
    board.label(Point::new(45.0, 4.0), format!("{}, wrong side up", pattern.material(fabric).name));
    let name = &pattern.material(interfacing).name;
    board.label(Point::new(47.0, 24.0), format!("{name}, adhesive side down"));
    let names: Vec<String> = copies.iter().map(|copy| story.the(*copy)).collect();
    board.label(Point::new(14.0, 22.0), format!("then cut: {}", names.join(", ")));
    vec![format!(
        "A block of {}, wrong side up, with a block of {name} on it, a corner turned back; dotted, \
         the outlines of what is cut from both when they are fused: {}.",
        pattern.material(fabric).name,
        names.join(", "),
    )]
}

/// The outlines of up to four pieces, dotted, side by side on the block.
fn outlines(pattern: &Pattern, board: &mut Board, pieces: &[PieceId]) {
    let count = pieces.len().clamp(1, 4);
    let room = (44.0 / count as f64 - 2.0, 20.0);
    for (index, id) in pieces.iter().take(4).enumerate() {
        let piece = pattern.piece(*id);
        let cut = piece.cut().unwrap_or_else(|_| piece.net.clone());
        let (low, high) = cut.bounds();
        let (wide, tall) = ((high.x - low.x).to_mm().max(1.0), (high.y - low.y).to_mm().max(1.0));
        let scale = (room.0 / wide).min(room.1 / tall);
        let x = 3.0 + index as f64 * (room.0 + 2.0);
        let to_paper = Affine::new([
            scale,
            0.0,
            0.0,
            -scale,
            x - low.x.to_mm() * scale,
            25.0 + low.y.to_mm() * scale,
        ]);
        let ring = cut.flattened(0.5).into_iter().map(|point| to_paper * point.to_mm());
        board.layer("new").shape(closed(ring), Fill::None, Some(LineKind::Place));
    }
}
