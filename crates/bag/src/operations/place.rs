//! Place one thing on another, and baste it there.

use measure::{Length, Point};

use super::{Operation, Phrase, Telling, Told};
use crate::assembly::Assembly;
use crate::draft::Drafter;
use crate::pattern::CopyId;

/// Place things on copies, each at its position, and hold them there for the time being.
#[derive(Clone, Debug)]
pub struct Place {
    /// What is placed where.
    pub items: Vec<Placed>,
    /// The whole instruction, with its measures: how it lies, and against what.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// What holds it.
    pub attach: Attach,
}

/// One thing, placed on a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// What is placed.
    pub what: CopyId,
    /// What it lies on.
    pub onto: CopyId,
    /// Where the lower left corner of its stitching line comes, in that copy's coordinates.
    pub at: Point,
    /// Which of its faces is up.
    pub face_up: FaceSide,
    /// Which face of what lies below is up.
    pub ground: FaceSide,
    /// Whether it stands on its head.
    pub upside_down: bool,
    /// Edges of it that lie level with edges of what is below, and are caught with them later:
    /// (its edge, the copy below, that copy's edge).
    pub level: Vec<(usize, CopyId, usize)>,
    /// The feet of a strap, in order along it.
    pub feet: Vec<Foot>,
}

/// One end of a strap, where it is fastened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Foot {
    /// The strap's edge at that end.
    pub edge: usize,
    /// Where the middle of that edge comes, in the coordinates of what lies below.
    pub at: Point,
    /// Which face of the strap is up at that end.
    pub face_up: FaceSide,
}

/// A face of a piece of fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaceSide {
    /// The right side.
    Right,
    /// The wrong side.
    Wrong,
}

impl FaceSide {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right side",
            Self::Wrong => "wrong side",
        }
    }
}

impl Placed {
    /// Placed right side up on a right side, standing upright, level with nothing.
    pub fn new(what: CopyId, onto: CopyId, at: Point) -> Self {
        Self {
            what,
            onto,
            at,
            face_up: FaceSide::Right,
            ground: FaceSide::Right,
            upside_down: false,
            level: Vec::new(),
            feet: Vec::new(),
        }
    }
}

/// What holds something in its place for the time being.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attach {
    /// Basted within the seam allowance.
    Baste {
        /// How far from the edge.
        from_edge: Length,
        /// Stitch length.
        stitch: Length,
    },
    /// Pinned.
    Pin,
}

impl Attach {
    /// Basted 1/4 in (6 mm) from the edge, as is usual.
    pub fn baste(d: &Drafter<'_>) -> Self {
        let usual = d.either(Length::inch_frac(1, 4), Length::mm(6));
        Self::Baste { from_edge: usual, stitch: d.stitch("baste") }
    }
}

impl Operation for Place {
    fn word(&self) -> &'static str {
        "place"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let held = match self.attach {
            Attach::Baste { from_edge, stitch } => format!(
                "Baste along the raw edges, {} from the edge, within the seam allowance (stitch \
                 length {}).",
                t.len(from_edge),
                t.stitch(stitch)
            ),
            Attach::Pin => "Pin.".to_owned(),
        };
        Told {
            text: format!("{} {held}", self.how.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for item in &self.items {
            work.place(item);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.items.iter().flat_map(|item| [item.what, item.onto]).collect()
    }
}
