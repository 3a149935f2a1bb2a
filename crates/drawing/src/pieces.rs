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
        Look::Lining => Cloth::Lining,
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

/// The scale at which a piece fits into `room` (width × height in mm on paper).
pub fn scale_for(piece: &Piece, room: (f64, f64)) -> Scale {
    let (width, height) = piece.cut_size();
    let lying = height > width * STRIP;
    let (width, height) = if lying { (height, width) } else { (width, height) };
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
    if material.look != Look::Webbing {
        sheet.grain(&mut scene);
    }
    sheet.letters(&mut scene);
    scene
}

/// Marks of one kind closer than this, in mm on paper, share their letter.
const SHARED: f64 = 14.0;

/// The text with a little air around it.
fn roomy(text: &Text) -> Text {
    Text { size: text.size * 1.35, ..text.clone() }
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
        let cut = piece.cut().unwrap_or_else(|_| piece.net.clone());
        let (low, high) = cut.bounds();
        let lying = high.y - low.y > (high.x - low.x) * STRIP;
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
            layer.shape(self.path(&self.piece.net), Fill::None, Some(LineKind::Stitch));
        }
        for mark in &self.piece.marks {
            self.mark(layer, mark);
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

    /// The grain arrow, where it crosses no lettering.
    fn grain(&self, scene: &mut Scene) {
        let Some(direction) = self.grain_direction() else { return };
        let upright = direction.x == 0.0;
        let along = if upright { self.frame.height() } else { self.frame.width() };
        let length = (along * 0.4).min(30.0);
        if length < 6.0 {
            return;
        }
        // Shares of width and height; on a strip between its middle and a quarter, where folds lie.
        let places = if self.lying {
            [(0.82, 0.62), (0.2, 0.62), (0.82, 0.38), (0.5, 0.62)]
        } else {
            [(0.2, 0.4), (0.1, 0.5), (0.88, 0.5), (0.2, 0.25)]
        };
        let half = direction * (length / 2.0);
        let middles = places.map(|(x, y)| {
            let step = Vec2::new(self.frame.width() * x, self.frame.height() * y);
            self.frame.origin() + step
        });
        let free = |middle: &Point| {
            let arrow = kurbo::Rect::from_points(*middle - half, *middle + half).inflate(1.5, 1.5);
            scene.texts().all(|text| {
                let corners = text.corners();
                let letters = kurbo::Rect::from_points(corners[0], corners[2]);
                arrow.intersect(letters).is_zero_area()
            })
        };
        let middle = middles.iter().copied().find(free).unwrap_or(middles[0]);
        marks::grain(scene.layer("grain"), middle, direction, length);
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
        let layer = scene.layer("names");
        if inside {
            layer.text(Text { at: Point::new(centre.x, centre.y - 2.6), plate: true, ..name });
            layer.text(Text { at: Point::new(centre.x, centre.y + 2.8), plate: true, ..cut });
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
            let free = [aside * 3.2, aside * -3.2]
                .into_iter()
                .flat_map(|step| at.map(|point| point + step))
                .map(|place| Text::new(letter, place).bold().plated())
                .find(|text| taken.iter().all(|other| !other.overlaps(&roomy(text))));
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
