//! Apply interfacing.

use super::{Operation, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, InterfacingCut, InterfacingHold, MaterialId, Pattern};
use crate::record::{Datum, Fields, record};

/// Apply an interfacing to the wrong side of pieces.
#[derive(Clone, Debug)]
pub struct Interface {
    /// Which interfacing.
    pub material: MaterialId,
    /// How it is held.
    pub hold: InterfacingHold,
    /// How large it was cut.
    pub cut: InterfacingCut,
    /// The copies that get it.
    pub copies: Vec<CopyId>,
}

impl Operation for Interface {
    fn word(&self) -> &'static str {
        Self::WORD
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let name = &t.pattern.material(self.material).name;
        let where_ = match self.cut {
            InterfacingCut::Full => "edge to edge".to_owned(),
            InterfacingCut::Net => {
                "centred, so that the seam allowances stay free all round".to_owned()
            }
        };
        let pieces = t.names(&self.copies);
        match self.hold {
            InterfacingHold::Fused | InterfacingHold::Block => Told::new(format!(
                "Lay {name}, adhesive side down, on the wrong side of {pieces}, {where_}. Fuse it \
                 with an iron as its maker says: lift and press, do not slide, and let each piece \
                 cool flat before you move it."
            ))
            .mind(
                "try it on a scrap first, and see that the adhesive side faces the fabric, not \
                 the iron.",
            ),
            InterfacingHold::Basted => {
                let told = Told::new(format!(
                    "Lay {name} on the wrong side of {pieces}, {where_}, and baste it down all \
                     round, close to its edges."
                ));
                match self.cut {
                    InterfacingCut::Full => told,
                    InterfacingCut::Net => told.mind(
                        "no seam will hold it: use thread of the fabric's colour, and leave these \
                         stitches in.",
                    ),
                }
            }
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "stiffen");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
    }
}

impl Worded for Interface {
    const WORD: &'static str = "interface";
}

record!(Interface: "Apply an interfacing to the wrong side of pieces." {
    material; "Which interfacing.",
    hold; "How it is held.",
    cut; "How large it was cut.",
    copies; "The copies that get it.",
});
