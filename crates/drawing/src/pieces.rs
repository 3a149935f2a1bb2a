//! A piece as it is cut and marked: its right side up, the rim at the top, with its cutting line,
//! stitching line, grain, marks and sizes.

use kurbo::{Affine, BezPath, Point, Vec2};
use measure::{Length, Outline, System, show_length};

use bag::pattern::{Grain, Look, Mark, MarkShape, Pattern, Piece, PieceId};

use crate::line::LineKind;
use crate::marks;
use crate::notes::MarkNotes;
use crate::scale::Scale;
use crate::scene::{Fill, Layer, Scene, closed};
use crate::space::length_of;
use crate::text::{Text, size};
use crate::texture::{Cloth, Texture};

/// How a piece is drawn.
#[derive(Clone, Copy, Debug)]
pub struct PieceOptions {
    /// The reader's ruler.
    pub system: System,
    /// Reduction.
    pub scale: Scale,
}

/// The texture of the right side of a material, by its look.
pub const fn cloth(look: Look) -> Cloth {
    match look {
        Look::Outside => Cloth::Outside,
        Look::Contrast => Cloth::Contrast,
        Look::Lining | Look::Window => Cloth::Lining,
        Look::Interfacing => Cloth::Interfacing,
        Look::Webbing => Cloth::Webbing,
    }
}

/// A piece more than this many times as long as it is wide is a strip, and drawn lying.
const STRIP: i64 = 3;

/// Whether a piece is a long strip; strips are drawn lying on their side, at a scale of their own.
pub fn is_strip(piece: &Piece) -> bool {
    let (width, height) = piece.cut_size();
    width > height * STRIP || height > width * STRIP
}

/// Whether a piece is drawn lying on its side, its lower edge at the left.
pub fn is_lying(piece: &Piece) -> bool {
    let (width, height) = piece.cut_size();
    height > width * STRIP
}

/// The scale at which a piece fits into `room` (width × height in mm on paper).
pub fn scale_for(piece: &Piece, room: (f64, f64)) -> Scale {
    let (width, height) = piece.cut_size();
    let (width, height) = if is_lying(piece) { (height, width) } else { (width, height) };
    Scale::fitting(width, height, room)
}

/// The picture of one piece.
pub fn draw(pattern: &Pattern, id: PieceId, options: PieceOptions) -> Scene {
    let piece = pattern.piece(id);
    let count = pattern.count(id);
    let material = pattern.material(piece.material);
    let (width, height) = piece.cut_size();
    let show = |length| show_length(length, options.system);
    let cut = format!("cut {count}, {}", material.name);
    let mut scene = Scene::new(
        format!("piece-{}", piece.id),
        format!("{}: {cut}", piece.name),
        format!(
            "The {} as it is cut, {} wide and {} high, right side up, {}. {}",
            piece.name,
            show(width),
            show(height),
            options.scale.say(),
            MarkNotes::new(piece, options.system).sentences().join(" "),
        ),
    );
    let sheet = Sheet::new(piece, options);
    sheet.cloth(scene.layer("cloth"), material.look);
    sheet.lines(scene.layer("lines"));
    scene.layer("grain");
    sheet.dimensions(scene.layer("sizes"));
    sheet.names(&mut scene, &cut);
    sheet.letters(&mut scene);
    if material.look != Look::Webbing {
        sheet.grain(&mut scene);
    }
    scene
}

/// Where each edge's stitching line lies in the picture of a piece, as SVG path data, in the order of
/// the edges: for a page on which an edge can be pointed at.
pub fn edges(pattern: &Pattern, id: PieceId, options: PieceOptions) -> Vec<String> {
    let piece = pattern.piece(id);
    let sheet = Sheet::new(piece, options);
    let path = |edge: usize| {
        let length = piece.net.edge_length(edge);
        let steps = if piece.net.edge(edge).is_straight() { 1 } else { 24 };
        let at = |step: i64| sheet.at(piece.net.point_along(edge, length * step / steps));
        crate::svg::path_data(&crate::scene::open((0..=steps).map(at)))
    };
    (0..piece.net.edge_count()).map(path).collect()
}

/// The piece true to size, as a template to lay on fabric: lines, marks, grain and names, without
/// texture and dimension lines, on paper with its cutting line where its pattern has it (y turned
/// downwards).
pub fn template(pattern: &Pattern, id: PieceId, system: System) -> Scene {
    let piece = pattern.piece(id);
    let material = pattern.material(piece.material);
    let (width, height) = piece.cut_size();
    let cut = format!("cut {}, {}", pattern.count(id), material.name);
    let mut scene = Scene::new(
        format!("template-{}", piece.id),
        piece.name.clone(),
        format!(
            "The {} true to size, {} as cut.",
            piece.name,
            measure::show_size(width, height, system)
        ),
    );
    let sheet = Sheet::laid(piece, PieceOptions { system, scale: Scale::TRUE }, false);
    sheet.lines(scene.layer("lines"));
    scene.layer("lines").shape(sheet.path(&sheet.cut), Fill::None, Some(LineKind::Cut));
    scene.layer("grain");
    sheet.names(&mut scene, &cut);
    sheet.letters(&mut scene);
    sheet.grain(&mut scene);
    scene
}

/// Marks of one kind closer than this, in mm on paper, share their letter.
const SHARED: f64 = 14.0;

/// The text with a little air around it.
fn roomy(text: &Text) -> Text {
    Text { size: text.size * 1.35, ..text.clone() }
}

/// The upright box around a text.
fn text_box(text: &Text) -> kurbo::Rect {
    let corners = text.corners();
    kurbo::Rect::from_points(corners[0], corners[2]).union_pt(corners[1]).union_pt(corners[3])
}

/// Whether a line runs through a box.
fn crosses(room: kurbo::Rect, (a, b): (Point, Point)) -> bool {
    // The part of the line, from 0 to 1, that is within both pairs of sides.
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (from, step, low, high) in
        [(a.x, b.x - a.x, room.x0, room.x1), (a.y, b.y - a.y, room.y0, room.y1)]
    {
        if step.abs() < 1e-9 {
            if from <= low || from >= high {
                return false;
            }
        } else {
            let (enter, leave) = ((low - from) / step, (high - from) / step);
            first = first.max(enter.min(leave));
            last = last.min(enter.max(leave));
        }
    }
    first < last
}

/// A piece on its way to paper.
struct Sheet<'a> {
    piece: &'a Piece,
    cut: Outline,
    system: System,
    /// Pattern millimetres to paper.
    to_paper: Affine,
    scale: Scale,
    /// Drawn lying, its height across the page.
    lying: bool,
    /// The box of the cut piece on paper.
    frame: kurbo::Rect,
}

impl<'a> Sheet<'a> {
    fn new(piece: &'a Piece, options: PieceOptions) -> Self {
        Self::laid(piece, options, is_lying(piece))
    }

    fn laid(piece: &'a Piece, options: PieceOptions, lying: bool) -> Self {
        let cut = piece.cut().unwrap_or_else(|_| piece.net.clone());
        let (low, high) = cut.bounds();
        // Lying, the lower edge comes to the left: a quarter turn clockwise on paper.
        let turn =
            if lying { Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]) } else { Affine::IDENTITY };
        let to_paper = turn * options.scale.affine();
        let corners = (to_paper * low.to_mm(), to_paper * high.to_mm());
        let frame = kurbo::Rect::from_points(corners.0, corners.1);
        Self { piece, cut, system: options.system, to_paper, scale: options.scale, lying, frame }
    }

    fn at(&self, point: measure::Point) -> Point {
        self.to_paper * point.to_mm()
    }

    fn show(&self, length: Length) -> String {
        show_length(length, self.system)
    }

    fn path(&self, outline: &Outline) -> BezPath {
        self.to_paper * outline.to_path()
    }

    /// Direction of the lengthwise grain on paper.
    fn grain_direction(&self) -> Option<Vec2> {
        let along_height = match self.piece.grain {
            Grain::Lengthwise => true,
            Grain::Crosswise => false,
            Grain::Free => return None,
        };
        let upright = along_height != self.lying;
        Some(if upright { Vec2::new(0.0, -1.0) } else { Vec2::new(1.0, 0.0) })
    }

    fn cloth(&self, layer: &mut Layer, look: Look) {
        let level = self.grain_direction().is_some_and(|direction| direction.y == 0.0);
        let lay =
            if level { Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]) } else { Affine::IDENTITY };
        // True to size a texture is coarser, so that the file stays small.
        let coarser = if self.scale == Scale::TRUE { 3.0 } else { 1.0 };
        let fill = Fill::Cloth(Texture::right(cloth(look)), lay * Affine::scale(coarser));
        layer.shape(self.path(&self.cut), fill, Some(LineKind::Cut));
    }

    fn lines(&self, layer: &mut Layer) {
        if self.cut != self.piece.net {
            self.stitching(layer);
        }
        for mark in &self.piece.marks {
            self.mark(layer, mark);
        }
    }

    /// The stitching line, broken where an opening is left.
    fn stitching(&self, layer: &mut Layer) {
        let net = &self.piece.net;
        let opening = |edge: usize| {
            self.piece.marks.iter().find_map(|mark| match mark.shape {
                MarkShape::Opening { edge: on, from, to } if on == edge => {
                    Some((from.min(to), from.max(to)))
                }
                _ => None,
            })
        };
        if (0..net.edge_count()).all(|edge| opening(edge).is_none()) {
            layer.shape(self.path(net), Fill::None, Some(LineKind::Stitch));
            return;
        }
        for edge in 0..net.edge_count() {
            let length = net.edge_length(edge);
            let stretches = match opening(edge) {
                Some((from, to)) => vec![(Length::ZERO, from), (to, length)],
                None => vec![(Length::ZERO, length)],
            };
            let steps = if net.edge(edge).is_straight() { 1 } else { 32 };
            for (from, to) in stretches.into_iter().filter(|(from, to)| from < to) {
                let at =
                    |step: i64| self.at(net.point_along(edge, from + (to - from) * step / steps));
                layer.line((0..=steps).map(at), LineKind::Stitch);
            }
        }
    }

    fn mark(&self, layer: &mut Layer, mark: &Mark) {
        match mark.shape {
            MarkShape::Notch { edge, along } => {
                let foot = self.at(self.piece.net.point_along(edge, along));
                let inwards = self.inwards(edge, along);
                let out =
                    self.scale.of(self.piece.edges.get(edge).map_or(Length::ZERO, |e| e.allowance));
                marks::notch(layer, foot - inwards * out, inwards);
            }
            MarkShape::Placement(a, b) => layer.line([self.at(a), self.at(b)], LineKind::Place),
            MarkShape::Fold(a, b) => layer.line([self.at(a), self.at(b)], LineKind::Fold),
            MarkShape::Stitching(a, b) => layer.line([self.at(a), self.at(b)], LineKind::Stitch),
            MarkShape::BoxAndX(low, high) => {
                let corners = [
                    low,
                    measure::Point::new(high.x, low.y),
                    high,
                    measure::Point::new(low.x, high.y),
                ]
                .map(|corner| self.at(corner));
                layer.shape(closed(corners), Fill::None, Some(LineKind::Stitch));
                // The cross is too small for dashes.
                layer.line([corners[0], corners[2]], LineKind::Thin);
                layer.line([corners[1], corners[3]], LineKind::Thin);
            }
            MarkShape::Opening { edge, from, to } => {
                // Bars across the seam at both ends of what stays open.
                for along in [from, to] {
                    let foot = self.at(self.piece.net.point_along(edge, along));
                    let arm = self.inwards(edge, along) * 2.0;
                    layer.line([foot - arm, foot + arm], LineKind::Edge);
                }
            }
            MarkShape::Dot(at) => marks::cross(layer, self.at(at)),
        }
    }

    /// Into the piece from an edge, on paper, of length one.
    fn inwards(&self, edge: usize, along: Length) -> Vec2 {
        let direction = self.piece.net.edge(edge).direction_along(along);
        let left = Vec2::new(-direction.y, direction.x);
        let linear = self.to_paper * left.to_point() - self.to_paper * Point::ZERO;
        let length = length_of(linear);
        if length > 0.0 { linear / length } else { Vec2::new(0.0, -1.0) }
    }

    /// The grain arrow, where it crosses no lettering and no line of a mark; beside the piece when
    /// there is no such place.
    fn grain(&self, scene: &mut Scene) {
        let Some(direction) = self.grain_direction() else { return };
        let frame = self.frame;
        let upright = direction.x == 0.0;
        let along = if upright { frame.height() } else { frame.width() };
        let lines = self.obstacles();
        let free = |middle: &Point, length: f64| {
            let half = direction * (length / 2.0);
            let arrow = kurbo::Rect::from_points(*middle - half, *middle + half).inflate(1.5, 1.5);
            let clear = |text: &Text| arrow.intersect(text_box(text)).is_zero_area();
            scene.texts().all(clear) && lines.iter().all(|line| !crosses(arrow, *line))
        };
        let places = [0.2, 0.1, 0.88, 0.3, 0.7, 0.5]
            .into_iter()
            .flat_map(|x| [0.4, 0.5, 0.25, 0.65].map(|y| (x, y)))
            .map(|(x, y)| frame.origin() + Vec2::new(frame.width() * x, frame.height() * y));
        for share in [0.4, 0.25] {
            let length = (along * share).min(30.0);
            let found = places.clone().find(|middle| length >= 6.0 && free(middle, length));
            if let Some(middle) = found {
                marks::grain(scene.layer("grain"), middle, direction, length);
                return;
            }
        }
        let length = if upright { along.clamp(7.0, 14.0) } else { 12.0 };
        let out = if upright { 5.0 } else { 4.0 + length / 2.0 };
        let middle = Point::new(frame.x1 + out, frame.center().y);
        marks::grain(scene.layer("grain"), middle, direction, length);
    }

    /// The lines that are drawn on the piece, on paper: nothing should be lettered across them.
    fn obstacles(&self) -> Vec<(Point, Point)> {
        let ring = |outline: &Outline| {
            let points = outline.flattened(1.0);
            let next = points.iter().cycle().skip(1);
            let at = |point: &measure::Point| self.at(*point);
            points.iter().zip(next).map(|(a, b)| (at(a), at(b))).collect::<Vec<_>>()
        };
        let mut lines = ring(&self.cut);
        if self.cut != self.piece.net {
            lines.extend(ring(&self.piece.net));
        }
        for mark in &self.piece.marks {
            match mark.shape {
                MarkShape::Placement(a, b)
                | MarkShape::Fold(a, b)
                | MarkShape::Stitching(a, b)
                | MarkShape::BoxAndX(a, b) => lines.push((self.at(a), self.at(b))),
                MarkShape::Notch { edge, along } => {
                    let foot = self.at(self.piece.net.point_along(edge, along));
                    lines.push((foot, foot + self.inwards(edge, along)));
                }
                MarkShape::Opening { edge, from, to } => {
                    lines.extend([from, to].map(|along| {
                        let foot = self.at(self.piece.net.point_along(edge, along));
                        let arm = self.inwards(edge, along) * 2.0;
                        (foot - arm, foot + arm)
                    }));
                }
                MarkShape::Dot(at) => lines.push((self.at(at), self.at(at))),
            }
        }
        lines
    }

    fn dimensions(&self, layer: &mut Layer) {
        let (low, high) = self.cut.bounds();
        let frame = self.frame;
        let (across, up) = if self.lying {
            (high.y - low.y, high.x - low.x)
        } else {
            (high.x - low.x, high.y - low.y)
        };
        let top = frame.y0 - 5.0;
        marks::dimension_across(
            layer,
            Point::new(frame.x0, frame.y0),
            Point::new(frame.x1, frame.y0),
            top,
            &self.show(across),
        );
        marks::dimension_down(
            layer,
            Point::new(frame.x0, frame.y0),
            Point::new(frame.x0, frame.y1),
            frame.x0 - 5.0,
            &self.show(up),
        );
        if !self.lying {
            self.base_dimension(layer, high.x - low.x);
        }
    }

    /// The width at the foot, where it differs from the widest.
    fn base_dimension(&self, layer: &mut Layer, widest: Length) {
        let (low, _) = self.cut.bounds();
        let feet: Vec<measure::Point> = self.cut.vertices().filter(|p| p.y == low.y).collect();
        let left = feet.iter().min_by_key(|p| p.x);
        let right = feet.iter().max_by_key(|p| p.x);
        if let (Some(left), Some(right)) = (left, right) {
            let width = right.x - left.x;
            if width.is_positive() && width != widest {
                let y = self.frame.y1 + 5.0 + marks::DIMENSION_PITCH;
                marks::dimension_across(
                    layer,
                    self.at(*left),
                    self.at(*right),
                    y,
                    &self.show(width),
                );
            }
        }
    }

    fn names(&self, scene: &mut Scene, cut: &str) {
        let name = Text::new(&self.piece.name, Point::ZERO).sized(size::NAME).bold();
        let cut = Text::new(cut, Point::ZERO).sized(size::NOTE);
        let widest = name.width().max(cut.width()) + 4.0;
        let inside = widest <= self.frame.width() && self.frame.height() >= 14.0;
        let centre = self.frame.center();
        let lines = self.obstacles();
        let layer = scene.layer("names");
        if inside {
            // In the middle if no line lies there, else where none does.
            let free = |middle: &Point| {
                let room = kurbo::Rect::from_center_size(*middle, (widest, 12.0));
                lines.iter().all(|line| !crosses(room, *line))
            };
            let (wide, high) = (self.frame.width(), self.frame.height());
            let mut places = [0.0, -0.2, 0.2, -0.3, 0.3]
                .into_iter()
                .flat_map(|y| [0.0, -0.25, 0.25].map(|x| Vec2::new(x * wide, y * high)))
                .map(|step| centre + step);
            let at = places.find(free).unwrap_or(centre);
            layer.text(Text { at: at - Vec2::new(0.0, 2.6), plate: true, ..name });
            layer.text(Text { at: at + Vec2::new(0.0, 2.8), plate: true, ..cut });
        } else {
            let y = self.frame.y1 + 5.5;
            layer.text(Text { at: Point::new(centre.x, y), ..name });
            layer.text(Text { at: Point::new(centre.x, y + 5.4), ..cut });
        }
    }

    /// Sets each mark's letter beside it, where there is room; marks of one kind that lie close
    /// together share one.
    fn letters(&self, scene: &mut Scene) {
        let notes = MarkNotes::new(self.piece, self.system);
        let lines = self.obstacles();
        for mark in &self.piece.marks {
            let Some(letter) = notes.letter(mark) else { continue };
            let (at, aside) = self.beside(mark);
            let taken: Vec<Text> = scene.texts().map(roomy).collect();
            let shared = |text: &Text| {
                text.content == letter
                    && at.iter().any(|point| length_of(text.at - *point) < SHARED)
            };
            if taken.iter().any(shared) {
                continue;
            }
            let places = || {
                [3.2, -3.2, 4.6, -4.6]
                    .into_iter()
                    .flat_map(|out| at.map(|point| point + aside * out))
                    .map(|place| Text::new(letter, place).bold().plated())
                    .filter(|text| taken.iter().all(|other| !other.overlaps(&roomy(text))))
            };
            let clear = |text: &Text| lines.iter().all(|line| !crosses(text_box(text), *line));
            let free = places().find(clear).or_else(|| places().next());
            if let Some(text) = free {
                scene.layer("letters").text(text);
            }
        }
    }

    /// Points along a mark (its middle first), and the direction aside from it, of length one.
    fn beside(&self, mark: &Mark) -> ([Point; 3], Vec2) {
        let along = |a: Point, b: Point| {
            let step = b - a;
            let length = length_of(step).max(1e-9);
            let aside = Vec2::new(-step.y, step.x) / length;
            ([a.midpoint(b), a.lerp(b, 0.25), a.lerp(b, 0.75)], aside)
        };
        match mark.shape {
            MarkShape::Notch { edge, along: distance } => {
                let at = self.at(self.piece.net.point_along(edge, distance));
                ([at; 3], self.inwards(edge, distance))
            }
            MarkShape::Placement(a, b) | MarkShape::Fold(a, b) | MarkShape::Stitching(a, b) => {
                along(self.at(a), self.at(b))
            }
            MarkShape::BoxAndX(low, high) => {
                let (a, b) = (self.at(low), self.at(high));
                let foot = Point::new(a.x.midpoint(b.x), a.y.max(b.y));
                ([foot; 3], Vec2::new(0.0, 1.0))
            }
            MarkShape::Opening { edge, from, to } => {
                let part = |quarters: i64| from + (to - from) / 4 * quarters;
                let at = [2, 1, 3]
                    .map(|quarters| self.at(self.piece.net.point_along(edge, part(quarters))));
                (at, self.inwards(edge, part(2)))
            }
            MarkShape::Dot(at) => ([self.at(at); 3], Vec2::new(1.0, 0.0)),
        }
    }
}

#[cfg(test)]
mod tests;
