//! The verifier of the cutting order, strips first: carries the cuts out one after the other, by
//! the rules alone, and sees whether each goes from edge to edge of a part that is there, is no
//! longer than it may be, and whether at the end every piece has come off. Shares no code with the
//! solvers.

use measure::Length;

use crate::faults::Fault;
use crate::{CutKind, CutLine, Cutting, Layout, Off, Part, Placement, Problem, Stock};

/// How far a part has been cut up: fabric, a strip, a block, a row of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Stage {
    Fabric,
    Strip,
    Block,
    Row,
}

/// Parts that lie on the table.
struct Table<'a> {
    layout: &'a Layout,
    gap: Length,
    longest: Option<Length>,
    is_folded: bool,
    parts: Vec<(Part, Stage)>,
    /// Which placements have come off.
    is_off: Vec<bool>,
}

/// Checks the cuts of a layout on these fabrics, which are there whole at first.
pub(crate) fn check(problem: &Problem, layout: &Layout, fabrics: &[Part], faults: &mut Vec<Fault>) {
    let Cutting::StripsFirst { longest_cut } = problem.cutting else {
        if !layout.cuts.is_empty() {
            faults.push(Fault::Cut { cut: 0, wrong: "pieces are cut in any order here" });
        }
        return;
    };
    let mut table = Table {
        layout,
        gap: problem.gap,
        longest: longest_cut,
        is_folded: matches!(problem.stock, Stock::Bolt { fold: true, .. }),
        parts: fabrics.iter().map(|&fabric| (fabric, Stage::Fabric)).collect(),
        is_off: vec![false; layout.placements.len()],
    };
    let mut before = CutKind::Divide;
    for (index, cut) in layout.cuts.iter().enumerate() {
        let wrong = if cut.kind < before {
            Err("it comes after cuts that have to be later")
        } else {
            table.carry_out(cut)
        };
        if let Err(wrong) = wrong {
            faults.push(Fault::Cut { cut: index, wrong });
            return;
        }
        before = cut.kind;
    }
    for (placement, one) in layout.placements.iter().enumerate() {
        // What just covers its fabric needs no cut.
        let is_whole = table.parts.iter().any(|(part, _)| is_on(one, *part));
        if !table.is_off[placement] && !is_whole {
            faults.push(Fault::NotCut { placement });
        }
    }
}

/// Whether a placement is just this part.
fn is_on(one: &Placement, part: Part) -> bool {
    (one.stock, one.x, one.y, one.width, one.length)
        == (part.stock, part.x, part.y, part.width, part.length)
}

impl Table<'_> {
    /// Carries one cut out; else what is wrong with it.
    fn carry_out(&mut self, cut: &CutLine) -> Result<(), &'static str> {
        let at = self.parts.iter().position(|(part, _)| *part == cut.part);
        let at = at.ok_or("the part that it cuts is not there")?;
        let (part, stage) = self.parts.swap_remove(at);
        self.check_length(cut)?;
        let is_across = cut.from.1 == cut.to.1;
        let (off, left) = self.sides(cut, part, is_across)?;
        let (off_stage, left_stage) = stages(cut.kind, is_across, stage)?;
        if cut.kind == CutKind::Trim && !is_across {
            let is_last = matches!((cut.off, cut.left), (Off::Piece(_), Off::Waste(_)));
            if !is_last {
                return Err("what is trimmed along the fabric has to be a piece and waste");
            }
        }
        self.put(cut.off, off, off_stage)?;
        self.put(cut.left, left, left_stage)
    }

    /// The cut goes along one direction, and is not too long on the table.
    fn check_length(&self, cut: &CutLine) -> Result<(), &'static str> {
        let (across, along) = (cut.to.0 - cut.from.0, cut.to.1 - cut.from.1);
        let far = match (across.is_positive(), along.is_positive()) {
            (true, false) if along == Length::ZERO => across,
            (false, true) if across == Length::ZERO => along,
            _ => return Err("it does not run straight across or along the fabric"),
        };
        let may_be_folded = match cut.kind {
            CutKind::Divide => cut.layers >= 1,
            CutKind::Strip => matches!(cut.layers, 1 | 2 | 4),
            CutKind::Cross | CutKind::Trim => cut.layers == 1,
        };
        if !may_be_folded {
            return Err("the fabric cannot be folded into so many layers for it");
        }
        match self.longest {
            Some(longest) if far > longest * i64::from(cut.layers) => Err("it is too long"),
            None if cut.layers != 1 && !self.is_folded => Err("nothing has to be folded for it"),
            Some(_) | None => Ok(()),
        }
    }

    /// The two sides of a cut that goes from edge to edge of a part.
    fn sides(
        &self,
        cut: &CutLine,
        part: Part,
        is_across: bool,
    ) -> Result<(Part, Part), &'static str> {
        let (far_x, far_y) = (part.x + part.width, part.y + part.length);
        let beyond = |line: Length, far: Length| (line + self.gap).min(far);
        if is_across {
            let line = cut.from.1;
            if (cut.from.0, cut.to.0) != (part.x, far_x) || line <= part.y || line >= far_y {
                return Err("it does not go from edge to edge");
            }
            let rest = beyond(line, far_y);
            Ok((
                Part { length: line - part.y, ..part },
                Part { y: rest, length: far_y - rest, ..part },
            ))
        } else {
            let line = cut.from.0;
            if (cut.from.1, cut.to.1) != (part.y, far_y) || line <= part.x || line >= far_x {
                return Err("it does not go from edge to edge");
            }
            let rest = beyond(line, far_x);
            Ok((
                Part { width: line - part.x, ..part },
                Part { x: rest, width: far_x - rest, ..part },
            ))
        }
    }

    /// What a side is said to be, it is.
    fn put(&mut self, said: Off, is: Part, stage: Stage) -> Result<(), &'static str> {
        match said {
            Off::Part(part) if part == is => self.parts.push((part, stage)),
            Off::Waste(part) if part == is => {}
            Off::Part(_) | Off::Waste(_) => {
                return Err("a side of it is not where it is said to be");
            }
            Off::Piece(placement) => {
                let one = self.layout.placements.get(placement);
                if !one.is_some_and(|one| is_on(one, is)) {
                    return Err("the piece that is said to come off is not that side of it");
                }
                if std::mem::replace(&mut self.is_off[placement], true) {
                    return Err("the piece has come off before");
                }
            }
        }
        Ok(())
    }
}

/// What the sides of a cut are; a part that is left may just be a strip, or a block, already.
fn stages(kind: CutKind, is_across: bool, stage: Stage) -> Result<(Stage, Stage), &'static str> {
    match (kind, is_across) {
        (CutKind::Divide, false) if stage == Stage::Fabric => Ok((Stage::Fabric, Stage::Fabric)),
        (CutKind::Strip, true) if stage == Stage::Fabric => Ok((Stage::Strip, Stage::Fabric)),
        (CutKind::Cross, false) if stage <= Stage::Strip => Ok((Stage::Block, Stage::Strip)),
        (CutKind::Trim, true) if stage <= Stage::Block => Ok((Stage::Row, Stage::Block)),
        (CutKind::Trim, false) => Ok((Stage::Row, Stage::Row)),
        _ => Err("such a cut is not made through such a part"),
    }
}
