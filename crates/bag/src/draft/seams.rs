//! Seams of a layer, sewn as its inside asks for: plain, finished or French.

use measure::Length;

use super::{Drafter, Layer, SeamMake, bound_with};
use crate::operations::{EdgeFinish, FinishEdges, FrenchSeam, Gap, Join, Press};
use crate::pattern::{Chapter, Checkpoint, Run};

/// Seams that are sewn alike in one step.
#[derive(Debug)]
pub struct Seam {
    /// What they are, as the end of the step's id: "side-seams".
    pub id: &'static str,
    /// "both side seams".
    pub what: &'static str,
    /// The two sides of each, in the same sewing direction.
    pub sides: Vec<[Run; 2]>,
    /// Allowance, unless they are French.
    pub allowance: Length,
    /// An opening in the first of them.
    pub gap: Option<Gap>,
    /// Where people go wrong.
    pub mind: Option<String>,
    /// How it is laid, where the usual words do not say it.
    pub lay: Option<String>,
    /// What can be measured then.
    pub checkpoint: Option<Checkpoint>,
    /// Whether its two sides are held together by another seam already.
    pub again: bool,
}

impl Seam {
    /// A seam without opening, warning or checkpoint.
    pub fn new(
        id: &'static str,
        what: &'static str,
        sides: Vec<[Run; 2]>,
        allowance: Length,
    ) -> Self {
        Self {
            id,
            what,
            sides,
            allowance,
            gap: None,
            mind: None,
            lay: None,
            checkpoint: None,
            again: false,
        }
    }

    /// Its runs, of both sides.
    pub fn runs(&self) -> Vec<Run> {
        self.sides.iter().flatten().cloned().collect()
    }
}

impl Layer {
    /// The chapter in which it is sewn.
    pub fn chapter(self) -> Chapter {
        match self {
            Self::Outside => Chapter::Outside,
            Self::Lining => Chapter::Lining,
        }
    }

    /// "outside" or "lining".
    pub fn word(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::Lining => "lining",
        }
    }
}

impl Drafter<'_> {
    /// Sews seams of a layer; returns the id of the step.
    pub fn sew(&mut self, layer: Layer, seam: Seam) -> String {
        let id = format!("{}-{}", layer.word(), seam.id);
        let stitch = self.stitch("seam");
        let chapter = self.chapter(layer);
        if let (SeamMake::French { first, second }, Layer::Outside) = (self.seam_make, layer) {
            let (what, seams) = (seam.what.to_owned(), seam.sides);
            let french = FrenchSeam { what, seams, first, second, again: seam.again, stitch };
            self.push(chapter, &id, french, seam.checkpoint);
            return id;
        }
        let mut join = Join::plain(seam.what, seam.sides, seam.allowance, stitch);
        // Allowances that are finished lie to one side, so that one finish holds both.
        if let (SeamMake::Finished(_), Layer::Outside) = (self.seam_make, layer) {
            join.press = Press::Toward("the back".to_owned());
        }
        join.gaps.extend(seam.gap);
        join.mind = seam.mind;
        join.lay = seam.lay;
        self.push(chapter, &id, join, seam.checkpoint);
        id
    }

    /// Finishes allowances of the outside that stay in sight, two and two together.
    pub fn finish_seams(&mut self, layer: Layer, id: &str, what: &str, runs: Vec<Run>) {
        if let (SeamMake::Finished(how), Layer::Outside) = (self.seam_make, layer) {
            let (what, bound_with) = (what.to_owned(), bound_with(how));
            let finish = FinishEdges { what, runs, how, bound_with, together: true };
            self.step(Chapter::Outside, id, finish);
        }
    }

    /// How a seam of the outside is finished that cannot be French: it is overcast then.
    pub fn plain_finish(&self, layer: Layer) -> Option<EdgeFinish> {
        match (self.seam_make, layer) {
            (_, Layer::Lining) | (SeamMake::Plain, _) => None,
            (SeamMake::Finished(how), _) => Some(how),
            (SeamMake::French { .. }, _) => Some(EdgeFinish::Overcast),
        }
    }
}
