//! What the verifier can find wrong with a layout.

use std::fmt;

use measure::Length;

/// Something wrong with a layout. `placement` counts the layout's placements, `piece` the
/// problem's pieces, both from zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The problem itself makes no sense.
    Problem,
    /// The layout is for another usable width.
    Width {
        /// What the layout says.
        said: Length,
        /// What is right.
        is: Length,
    },
    /// No such piece or copy in the problem.
    Unknown {
        /// Which placement.
        placement: usize,
    },
    /// It does not lie on the usable width, or before the start of the fabric.
    OffFabric {
        /// Which placement.
        placement: usize,
    },
    /// It is turned in a way that is not allowed.
    Rotation {
        /// Which placement.
        placement: usize,
    },
    /// It is turned over and should not be, or the other way round.
    Mirrored {
        /// Which placement.
        placement: usize,
    },
    /// Two lie nearer than the gap, or on each other.
    Overlap {
        /// One placement.
        one: usize,
        /// The other.
        other: usize,
    },
    /// On folded fabric, what is cut with it on the other side of the fold is neither a piece nor
    /// free; or it should lie on the fold and does not.
    Fold {
        /// Which placement.
        placement: usize,
    },
    /// Two pieces that have to match lie at different places of the print, or turned differently.
    Match {
        /// One placement.
        one: usize,
        /// The other.
        other: usize,
    },
    /// It is not as large as the piece.
    Size {
        /// Which piece.
        piece: usize,
        /// Which copy.
        copy: u32,
    },
    /// A copy is not there.
    Missing {
        /// Which piece.
        piece: usize,
        /// Which copy.
        copy: u32,
    },
    /// A copy is there more than once, or is not wanted.
    TooOften {
        /// Which piece.
        piece: usize,
        /// Which copy.
        copy: u32,
    },
    /// The piece may not be joined, or is not longer than the fabric is wide.
    NotJoinable {
        /// Which piece.
        piece: usize,
    },
    /// A finished strip has the wrong length, too many joins, or a seam in the wrong place.
    Join {
        /// Which piece.
        piece: usize,
        /// Which copy.
        copy: u32,
    },
    /// Stretches overlap, or are not just what the strips that are cut give.
    Stretches {
        /// Which piece.
        piece: usize,
    },
    /// A join of a piece that does not exist.
    StrayJoin,
    /// The length used is not where the farthest piece ends.
    Length {
        /// What the layout says.
        said: Length,
        /// What is right.
        is: Length,
    },
    /// The needed length does not follow from the length used.
    Needed {
        /// What the layout says.
        said: Length,
        /// What is right.
        is: Length,
    },
    /// The length bought is not the least that is sold and is enough.
    Bought {
        /// What the layout says.
        said: Length,
        /// What is right.
        is: Length,
    },
    /// The bound is above the length.
    Bound {
        /// What the layout says.
        bound: Length,
        /// The length used.
        length: Length,
    },
    /// The proof says more than the bound gives.
    Proof,
    /// The remnant is not free, or not on the fabric that is bought.
    Remnant,
    /// On remnants: what is laid and what is left over do not agree, or a length is claimed where
    /// nothing is bought.
    Fit,
    /// A cut cannot be made as it is said.
    Cut {
        /// Which of the cuts, from zero.
        cut: usize,
        /// What is wrong.
        wrong: &'static str,
    },
    /// No cut gives this piece.
    NotCut {
        /// Which placement.
        placement: usize,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wrong = |f: &mut fmt::Formatter<'_>, what: &str, said: &Length, is: &Length| {
            write!(f, "the {what} is {} mm, but should be {} mm", said.to_mm(), is.to_mm())
        };
        match self {
            Self::Problem => f.write_str("the problem makes no sense, so no layout is right"),
            Self::Width { said, is } => wrong(f, "usable width", said, is),
            Self::Length { said, is } => wrong(f, "length used", said, is),
            Self::Needed { said, is } => wrong(f, "length needed", said, is),
            Self::Bought { said, is } => wrong(f, "length bought", said, is),
            Self::Unknown { placement } => {
                write!(f, "placement {placement}: no such piece or copy")
            }
            Self::OffFabric { placement } => {
                write!(f, "placement {placement} does not lie on the fabric")
            }
            Self::Rotation { placement } => {
                write!(f, "placement {placement} is turned in a way that is not allowed")
            }
            Self::Mirrored { placement } => {
                write!(f, "placement {placement} lies with the wrong side up")
            }
            Self::Overlap { one, other } => {
                write!(f, "placements {one} and {other} lie on each other or nearer than the gap")
            }
            Self::Fold { placement } => write!(
                f,
                "placement {placement}: it should lie on the fold, or what is cut with it across \
                 the fold lies on another piece"
            ),
            Self::Match { one, other } => {
                write!(f, "placements {one} and {other} do not match in the print")
            }
            Self::Size { piece, copy } => {
                write!(f, "copy {copy} of piece {piece} does not have the piece's size")
            }
            Self::Missing { piece, copy } => write!(f, "copy {copy} of piece {piece} is missing"),
            Self::TooOften { piece, copy } => {
                write!(f, "copy {copy} of piece {piece} is there too often")
            }
            Self::NotJoinable { piece } => write!(f, "piece {piece} may not be joined"),
            Self::Join { piece, copy } => write!(
                f,
                "copy {copy} of piece {piece} is not joined as allowed, or to the wrong length"
            ),
            Self::Stretches { piece } => {
                write!(f, "the strips of piece {piece} are not cut up as its joins say")
            }
            Self::StrayJoin => f.write_str("a join names a piece that does not exist"),
            Self::Bound { bound, length } => write!(
                f,
                "the bound of {} mm is not between zero and the length of {} mm",
                bound.to_mm(),
                length.to_mm()
            ),
            Self::Proof => f.write_str("the proof says more than the bound gives"),
            Self::Fit => f.write_str(
                "what is left over does not agree with what is laid, or a length is claimed",
            ),
            Self::Cut { cut, wrong } => write!(f, "cut {cut}: {wrong}"),
            Self::NotCut { placement } => {
                write!(f, "placement {placement} is not cut free by the cuts")
            }
            Self::Remnant => f.write_str("the remnant is not free fabric that is bought"),
        }
    }
}
