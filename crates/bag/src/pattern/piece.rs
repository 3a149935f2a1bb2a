//! A piece to cut, its edges and marks, and its copies.
//!
//! Coordinates of a piece: seen from the right side, the rim up, x to the right, y up, the origin
//! where its draft puts it (the lower left corner of the stitching line for a panel).

use measure::{Length, OffsetError, Outline, Point};

use super::MaterialId;

/// Index of a piece in its pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PieceId(pub usize);

/// Index of a copy in its pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CopyId(pub usize);

/// A shape to cut, once or several times.
#[derive(Clone, Debug)]
pub struct Piece {
    /// A stable word, kebab case.
    pub id: String,
    /// What a person calls it: "outside panel".
    pub name: String,
    /// What it is cut from.
    pub material: MaterialId,
    /// The stitching line, counter-clockwise.
    pub net: Outline,
    /// One for each edge of the outline, in its order.
    pub edges: Vec<Edge>,
    /// How it lies on the fabric.
    pub grain: Grain,
    /// Its interfacing.
    pub interfacing: Option<Interfaced>,
    /// What is marked on it.
    pub marks: Vec<Mark>,
    /// A strip that may be made of several lengths.
    pub join: Option<StripJoin>,
    /// How much larger it is cut at each edge at first, and trimmed to size later, when it has been
    /// quilted.
    pub trimmed: Length,
}

/// One edge of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edge {
    /// "left side", "rim", …
    pub name: String,
    /// Seam or hem allowance outside the stitching line.
    pub allowance: Length,
}

/// How a piece lies on the fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Its height runs along the length of the fabric.
    Lengthwise,
    /// Its height runs across the fabric, from selvedge to selvedge.
    Crosswise,
    /// Either way.
    Free,
}

/// How interfacing goes on a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interfaced {
    /// Which interfacing.
    pub material: MaterialId,
    /// How it is held.
    pub hold: InterfacingHold,
    /// How large it is cut.
    pub cut: InterfacingCut,
}

/// How interfacing is held to the fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InterfacingHold {
    /// Ironed on.
    Fused,
    /// Basted within the seam allowance.
    Basted,
    /// Fused to the cloth as a block, before cutting.
    Block,
}

/// How large interfacing is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InterfacingCut {
    /// With seam allowance.
    Full,
    /// To the stitching line.
    Net,
}

/// A strip longer than the fabric is wide, and where it may be joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StripJoin {
    /// Most joins in one strip.
    pub most: u32,
    /// Seam allowance on each side of a join.
    pub allowance: Length,
    /// Where the join may lie.
    pub place: StripPlace,
}

/// Where the join of a strip may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StripPlace {
    /// In the middle.
    Centre,
    /// Anywhere.
    Anywhere,
    /// Within this distance of an end, where the strip is stitched down.
    NearEnd(Length),
}

/// A mark on a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// What a person calls it: "handle, outer edge".
    pub label: String,
    /// Its shape, in the piece's coordinates.
    pub shape: MarkShape,
}

/// The shape of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkShape {
    /// A notch on an edge, at a distance along its stitching line.
    Notch {
        /// Index of the edge.
        edge: usize,
        /// Distance from the edge's start.
        along: Length,
    },
    /// A line where something is placed.
    Placement(Point, Point),
    /// A line along which it is folded.
    Fold(Point, Point),
    /// A line of stitching within the piece.
    Stitching(Point, Point),
    /// A box, with a cross in it, that holds a strap; lower left and upper right corner.
    BoxAndX(Point, Point),
    /// A stretch of an edge that is left open.
    Opening {
        /// Index of the edge.
        edge: usize,
        /// Start, from the edge's start.
        from: Length,
        /// End.
        to: Length,
    },
    /// A point.
    Dot(Point),
}

/// One single piece of fabric.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copy {
    /// Which piece it was cut by.
    pub piece: PieceId,
    /// What a person calls it: "front panel".
    pub name: String,
    /// Cut as the mirror image.
    pub mirrored: bool,
}

impl Piece {
    /// Allowances in the order of the edges.
    pub fn allowances(&self) -> Vec<Length> {
        self.edges.iter().map(|edge| edge.allowance).collect()
    }

    /// Layers in which it lies when it has been folded along its marks: a strip folded to the
    /// middle and again has four.
    pub fn folded_layers(&self) -> u32 {
        let is_fold = |mark: &Mark| matches!(mark.shape, MarkShape::Fold(..));
        if self.marks.iter().any(is_fold) { 4 } else { 1 }
    }

    /// The cutting line.
    ///
    /// # Errors
    /// If the allowances cannot be set outside this outline.
    pub fn cut(&self) -> Result<Outline, OffsetError> {
        self.net.offset(&self.allowances())
    }

    /// The line along which it is cut first: that of [`Piece::cut`], or outside it where the piece
    /// is trimmed later.
    ///
    /// # Errors
    /// If the allowances cannot be set outside this outline.
    pub fn first_cut(&self) -> Result<Outline, OffsetError> {
        let allowances: Vec<Length> =
            self.edges.iter().map(|edge| edge.allowance + self.trimmed).collect();
        self.net.offset(&allowances)
    }

    /// Width × height of the box of [`Piece::first_cut`].
    pub fn first_cut_size(&self) -> (Length, Length) {
        let (width, height) = self.cut_size();
        match self.first_cut() {
            Ok(outline) if self.trimmed.is_positive() => outline.size(),
            _ => (width + self.trimmed * 2, height + self.trimmed * 2),
        }
    }

    /// Width × height of the cut piece's box; of the stitching line where there is no cutting
    /// line.
    pub fn cut_size(&self) -> (Length, Length) {
        let outline = self.cut();
        let (low, high) = outline.as_ref().unwrap_or(&self.net).bounds();
        (high.x - low.x, high.y - low.y)
    }

    /// Width × height of the stitching line's box.
    pub fn net_size(&self) -> (Length, Length) {
        let (low, high) = self.net.bounds();
        (high.x - low.x, high.y - low.y)
    }

    /// Index of the edge of that name.
    pub fn edge(&self, name: &str) -> Option<usize> {
        self.edges.iter().position(|edge| edge.name == name)
    }

    /// Size in which its interfacing is cut.
    pub fn interfacing_size(&self) -> Option<(Length, Length)> {
        self.interfacing.map(|use_| match use_.cut {
            InterfacingCut::Full => self.cut_size(),
            InterfacingCut::Net => self.net_size(),
        })
    }
}
