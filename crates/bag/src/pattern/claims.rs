//! What a pattern promises, and how its panels stand to each other in the finished bag.

use measure::{Length, Point};

use super::{CopyId, Gauge};
use crate::operations::FaceSide;

/// What the pattern promises. Checks compute each value back from the cut pieces, through the
/// gauge beside it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Claims {
    /// Finished width at the base.
    pub width: Length,
    /// How to measure it.
    pub width_gauge: Gauge,
    /// Finished height, up the middle of the front.
    pub height: Length,
    /// How to measure it.
    pub height_gauge: Gauge,
    /// Finished depth of the base; zero for a flat bag.
    pub depth: Length,
    /// How to measure it; empty for a bag whose depth comes from boxed corners alone.
    pub depth_gauge: Gauge,
    /// Finished width laid flat at the top.
    pub top_width: Length,
    /// How to measure it.
    pub top_gauge: Gauge,
    /// What the finished size was asked to be, by parameter; empty when cut sizes were given.
    pub asked: Vec<(&'static str, Length)>,
    /// The handles.
    pub handles: Vec<HandleClaim>,
    /// The pockets.
    pub pockets: Vec<PocketClaim>,
    /// What closes the bag.
    pub closures: Vec<ClosureClaim>,
    /// What stands across the bag and divides it.
    pub dividers: Vec<DividerClaim>,
    /// Small parts that are made up before they go on the bag.
    pub parts: Vec<PartClaim>,
    /// Where ends of ties, tabs, flaps and straps are fastened, beside those of the handles.
    pub ends: Vec<EndClaim>,
    /// What must fit, by the id of `measure::fits`.
    pub holds: Vec<String>,
}

/// What is promised of one handle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandleClaim {
    /// "front handle".
    pub name: String,
    /// The strap.
    pub strap: CopyId,
    /// The copy on which both feet stand.
    pub on: CopyId,
    /// Where the middle of each foot meets the finished rim, in that copy's coordinates.
    pub feet: [Point; 2],
    /// Finished width of the strap.
    pub width: Length,
    /// Length of strap above the finished rim, from foot to foot.
    pub free: Length,
    /// From the rim to the strap pulled taut to a point.
    pub drop: Length,
    /// Whether the strap runs on over the outside, down to the base.
    pub from_base: bool,
    /// Below the rim, from where it comes free down to its end, of a strap that is stitched on to
    /// its panel with its end turned under.
    pub lies: Option<[Length; 2]>,
    /// What is sewn to the bag and holds the strap: tabs with rings; empty if that is the strap
    /// itself.
    pub fastened: Vec<CopyId>,
    /// What tabs and rings add to the strap's length above the rim, both ends together; negative
    /// for a cord that comes out of the bag below the rim.
    pub added: Length,
    /// How much of the strap lies doubled at its slider when it is let out.
    pub doubled: Length,
    /// The drop when it is drawn in, if it can be adjusted.
    pub shortest: Option<Length>,
    /// Whether the loop stands out from its panel, as the shoulder strap of a backpack does, and
    /// not up from the rim.
    pub stands_out: bool,
    /// How far apart its feet stand in the finished bag, where they cannot be measured on one flat
    /// panel: on the two ends of a gusset.
    pub apart: Option<Length>,
    /// The load that it is made for, in kilograms; 0 is that of an everyday bag.
    pub carries: u32,
}

impl HandleClaim {
    /// A handle whose strap is sewn to the bag by itself, of the given length above the rim.
    pub fn plain(name: String, strap: CopyId, on: CopyId, feet: [Point; 2], width: Length) -> Self {
        Self {
            name,
            strap,
            on,
            feet,
            width,
            free: Length::ZERO,
            drop: Length::ZERO,
            from_base: false,
            lies: None,
            fastened: Vec::new(),
            added: Length::ZERO,
            doubled: Length::ZERO,
            shortest: None,
            stands_out: false,
            apart: None,
            carries: 0,
        }
    }

    /// Whether its ends are held by the rim.
    pub fn is_in_rim(&self) -> bool {
        !self.from_base && self.lies.is_none()
    }

    /// What is sewn to the bag and holds the strap.
    pub fn holders(&self) -> Vec<CopyId> {
        if self.fastened.is_empty() { vec![self.strap] } else { self.fastened.clone() }
    }
}

/// What is promised of one closure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClosureClaim {
    /// "magnetic snap".
    pub name: String,
    /// Pairs of halves that meet when the bag is closed.
    pub meets: Vec<[Half; 2]>,
    /// What is seen of it on the closed bag, the lowest first.
    pub shows: Vec<Shown>,
}

/// What is promised of one divider: that it stands across the bag, held by both of its sides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DividerClaim {
    /// The divider.
    pub copy: CopyId,
    /// The copy that one of its sides is stitched to: of the front, or of another divider.
    pub front: CopyId,
    /// The copy that the other is stitched to: of the back, or of another divider. The same as the
    /// first, if it runs from seam to seam along that one and is caught in both.
    pub back: CopyId,
    /// How high it is, and how much of that is held.
    pub height: Length,
}

/// What is promised of a small part that no other promise measures: a tab, a tie, a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartClaim {
    /// The part, or one of several that are cut alike.
    pub copy: CopyId,
    /// Across and along, made up and with its raw ends: a tab for a ring is folded already.
    pub size: (Length, Length),
}

/// What is promised of one end that is fastened to a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EndClaim {
    /// What is fastened.
    pub copy: CopyId,
    /// By which of its edges.
    pub edge: usize,
    /// To which panel.
    pub on: CopyId,
    /// Where the middle of the end lies, in that panel's coordinates.
    pub at: Point,
    /// Which of its faces is up there.
    pub face_up: FaceSide,
}

/// One half of something that closes: where it is, and from where it comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Half {
    /// The copy that it is fastened to.
    pub on: CopyId,
    /// Where, in that copy's coordinates.
    pub at: Point,
    /// The edge of that copy that lies at the rim.
    pub edge: usize,
    /// How much of the way from that edge is spent on going under the rim and across the mouth;
    /// negative if the edge itself lies below the rim.
    pub spent: Length,
}

/// A part of a closure that is seen on the outside of the closed bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The copy before which it lies.
    pub on: CopyId,
    /// What it is, as a copy; nothing for hardware.
    pub of: Option<CopyId>,
    /// Its outline in the coordinates of the copy before which it lies.
    pub outline: Vec<Point>,
}

/// What is promised of one pocket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PocketClaim {
    /// "front pocket".
    pub name: String,
    /// Its front, as a copy.
    pub copy: CopyId,
    /// The copy that it lies on.
    pub on: CopyId,
    /// Where its lower left corner lies on that copy.
    pub at: Point,
    /// Finished width × height as it lies.
    pub size: (Length, Length),
    /// Depth in use, after hem, seam and base.
    pub true_depth: Length,
    /// Width of the mouth through which a hand goes in; zero if it is not stated.
    pub opening: Length,
    /// Widths of its compartments, from left to right.
    pub compartments: Vec<Length>,
    /// Whether it is inside the bag.
    pub inside: bool,
}

impl PocketClaim {
    /// Whether stitches that run so far up divide it: by more than a third of its depth in use
    /// (common practice, no source). What comes free lower down leaves it one pocket.
    #[must_use]
    pub fn is_divided_by(&self, up: Length) -> bool {
        up > self.true_depth / 3
    }
}

/// Where the finished bag bends.
#[derive(Clone, Debug, PartialEq)]
pub struct Hinge {
    /// The line.
    pub line: HingeLine,
    /// Finished angle between the two sides, seen from inside, in degrees: 180 lies flat.
    pub degrees: f64,
}

/// The line of a hinge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HingeLine {
    /// Within a copy, from point to point in its coordinates.
    Fold(CopyId, Point, Point),
    /// Along the seam that this step sews.
    Seam(String),
}
