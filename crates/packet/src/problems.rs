//! From a pattern to layout problems: which pieces are cut together, and how each may lie.

use bag::pattern::{
    Cloth, Grain, InterfacingCut, InterfacingHold, MaterialId, Pattern, Piece, PieceId, StripPlace,
};
use layout::{
    Cutting, Item, Join, JoinAngle, JoinPlace, Problem, Rotations, Shape, Shrinkage, Stock,
};
use measure::Length;

/// Pieces that are cut from one cloth together.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The layout problem.
    pub problem: Problem,
    /// What each of the problem's pieces is, in its order.
    pub pieces: Vec<LaidPiece>,
}

/// What a piece of a layout problem stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LaidPiece {
    /// A piece of the pattern.
    Piece(PieceId),
    /// The interfacing of a piece.
    Interfacing(PieceId),
    /// The block of cloth that is fused before cutting.
    Block,
}

/// A block of cloth that is fused before cutting, laid out: its width and length.
pub(crate) type BlockSize = (Length, Length);

/// How cloth is bought: its usable width may differ from the material's, for tables of widths.
pub(crate) fn bolt(pattern: &Pattern, cloth: &Cloth, usable: Length, items: Vec<Item>) -> Problem {
    let increments = pattern.shop.increments.clone();
    let mut problem = Problem::new(Stock::bolt(usable, increments), items);
    problem.gap = pattern.shop.gap;
    if let Some(longest) = pattern.shop.strips_first {
        problem.cutting = Cutting::StripsFirst { longest_cut: Some(longest) };
    }
    problem.squaring = pattern.shop.squaring;
    problem.shrinkage =
        Shrinkage { lengthwise: cloth.shrinks_in_length, crosswise: cloth.shrinks_in_width };
    problem
}

/// Pieces of one fabric that are cut from it directly, and from a fused block.
pub(crate) fn pieces_of(
    pattern: &Pattern,
    fabric: MaterialId,
    block: Option<MaterialId>,
) -> Vec<PieceId> {
    pattern
        .piece_ids()
        .filter(|id| {
            let piece = pattern.piece(*id);
            piece.material == fabric && block_of(piece) == block && pattern.count(*id) > 0
        })
        .collect()
}

/// The interfacing that is fused to the cloth before this piece is cut.
pub(crate) fn block_of(piece: &Piece) -> Option<MaterialId> {
    piece.interfacing.filter(|on| on.hold == InterfacingHold::Block).map(|on| on.material)
}

/// A piece as an item to lay on fabric.
pub(crate) fn fabric_item(pattern: &Pattern, id: PieceId, cloth: &Cloth) -> Item {
    let piece = pattern.piece(id);
    let rotations = rotations(piece.grain, cloth);
    let (width, height) = piece.first_cut_size();
    let item = match (piece.join, piece.first_cut()) {
        (None, Ok(cut)) if !piece.net.is_upright_rectangle() => {
            Item::new(&piece.name, Shape::Outline(cut), count(pattern, id), rotations)
        }
        _ => Item::rectangle(&piece.name, (width, height), count(pattern, id), rotations),
    };
    match piece.join {
        Some(join) => item.joined(Join {
            most: join.most,
            allowance: join.allowance,
            angle: JoinAngle::Straight,
            place: match join.place {
                StripPlace::Centre => JoinPlace::Centre,
                StripPlace::Anywhere => JoinPlace::Anywhere,
                StripPlace::NearEnd(reach) => JoinPlace::WithinEnd(reach),
            },
        }),
        None => item,
    }
}

/// The interfacing of a piece as an item.
pub(crate) fn interfacing_item(
    pattern: &Pattern,
    id: PieceId,
    cloth: &Cloth,
    cut: InterfacingCut,
) -> Item {
    let piece = pattern.piece(id);
    let rotations = if cloth.turnable { Rotations::free() } else { rotations(piece.grain, cloth) };
    let size = match cut {
        InterfacingCut::Full => piece.cut_size(),
        InterfacingCut::Net => piece.net_size(),
    };
    let item = Item::rectangle(&piece.name, size, count(pattern, id), rotations);
    // A strip of interfacing may be laid on in lengths that meet without a seam.
    match piece.join {
        Some(join) => item.joined(Join {
            most: join.most.max(8),
            allowance: Length::ZERO,
            angle: JoinAngle::Straight,
            place: JoinPlace::Anywhere,
        }),
        None => item,
    }
}

/// A block as an item on the cloth that it is made of; it keeps the grain.
pub(crate) fn block_item(name: &str, size: BlockSize) -> Item {
    Item::rectangle(name, size, 1, Rotations::along_the_grain())
}

fn count(pattern: &Pattern, id: PieceId) -> u32 {
    u32::try_from(pattern.count(id)).unwrap_or(u32::MAX)
}

fn rotations(grain: Grain, cloth: &Cloth) -> Rotations {
    match (grain, cloth.turnable, cloth.one_way) {
        (Grain::Lengthwise, false, true) => Rotations::one_way(),
        (Grain::Lengthwise, false, false) => Rotations::along_the_grain(),
        (Grain::Crosswise, _, true) => Rotations::one_way_across(),
        (Grain::Crosswise, _, false) => Rotations::across_the_grain(),
        (Grain::Lengthwise | Grain::Free, _, true) => {
            Rotations::of([layout::Rotation::None, layout::Rotation::Quarter])
        }
        (Grain::Lengthwise | Grain::Free, _, false) => Rotations::free(),
    }
}
