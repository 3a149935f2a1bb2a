//! Drawings for cutting machines and for general drawing programs: true to size, in millimetres,
//! y upwards, as DXF of release 12 (ASCII), the form that every such program reads.
//!
//! Written by hand: a handful of group codes (Autodesk, DXF Reference, release 12) and no library
//! needed; an outside reader checks the result. Layers have plain names of our own.

use std::fmt::Write as _;

use bag::pattern::{Grain, MarkShape, Pattern, Piece, PieceId};
use layout::{Layout, Problem, Shape};
use measure::{Length, Outline, Point};

/// How far a chord may lie from its curve, in mm.
const TOLERANCE: f64 = 0.005;

/// Height of the lettering, in mm.
const LETTERS: f64 = 5.0;

/// What a line is for; each has a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LayerKind {
    /// Cut here.
    Cut,
    /// Sew here.
    Seamline,
    /// The grain.
    Grain,
    /// Notches: short lines into the allowance.
    Notch,
    /// Other marks: folds, placements, dots.
    Mark,
    /// Names.
    Text,
}

impl LayerKind {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Cut, Self::Seamline, Self::Grain, Self::Notch, Self::Mark, Self::Text];

    /// The layer's name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cut => "CUT",
            Self::Seamline => "SEAMLINE",
            Self::Grain => "GRAIN",
            Self::Notch => "NOTCH",
            Self::Mark => "MARK",
            Self::Text => "TEXT",
        }
    }

    /// A number of the colour index, so that layers differ on a screen.
    const fn colour(self) -> u8 {
        match self {
            Self::Cut => 7,
            Self::Seamline => 5,
            Self::Grain => 3,
            Self::Notch => 1,
            Self::Mark => 6,
            Self::Text => 8,
        }
    }
}

/// A drawing in millimetres, y upwards.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Lines: their layer, their points, and whether the last is joined to the first.
    pub lines: Vec<(LayerKind, Vec<Point>, bool)>,
    /// Lettering: where it begins, and what it says.
    pub texts: Vec<(Point, String)>,
}

impl Drawing {
    fn ring(&mut self, layer: LayerKind, outline: &Outline, at: impl Fn(Point) -> Point) {
        let points = outline.flattened(TOLERANCE).into_iter().map(at).collect();
        self.lines.push((layer, points, true));
    }

    fn line(&mut self, layer: LayerKind, a: Point, b: Point) {
        self.lines.push((layer, vec![a, b], false));
    }

    /// The DXF file.
    pub fn file(&self) -> String {
        let mut out = String::new();
        section(&mut out, "HEADER", |out| {
            pair(out, 9, "$ACADVER");
            pair(out, 1, "AC1009");
        });
        section(&mut out, "TABLES", tables);
        section(&mut out, "ENTITIES", |out| {
            for (layer, points, closed) in &self.lines {
                polyline(out, *layer, points, *closed);
            }
            for (at, text) in &self.texts {
                lettering(out, *at, text);
            }
        });
        pair(&mut out, 0, "EOF");
        out
    }
}

/// One group: its code and its value, a line each.
fn pair(out: &mut String, code: u8, value: &str) {
    // Writing to a `String` returns no error.
    let _ = writeln!(out, "{code:3}\n{value}");
}

fn section(out: &mut String, name: &str, body: impl FnOnce(&mut String)) {
    pair(out, 0, "SECTION");
    pair(out, 2, name);
    body(out);
    pair(out, 0, "ENDSEC");
}

fn tables(out: &mut String) {
    pair(out, 0, "TABLE");
    pair(out, 2, "LTYPE");
    pair(out, 70, "1");
    pair(out, 0, "LTYPE");
    pair(out, 2, "CONTINUOUS");
    pair(out, 70, "0");
    pair(out, 3, "Solid line");
    pair(out, 72, "65");
    pair(out, 73, "0");
    pair(out, 40, "0.0");
    pair(out, 0, "ENDTAB");
    pair(out, 0, "TABLE");
    pair(out, 2, "LAYER");
    pair(out, 70, &LayerKind::ALL.len().to_string());
    for layer in LayerKind::ALL {
        pair(out, 0, "LAYER");
        pair(out, 2, layer.name());
        pair(out, 70, "0");
        pair(out, 62, &layer.colour().to_string());
        pair(out, 6, "CONTINUOUS");
    }
    pair(out, 0, "ENDTAB");
}

/// A coordinate in millimetres, to the nanometre.
fn number(length: Length) -> String {
    let (nm, sign) = (length.to_nm().unsigned_abs(), if length < Length::ZERO { "-" } else { "" });
    format!("{sign}{}.{:06}", nm / 1_000_000, nm % 1_000_000)
}

fn place(out: &mut String, at: Point) {
    pair(out, 10, &number(at.x));
    pair(out, 20, &number(at.y));
    pair(out, 30, "0.0");
}

fn polyline(out: &mut String, layer: LayerKind, points: &[Point], closed: bool) {
    pair(out, 0, "POLYLINE");
    pair(out, 8, layer.name());
    pair(out, 66, "1");
    place(out, Point::new(Length::ZERO, Length::ZERO));
    pair(out, 70, if closed { "1" } else { "0" });
    for point in points {
        pair(out, 0, "VERTEX");
        pair(out, 8, layer.name());
        place(out, *point);
    }
    pair(out, 0, "SEQEND");
    pair(out, 8, layer.name());
}

fn lettering(out: &mut String, at: Point, text: &str) {
    pair(out, 0, "TEXT");
    pair(out, 8, LayerKind::Text.name());
    place(out, at);
    pair(out, 40, &format!("{LETTERS:.1}"));
    pair(out, 1, &plain(text));
}

/// Release 12 knows ASCII alone: other letters are written by their code, as it lays down.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        if letter.is_ascii() && !letter.is_ascii_control() {
            out.push(letter);
        } else if !letter.is_control() {
            let _ = write!(out, "\\U+{:04X}", u32::from(letter));
        }
    }
    out
}

/// One piece, its origin where its pattern has it.
pub fn piece(pattern: &Pattern, id: PieceId) -> Drawing {
    let piece = pattern.piece(id);
    let cut = piece.cut().unwrap_or_else(|_| piece.net.clone());
    let mut drawing = Drawing::default();
    drawing.ring(LayerKind::Cut, &cut, |point| point);
    if cut != piece.net {
        drawing.ring(LayerKind::Seamline, &piece.net, |point| point);
    }
    for mark in &piece.marks {
        add_mark(&mut drawing, piece, &mark.shape);
    }
    let (low, high) = cut.bounds();
    let middle = middle_of(low, high);
    let quarter = (high.y - low.y) / 4;
    let across = (high.x - low.x) / 4;
    match piece.grain {
        Grain::Lengthwise => drawing.line(
            LayerKind::Grain,
            Point::new(middle.x, middle.y - quarter),
            Point::new(middle.x, middle.y + quarter),
        ),
        Grain::Crosswise => drawing.line(
            LayerKind::Grain,
            Point::new(middle.x - across, middle.y),
            Point::new(middle.x + across, middle.y),
        ),
        Grain::Free => {}
    }
    let words = format!(
        "{}, cut {}, {}",
        piece.name,
        pattern.count(id),
        pattern.material(piece.material).name
    );
    drawing.texts.push((Point::new(low.x + across / 2, middle.y), words));
    drawing
}

fn add_mark(drawing: &mut Drawing, piece: &Piece, shape: &MarkShape) {
    match *shape {
        MarkShape::Notch { edge, along } => {
            let foot = piece.net.point_along(edge, along);
            let direction = piece.net.edge(edge).direction_along(along);
            let out = piece.edges.get(edge).map_or(Length::ZERO, |edge| edge.allowance);
            // Outwards is to the right of an edge that runs counter-clockwise.
            let step = |factor: f64| Length::from_mm_f64(out.to_mm() * factor);
            let tip = Point::new(foot.x + step(direction.y), foot.y - step(direction.x));
            drawing.line(LayerKind::Notch, tip, middle_of(tip, foot));
        }
        MarkShape::Placement(a, b) | MarkShape::Fold(a, b) => {
            drawing.line(LayerKind::Mark, a, b);
        }
        MarkShape::Stitching(a, b) => drawing.line(LayerKind::Seamline, a, b),
        MarkShape::BoxAndX(low, high) => {
            let ring = vec![low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
            drawing.lines.push((LayerKind::Mark, ring, true));
        }
        MarkShape::Opening { edge, from, to } => {
            for along in [from, to] {
                let at = piece.net.point_along(edge, along);
                drawing.lines.push((LayerKind::Mark, cross(at), false));
            }
        }
        MarkShape::Dot(at) => drawing.lines.push((LayerKind::Mark, cross(at), false)),
    }
}

fn middle_of(a: Point, b: Point) -> Point {
    Point::new((a.x + b.x).half(), (a.y + b.y).half())
}

/// A small cross as one line.
fn cross(at: Point) -> Vec<Point> {
    let arm = Length::mm(2);
    vec![
        Point::new(at.x - arm, at.y),
        Point::new(at.x + arm, at.y),
        at,
        Point::new(at.x, at.y - arm),
        Point::new(at.x, at.y + arm),
    ]
}

/// A layout: every piece where it lies, x across the fabric and y along it.
pub fn layout(problem: &Problem, layout: &Layout) -> Drawing {
    let mut drawing = Drawing::default();
    for placement in &layout.placements {
        let Some(item) = problem.pieces.get(placement.piece) else { continue };
        let outline = match &item.shape {
            // A joined strip lies as parts, which are shorter than it.
            Shape::Outline(outline) if item.join.is_none() => {
                let outline = if placement.mirrored { outline.mirrored() } else { outline.clone() };
                outline.rotated_quarter(i32::from(placement.rotation.quarters()))
            }
            _ => Outline::rectangle(placement.width, placement.length),
        };
        let (low, _) = outline.bounds();
        let by = Point::new(placement.x - low.x, placement.y - low.y);
        drawing.ring(LayerKind::Cut, &outline.translated(by), |point| point);
        let inset = Length::mm(5);
        let at = Point::new(placement.x + inset, placement.y + inset);
        drawing.texts.push((at, item.name.clone()));
    }
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;

    #[test]
    fn a_small_drawing_is_written_in_full() {
        let mut drawing = Drawing::default();
        let mm = Length::mm;
        drawing.line(
            LayerKind::Notch,
            Point::new(mm(-1), Length::inch_frac(1, 8)),
            Point::new(mm(2), mm(3)),
        );
        drawing.texts.push((Point::new(mm(0), mm(0)), "Café".to_owned()));
        let file = drawing.file();
        let entities = file.split_once("ENTITIES\n").expect("there is such a section").1;
        let flat = entities.replace("\n", " | ");
        expect![[r#"  0 | POLYLINE |   8 | NOTCH |  66 | 1 |  10 | 0.000000 |  20 | 0.000000 |  30 | 0.0 |  70 | 0 |   0 | VERTEX |   8 | NOTCH |  10 | -1.000000 |  20 | 3.175000 |  30 | 0.0 |   0 | VERTEX |   8 | NOTCH |  10 | 2.000000 |  20 | 3.000000 |  30 | 0.0 |   0 | SEQEND |   8 | NOTCH |   0 | TEXT |   8 | TEXT |  10 | 0.000000 |  20 | 0.000000 |  30 | 0.0 |  40 | 5.0 |   1 | Caf\U+00E9 |   0 | ENDSEC |   0 | EOF | "#]]
        .assert_eq(&flat);
    }
}
