//! What is to be laid on what: the stock, the pieces, and the rules that bind them.
//!
//! Coordinates: `x` runs across the width from one selvedge, `y` along the length. Rotations are
//! counter-clockwise. A piece with rotation zero has its own width across and its own length along
//! the fabric, so its grain runs along the selvedge.
//!
//! The structs here are `non_exhaustive`: make them with their constructors and set the public
//! fields, so that more can be asked for without a change where problems are made. What a problem
//! may ask for and no solver offers is refused as [`crate::NoLayout::Unsolved`].

use measure::{Area, Increments, Length, Outline};

/// Pieces to lay on a stock.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Problem {
    /// What they are cut from.
    pub stock: Stock,
    /// How they are cut apart.
    pub cutting: Cutting,
    /// Free room between two pieces, for scissors; none is needed along the selvedges.
    pub gap: Length,
    /// How many identical sets of the pieces are cut at once.
    pub copies: u32,
    /// The pieces of one set.
    pub pieces: Vec<Item>,
    /// Bought on top of the length used, for squaring up the cut end.
    pub squaring: Length,
    /// How much the fabric shrinks when it is washed before cutting.
    pub shrinkage: Shrinkage,
}

impl Problem {
    /// One set of pieces, cut in any order, without gap, squaring allowance or shrinkage.
    pub const fn new(stock: Stock, pieces: Vec<Item>) -> Self {
        Self {
            stock,
            cutting: Cutting::Free,
            gap: Length::ZERO,
            copies: 1,
            pieces,
            squaring: Length::ZERO,
            shrinkage: Shrinkage::NONE,
        }
    }
}

/// What pieces are cut from.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Stock {
    /// Fabric sold from a bolt, of which as little as possible is bought.
    #[non_exhaustive]
    Bolt {
        /// The usable width as bought, opened out, without the selvedges.
        width: Length,
        /// The lengths in which the shop sells it.
        increments: Increments,
        /// Whether it lies folded, selvedge on selvedge: what is cut comes twice, mirrored, and
        /// pieces may lie on the fold.
        fold: bool,
        /// How often its print repeats, across the width and along the length; zero where nothing
        /// has to meet.
        repeat: (Length, Length),
    },
    /// Pieces of fabric that are there, each once: rectangles and outlines, with the grain along
    /// `y`. Nothing is bought.
    Remnants(Vec<Shape>),
}

impl Stock {
    /// A bolt that lies flat and has no repeat.
    pub const fn bolt(width: Length, increments: Increments) -> Self {
        Self::Bolt { width, increments, fold: false, repeat: (Length::ZERO, Length::ZERO) }
    }

    /// The usable width of a bolt as bought; none for remnants.
    pub const fn width(&self) -> Option<Length> {
        match self {
            Self::Bolt { width, .. } => Some(*width),
            Self::Remnants(_) => None,
        }
    }
}

/// How pieces are cut apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cutting {
    /// In any order, along their outlines, as scissors do.
    #[default]
    Free,
    /// As with a rotary cutter and ruler: strips across the whole width first, then cross cuts
    /// through a strip, then each piece is trimmed to its size. Every cut goes from edge to edge
    /// of what it cuts.
    StripsFirst {
        /// No cut on the table is longer than this (the ruler); any length when left out. When it is
        /// shorter than the fabric is wide, the fabric is cut folded, selvedge on selvedge and once
        /// more, into four layers at most; when that is not enough, it is first divided
        /// lengthwise.
        longest_cut: Option<Length>,
    },
}

/// How much fabric shrinks in each direction, in parts per million (5 % is 50 000).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shrinkage {
    /// Along the length.
    pub lengthwise: u32,
    /// Across the width.
    pub crosswise: u32,
}

impl Shrinkage {
    /// Fabric that does not shrink, or is not washed before it is cut.
    pub const NONE: Self = Self { lengthwise: 0, crosswise: 0 };
    /// The most that is taken for a shrinkage, 50 %; more is a slip of the pen.
    pub const MOST: u32 = 500_000;

    /// The length to buy so that `wanted` is left after washing, `wanted / (1 - s)`, rounded up.
    #[must_use]
    pub fn before_washing(self, wanted: Length) -> Length {
        let kept = 1_000_000 - i128::from(self.lengthwise.min(Self::MOST));
        let nm = i128::from(wanted.to_nm().max(0)) * 1_000_000;
        Length::nm(i64::try_from((nm + kept - 1) / kept).unwrap_or(i64::MAX))
    }

    /// The length that is left of `bought` after washing, rounded down.
    #[must_use]
    pub fn after_washing(self, bought: Length) -> Length {
        Length::nm(kept(bought, self.lengthwise))
    }

    /// The width that is left of `width` after washing, rounded down.
    #[must_use]
    pub fn width_after_washing(self, width: Length) -> Length {
        Length::nm(kept(width, self.crosswise))
    }
}

/// What is left of a length that loses `lost` parts per million.
fn kept(length: Length, lost: u32) -> i64 {
    let kept = 1_000_000 - i128::from(lost.min(Shrinkage::MOST));
    let nm = i128::from(length.to_nm().max(0)) * kept / 1_000_000;
    i64::try_from(nm).unwrap_or(i64::MAX)
}

/// One piece and how often it is cut.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Item {
    /// Its name on the layout.
    pub name: String,
    /// Its shape as cut, with its grain along `y`.
    pub shape: Shape,
    /// How many are cut for one set.
    pub count: u32,
    /// How it may lie.
    pub rotations: Rotations,
    /// Whether every second one is turned over (mirrored pairs: a left and a right).
    pub mirror: bool,
    /// How it may be joined from shorter strips; only for rectangles.
    pub join: Option<Join>,
    /// On folded fabric, whether the piece has to lie on the fold. The shape is the whole piece,
    /// opened out, and its left half must be the mirror image of its right half. On flat fabric it
    /// says nothing.
    pub on_fold: bool,
    /// Pieces of the same group have to match: the print runs on from one to the other, so that
    /// they lie at the same place of the repeat.
    pub group: Option<String>,
}

impl Item {
    /// A piece that is neither mirrored nor joined, lies on no fold and matches nothing.
    pub fn new(name: impl Into<String>, shape: Shape, count: u32, rotations: Rotations) -> Self {
        Self {
            name: name.into(),
            shape,
            count,
            rotations,
            mirror: false,
            join: None,
            on_fold: false,
            group: None,
        }
    }

    /// A rectangle that is neither mirrored nor joined.
    pub fn rectangle(
        name: impl Into<String>,
        (width, length): (Length, Length),
        count: u32,
        rotations: Rotations,
    ) -> Self {
        Self::new(name, Shape::Rect { width, length }, count, rotations)
    }

    /// The same piece in mirrored pairs.
    #[must_use]
    pub fn in_pairs(self) -> Self {
        Self { mirror: true, ..self }
    }

    /// The same piece, which may be joined from shorter strips.
    #[must_use]
    pub fn joined(self, join: Join) -> Self {
        Self { join: Some(join), ..self }
    }
}

/// The shape of a piece as it is cut, with its grain along `y`.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A rectangle.
    Rect {
        /// Across the grain.
        width: Length,
        /// Along the grain.
        length: Length,
    },
    /// Any outline; others may lie within its box.
    Outline(Outline),
}

impl Shape {
    /// Width and length of the box.
    pub fn size(&self) -> (Length, Length) {
        match self {
            Self::Rect { width, length } => (*width, *length),
            Self::Outline(outline) => outline.size(),
        }
    }

    /// The area within.
    pub fn area(&self) -> Area {
        match self {
            Self::Rect { width, length } => Area::rectangle(*width, *length),
            Self::Outline(outline) => outline.area(),
        }
    }
}

/// A turn by whole quarters, counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rotation {
    /// As drawn.
    None,
    /// A quarter turn, 90°.
    Quarter,
    /// Upside down, 180°.
    Half,
    /// Three quarter turns, 270°.
    ThreeQuarters,
}

impl Rotation {
    /// All four, in order.
    pub const ALL: [Self; 4] = [Self::None, Self::Quarter, Self::Half, Self::ThreeQuarters];

    /// In degrees.
    pub const fn degrees(self) -> u16 {
        match self {
            Self::None => 0,
            Self::Quarter => 90,
            Self::Half => 180,
            Self::ThreeQuarters => 270,
        }
    }

    /// In quarter turns.
    pub const fn quarters(self) -> u8 {
        match self {
            Self::None => 0,
            Self::Quarter => 1,
            Self::Half => 2,
            Self::ThreeQuarters => 3,
        }
    }

    /// Whether width and length change places.
    pub const fn is_crosswise(self) -> bool {
        matches!(self, Self::Quarter | Self::ThreeQuarters)
    }
}

/// The set of rotations a piece may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rotations(u8);

impl Rotations {
    /// As drawn only: nap or print has one way, and the grain is kept.
    pub const fn one_way() -> Self {
        Self(0b0001)
    }

    /// The grain along the selvedge, up or down.
    pub const fn along_the_grain() -> Self {
        Self(0b0101)
    }

    /// The grain across the width, one way.
    pub const fn one_way_across() -> Self {
        Self(0b0010)
    }

    /// The grain across the width, either way.
    pub const fn across_the_grain() -> Self {
        Self(0b1010)
    }

    /// Any way: fabric without grain or print, such as non-woven interfacing.
    pub const fn free() -> Self {
        Self(0b1111)
    }

    /// Just these.
    pub fn of(rotations: impl IntoIterator<Item = Rotation>) -> Self {
        Self(rotations.into_iter().fold(0, |set, rotation| set | 1 << rotation.quarters()))
    }

    /// Whether this rotation is among them.
    pub const fn allows(self, rotation: Rotation) -> bool {
        self.0 & (1 << rotation.quarters()) != 0
    }

    /// Those in the set, in order.
    pub fn iter(self) -> impl Iterator<Item = Rotation> {
        Rotation::ALL.into_iter().filter(move |&rotation| self.allows(rotation))
    }
}

/// How a strip that is longer than the fabric is wide may be joined. The long side of the
/// rectangle is the one that is joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Join {
    /// The most joins there may be in one finished strip.
    pub most: u32,
    /// The seam allowance on each side of a straight join.
    pub allowance: Length,
    /// How the seam runs.
    pub angle: JoinAngle,
    /// Where the seam lies.
    pub place: JoinPlace,
}

impl Join {
    /// What one join takes up of the strips' lengths, for strips of this breadth: the allowance
    /// twice when straight. For a diagonal join the square-cut ends lie across each other at right
    /// angles and are stitched from corner to corner, which takes up the breadth of the strip
    /// (common practice, no source); the allowance is what is left when the corner is trimmed.
    #[must_use]
    pub fn taken_up(&self, breadth: Length) -> Length {
        match self.angle {
            JoinAngle::Straight => self.allowance * 2,
            JoinAngle::Diagonal => breadth,
        }
    }
}

/// How the seam of a join runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JoinAngle {
    /// Square across the strip.
    Straight,
    /// At 45°.
    Diagonal,
}

/// Where the seam of a join may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JoinPlace {
    /// In the middle, one join: two equal halves.
    Centre,
    /// Anywhere: all strips are joined end to end into one long strip and cut to length, unless
    /// that would put too many joins into one of them (see [`crate::Layout::is_one_long_strip`]).
    Anywhere,
    /// The seam lies no farther than this from an end of the finished strip (where it is hidden
    /// when the end is stitched down): one join, or one at each end.
    WithinEnd(Length),
}
