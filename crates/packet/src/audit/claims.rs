//! What a paper pattern says, as data. Everything but fabrics and pieces may be left unsaid.
//!
//! Pieces and fabrics are named by their index in the lists of [`Claims`]; an index that is in no
//! list counts as unsaid.

use bag::pattern::{Grain, StripJoin};
use measure::{Increments, Length, Units};

/// All claims of one pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claims {
    /// What the pattern is called.
    pub title: String,
    /// The units that it speaks in.
    pub units: Units,
    /// How many pieces it says there are, from all fabrics together.
    pub pieces_in_all: Option<u32>,
    /// What is cut off first to square up the cut end.
    pub squaring: Length,
    /// The lengths in which the shop sells cloth.
    pub increments: Increments,
    /// Seam allowances of the whole pattern.
    pub seams: Seams,
    /// Fabrics and interfacings.
    pub fabrics: Vec<FabricClaim>,
    /// Pieces to cut.
    pub pieces: Vec<PieceClaim>,
    /// The finished bag.
    pub size: Option<SizeClaim>,
    /// Straps or handles.
    pub straps: Vec<StrapClaim>,
    /// Patch pockets.
    pub pockets: Vec<PocketClaim>,
}

impl Claims {
    /// A pattern that says nothing yet.
    pub fn new(title: &str, units: Units) -> Self {
        Self {
            title: title.to_owned(),
            units,
            pieces_in_all: None,
            squaring: Length::ZERO,
            increments: Increments::usual(units.system()),
            seams: Seams::default(),
            fabrics: Vec::new(),
            pieces: Vec::new(),
            size: None,
            straps: Vec::new(),
            pockets: Vec::new(),
        }
    }

    /// The allowance of a seam of a piece: its own, else that of the pattern. Corner seams that
    /// have none are sewn as the side seams are.
    pub fn seam(&self, piece: &PieceClaim, seam: Seam) -> Option<Length> {
        let said = piece.seams.of(seam).or(self.seams.of(seam));
        match seam {
            Seam::Corner => said.or_else(|| self.seam(piece, Seam::Side)),
            Seam::Side | Seam::Base | Seam::Rim => said,
        }
    }
}

/// A seam of the bag's body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seam {
    /// At the sides.
    Side,
    /// Along the base.
    Base,
    /// Along the rim, or the hem there.
    Rim,
    /// Across a corner that is cut out.
    Corner,
}

/// Seam allowances, as far as the pattern says them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Seams {
    /// At the sides.
    pub side: Option<Length>,
    /// Along the base.
    pub base: Option<Length>,
    /// Along the rim; all that is turned in if it is hemmed.
    pub rim: Option<Length>,
    /// Across corners that are cut out.
    pub corner: Option<Length>,
}

impl Seams {
    /// One allowance everywhere.
    pub const fn all(allowance: Length) -> Self {
        let all = Some(allowance);
        Self { side: all, base: all, rim: all, corner: all }
    }

    fn of(&self, seam: Seam) -> Option<Length> {
        match seam {
            Seam::Side => self.side,
            Seam::Base => self.base,
            Seam::Rim => self.rim,
            Seam::Corner => self.corner,
        }
    }
}

/// A fabric or an interfacing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FabricClaim {
    /// What the pattern calls it.
    pub name: String,
    /// Selvedge to selvedge, as sold.
    pub bought_width: Length,
    /// Between the selvedges.
    pub usable_width: Length,
    /// Whether the pattern says the usable width. Where it is assumed, nothing is said to be
    /// impossible that would be possible on the whole bought width.
    pub usable_given: bool,
    /// Pieces may not be turned upside down.
    pub one_way: bool,
    /// It has no grain that matters: pieces may lie in any way.
    pub turnable: bool,
    /// Share lost in length at the first wash, in parts per million.
    pub shrinks_in_length: u32,
    /// Share lost in width at the first wash, in parts per million.
    pub shrinks_in_width: u32,
    /// The length that the pattern says is enough.
    pub yardage: Option<Length>,
    /// How many pieces the pattern says are cut from it.
    pub pieces: Option<u32>,
}

impl FabricClaim {
    /// A fabric without nap, cut along its grain and not washed first, of which no more is said.
    /// Without a usable width, `assumed` is taken.
    pub fn new(name: &str, bought: Length, usable: Option<Length>, assumed: Length) -> Self {
        Self {
            name: name.to_owned(),
            bought_width: bought,
            usable_width: usable.unwrap_or(assumed),
            usable_given: usable.is_some(),
            one_way: false,
            turnable: false,
            shrinks_in_length: 0,
            shrinks_in_width: 0,
            yardage: None,
            pieces: None,
        }
    }
}

/// A piece to cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceClaim {
    /// What the pattern calls it.
    pub name: String,
    /// How many are cut of each fabric.
    pub count: u32,
    /// Width as cut.
    pub width: Length,
    /// Height as cut.
    pub height: Length,
    /// The fabrics that it is cut from.
    pub from: Vec<usize>,
    /// How its height lies on the fabric.
    pub grain: Grain,
    /// How it may be joined from shorter strips; none if it is cut in one.
    pub join: Option<StripJoin>,
    /// Its own seam allowances, before those of the pattern.
    pub seams: Seams,
}

/// The finished bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeClaim {
    /// The piece that makes the outside.
    pub panel: usize,
    /// The piece that makes the lining.
    pub lining: Option<usize>,
    /// How the body is made of them.
    pub body: Body,
    /// How the depth is made; none if the pattern does not say.
    pub corners: Option<Corners>,
    /// Finished width at the base.
    pub width: Option<Length>,
    /// Finished width at the top, laid flat.
    pub top: Option<Length>,
    /// Finished height.
    pub height: Option<Length>,
    /// Finished depth.
    pub depth: Option<Length>,
    /// How far a claimed size may be from the computed one.
    pub within: Length,
}

/// How a body is made of its panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
    /// Two panels, a front and a back, with side seams and a base seam.
    FrontAndBack,
    /// One piece that runs round the bag, with one side seam and a base seam.
    Round,
    /// One piece that runs down the front, under the base and up the back, with side seams.
    UnderTheBase,
}

impl Body {
    /// How many pieces one body takes.
    pub const fn pieces(self) -> u32 {
        match self {
            Self::FrontAndBack => 2,
            Self::Round | Self::UnderTheBase => 1,
        }
    }
}

/// How the depth is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corners {
    /// Folded, and stitched across by a line of this length.
    Boxed(Length),
    /// By squares of this side that are cut out of the panel, measured from its raw edges.
    CutOut(Length),
}

/// Straps that are cut from a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StrapClaim {
    /// The piece; its longer side runs along the strap.
    pub piece: usize,
    /// How many straps there are.
    pub straps: Option<u32>,
    /// From how many pieces each is joined.
    pub pieces_each: u32,
    /// The seam allowance of the joins.
    pub join_allowance: Option<Length>,
    /// Length of each strap before it is sewn to anything.
    pub length: Option<Length>,
    /// How it is folded.
    pub layers: Option<Layers>,
    /// Finished width.
    pub width: Option<Length>,
    /// Where its ends lie.
    pub feet: Option<Feet>,
    /// The panel that it goes up.
    pub panel: Option<usize>,
    /// Free length above the raw upper edge, from one leg over the loop to the other.
    pub above_raw_edge: Option<Length>,
    /// Free length above the finished rim, from one leg over the loop to the other.
    pub above_rim: Option<Length>,
    /// From the middle of one leg to the middle of the other.
    pub apart: Option<Length>,
    /// From the finished rim to the strap pulled taut to a point.
    pub drop: Option<Length>,
}

impl StrapClaim {
    /// Straps of which nothing is said.
    pub const fn of(piece: usize) -> Self {
        Self {
            piece,
            straps: None,
            pieces_each: 1,
            join_allowance: None,
            length: None,
            layers: None,
            width: None,
            feet: None,
            panel: None,
            above_raw_edge: None,
            above_rim: None,
            apart: None,
            drop: None,
        }
    }
}

/// How a strap is made of its strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layers {
    /// Both long edges to the middle, and folded again: four layers, a quarter of the strip wide.
    Four,
    /// Folded once right sides together, sewn along the long edge with this allowance, and turned.
    Two(Option<Length>),
}

/// Where the ends of a strap lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feet {
    /// Level with the raw base edge; the strap runs up the panel.
    Base,
    /// Level with the raw upper edge, set into the seam there.
    Rim,
}

/// Patch pockets that are cut from a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PocketClaim {
    /// The piece.
    pub piece: usize,
    /// How many pockets there are.
    pub pockets: Option<u32>,
    /// How it is made.
    pub make: PocketMake,
    /// The seam allowance around it.
    pub allowance: Option<Length>,
    /// What is turned in along its upper edge, if that differs from the allowance.
    pub hem: Option<Length>,
    /// Finished width.
    pub width: Option<Length>,
    /// Finished height.
    pub height: Option<Length>,
}

/// How a patch pocket is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PocketMake {
    /// Two layers, sewn right sides together all around and turned through a gap.
    TwoLayers,
    /// One layer, its edges pressed to the wrong side.
    OneLayer,
    /// One piece folded right sides together across its height, sewn around and turned.
    Folded,
}

impl PocketMake {
    /// How many pieces one pocket takes.
    pub const fn pieces(self) -> u32 {
        match self {
            Self::TwoLayers => 2,
            Self::OneLayer | Self::Folded => 1,
        }
    }
}
