//! What happened in a step. Operations write events; checks judge them.

use measure::{Length, Point};

use super::SideOut;
use crate::operations::{Corner, FaceSide, Foot, Gap, Line, Meeting, Over, Spot, Through};
use crate::pattern::{CopyId, Run, Span};

/// What happened in a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// Two runs were joined.
    Joined {
        /// The two sides.
        sides: [Run; 2],
        /// Which faces were to meet.
        meet: Meeting,
        /// Which faces could meet, as things lay.
        facing: Facing,
        /// The allowance sewn on either side.
        allowance: [Length; 2],
        /// By how much the first side is meant to be longer.
        ease: Length,
        /// What was left open, along the first side.
        gaps: Vec<Gap>,
    },
    /// The allowance of raw edges was clipped, so that it can spread.
    Clipped {
        /// Single cuts.
        corners: Vec<Spot>,
        /// Stretches with a row of cuts.
        curves: Vec<Run>,
    },
    /// A rider's edge was caught in a seam of its host.
    Caught {
        /// The rider.
        rider: CopyId,
        /// Its edge.
        edge: usize,
        /// The host.
        host: CopyId,
        /// The host's edge.
        host_edge: usize,
    },
    /// Something that should be free, stitched down as far as the seam, was sewn into it.
    CaughtLoose {
        /// The rider.
        rider: CopyId,
        /// The host.
        host: CopyId,
        /// The host's edge.
        host_edge: usize,
    },
    /// A rider was laid level with an edge that had been sewn already.
    TooLate {
        /// The rider.
        rider: CopyId,
        /// The host.
        host: CopyId,
        /// The host's edge.
        host_edge: usize,
    },
    /// A body was turned.
    Turned {
        /// A copy of it.
        body: CopyId,
        /// What it was turned through.
        through: Through,
        /// The open stretches it had at that moment.
        open: Vec<Span>,
        /// Which side was out before.
        before: SideOut,
    },
    /// An opening was closed; nothing if that step had left none.
    Closed {
        /// The step that left it.
        left_by: String,
        /// What was closed.
        closed: Vec<Span>,
        /// Which side of the body was out.
        side_out: Option<SideOut>,
    },
    /// Corners were boxed.
    Boxed {
        /// The corners, each with its panels.
        corners: Vec<Vec<Corner>>,
        /// Distance of the line from the tip.
        tip: Length,
        /// The depth that the step names.
        depth: Length,
        /// Which side of the body was out.
        side_out: SideOut,
        /// Corners at which the seams were not sewn yet.
        unsewn: Vec<Corner>,
        /// Whether the raw edge beyond the line is finished.
        finished: bool,
    },
    /// An edge was hemmed.
    Hemmed {
        /// The edge.
        run: Run,
        /// What the hem takes off it.
        takes: Length,
    },
    /// Something was placed on something.
    Placed {
        /// What.
        what: CopyId,
        /// On what.
        onto: CopyId,
        /// Where.
        at: Point,
        /// Which of its faces is up.
        face_up: FaceSide,
        /// Which face of what lies below is up.
        ground: FaceSide,
        /// Whether it stands on its head.
        upside_down: bool,
        /// The feet of a strap.
        feet: Vec<Foot>,
    },
    /// Stitches went through a panel, away from its edges.
    Stitched {
        /// What is stitched down.
        what: Vec<CopyId>,
        /// The panel.
        onto: CopyId,
        /// Where, in its coordinates.
        lines: Vec<Line>,
        /// Whether the machine can get there.
        reach: Reachable,
    },
    /// Something was pulled through a slit.
    PulledThrough {
        /// What.
        what: CopyId,
        /// The panel with the slit.
        panel: CopyId,
    },
    /// The top of a body was turned down.
    TurnedDown {
        /// Its rim.
        rim: Run,
        /// How far down it comes.
        depth: Length,
        /// Which way.
        over: Over,
    },
    /// A body was put into another.
    DroppedIn {
        /// A copy of the one inside.
        inner: CopyId,
        /// A copy of the one around it.
        outer: CopyId,
        /// Which faces were to meet.
        meet: Meeting,
        /// Which side of the inner one was out.
        inner_out: SideOut,
        /// Which side of the outer one was out.
        outer_out: SideOut,
        /// The panels of the inner one, and of the outer one.
        copies: [Vec<CopyId>; 2],
    },
    /// Something that the work as it lay did not allow.
    Impossible {
        /// Why not, one sentence.
        why: String,
        /// What to do instead.
        cure: String,
        /// At which copy.
        copy: CopyId,
        /// At which edge.
        edge: Option<usize>,
    },
}

/// Which faces meet in a seam, as things lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// As the step says: both lie flat and can be laid so.
    AsTold,
    /// Right sides.
    Right,
    /// Wrong sides.
    Wrong,
    /// The right side of one and the wrong side of the other.
    Mixed,
    /// Two rims that run opposite ways round.
    Against,
    /// Two bodies of which neither lies in the other.
    Apart,
}

/// Whether the machine can get at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reachable {
    /// It lies flat.
    Flat,
    /// It is part of a bag already, but near its mouth.
    NearMouth,
    /// It is part of a bag already, and out of reach.
    Buried,
}
