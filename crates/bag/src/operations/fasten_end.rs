//! Fasten the end of a strap or a cord to a ring, a slider or an eyelet.

use measure::Length;

use super::hem::turned_twice;
use super::takes::box_and_cross;
use super::{Hand, Operation, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern};
use crate::record::{AtLeastOne, record, words};

/// Fasten ends of straps to hardware, each by itself: the bag is not sewn there.
#[derive(Clone, Debug)]
pub struct FastenEnd {
    /// The ends: strap and edge.
    pub ends: Vec<(CopyId, usize)>,
    /// Each through what: "the middle bar of the slider".
    pub through: String,
    /// How.
    pub by: Fastening,
    /// Stitch length.
    pub stitch: Length,
}

/// How the end of a strap or a cord is fastened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fastening {
    /// Folded over and stitched down with a box and X.
    Folded(EndFold),
    /// Knotted; so much is taken up by the knot and what stands beyond it.
    Knotted(Length),
    /// Turned under twice and stitched, so that it does not fray: so much for each turn.
    Hemmed(Length),
    /// Turned under once and pressed, to be stitched on with what it lies on: so much.
    Turned(Length),
}

/// The two turns at the end of a strap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EndFold {
    /// Turned in first, so that no raw end is left.
    pub turn: Length,
    /// Folded back over the hardware.
    pub back: Length,
}

impl Fastening {
    /// How much of the strap it takes.
    pub fn takes(self) -> Length {
        match self {
            Self::Folded(fold) => fold.turn + fold.back,
            Self::Knotted(takes) => takes,
            Self::Hemmed(turn) => turn * 2,
            Self::Turned(turn) => turn,
        }
    }
}

impl FastenEnd {
    fn straps(&self) -> Vec<CopyId> {
        let mut straps: Vec<CopyId> = Vec::new();
        for (strap, _) in &self.ends {
            if !straps.contains(strap) {
                straps.push(*strap);
            }
        }
        straps
    }
}

impl Operation for FastenEnd {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let straps = t.names(&self.straps());
        let ends = match (self.ends.len(), self.straps().len()) {
            (1, _) => format!("the end of {straps}"),
            (two, 1) if two > 1 => format!("both ends of {straps}"),
            _ => format!("the ends of {straps}"),
        };
        let stitch = t.stitch(self.stitch);
        match self.by {
            Fastening::Folded(fold) => Told::new(format!(
                "Bring {ends} through {}, turn {} under and fold {} back. Sew a box and X through \
                 all layers (stitch length {stitch}), and go over the side next to the metal once \
                 more: it carries the load.",
                self.through,
                t.len(fold.turn),
                t.len(fold.back),
            ))
            .mind(
                "see before you sew that the strap is not twisted, and that its right side shows.",
            ),
            Fastening::Knotted(takes) => Told::new(format!(
                "Bring {ends} through {}, and tie a knot, so that the knot and the end beyond it \
                 take {}. Pull it tight.",
                self.through,
                t.len(takes),
            ))
            .mind(
                "a knot must be larger than the hole, and it settles: load it, and tighten it \
                 again. Long cords are a strangling hazard for small children: keep them short, \
                 and check the rules where you live.",
            ),
            Fastening::Hemmed(turn) => Told::new(format!(
                "Turn {ends} under by {}, and again, {}, and stitch across (stitch length {stitch}).",
                t.len(turn),
                self.through,
            )),
            Fastening::Turned(turn) => Told::new(format!(
                "Turn {ends} under by {}, {}, and press or clip.",
                t.len(turn),
                self.through,
            )),
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        let (turn, back, words) = match self.by {
            Fastening::Folded(fold) => {
                (fold.turn, fold.back, ["turn the end under", "back round the metal, sew"])
            }
            Fastening::Hemmed(turn) => (turn, turn, ["turn once", "turn again, stitch"]),
            Fastening::Turned(turn) => {
                let [once, _] = turned_twice(turn, turn);
                return Shown { stages: vec![once], ..Shown::default() };
            }
            Fastening::Knotted(_) => return Shown::default(),
        };
        let [mut once, mut twice] = turned_twice(turn, back);
        (once.says, twice.says) = (words[0].to_owned(), words[1].to_owned());
        // Sewn through all layers, beside the edge that is turned in.
        let twice = twice.stitch((turn + back) * 2 - back + back.min(turn) / 2, 0, 2);
        Shown { stages: vec![once, twice], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let wide = |strap: CopyId| {
            let (width, height) = work.pattern.piece_of(strap).net_size();
            width.min(height) / i64::from(work.pattern.piece_of(strap).folded_layers())
        };
        let layers = |strap: CopyId| work.pattern.piece_of(strap).folded_layers() * 3;
        let row = |(strap, _): &(CopyId, usize)| {
            let length = match self.by {
                Fastening::Folded(fold) => box_and_cross(wide(*strap), fold.back),
                Fastening::Hemmed(_) => wide(*strap),
                Fastening::Knotted(_) | Fastening::Turned(_) => return None,
            };
            let row = Sewing::new(Stitching::Shown, length, self.stitch);
            Some(row.through(*strap, layers(*strap)))
        };
        let takes = Takes::rows(self.ends.iter().filter_map(row));
        match self.by {
            Fastening::Turned(_) => {
                takes.press(self.ends.iter().map(|(strap, _)| wide(*strap)).sum())
            }
            _ => takes.hand(Hand::Draw, self.ends.len()),
        }
    }

    fn makes(&self, part: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        // An end that is turned under to be stitched on is a raw end still.
        if matches!(self.by, Fastening::Turned(_)) {
            return size;
        }
        let ends = self.ends.iter().filter(|(strap, _)| *strap == part);
        (size.0, size.1 - ends.map(|_| self.by.takes()).sum())
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for (strap, edge) in &self.ends {
            work.fasten_end(*strap, *edge);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.straps()
    }
}

record!(FastenEnd: "Fasten ends of straps or cords to a ring, a slider or an eyelet." {
    ends via AtLeastOne; "The ends: strap and edge.",
    through; "Each through what: \"the middle bar of the slider\".",
    by; "How: folded back and stitched, knotted, turned under twice, or once.",
    stitch; "Stitch length.",
});

record!(EndFold: "The two turns at the end of a strap." {
    turn; "Turned in first.",
    back; "Folded back over the hardware.",
});

words!(Fastening { ; "folded": Folded(EndFold), "knotted": Knotted(Length), "hemmed": Hemmed(Length), "turned": Turned(Length) });

impl Worded for FastenEnd {
    const WORD: &'static str = "fasten-end";
}
