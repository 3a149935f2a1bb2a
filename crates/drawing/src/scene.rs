//! A scene: layers of shapes and lettering in millimetres on paper, y downwards.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

use crate::line::LineKind;
use crate::text::Text;
use crate::texture::Texture;

/// What a shape is filled with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// Nothing: what lies below is seen.
    None,
    /// The colour of the paper: hides what lies below.
    Paper,
    /// Black, for arrowheads and the like.
    Ink,
    /// A fabric; the transform lays its texture space (y along the grain, mm) on the paper.
    Cloth(Texture, Affine),
}

/// A thing that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A path, filled and then drawn along.
    Shape {
        /// The path; filled by the even-odd rule.
        path: BezPath,
        /// What it is filled with.
        fill: Fill,
        /// The line along it, if any.
        line: Option<LineKind>,
    },
    /// A line of lettering.
    Text(Text),
}

/// Things that belong together and lie on one level, under a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Lower-case word, unique in its scene.
    pub name: String,
    /// What is drawn, lowest first.
    pub items: Vec<Item>,
}

/// A whole picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Lower-case words joined by hyphens; prefixes every `id`, so that several pictures can stand
    /// on one page.
    pub id: String,
    /// One line that names the picture.
    pub title: String,
    /// What one would see, for a reader who cannot see it.
    pub description: String,
    /// The layers, lowest first.
    pub layers: Vec<Layer>,
    /// White space kept around what is drawn, in mm.
    pub margin: f64,
    /// The sheet of paper, where the picture is a whole one: its box instead of that around what
    /// is drawn.
    pub sheet: Option<Rect>,
    /// Millimetres on paper for a millimetre of cloth, by which a print is drawn.
    pub scale: f64,
}

impl Scene {
    /// An empty scene with a margin of 2 mm.
    pub fn new(
        id: impl Into<String>,
        title: impl Into<String>,
        description: impl Into<String>,
    ) -> Self {
        Self {
            id: id.into(),
            title: title.into(),
            description: description.into(),
            layers: Vec::new(),
            margin: 2.0,
            sheet: None,
            scale: 1.0,
        }
    }

    /// The layer of that name, laid on top of the others when it is new.
    pub fn layer(&mut self, name: &str) -> &mut Layer {
        let index = self.layers.iter().position(|layer| layer.name == name).unwrap_or_else(|| {
            self.layers.push(Layer { name: name.to_owned(), items: Vec::new() });
            self.layers.len() - 1
        });
        &mut self.layers[index]
    }

    /// Every text, lowest first.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.layers.iter().flat_map(|layer| &layer.items).filter_map(|item| match item {
            Item::Text(text) => Some(text),
            Item::Shape { .. } => None,
        })
    }

    /// Pairs of texts whose boxes overlap. A good drawing has none.
    pub fn overlapping_texts(&self) -> Vec<(&str, &str)> {
        let texts: Vec<&Text> = self.texts().collect();
        let mut pairs = Vec::new();
        for (index, first) in texts.iter().enumerate() {
            for second in &texts[index + 1..] {
                if first.overlaps(second) {
                    pairs.push((first.content.as_str(), second.content.as_str()));
                }
            }
        }
        pairs
    }

    /// The box around everything drawn, with half the widths of lines, widened by the margin;
    /// an empty scene has a box of twice its margin.
    pub fn bounds(&self) -> Rect {
        if let Some(sheet) = self.sheet {
            return sheet;
        }
        self.layers
            .iter()
            .flat_map(|layer| &layer.items)
            .map(Item::bounds)
            .reduce(|a, b| a.union(b))
            .unwrap_or_default()
            .inflate(self.margin, self.margin)
    }
}

impl Layer {
    /// Adds a shape.
    pub fn shape(&mut self, path: BezPath, fill: Fill, line: Option<LineKind>) {
        self.items.push(Item::Shape { path, fill, line });
    }

    /// Adds an open line through `points`.
    pub fn line(&mut self, points: impl IntoIterator<Item = Point>, kind: LineKind) {
        self.shape(open(points), Fill::None, Some(kind));
    }

    /// Adds lettering; nothing for a text without letters.
    pub fn text(&mut self, text: Text) {
        if !text.content.is_empty() {
            self.items.push(Item::Text(text));
        }
    }
}

impl Item {
    /// The same item moved, turned by quarters, or both; lettering turns with it.
    #[must_use]
    pub fn moved(&self, by: Affine) -> Self {
        match self {
            Self::Shape { path, fill, line } => {
                let fill = match *fill {
                    Fill::Cloth(texture, lay) => Fill::Cloth(texture, by * lay),
                    other => other,
                };
                Self::Shape { path: by * path.clone(), fill, line: *line }
            }
            Self::Text(text) => {
                let [a, b, ..] = by.as_coeffs();
                let turn = text.turn + libm::atan2(b, a).to_degrees().round();
                Self::Text(Text { at: by * text.at, turn, ..text.clone() })
            }
        }
    }

    /// The box around this item, lines with their width.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Shape { path, line, .. } => {
                let half = line.map_or(0.0, |kind| kind.width() / 2.0);
                path.bounding_box().inflate(half, half)
            }
            Self::Text(text) => {
                let corners = text.corners();
                let start = Rect::from_points(corners[0], corners[1]);
                start.union_pt(corners[2]).union_pt(corners[3])
            }
        }
    }
}

/// An open path through `points`.
pub fn open(points: impl IntoIterator<Item = Point>) -> BezPath {
    let mut path = BezPath::new();
    for (index, point) in points.into_iter().enumerate() {
        if index == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    path
}

/// A closed polygon through `points`.
pub fn closed(points: impl IntoIterator<Item = Point>) -> BezPath {
    let mut path = open(points);
    if !path.elements().is_empty() {
        path.close_path();
    }
    path
}

/// Number of chords that stand for a curve when a texture is clipped to it. At the size of a page
/// the error of 1/16 of a quarter circle of 100 mm radius is 0.12 mm, less than a line's width.
const CHORDS: u32 = 16;

/// The polygons of a path, one a subpath, curves replaced by chords.
pub fn rings(path: &BezPath) -> Vec<Vec<Point>> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    for element in path.elements() {
        if let PathEl::MoveTo(point) = element {
            rings.push(vec![*point]);
            continue;
        }
        let Some(ring) = rings.last_mut() else { continue };
        let Some(from) = ring.last().copied() else { continue };
        match *element {
            PathEl::LineTo(point) => ring.push(point),
            PathEl::QuadTo(a, to) => {
                let controls = (from.lerp(a, 2.0 / 3.0), to.lerp(a, 2.0 / 3.0));
                ring.extend(chords(from, controls.0, controls.1, to));
            }
            PathEl::CurveTo(a, b, to) => ring.extend(chords(from, a, b, to)),
            PathEl::MoveTo(_) | PathEl::ClosePath => {}
        }
    }
    rings
}

/// Points along a cubic curve, without its start.
fn chords(from: Point, a: Point, b: Point, to: Point) -> impl Iterator<Item = Point> {
    (1..=CHORDS).map(move |step| {
        let t = f64::from(step) / f64::from(CHORDS);
        let (ab, bc, cd) = (from.lerp(a, t), a.lerp(b, t), b.lerp(to, t));
        ab.lerp(bc, t).lerp(bc.lerp(cd, t), t)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_take_in_line_widths_lettering_and_margin() {
        let mut scene = Scene::new("test", "Test", "A line and a word.");
        scene.layer("a").line([Point::new(0.0, 0.0), Point::new(30.0, 0.0)], LineKind::Cut);
        assert_eq!(scene.bounds(), Rect::new(-2.25, -2.25, 32.25, 2.25));
        let text = Text::new("aaaa", Point::new(30.0, 0.0)).sized(10.0);
        scene.layer("b").text(text);
        assert!((scene.bounds().x1 - (30.0 + 10.5 + 2.0)).abs() < 1e-9);
    }

    #[test]
    fn layers_are_found_again() {
        let mut scene = Scene::new("test", "Test", "");
        scene.layer("below").text(Text::new("a", Point::ZERO));
        scene.layer("above").text(Text::new("b", Point::new(0.5, 0.0)));
        scene.layer("below").text(Text::new("c", Point::new(50.0, 0.0)));
        let names: Vec<_> = scene.layers.iter().map(|layer| layer.name.as_str()).collect();
        assert_eq!(names, ["below", "above"]);
        assert_eq!(scene.texts().count(), 3);
        assert_eq!(scene.overlapping_texts(), [("a", "b")]);
    }

    #[test]
    fn chords_follow_a_curve() {
        // A quarter circle as a cubic, by the usual factor 0.5523 (from memory).
        let mut path = BezPath::new();
        path.move_to((100.0, 0.0));
        path.curve_to((100.0, 55.23), (55.23, 100.0), (0.0, 100.0));
        let ring = &rings(&path)[0];
        assert_eq!(ring.len(), 17);
        for pair in ring.windows(2) {
            let sag = 100.0 - pair[0].midpoint(pair[1]).to_vec2().hypot();
            assert!(sag.abs() < 0.16, "{sag}");
        }
    }
}
