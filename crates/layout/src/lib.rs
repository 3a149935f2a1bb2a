//! Pieces laid on fabric: the problem, a first layout and better ones, a proven bound, and a
//! verifier that shares no code with them. Knows no bags.
//!
//! [`Problem`] says what is cut from what; a [`Layout`] where each piece lies and what to buy;
//! [`NoLayout`] what does not fit and what would help. [`first`] answers at once, [`Search`]
//! looks for better ones and for proofs ([`refine`] does so in one call), [`narrowest`] says on which widths a purchase still serves, and
//! [`verify`] accepts or rejects a layout.
//!
//! Rectangles are laid by engines of their own, on a bolt or on remnants, cut free of each other in
//! any order, or strips first, as with a rotary cutter. As soon as one piece of free cutting is no
//! rectangle, the fabric is folded, or pieces have to match in a print, all are laid by their true
//! outlines.

mod ahead;
mod anytime;
mod bars;
mod beam;
mod bound;
mod cuts;
mod effort;
mod faults;
mod local;
mod narrow;
mod no_layout;
mod odd;
mod pack;
mod pairwise;
mod plan;
mod pool;
mod problem;
mod prove;
mod random;
mod refine;
mod remnant;
mod remnants;
mod rotary;
mod sane;
mod search;
mod skyline;
mod solve;
mod steps;
mod strips;
mod tight;
mod verify;
mod verify_cuts;
mod verify_fold;
mod verify_outlines;
mod verify_remnants;
mod words;

pub use anytime::{Search, first};
pub use effort::Stop;
pub use faults::Fault;
pub use narrow::{Narrowest, narrowest};
pub use no_layout::{LongCut, NoLayout, TooWide};
pub use plan::{
    CutKind, CutLine, Fit, Joined, Layout, Off, Part, Placement, Proof, Remnant, Stretch,
};
pub use problem::{
    Cutting, Item, Join, JoinAngle, JoinPlace, Problem, Rotation, Rotations, Shape, Shrinkage,
    Stock,
};
pub use refine::refine;
pub use remnant::largest_free;
pub use solve::fits;
pub use verify::verify;
pub use words::CutStep;
