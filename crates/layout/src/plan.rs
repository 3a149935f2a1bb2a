//! A layout: where each piece lies, how much is used and bought, and how good that is proven to be.

use std::fmt;

use measure::Length;

use crate::Rotation;

/// Pieces laid on fabric.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Layout {
    /// Where everything lies, in the order of the pieces.
    pub placements: Vec<Placement>,
    /// Finished strips that are joined, and from what.
    pub joins: Vec<Joined>,
    /// For strips-first cutting, the cuts in the order in which they are made; else none.
    pub cuts: Vec<CutLine>,
    /// For remnants, whether everything fits on them; none for a bolt. With remnants nothing is
    /// bought: the width and all lengths below are zero.
    pub fit: Option<Fit>,
    /// The usable width the pieces lie on (after washing).
    pub width: Length,
    /// The length used: the far end of the farthest piece.
    pub length: Length,
    /// The least to buy: `length` and the squaring allowance, before washing.
    pub needed: Length,
    /// `needed` rounded up to what the shop sells.
    pub bought: Length,
    /// A proven lower bound: no layout of these pieces is shorter.
    pub bound: Length,
    /// What the bound proves.
    pub proof: Proof,
    /// The largest rectangle left over of what is bought, if there is any.
    pub remnant: Option<Remnant>,
}

impl Layout {
    /// Whether the cut strips of a joined piece, sewn end to end in order, make one long strip from
    /// which all finished strips can be cut one after the other. Where that would put too many
    /// joins into one of them, each has to be sewn by itself, as [`Layout::joins`] says: end to end
    /// the strips would come out too short.
    pub fn is_one_long_strip(&self, piece: usize) -> bool {
        let joined: Vec<_> = self.joins.iter().filter(|joined| joined.piece == piece).collect();
        let goes_on = |two: &[&Joined]| match (two[0].stretches.last(), two[1].stretches.first()) {
            (Some(end), Some(start)) => {
                end.part == start.part && end.from + end.length == start.from
            }
            _ => false,
        };
        !joined.is_empty() && joined.windows(2).all(goes_on)
    }
}

/// Where one piece, or one strip of a joined piece, lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Placement {
    /// Which of the problem's pieces.
    pub piece: usize,
    /// Which copy of it, from zero, counted over all sets. For a strip that is joined *anywhere*
    /// and serves several copies, the first of them.
    pub copy: u32,
    /// For joined pieces, which strip of the piece (counted over all copies); else zero.
    pub part: u32,
    /// On which of the remnants; zero on a bolt.
    pub stock: usize,
    /// How it is turned.
    pub rotation: Rotation,
    /// Whether it is turned over (before it is turned).
    pub mirrored: bool,
    /// The lower left corner of the turned piece's box: across the width.
    pub x: Length,
    /// The lower left corner of the turned piece's box: along the length.
    pub y: Length,
    /// The size of the turned piece's box across the width.
    pub width: Length,
    /// The size of the turned piece's box along the length.
    pub length: Length,
}

/// A finished strip and the stretches of cut strips it is joined from, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Joined {
    /// Which of the problem's pieces.
    pub piece: usize,
    /// Which copy of it.
    pub copy: u32,
    /// From end to end. Lengths are as cut, so they include what the joins take up.
    pub stretches: Vec<Stretch>,
}

/// A stretch of a cut strip that becomes part of a finished strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The `part` of the placement it comes from.
    pub part: u32,
    /// Where on that strip it begins, from its start.
    pub from: Length,
    /// How long it is, as cut.
    pub length: Length,
}

/// Whether everything fits on the remnants there are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fit {
    /// Copies of pieces that are left over, by piece and copy, in order. None when everything fits.
    pub left_over: Vec<(usize, u32)>,
    /// Whether what `left_over` says is proven: everything fits, or there is no way to lay it all.
    /// Else none was found.
    pub is_proven: bool,
}

/// One straight cut, from edge to edge of a part of the fabric. Places are counted as those of
/// placements are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutLine {
    /// What the cut is for.
    pub kind: CutKind,
    /// The part that is cut in two.
    pub part: Part,
    /// Where the cut begins: across the width, along the length.
    pub from: (Length, Length),
    /// Where it ends.
    pub to: (Length, Length),
    /// Through how many layers it is cut: one when the part lies flat, two when it lies folded,
    /// and so on.
    pub layers: u32,
    /// What comes off: the side at the beginning of the part, at its least `x` or `y`.
    pub off: Off,
    /// What is left on the other side. Where the gap is not zero, the cut takes the gap away from
    /// it.
    pub left: Off,
}

impl CutLine {
    /// How far it goes on the fabric.
    pub fn extent(&self) -> Length {
        self.to.0 - self.from.0 + (self.to.1 - self.from.1)
    }

    /// How long the cut is on the table, where the fabric lies in layers; rounded up.
    pub fn length(&self) -> Length {
        let layers = i64::from(self.layers.max(1));
        Length::nm((self.extent().to_nm() + layers - 1) / layers)
    }

    /// Whether it runs across the width.
    pub fn is_across(&self) -> bool {
        self.from.1 == self.to.1
    }
}

/// What a cut is for, in the order in which cuts are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutKind {
    /// Divides the fabric lengthwise, so that no later cut is too long.
    Divide,
    /// Cuts a strip across the whole width of the part.
    Strip,
    /// Cuts through a strip.
    Cross,
    /// Trims to size.
    Trim,
}

/// A rectangular part of the fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// On which of the remnants; zero on a bolt.
    pub stock: usize,
    /// Its lower left corner: across the width.
    pub x: Length,
    /// Its lower left corner: along the length.
    pub y: Length,
    /// Its size across the width.
    pub width: Length,
    /// Its size along the length.
    pub length: Length,
}

/// What is on one side of a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Off {
    /// A part that is cut up further.
    Part(Part),
    /// A finished piece: which of the layout's placements.
    Piece(usize),
    /// Fabric that is left over.
    Waste(Part),
}

/// A rectangle of fabric left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Remnant {
    /// On which of the remnants it was cut from; zero on a bolt.
    pub stock: usize,
    /// Its lower left corner: across the width.
    pub x: Length,
    /// Its lower left corner: along the length.
    pub y: Length,
    /// Its size across the width.
    pub width: Length,
    /// Its size along the length.
    pub length: Length,
}

/// What a layout's bound proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// No layout is shorter.
    Shortest,
    /// A shorter layout may exist, but no shorter length that the shop sells would do.
    NoShorterPurchase,
    /// The shortest layout is at most this much shorter, in parts per million of the bound.
    Within(u64),
}

impl Proof {
    /// That a length is this far above a bound, rounded up.
    pub fn within(length: Length, bound: Length) -> Self {
        let over = i128::from((length - bound).to_nm().max(0)) * 1_000_000;
        let bound = i128::from(bound.to_nm().max(1));
        Self::Within(u64::try_from((over + bound - 1) / bound).unwrap_or(u64::MAX))
    }

    /// What is proven, as one word for files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shortest => "shortest",
            Self::NoShorterPurchase => "no-shorter-purchase",
            Self::Within(_) => "within",
        }
    }
}

impl fmt::Display for Proof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shortest => f.write_str("shortest possible"),
            Self::NoShorterPurchase => f.write_str("no shorter purchase exists"),
            // Rounded up, so that the claim stays true.
            Self::Within(ppm) => write!(f, "within {} %", ppm.div_ceil(10_000)),
        }
    }
}

impl Layout {
    /// How much longer than the bound it is, in per cent, rounded up to a ten-thousandth.
    pub fn gap_percent(&self) -> f64 {
        match Proof::within(self.length, self.bound) {
            // Parts per million of a length that can be bought are counted exactly.
            Proof::Within(ppm) => ppm as f64 / 1e4,
            Proof::Shortest | Proof::NoShorterPurchase => 0.0,
        }
    }

    /// A layout that claims nothing yet; set the public fields to what is claimed.
    pub fn claiming(placements: Vec<Placement>, joins: Vec<Joined>, width: Length) -> Self {
        let nothing = Length::ZERO;
        Self {
            placements,
            joins,
            cuts: Vec::new(),
            fit: None,
            width,
            length: nothing,
            needed: nothing,
            bought: nothing,
            bound: nothing,
            proof: Proof::Shortest,
            remnant: None,
        }
    }
}

impl Placement {
    /// A piece that lies as drawn, with the lower left corner of its box at a place.
    pub fn new(piece: usize, copy: u32, at: (Length, Length), size: (Length, Length)) -> Self {
        Self {
            piece,
            copy,
            part: 0,
            stock: 0,
            rotation: Rotation::None,
            mirrored: false,
            x: at.0,
            y: at.1,
            width: size.0,
            length: size.1,
        }
    }
}

impl Joined {
    /// A copy of a piece, joined from these stretches.
    pub fn new(piece: usize, copy: u32, stretches: Vec<Stretch>) -> Self {
        Self { piece, copy, stretches }
    }
}
