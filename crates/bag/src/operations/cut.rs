//! Cut the pieces, and fuse a block before cutting.

use super::{Lies, Operation, Shown, Takes, Telling, Told, Tool, Worded, listed};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Material, MaterialId};
use crate::record::{AtLeastOne, record};

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
    fn tell(&self, t: &Telling<'_>) -> Told {
        let cloths = named(t, &self.materials, |material| material.cloth().is_some());
        let webbing = named(t, &self.materials, |material| material.cloth().is_none());
        let washed = named(t, &self.materials, shrinks);
        let mut sentences = Vec::new();
        if self.wash_first && !washed.is_empty() {
            sentences.push(format!("Wash and press {} before you cut.", listed(&washed)));
        }
        sentences.push(format!(
            "Square up the cut end of each cloth. Cut the pieces of {} as the cutting layouts \
             show, with the grain as marked, and pin or clip a label with its name to each. The \
             sizes in the cut list include all allowances.",
            listed(&cloths)
        ));
        if !webbing.is_empty() {
            sentences.push(format!(
                "Cut {} to the lengths in the cut list, and keep its ends from fraying: melt \
                 those of a synthetic one, and overcast those of cotton.",
                listed(&webbing)
            ));
        }
        Told::new(sentences.join(" ")).mind(
            "close the rotary cutter whenever you are not cutting, cut away from yourself, and \
             keep your fingers off the ruler's edge.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { lies: Lies::CutOut, ..Shown::default() }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes { cut: self.materials.clone(), ..Takes::default() }
    }

    fn carry_out(&self, _: &mut Assembly<'_>) {}

    fn copies(&self) -> Vec<CopyId> {
        Vec::new()
    }
}

impl Worded for CutOut {
    const WORD: &'static str = "cut-out";
}

/// Names of those materials that are such.
fn named(
    t: &Telling<'_>,
    materials: &[MaterialId],
    are_such: impl Fn(&Material) -> bool,
) -> Vec<String> {
    let materials = materials.iter().map(|id| t.pattern.material(*id));
    materials.filter(|material| are_such(material)).map(|it| it.name.clone()).collect()
}

fn shrinks(material: &Material) -> bool {
    material.cloth().is_some_and(|it| it.shrinks_in_length + it.shrinks_in_width > 0)
}

impl Operation for BlockFuse {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let fabric = t.pattern.material(self.fabric);
        let wash = if shrinks(fabric) {
            format!("Wash and press {}. ", fabric.name)
        } else {
            String::new()
        };
        Told::new(format!(
            "{wash}Before any of these pieces is cut, cut a block of {} and one of {} as large as \
             the layout of the fused block says, and fuse them, the adhesive to the wrong side of \
             the fabric. Let the block cool flat, then cut {} from both layers at once.",
            fabric.name,
            t.pattern.material(self.interfacing).name,
            t.names(&self.copies),
        ))
        .mind(
            "try it on a scrap first, and see that the adhesive side faces the fabric, not the \
             iron.",
        )
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown {
            lies: Lies::Block(self.fabric, self.interfacing),
            tools: vec![Tool::Iron],
            ..Shown::default()
        }
    }

    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes { fused: self.copies.clone(), cut: vec![self.interfacing], ..Takes::default() }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "fuse");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Worded for BlockFuse {
    const WORD: &'static str = "block-fuse";
}

record!(CutOut: "Cut out all pieces of some materials, as the layouts show." {
    materials via AtLeastOne; "Which materials.",
    wash_first; "Whether any of them is washed before it is cut.",
});

record!(BlockFuse: "Fuse interfacing to a length of fabric, before pieces are cut from both." {
    fabric; "The fabric.",
    interfacing; "The interfacing.",
    copies via AtLeastOne; "The copies that are cut from the block.",
});
