//! What is cut from each cloth, how it lies, and what to buy.

use bag::pattern::{Cloth, InterfacingHold, Material, MaterialId, Pattern};
use layout::{Cutting, Layout, Narrowest, NoLayout, Problem, Proof, Stock};
use measure::{Increments, Length, Ruler, System, show_bought, show_length, show_number};

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
    pub trouble: Option<NoLayout>,
    /// The narrowest usable width at which the purchase still serves.
    pub narrowest: Option<Narrowest>,
    /// The least usable width, on the ruler, on which everything fits, whatever has to be bought.
    pub least_width: Option<Length>,
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

    /// The same cut with another layout of it, such as a search found while someone looked on; the
    /// cut as it is when that is no layout of it.
    #[must_use]
    pub fn with_layout(&self, layout: Layout, pattern: &Pattern) -> Self {
        if layout::verify(&self.sheet.problem, &layout).is_err() {
            return self.clone();
        }
        let step = ruler(pattern.units.system()).step();
        let problem = &self.sheet.problem;
        let (narrowest, least_width) = narrow(problem, Some(&layout), self.source, step);
        Self { layout: Some(layout), trouble: None, narrowest, least_width, ..self.clone() }
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
        let mut parts = vec![format!("the pieces take {}", show_needed(layout.length, system))];
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
            format!("{} make {}", parts.join(" and "), show_needed(layout.needed, system))
        };
        let sold = sold_by(&pattern.shop.increments, system);
        format!("{sum}; sold by the {sold}, that is {}", bought_both(layout.bought, system))
    }

    /// How good the purchase is proven to be, in words: of cloth that is cut in strips first, among
    /// all layouts in strips. None when there is no layout.
    pub fn certificate(&self) -> Option<String> {
        let layout = self.layout.as_ref()?;
        let is_free = self.sheet.problem.cutting == Cutting::Free;
        let strips = if is_free { "" } else { " in strips" };
        Some(match layout.proof {
            Proof::Shortest => {
                format!("shortest possible: no layout of these pieces{strips} is shorter")
            }
            Proof::NoShorterPurchase if self.is_bought() => {
                let how = if is_free { "" } else { " when it is cut in strips" };
                format!("no shorter purchase exists{how}")
            }
            within => {
                let over = match within {
                    Proof::Within(_) => within.to_string(),
                    // What is not bought has no purchase; a block may still be shorter.
                    _ => Proof::within(layout.length, layout.bound).to_string(),
                };
                format!("{over} of the shortest possible{strips}")
            }
        })
    }

    /// That shrinkage is not counted, for a fabric of which no share is known.
    pub fn shrinkage_note(&self) -> Option<&'static str> {
        let lost = self.sheet.problem.shrinkage;
        (self.source == Source::Fabric && lost == layout::Shrinkage::NONE).then_some(
            "shrinkage is not counted; ask in the shop, and buy more if the bag will be washed",
        )
    }

    /// How narrow the cloth may be, and what to buy below that, in one sentence.
    pub fn narrow(&self, system: System) -> Option<String> {
        let narrowest = self.narrowest.as_ref()?;
        let below = match (narrowest.below, self.least_width) {
            (Some(below), Some(least)) if least < narrowest.width => format!(
                "on cloth just narrower buy {}; below {} some piece does not fit",
                show_bought(below, system),
                show_length(least, system)
            ),
            (Some(below), _) => format!("on narrower cloth buy {}", show_bought(below, system)),
            (None, _) => "the pieces do not fit on narrower cloth".to_owned(),
        };
        Some(format!(
            "serves down to {} of usable width; {below}",
            show_length(narrowest.width, system)
        ))
    }
}

/// By what a shop sells: "1/8 yd", "10 cm".
fn sold_by(increments: &Increments, system: System) -> String {
    let show = |step: &Length| match system {
        System::Metric if Ruler::CM.is_on(*step) => Ruler::CM.show(*step),
        _ => show_bought(*step, system),
    };
    increments.steps().iter().map(show).collect::<Vec<_>>().join(" or ")
}

/// A width from selvedge to selvedge as it stands on the bolt: in inches, or in whole centimetres.
pub fn show_bolt(width: Length, system: System) -> String {
    match system {
        System::Inch => show_length(width, system),
        System::Metric => Ruler::CM.show(Ruler::CM.round(width, measure::Rounding::Nearest)),
    }
}

/// A material as one asks for it in the shop: "blue duck canvas, 54 in wide"; webbing has its width in
/// its name.
pub fn show_asked_for(material: &Material, system: System) -> String {
    match material.cloth() {
        Some(cloth) => format!("{}, {} wide", material.name, show_bolt(cloth.bought_width, system)),
        None => material.name.clone(),
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
pub fn show_needed(length: Length, system: System) -> String {
    show_length(ruler(system).round(length, measure::Rounding::Up), system)
}

/// A length rounded down to the ruler: what there is is never overstated.
pub fn show_there_is(length: Length, system: System) -> String {
    show_length(ruler(system).round(length, measure::Rounding::Down), system)
}

/// The ruler for lengths of cloth.
const fn ruler(system: System) -> Ruler {
    match system {
        System::Inch => Ruler::EIGHTH_INCH,
        System::Metric => Ruler::MM,
    }
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
    let whole = sheets(pattern, &blocks).into_iter().filter_map(|one| {
        let Whole { material, source, sheet, trouble } = one;
        // Without its block, what a cloth's other pieces take would be no purchase.
        if trouble.is_some() {
            let (layout, narrowest, least_width) = (None, None, None);
            return Some(Cut { material, source, sheet, layout, trouble, narrowest, least_width });
        }
        (!sheet.pieces.is_empty()).then(|| lay(pattern, material, source, sheet, effort))
    });
    blocks.iter().cloned().chain(whole).collect()
}

/// Why something does not fit, for each cloth on which it does not; at once, without its layout.
pub(crate) fn troubles(pattern: &Pattern) -> Vec<(String, NoLayout)> {
    let blocks = blocks(pattern, Effort { rounds: 0 });
    let troubles = sheets(pattern, &blocks).into_iter().filter_map(|one| {
        let (name, problem) = (&pattern.material(one.material).name, &one.sheet.problem);
        let is_laid = one.sheet.pieces.is_empty() || layout::fits(problem);
        let trouble =
            one.trouble.or_else(|| if is_laid { None } else { layout::first(problem).err() });
        Some((name.clone(), trouble?))
    });
    troubles.collect()
}

/// A cloth with what is cut from it.
struct Whole {
    material: MaterialId,
    source: Source,
    sheet: Sheet,
    /// Why its block cannot be laid.
    trouble: Option<NoLayout>,
}

/// All cloths, their blocks as rectangles.
fn sheets(pattern: &Pattern, blocks: &[Cut]) -> Vec<Whole> {
    let ids = (0..pattern.materials.len()).map(MaterialId);
    let whole = ids.filter_map(|id| {
        let material = pattern.material(id);
        let cloth = material.cloth()?;
        let source = if material.is_interfacing() { Source::Interfacing } else { Source::Fabric };
        let sheet = match source {
            Source::Interfacing => {
                interfacing_sheet(pattern, id, cloth, cloth.usable_width, blocks)
            }
            _ => fabric_sheet(pattern, id, cloth, cloth.usable_width, blocks),
        };
        let block = |cut: &&Cut| match source {
            Source::Interfacing => cut.source == Source::Block(id),
            _ => cut.material == id,
        };
        let trouble = blocks.iter().filter(block).find_map(|cut| cut.trouble.clone());
        Some(Whole { material: id, source, sheet, trouble })
    });
    whole.collect()
}

/// The blocks that are fused before cutting.
pub(crate) fn blocks(pattern: &Pattern, effort: Effort) -> Vec<Cut> {
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
        // A block is only as wide as its pieces, and is cut on from there.
        problem.cutting = Cutting::Free;
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
    sheet_of(bolt(pattern, cloth, usable, items), pieces)
}

/// The interfacing of the pieces at a usable width, with its blocks as rectangles.
pub(crate) fn interfacing_sheet(
    pattern: &Pattern,
    interfacing: MaterialId,
    cloth: &Cloth,
    usable: Length,
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
    sheet_of(bolt(pattern, cloth, usable, items), pieces)
}

/// A block is cut out roughly, with scissors, and may be larger than any ruler: where there is one,
/// nothing is cut strips first.
fn sheet_of(mut problem: Problem, pieces: Vec<LaidPiece>) -> Sheet {
    if pieces.contains(&LaidPiece::Block) {
        problem.cutting = Cutting::Free;
    }
    Sheet { problem, pieces }
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
    let (layout, trouble) = match found {
        Ok(layout) => (Some(layout), None),
        Err(no) => (None, Some(no)),
    };
    let step = ruler(pattern.units.system()).step();
    let (narrowest, least_width) = narrow(&sheet.problem, layout.as_ref(), source, step);
    Cut { material, source, sheet, layout, trouble, narrowest, least_width }
}

/// How narrow the cloth may be for a layout, and for any.
fn narrow(
    problem: &Problem,
    layout: Option<&Layout>,
    source: Source,
    step: Length,
) -> (Option<Narrowest>, Option<Length>) {
    let narrowest = match (layout, source) {
        (Some(layout), Source::Fabric | Source::Interfacing) => {
            Some(layout.narrowest(problem, step))
        }
        _ => None,
    };
    let least = narrowest.and_then(|found| least_width(problem, found.width, step));
    (narrowest, least)
}

/// The least usable width, a multiple of `step`, on which everything can be laid out, found by
/// halving below a width on which it can. (With joined strips there may be gaps above it: narrower
/// cloth can mean one join too many. It is then the last width before the gap that the halving met.)
fn least_width(problem: &Problem, fits: Length, step: Length) -> Option<Length> {
    let unit = step.to_nm();
    let fits_on = |steps: i64| {
        let mut there = problem.clone();
        let Stock::Bolt { width, .. } = &mut there.stock else { return false };
        *width = Length::nm(steps * unit);
        layout::fits(&there)
    };
    let (mut too_narrow, mut wide) = (0, fits.to_nm().checked_div(unit)?);
    if !fits_on(wide) {
        return None;
    }
    while wide - too_narrow > 1 {
        let middle = too_narrow.midpoint(wide);
        if fits_on(middle) { wide = middle } else { too_narrow = middle }
    }
    Some(Length::nm(wide * unit))
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
                // Most lie upright; a strip that is laid along a rim does not.
                let (width, height) = pattern.piece(id).cut_size();
                let upright = !matches!(pattern.material(material).form,
                    bag::pattern::Form::Webbing { width: sold, .. } if sold == height && sold != width);
                let long = if upright { height } else { width };
                long * i64::try_from(pattern.count(id)).unwrap_or(0)
            })
            .sum();
        if used.is_positive() {
            let bought = pattern.shop.increments.round_up(used);
            needs.push(Webbing { material, used, bought });
        }
    }
    needs
}
