//! Lettering: what a text says, where it stands and how much room it takes.
//!
//! Widths come from a table of the advance widths of the booklet's typeface, so that a label's box
//! is known without reading a font; the `paper` crate, which holds the font files, tests the table.

use kurbo::{Point, Rect, Vec2};

/// The family names to letter with, first choice first; a reader that has none takes its own sans.
pub const FAMILY: &str = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, sans-serif";

/// Height of a capital in parts of the text size (Atkinson Hyperlegible Next, OS/2 table).
pub const CAP_HEIGHT: f64 = 0.668;

/// Depth below the baseline that letters such as g and y need, in parts of the text size.
const DESCENT: f64 = 0.22;

/// Text sizes in mm (the em, not the capital). 3.5 mm is about 10 pt.
pub mod size {
    /// Names of pieces and parts.
    pub const NAME: f64 = 4.2;
    /// Dimensions and most labels.
    pub const LABEL: f64 = 3.5;
    /// Notes that may be read close up; nothing is lettered smaller.
    pub const NOTE: f64 = 3.0;
}

/// Regular or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// The text weight.
    Regular,
    /// For names.
    Bold,
}

/// Which point of the text its position names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// One line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says.
    pub content: String,
    /// Where it stands: on the line at half the height of its capitals, see [`Anchor`].
    pub at: Point,
    /// Which point of the text `at` is.
    pub anchor: Anchor,
    /// Text size (em) in mm; see [`size`].
    pub size: f64,
    /// Turned by so many degrees, clockwise on paper; −90 reads from below upwards.
    pub turn: f64,
    /// Regular or bold.
    pub weight: Weight,
    /// Whether a white plate is laid under it, so that it stays legible on a texture.
    pub plate: bool,
}

impl Text {
    /// Regular, level text of [`size::LABEL`] centred on `at`.
    pub fn new(content: impl Into<String>, at: Point) -> Self {
        Self {
            content: content.into(),
            at,
            anchor: Anchor::Middle,
            size: size::LABEL,
            turn: 0.0,
            weight: Weight::Regular,
            plate: false,
        }
    }

    /// The same in another size.
    #[must_use]
    pub fn sized(mut self, size: f64) -> Self {
        self.size = size;
        self
    }

    /// The same in bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.weight = Weight::Bold;
        self
    }

    /// The same with another anchor.
    #[must_use]
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// The same turned by `degrees`, clockwise on paper.
    #[must_use]
    pub fn turned(mut self, degrees: f64) -> Self {
        self.turn = degrees;
        self
    }

    /// The same on a white plate.
    #[must_use]
    pub fn plated(mut self) -> Self {
        self.plate = true;
        self
    }

    /// How long the line is, in mm.
    pub fn width(&self) -> f64 {
        width(&self.content, self.size, self.weight)
    }

    /// Its box before turning, relative to `at`: from the top of the capitals to the foot of a g.
    pub fn own_box(&self) -> Rect {
        let width = self.width();
        let left = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let half_cap = CAP_HEIGHT * self.size / 2.0;
        Rect::new(left, -half_cap, left + width, half_cap + DESCENT * self.size)
    }

    /// The direction in which it reads, of length one.
    pub fn direction(&self) -> Vec2 {
        let radians = self.turn.to_radians();
        Vec2::new(libm::cos(radians), libm::sin(radians))
    }

    /// The corners of its box on paper, in order around it.
    pub fn corners(&self) -> [Point; 4] {
        let own = self.own_box();
        let along = self.direction();
        let down = Vec2::new(-along.y, along.x);
        [(own.x0, own.y0), (own.x1, own.y0), (own.x1, own.y1), (own.x0, own.y1)]
            .map(|(x, y)| self.at + along * x + down * y)
    }

    /// Whether the boxes of two texts cover a common area.
    pub fn overlaps(&self, other: &Self) -> bool {
        let (a, b) = (self.corners(), other.corners());
        // Two convex shapes are apart if the normal of one of their sides separates them.
        let apart = |first: &[Point; 4], second: &[Point; 4]| {
            (0..2).any(|side| {
                let axis = first[side + 1] - first[side];
                let (low_a, high_a) = span_along(first, axis);
                let (low_b, high_b) = span_along(second, axis);
                high_a <= low_b || high_b <= low_a
            })
        };
        !apart(&a, &b) && !apart(&b, &a)
    }
}

/// The least and the greatest coordinate of `points` along `axis`.
fn span_along(points: &[Point; 4], axis: Vec2) -> (f64, f64) {
    points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| {
        let along = point.to_vec2().dot(axis);
        (low.min(along), high.max(along))
    })
}

/// Length in mm of `content` set in `size` mm, without kerning (which makes it a shade shorter).
pub fn width(content: &str, size: f64, weight: Weight) -> f64 {
    let total: u32 = content.chars().map(|letter| u32::from(advance(letter, weight))).sum();
    f64::from(total) / 1000.0 * size
}

/// Advance width of one letter in thousandths of the text size.
fn advance(letter: char, weight: Weight) -> u16 {
    let (basic, others) = match weight {
        Weight::Regular => (&REGULAR, &OTHERS_REGULAR),
        Weight::Bold => (&BOLD, &OTHERS_BOLD),
    };
    let code = usize::try_from(u32::from(letter)).unwrap_or(usize::MAX);
    let known = code.checked_sub(32).and_then(|index| basic.get(index)).copied();
    known
        .or_else(|| others.iter().find(|(known, _)| *known == letter).map(|(_, width)| *width))
        // No letter of the typeface that we use is wider than an em.
        .unwrap_or(1000)
}

/// Widths of the characters from space to tilde, Regular.
#[rustfmt::skip]
const REGULAR: [u16; 95] = [
    280, 286, 301, 651, 592, 919, 731, 160, 299, 299, 485, 606, 210, 362, 210, 387, 648, 407, 548,
    576, 614, 588, 598, 510, 615, 595, 210, 210, 553, 628, 553, 480, 778, 626, 613, 645, 669, 569,
    552, 694, 694, 392, 512, 631, 541, 824, 693, 714, 592, 724, 614, 592, 558, 690, 593, 856, 623,
    575, 607, 317, 387, 344, 552, 372, 243, 525, 566, 485, 564, 538, 314, 558, 550, 252, 245, 492,
    262, 845, 550, 548, 566, 574, 349, 471, 326, 540, 461, 684, 481, 449, 460, 344, 237, 344, 555,
];

/// Widths of the characters from space to tilde, Bold.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    312, 303, 390, 765, 610, 969, 725, 210, 335, 335, 485, 595, 271, 373, 272, 440, 659, 440, 579,
    600, 624, 607, 626, 537, 624, 571, 272, 272, 569, 612, 569, 547, 781, 678, 643, 658, 688, 597,
    566, 718, 701, 424, 561, 663, 552, 858, 717, 746, 629, 756, 650, 610, 607, 686, 644, 886, 685,
    650, 618, 340, 440, 344, 582, 400, 288, 552, 596, 510, 596, 563, 365, 593, 571, 300, 259, 555,
    318, 882, 571, 576, 596, 599, 376, 508, 376, 567, 530, 740, 539, 521, 505, 381, 254, 381, 537,
];

/// Widths of the other characters that drawings use, Regular.
const OTHERS_REGULAR: [(char, u16); 14] = [
    ('½', 820),
    ('¼', 816),
    ('¾', 867),
    ('×', 532),
    ('−', 606),
    ('–', 504),
    ('—', 824),
    ('°', 352),
    ('²', 382),
    ('³', 383),
    ('·', 240),
    ('…', 670),
    ('’', 236),
    ('é', 538),
];

/// Widths of the other characters that drawings use, Bold.
const OTHERS_BOLD: [(char, u16); 14] = [
    ('½', 852),
    ('¼', 846),
    ('¾', 921),
    ('×', 536),
    ('−', 595),
    ('–', 501),
    ('—', 832),
    ('°', 394),
    ('²', 402),
    ('³', 407),
    ('·', 294),
    ('…', 780),
    ('’', 269),
    ('é', 563),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_turn_with_their_text() {
        let text = Text::new("aaaa", Point::new(10.0, 20.0)).sized(10.0).turned(-90.0);
        let corners = text.corners();
        // Half of 4 × 525/1000 × 10 mm lies below and above the anchor; the text reads upwards.
        assert!((corners[0].y - 30.5).abs() < 1e-9, "{corners:?}");
        assert!((corners[1].y - 9.5).abs() < 1e-9, "{corners:?}");
        assert!((corners[0].x - (10.0 - 3.34)).abs() < 1e-9, "{corners:?}");
    }

    #[test]
    fn overlap_needs_a_common_area() {
        let one = Text::new("front", Point::new(0.0, 0.0));
        assert!(one.overlaps(&Text::new("back", Point::new(3.0, 1.0))));
        assert!(!one.overlaps(&Text::new("back", Point::new(0.0, 6.0))));
        // A slanting text whose upright hull would overlap, but which passes by.
        let slanting = Text::new("side side side", Point::new(12.0, 8.0)).turned(-45.0);
        assert!(!one.overlaps(&slanting));
    }
}
