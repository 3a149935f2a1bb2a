//! Cut the pieces, and fuse a block before cutting.

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, MaterialId};

/// Cut out all pieces of some materials, as the layouts show.
#[derive(Clone, Debug)]
pub struct CutOut {
    /// Which materials.
    pub materials: Vec<MaterialId>,
    /// Whether any of them is washed before it is cut.
    pub wash_first: bool,
}

/// Fuse interfacing to a length of fabric, before pieces are cut from both at once.
#[derive(Clone, Debug)]
pub struct BlockFuse {
    /// The fabric.
    pub fabric: MaterialId,
    /// The interfacing.
    pub interfacing: MaterialId,
    /// The copies that are cut from the block.
    pub copies: Vec<CopyId>,
}

impl Operation for CutOut {
    fn word(&self) -> &'static str {
        "cut-out"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let names: Vec<String> =
            self.materials.iter().map(|id| t.pattern.material(*id).name.clone()).collect();
        let wash = if self.wash_first { "Wash and press the fabric that shrinks. " } else { "" };
        Told::new(format!(
            "{wash}Square up the cut end of each fabric. Cut the pieces of {} as the cutting \
             layouts show, with the grain as marked, and pin or clip a label with its name to \
             each. The sizes include all allowances.",
            super::listed(&names)
        ))
        .mind(
            "close the rotary cutter whenever you are not cutting, cut away from yourself, and \
             keep your fingers off the ruler's edge.",
        )
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        Vec::new()
    }
}

impl Operation for BlockFuse {
    fn word(&self) -> &'static str {
        "block-fuse"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        Told::new(format!(
            "Before cutting, fuse {} to the wrong side of a length of {} large enough for {}, as \
             the layout of the fused block shows. Let it cool flat, then cut those pieces from \
             both layers at once.",
            t.pattern.material(self.interfacing).name,
            t.pattern.material(self.fabric).name,
            t.names(&self.copies),
        ))
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}
