//! What is cut from each cloth, how it lies, and what to buy.

use bag::pattern::{Cloth, InterfacingHold, MaterialId, Pattern};
use layout::{Layout, Narrowest};
use measure::{Length, Ruler, System, show_bought, show_length, show_number};

use crate::problems::{
    LaidPiece, Sheet, block_item, block_of, bolt, fabric_item, interfacing_item, pieces_of,
};

/// One cloth: its pieces, their layout and the purchase.
#[derive(Clone, Debug)]
pub struct Cut {
    /// The fabric or interfacing; for a block, the fabric.
    pub material: MaterialId,
    /// What kind of cut it is.
    pub source: Source,
    /// The problem, and what its pieces stand for.
    pub sheet: Sheet,
    /// Where everything lies; none if something does not fit.
    pub layout: Option<Layout>,
    /// Why there is no layout.
    pub trouble: Option<layout::NoLayout>,
    /// The narrowest usable width at which the purchase still serves.
    pub narrowest: Option<Narrowest>,
}

/// What a cut is made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A fabric off the bolt.
    Fabric,
    /// An interfacing off the bolt.
    Interfacing,
    /// A block of the fabric, fused to this interfacing before it is cut; bought with both.
    Block(MaterialId),
}

/// One line of a cut list: a piece and its interfacing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutItem {
    /// What it is.
    pub piece: LaidPiece,
    /// How many.
    pub count: u32,
    /// Width × height as cut.
    pub size: (Length, Length),
}

/// Webbing to buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Webbing {
    /// Which.
    pub material: MaterialId,
    /// All lengths together.
    pub used: Length,
    /// Rounded up to what the shop sells.
    pub bought: Length,
}

impl Cut {
    /// The pieces as lines of a cut list.
    pub fn items(&self) -> Vec<CutItem> {
        let items = self.sheet.problem.pieces.iter().zip(&self.sheet.pieces);
        items
            .map(|(item, piece)| CutItem {
                piece: *piece,
                count: item.count,
                size: item.shape.size(),
            })
            .collect()
    }

    /// Whether it is bought by itself; a block is bought with its fabric and interfacing.
    pub fn is_bought(&self) -> bool {
        !matches!(self.source, Source::Block(_))
    }

    /// A name for headings: "outside fabric", "block of outside fabric with interfacing".
    pub fn title(&self, pattern: &Pattern) -> String {
        let name = &pattern.material(self.material).name;
        match self.source {
            Source::Fabric | Source::Interfacing => name.clone(),
            Source::Block(interfacing) => {
                format!("{name} fused to {}", pattern.material(interfacing).name)
            }
        }
    }

    /// Why so much is bought, in one sentence.
    pub fn why(&self, pattern: &Pattern, system: System) -> String {
        let Some(layout) = &self.layout else {
            return self.trouble.as_ref().map_or_else(String::new, |no| no.describe(system));
        };
        let mut parts = vec![format!("the pieces take {}", show_length(layout.length, system))];
        if self.sheet.problem.squaring.is_positive() {
            let squaring = show_length(self.sheet.problem.squaring, system);
            parts.push(format!("{squaring} for squaring up the cut end"));
        }
        let shrinkage = self.sheet.problem.shrinkage.lengthwise;
        if shrinkage > 0 {
            parts.push(format!("{} % for shrinkage", f64::from(shrinkage) / 10_000.0));
        }
        let sum = if parts.len() == 1 {
            parts.remove(0)
        } else {
            format!("{} make {}", parts.join(" and "), up(layout.needed, system))
        };
        let sold = pattern.shop.increments.show(system);
        format!("{sum}; sold in {sold}, that is {}", bought_both(layout.bought, system))
    }

    /// How narrow the cloth may be, and what to buy below that, in one sentence.
    pub fn narrow(&self, system: System) -> Option<String> {
        let narrowest = self.narrowest.as_ref()?;
        let below = match narrowest.below {
            Some(below) => format!("on narrower cloth buy {}", show_bought(below, system)),
            None => "the pieces do not fit on narrower cloth".to_owned(),
        };
        Some(format!(
            "serves down to {} of usable width; {below}",
            show_length(narrowest.width, system)
        ))
    }
}

/// A purchase as the shop says it and as a ruler shows it.
fn bought_both(bought: Length, system: System) -> String {
    match system {
        System::Inch => {
            format!("{} ({} in)", show_bought(bought, system), show_number(bought, system))
        }
        System::Metric => show_bought(bought, system),
    }
}

/// A length rounded up to the ruler: what is needed is never understated.
fn up(length: Length, system: System) -> String {
    let ruler = match system {
        System::Inch => Ruler::EIGHTH_INCH,
        System::Metric => Ruler::MM,
    };
    show_length(ruler.round(length, measure::Rounding::Up), system)
}

/// How hard to look for shorter layouts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Effort {
    /// Rounds of improvement; none takes first layouts.
    pub(crate) rounds: u32,
}

/// Seed of the improving search: any will do, and it is always the same.
const SEED: u64 = 20;

/// Lays out everything, blocks before the cloths that they are cut from.
pub(crate) fn cut_all(pattern: &Pattern, effort: Effort) -> Vec<Cut> {
    let blocks = blocks(pattern, effort);
    let mut cuts = blocks.clone();
    for index in 0..pattern.materials.len() {
        let id = MaterialId(index);
        let material = pattern.material(id);
        let Some(cloth) = material.cloth() else { continue };
        let source = if material.is_interfacing() { Source::Interfacing } else { Source::Fabric };
        let sheet = match source {
            Source::Interfacing => interfacing_sheet(pattern, id, cloth, &blocks),
            _ => fabric_sheet(pattern, id, cloth, cloth.usable_width, &blocks),
        };
        let block = |cut: &&Cut| match source {
            Source::Interfacing => cut.source == Source::Block(id),
            _ => cut.material == id,
        };
        // Without its block, what a cloth's other pieces take would be no purchase.
        if let Some(trouble) = blocks.iter().filter(block).find_map(|cut| cut.trouble.clone()) {
            let (layout, narrowest) = (None, None);
            let trouble = Some(trouble);
            cuts.push(Cut { material: id, source, sheet, layout, trouble, narrowest });
        } else if !sheet.pieces.is_empty() {
            cuts.push(lay(pattern, id, source, sheet, effort));
        }
    }
    cuts
}

/// The blocks that are fused before cutting.
fn blocks(pattern: &Pattern, effort: Effort) -> Vec<Cut> {
    let mut pairs: Vec<(MaterialId, MaterialId)> = Vec::new();
    for piece in &pattern.pieces {
        if let Some(on) = block_of(piece)
            && !pairs.contains(&(piece.material, on))
        {
            pairs.push((piece.material, on));
        }
    }
    let mut cuts = Vec::new();
    for (fabric, on) in pairs {
        let (Some(cloth), Some(stiff)) =
            (pattern.material(fabric).cloth(), pattern.material(on).cloth())
        else {
            continue;
        };
        let usable = cloth.usable_width.min(stiff.usable_width);
        let pieces = pieces_of(pattern, fabric, Some(on));
        let items = pieces.iter().map(|id| fabric_item(pattern, *id, cloth)).collect();
        let mut problem = bolt(pattern, cloth, usable, items);
        problem.squaring = Length::ZERO;
        problem.shrinkage = layout::Shrinkage::NONE;
        let pieces = pieces.into_iter().map(LaidPiece::Piece).collect();
        cuts.push(lay(pattern, fabric, Source::Block(on), Sheet { problem, pieces }, effort));
    }
    cuts
}

/// The pieces of a fabric at a usable width, with its blocks as rectangles.
pub(crate) fn fabric_sheet(
    pattern: &Pattern,
    fabric: MaterialId,
    cloth: &Cloth,
    usable: Length,
    blocks: &[Cut],
) -> Sheet {
    let ids = pieces_of(pattern, fabric, None);
    let mut items: Vec<_> = ids.iter().map(|id| fabric_item(pattern, *id, cloth)).collect();
    let mut pieces: Vec<_> = ids.into_iter().map(LaidPiece::Piece).collect();
    for block in blocks.iter().filter(|block| block.material == fabric) {
        if let Some(size) = block_size(block) {
            items.push(block_item("block to fuse", size));
            pieces.push(LaidPiece::Block);
        }
    }
    Sheet { problem: bolt(pattern, cloth, usable, items), pieces }
}

fn interfacing_sheet(
    pattern: &Pattern,
    interfacing: MaterialId,
    cloth: &Cloth,
    blocks: &[Cut],
) -> Sheet {
    let mut items = Vec::new();
    let mut pieces = Vec::new();
    for id in pattern.piece_ids().filter(|id| pattern.count(*id) > 0) {
        let Some(on) = pattern.piece(id).interfacing else { continue };
        if on.material == interfacing && on.hold != InterfacingHold::Block {
            items.push(interfacing_item(pattern, id, cloth, on.cut));
            pieces.push(LaidPiece::Interfacing(id));
        }
    }
    for block in blocks.iter().filter(|block| block.source == Source::Block(interfacing)) {
        if let Some(size) = block_size(block) {
            items.push(block_item("block to fuse", size));
            pieces.push(LaidPiece::Block);
        }
    }
    Sheet { problem: bolt(pattern, cloth, cloth.usable_width, items), pieces }
}

/// Width and length of a block: the box around its pieces.
fn block_size(block: &Cut) -> Option<(Length, Length)> {
    let layout = block.layout.as_ref()?;
    let width = layout.placements.iter().map(|p| p.x + p.width).max()?;
    Some((width, layout.length))
}

fn lay(
    pattern: &Pattern,
    material: MaterialId,
    source: Source,
    sheet: Sheet,
    effort: Effort,
) -> Cut {
    let found = layout::first(&sheet.problem).map(|first| match effort.rounds {
        0 => first,
        rounds => layout::refine(&sheet.problem, &first, rounds, SEED),
    });
    let step = match pattern.units.system() {
        System::Inch => Ruler::EIGHTH_INCH.step(),
        System::Metric => Ruler::MM.step(),
    };
    let (layout, trouble) = match found {
        Ok(layout) => (Some(layout), None),
        Err(no) => (None, Some(no)),
    };
    let narrowest = match (&layout, source) {
        (Some(layout), Source::Fabric | Source::Interfacing) => {
            Some(layout.narrowest(&sheet.problem, step))
        }
        _ => None,
    };
    Cut { material, source, sheet, layout, trouble, narrowest }
}

/// Webbing: all lengths of one kind together.
pub(crate) fn webbing(pattern: &Pattern) -> Vec<Webbing> {
    let mut needs = Vec::new();
    for index in 0..pattern.materials.len() {
        let material = MaterialId(index);
        if pattern.material(material).cloth().is_some() {
            continue;
        }
        let used: Length = pattern
            .piece_ids()
            .filter(|id| pattern.piece(*id).material == material)
            .map(|id| {
                pattern.piece(id).cut_size().1 * i64::try_from(pattern.count(id)).unwrap_or(0)
            })
            .sum();
        if used.is_positive() {
            let bought = pattern.shop.increments.round_up(used);
            needs.push(Webbing { material, used, bought });
        }
    }
    needs
}
