//! Everything that must be cut, marked and sewn. All that follows a pattern reads only this; no
//! part of it knows which bag it is.

mod claims;
mod gauge;
mod material;
pub mod notion;
mod piece;
mod run;
mod step;

pub use claims::{
    Claims, ClosureClaim, DividerClaim, EndClaim, Half, HandleClaim, Hinge, HingeLine, PartClaim,
    PocketClaim, Shown,
};
pub use gauge::{Boxing, Gauge, Reach, Sewn, half_depth};
pub use material::{Cloth, Form, Look, Material, MaterialId, spell_weight};
pub use notion::{Band, Notion};
pub use piece::{
    Copy, CopyId, Edge, Grain, Interfaced, InterfacingCut, InterfacingHold, Mark, MarkShape, Piece,
    PieceId, StripJoin, StripPlace,
};
pub use run::{Run, Span};
pub use step::{Chapter, Checkpoint, Step};

use measure::{Increments, Length, Units};

use crate::design::Edition;

/// A whole pattern.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// What the bag is called.
    pub title: String,
    /// One or two sentences for the cover; may be empty.
    pub about: String,
    /// The ruler that it was drafted on.
    pub units: Units,
    /// Which edition.
    pub edition: Edition,
    /// Fabrics, interfacings, webbing.
    pub materials: Vec<Material>,
    /// What is cut.
    pub pieces: Vec<Piece>,
    /// Each single piece of fabric on the table.
    pub copies: Vec<Copy>,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// What the pattern promises.
    pub claims: Claims,
    /// Where the finished bag bends, and by how much.
    pub hinges: Vec<Hinge>,
    /// Small things that are used up, besides materials and thread.
    pub notions: Vec<Notion>,
    /// Tools beyond those of every bag.
    pub tools: Vec<String>,
    /// How the shop sells, and what is left free when cutting.
    pub shop: Shop,
    /// What it is sewn with.
    pub thread: Thread,
}

/// A sewing thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thread {
    /// Grams per 1000 m.
    pub tex: u32,
    /// Breaking strength, in millinewtons.
    pub strength_mn: u32,
}

/// How fabric is sold and laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shop {
    /// The steps in which it is sold.
    pub increments: Increments,
    /// Extra length, for squaring up the cut end.
    pub squaring: Length,
    /// Room between pieces.
    pub gap: Length,
    /// Strips across the width are cut first, as with a rotary cutter, and no cut is longer than
    /// this; none when pieces are cut in any order.
    pub strips_first: Option<Length>,
}

impl Pattern {
    /// The material with that id.
    pub fn material(&self, id: MaterialId) -> &Material {
        &self.materials[id.0]
    }

    /// The piece with that id.
    pub fn piece(&self, id: PieceId) -> &Piece {
        &self.pieces[id.0]
    }

    /// The copy with that id.
    pub fn copy(&self, id: CopyId) -> &Copy {
        &self.copies[id.0]
    }

    /// The piece of which this is a copy.
    pub fn piece_of(&self, id: CopyId) -> &Piece {
        self.piece(self.copy(id).piece)
    }

    /// Ids of all copies, in order.
    pub fn copy_ids(&self) -> impl Iterator<Item = CopyId> + use<> {
        (0..self.copies.len()).map(CopyId)
    }

    /// Ids of all pieces, in order.
    pub fn piece_ids(&self) -> impl Iterator<Item = PieceId> + use<> {
        (0..self.pieces.len()).map(PieceId)
    }

    /// Copies of one piece.
    pub fn copies_of(&self, piece: PieceId) -> impl Iterator<Item = CopyId> + '_ {
        self.copy_ids().filter(move |id| self.copy(*id).piece == piece)
    }

    /// How many are cut of a piece.
    pub fn count(&self, piece: PieceId) -> usize {
        self.copies_of(piece).count()
    }

    /// The step with that id.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }
}
