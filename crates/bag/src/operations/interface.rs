//! Apply interfacing.

use measure::Length;

use super::{
    Lies, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Tool, USUAL_STITCH, Worded,
    listed,
};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, InterfacingCut, InterfacingHold, MaterialId};
use crate::record::{AtLeastOne, record};

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
    fn tell(&self, t: &Telling<'_>) -> Told {
        let name = &t.pattern.material(self.material).name;
        let where_ = match self.cut {
            InterfacingCut::Full => "edge to edge".to_owned(),
            InterfacingCut::Net => self.left_free(t),
        };
        let pieces = t.names(&self.copies);
        match self.hold {
            InterfacingHold::Fused | InterfacingHold::Block if self.is_known(t) => Told::new(
                format!("Fuse {name} to the wrong side of {pieces} in the same way, {where_}."),
            ),
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

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let iron = self.hold != InterfacingHold::Basted;
        Shown {
            lies: Lies::WrongSideUp,
            laid: Some((self.material, self.cut)),
            tools: if iron { vec![Tool::Iron] } else { Vec::new() },
            ..Shown::default()
        }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        if self.hold != InterfacingHold::Basted {
            return Takes { fused: self.copies.clone(), ..Takes::default() };
        }
        Takes::rows(self.copies.iter().map(|copy| {
            let around = work.pattern.piece_of(*copy).net.perimeter();
            Sewing::new(Stitching::Baste, around, USUAL_STITCH * 2).round(true).through(*copy, 1)
        }))
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for copy in &self.copies {
            work.needs_fresh(*copy, "stiffen");
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.copies.clone()
    }
}

impl Interface {
    /// Whether an earlier step told how interfacing is fused.
    fn is_known(&self, t: &Telling<'_>) -> bool {
        t.before(self).any(|step| {
            step.as_a::<Self>().is_some_and(|it| {
                matches!(it.hold, InterfacingHold::Fused | InterfacingHold::Block)
            })
        })
    }

    /// How much stays free at each edge of an interfacing without allowances: these allowances.
    fn left_free(&self, t: &Telling<'_>) -> String {
        let mut ways: Vec<(String, Vec<CopyId>)> = Vec::new();
        for copy in &self.copies {
            let way = allowances(t, *copy);
            match ways.iter_mut().find(|(other, _)| *other == way) {
                Some((_, copies)) => copies.push(*copy),
                None => ways.push((way, vec![*copy])),
            }
        }
        let several = ways.len() > 1;
        let told = ways.into_iter().map(|(way, copies)| {
            if several { format!("{way} of {}", t.names(&copies)) } else { way }
        });
        format!("so that the seam allowances stay free: {}", told.collect::<Vec<_>>().join("; "))
    }
}

/// How the two sides of a piece are named, which have one allowance as a rule.
const SIDES: [&str; 2] = ["at the right side", "at the left side"];

/// "1/2 in at the base and at both sides, 1 in at the top edge".
fn allowances(t: &Telling<'_>, copy: CopyId) -> String {
    let mut widths: Vec<(Length, Vec<String>)> = Vec::new();
    for edge in &t.pattern.piece_of(copy).edges {
        let name = format!("at the {}", edge.name);
        match widths.iter_mut().find(|(width, _)| *width == edge.allowance) {
            Some((_, names)) => names.push(name),
            None => widths.push((edge.allowance, vec![name])),
        }
    }
    for (_, names) in &mut widths {
        if SIDES.iter().all(|side| names.iter().any(|name| name == side)) {
            names.retain(|name| !SIDES.contains(&name.as_str()));
            names.push("at both sides".to_owned());
        }
    }
    if let [(width, _)] = widths.as_slice() {
        return format!("{} all round", t.len(*width));
    }
    let told: Vec<String> = widths
        .iter()
        .map(|(width, names)| format!("{} {}", t.len(*width), listed(names)))
        .collect();
    told.join(", ")
}

impl Worded for Interface {
    const WORD: &'static str = "interface";
}

record!(Interface: "Apply an interfacing to the wrong side of pieces." {
    material; "Which interfacing.",
    hold; "How it is held.",
    cut; "How large it was cut.",
    copies via AtLeastOne; "The copies that get it.",
});
