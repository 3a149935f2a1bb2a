//! Textures: how each fabric and each of its faces is told apart, in black and white too.
//!
//! A texture is a few families of parallel strokes over a pale ground. The right side of a fabric
//! is tinted and fully worked; its wrong side is white with the same motif, thin and broken. The
//! strokes are worked out here and clipped to the outline, rather than left to the reader of the
//! file as a repeating pattern: they come out the same in every reader, can be slanted to lie on a
//! face of the bag, and leave no hairlines between tiles.

use kurbo::{Affine, Point, Vec2};

/// What a surface is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cloth {
    /// The fabric of the outside.
    Outside,
    /// The lining fabric.
    Lining,
    /// A second outside fabric (base, pocket, band).
    Contrast,
    /// Interfacing.
    Interfacing,
    /// Webbing.
    Webbing,
    /// Fabric of no piece: what is left over.
    Waste,
}

impl Cloth {
    /// All of them, for legends and tests.
    pub const ALL: [Self; 6] = [
        Self::Outside,
        Self::Lining,
        Self::Contrast,
        Self::Interfacing,
        Self::Webbing,
        Self::Waste,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::Lining => "lining",
            Self::Contrast => "contrast",
            Self::Interfacing => "interfacing",
            Self::Webbing => "webbing",
            Self::Waste => "waste",
        }
    }
}

/// Which face of the cloth is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// The face meant to be seen.
    Right,
    /// The other one.
    Wrong,
}

/// A cloth seen from one of its sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Texture {
    /// What it is.
    pub cloth: Cloth,
    /// Which face is seen.
    pub side: Side,
}

/// Parallel strokes. In texture space the grain runs along y; lengths are mm on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Family {
    /// Direction of the strokes, of length one.
    along: (f64, f64),
    /// Distance between neighbouring lines.
    spacing: f64,
    /// Length of a stroke; zero or less for a line without breaks.
    on: f64,
    /// Gap after a stroke.
    off: f64,
    /// How far every second line is moved along itself.
    shift: f64,
    /// Width of the stroke.
    width: f64,
}

/// Half of the square root of two, so that no trigonometry is needed.
const DIAGONAL: f64 = std::f64::consts::FRAC_1_SQRT_2;
const UP_RIGHT: (f64, f64) = (DIAGONAL, -DIAGONAL);
const DOWN_RIGHT: (f64, f64) = (DIAGONAL, DIAGONAL);
const ACROSS: (f64, f64) = (1.0, 0.0);
const ALONG: (f64, f64) = (0.0, 1.0);

/// A line without breaks.
const fn solid(along: (f64, f64), spacing: f64, width: f64) -> Family {
    Family { along, spacing, on: 0.0, off: 0.0, shift: 0.0, width }
}

/// A line of dashes.
const fn dashed(
    along: (f64, f64),
    spacing: f64,
    (on, off): (f64, f64),
    shift: f64,
    width: f64,
) -> Family {
    Family { along, spacing, on, off, shift, width }
}

/// Round dots of diameter `width`, every second row moved by half a step.
const fn dots(spacing: f64, width: f64) -> Family {
    dashed(ACROSS, spacing / 2.0, (0.01, spacing - 0.01), spacing / 2.0, width)
}

const OUTSIDE_RIGHT: [Family; 1] = [solid(UP_RIGHT, 1.6, 0.18)];
const OUTSIDE_WRONG: [Family; 1] = [dashed(UP_RIGHT, 3.2, (1.6, 3.2), 2.4, 0.13)];
const LINING_RIGHT: [Family; 1] = [dots(2.4, 0.5)];
const LINING_WRONG: [Family; 1] = [dots(5.0, 0.35)];
const CONTRAST_RIGHT: [Family; 2] = [solid(ACROSS, 3.6, 0.13), solid(ALONG, 3.6, 0.13)];
const CONTRAST_WRONG: [Family; 2] =
    [dashed(ACROSS, 4.8, (1.6, 3.2), 0.0, 0.13), dashed(ALONG, 4.8, (1.6, 3.2), 0.0, 0.13)];
const INTERFACING: [Family; 2] =
    [dashed(DOWN_RIGHT, 2.6, (1.0, 4.2), 2.6, 0.18), dashed(UP_RIGHT, 2.6, (1.0, 4.2), 2.6, 0.18)];
const WEBBING: [Family; 1] = [solid(ACROSS, 0.8, 0.18)];
/// Blank: what is left over shows no cloth of a piece.
const WASTE: [Family; 0] = [];

/// One family of strokes, clipped to an outline: pairs of ends, and their width in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Strokes {
    /// Both ends of each stroke, on paper.
    pub lines: Vec<(Point, Point)>,
    /// Width in mm.
    pub width: f64,
}

/// A repeating tile of one family of strokes, for readers that repeat it themselves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tile {
    /// Width × height in mm; x runs along the strokes.
    pub(crate) size: (f64, f64),
    /// How the tile is turned in texture space.
    pub(crate) turn: Affine,
    /// Both ends of each stroke; they may reach beyond the tile, which cuts them.
    pub(crate) lines: Vec<(Point, Point)>,
    /// Width of the strokes in mm.
    pub(crate) width: f64,
    /// Their colour.
    pub(crate) ink: String,
}

impl Texture {
    /// Every cloth from both sides, those that look alike once.
    pub(crate) fn every() -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for texture in Cloth::ALL.into_iter().flat_map(|it| [Self::right(it), Self::wrong(it)]) {
            if !all.iter().any(|known| known.name() == texture.name()) {
                all.push(texture);
            }
        }
        all
    }

    /// Whether a transform lays the texture on paper so that strokes can be seen.
    pub(crate) fn is_drawn(self, to_paper: Affine) -> bool {
        let determinant = to_paper.determinant();
        determinant.is_finite() && determinant.abs() >= 1e-9
    }

    /// The tiles that repeat as this texture, one for each family of strokes.
    pub(crate) fn tiles(self) -> Vec<Tile> {
        let ink = self.ink();
        self.families().iter().map(|family| family.tile(ink.to_owned())).collect()
    }

    /// The texture of the right side of `cloth`.
    pub const fn right(cloth: Cloth) -> Self {
        Self { cloth, side: Side::Right }
    }

    /// The texture of the wrong side of `cloth`.
    pub const fn wrong(cloth: Cloth) -> Self {
        Self { cloth, side: Side::Wrong }
    }

    /// The word for it, used as a class in SVG.
    pub fn name(self) -> String {
        match (self.cloth, self.side) {
            (Cloth::Outside | Cloth::Lining | Cloth::Contrast, Side::Wrong) => {
                format!("{}-wrong", self.cloth.name())
            }
            _ => self.cloth.name().to_owned(),
        }
    }

    /// The ground under the strokes, as an sRGB hex colour. All are pale: black lettering on each
    /// keeps a contrast of more than 7 : 1.
    pub const fn ground(self) -> &'static str {
        match (self.cloth, self.side) {
            (Cloth::Outside, Side::Right) => "#dfe8ee",
            (Cloth::Lining, Side::Right) => "#f8efda",
            (Cloth::Contrast, Side::Right) => "#ecdfe8",
            (Cloth::Webbing, _) => "#e4e4de",
            _ => "#ffffff",
        }
    }

    /// The colour of the strokes.
    pub const fn ink(self) -> &'static str {
        match (self.cloth, self.side) {
            (Cloth::Outside, Side::Right) => "#4a6a80",
            (Cloth::Lining, Side::Right) => "#7d6325",
            (Cloth::Contrast, Side::Right) => "#a5829b",
            _ => "#6a6a6a",
        }
    }

    const fn families(self) -> &'static [Family] {
        match (self.cloth, self.side) {
            (Cloth::Outside, Side::Right) => &OUTSIDE_RIGHT,
            (Cloth::Outside, Side::Wrong) => &OUTSIDE_WRONG,
            (Cloth::Lining, Side::Right) => &LINING_RIGHT,
            (Cloth::Lining, Side::Wrong) => &LINING_WRONG,
            (Cloth::Contrast, Side::Right) => &CONTRAST_RIGHT,
            (Cloth::Contrast, Side::Wrong) => &CONTRAST_WRONG,
            (Cloth::Interfacing, _) => &INTERFACING,
            (Cloth::Webbing, _) => &WEBBING,
            (Cloth::Waste, _) => &WASTE,
        }
    }

    /// The strokes of this texture inside `rings` (closed polygons on paper; a ring inside another
    /// is a hole). `to_paper` lays texture space, whose y axis is the grain, on the paper.
    /// An outline too narrow for a stroke, or a transform that cannot be undone, has none.
    pub fn strokes(self, rings: &[Vec<Point>], to_paper: Affine) -> Vec<Strokes> {
        if !self.is_drawn(to_paper) {
            return Vec::new();
        }
        let from_paper = to_paper.inverse();
        let flat: Vec<Vec<Point>> = rings
            .iter()
            .map(|ring| ring.iter().map(|point| from_paper * *point).collect())
            .collect();
        self.families()
            .iter()
            .map(|family| Strokes {
                lines: family
                    .clipped(&flat)
                    .into_iter()
                    .map(|(from, to)| (to_paper * from, to_paper * to))
                    .collect(),
                width: family.width,
            })
            .collect()
    }
}

/// More lines than any drawing on a page needs: a guard against a scale gone wrong.
const MOST_LINES: f64 = 4000.0;

impl Family {
    /// The tile that repeats as this family: two rows, neither of which touches its edge.
    fn tile(&self, ink: String) -> Tile {
        let along = Vec2::new(self.along.0, self.along.1);
        let turn = Affine::new([along.x, along.y, -along.y, along.x, 0.0, 0.0]);
        let solid = self.on <= 0.0;
        let period = if solid { self.spacing } else { self.on + self.off };
        let mut lines = Vec::new();
        for (row, shift) in [(0.5, 0.0), (1.5, self.shift)] {
            let y = row * self.spacing;
            if solid {
                // Beyond both ends, so that no gap is left between two tiles.
                lines.push((Point::new(-1.0, y), Point::new(period + 1.0, y)));
                continue;
            }
            let start = shift.rem_euclid(period);
            for start in [start - period, start] {
                if start + self.on + self.width > 0.0 {
                    lines.push((Point::new(start, y), Point::new(start + self.on, y)));
                }
            }
            // A stroke that begins at the edge of the tile has its round end in the one before.
            if start < self.width {
                lines
                    .push((Point::new(start + period, y), Point::new(start + period + self.on, y)));
            }
        }
        Tile { size: (period, self.spacing * 2.0), turn, lines, width: self.width, ink }
    }

    /// The strokes of this family inside `rings`, all in texture space.
    fn clipped(&self, rings: &[Vec<Point>]) -> Vec<(Point, Point)> {
        let along = Vec2::new(self.along.0, self.along.1);
        let normal = Vec2::new(-along.y, along.x);
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        for point in rings.iter().flatten() {
            let height = point.to_vec2().dot(normal);
            (low, high) = (low.min(height), high.max(height));
        }
        let mut lines = Vec::new();
        let mut row = (low / self.spacing).ceil();
        if !row.is_finite() || (high - low) / self.spacing > MOST_LINES {
            return lines;
        }
        while row * self.spacing < high {
            let height = row * self.spacing;
            let odd = (row / 2.0).fract() != 0.0;
            for (from, to) in inside(rings, along, normal, height) {
                self.break_up(from, to, odd, |from, to| {
                    let at = |t: f64| (along * t + normal * height).to_point();
                    lines.push((at(from), at(to)));
                });
            }
            row += 1.0;
        }
        lines
    }

    /// Hands the strokes of a line that run between `from` and `to` to `keep`.
    fn break_up(&self, from: f64, to: f64, odd: bool, mut keep: impl FnMut(f64, f64)) {
        if self.on <= 0.0 {
            keep(from, to);
            return;
        }
        let period = self.on + self.off;
        let offset = if odd { self.shift } else { 0.0 };
        let dot = self.on < self.width;
        let mut step = ((from - offset - self.on) / period).ceil();
        loop {
            let start = step * period + offset;
            if start >= to {
                return;
            }
            let (first, last) = (start.max(from), (start + self.on).min(to));
            // A dot is drawn whole or not at all; a crumb of a dash is left out.
            let whole = start - self.width / 2.0 >= from && start + self.width / 2.0 <= to;
            if (dot && whole) || (!dot && last - first > self.width) {
                keep(first, last);
            }
            step += 1.0;
        }
    }
}

/// The stretches of the line at `height` along `normal` that lie inside `rings` (even-odd).
fn inside(rings: &[Vec<Point>], along: Vec2, normal: Vec2, height: f64) -> Vec<(f64, f64)> {
    let mut crossings = Vec::new();
    for ring in rings {
        for (index, from) in ring.iter().enumerate() {
            let Some(to) = ring.get(index + 1).or(ring.first()) else { continue };
            let (a, b) = (from.to_vec2().dot(normal) - height, to.to_vec2().dot(normal) - height);
            // Half-open, so that a corner on the line counts once.
            if (a <= 0.0) != (b <= 0.0) {
                let crossing = from.lerp(*to, a / (a - b));
                crossings.push(crossing.to_vec2().dot(along));
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Vec<Point> {
        vec![
            Point::new(0.0, 0.0),
            Point::new(side, 0.0),
            Point::new(side, side),
            Point::new(0.0, side),
        ]
    }

    #[test]
    fn strokes_stay_inside_and_out_of_holes() {
        let hole = square(10.0).iter().map(|p| *p + Vec2::new(5.0, 5.0)).collect();
        for cloth in Cloth::ALL {
            for side in [Side::Right, Side::Wrong] {
                let strokes = Texture { cloth, side }
                    .strokes(&[square(20.0), Vec::clone(&hole)], Affine::IDENTITY);
                let blank = strokes.iter().all(|family| family.lines.is_empty());
                assert_eq!(blank, cloth == Cloth::Waste, "{cloth:?}");
                for (from, to) in strokes.iter().flat_map(|family| &family.lines) {
                    let middle = from.midpoint(*to);
                    let within = |low: f64, high: f64, p: Point| {
                        p.x > low && p.x < high && p.y > low && p.y < high
                    };
                    assert!(within(-1e-9, 20.0 + 1e-9, *from), "{cloth:?} {from:?}");
                    assert!(within(-1e-9, 20.0 + 1e-9, *to), "{cloth:?} {to:?}");
                    assert!(!within(5.0 + 1e-9, 15.0 - 1e-9, middle), "{cloth:?} {middle:?}");
                }
            }
        }
    }

    #[test]
    fn solid_lines_have_the_length_that_the_area_gives() {
        // Lines at distance s through an area A have a total length of about A / s.
        let strokes = Texture::right(Cloth::Outside).strokes(&[square(80.0)], Affine::IDENTITY);
        let total: f64 = strokes[0].lines.iter().map(|(a, b)| a.distance(*b)).sum();
        assert!((total - 6400.0 / 1.6).abs() < 0.01 * 4000.0, "{total}");
    }

    #[test]
    fn a_face_without_area_has_no_strokes() {
        let flat = Affine::new([1.0, 0.0, 2.0, 0.0, 0.0, 0.0]);
        assert!(Texture::right(Cloth::Lining).strokes(&[square(5.0)], flat).is_empty());
    }

    #[test]
    fn every_texture_has_a_motif_of_its_own() {
        let all: Vec<Texture> = Cloth::ALL
            .into_iter()
            .flat_map(|cloth| [Texture::right(cloth), Texture::wrong(cloth)])
            .collect();
        for (index, first) in all.iter().enumerate() {
            for second in &all[index + 1..] {
                if first.name() != second.name() {
                    assert_ne!(first.families(), second.families(), "{first:?} {second:?}");
                }
            }
        }
    }

    /// WCAG 2.2: contrast of black with the ground, by relative luminance; 7 : 1 is level AAA.
    #[test]
    fn black_lettering_is_legible_on_every_ground() {
        let linear = |hex: &str| {
            let c = f64::from(u8::from_str_radix(hex, 16).unwrap()) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
        };
        for cloth in Cloth::ALL {
            for texture in [Texture::right(cloth), Texture::wrong(cloth)] {
                let hex = texture.ground();
                let luminance = 0.2126 * linear(&hex[1..3])
                    + 0.7152 * linear(&hex[3..5])
                    + 0.0722 * linear(&hex[5..7]);
                assert!((luminance + 0.05) / 0.05 > 7.0, "{texture:?}");
            }
        }
    }
}
