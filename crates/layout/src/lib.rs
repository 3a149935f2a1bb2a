//! Pieces laid on fabric: the problem, a first layout and better ones, a proven bound, and a
//! verifier that shares no code with them. Knows no bags.
//!
//! [`Problem`] says what is cut from what; a [`Layout`] where each piece lies and what to buy;
//! [`NoLayout`] what does not fit and what would help.

mod no_layout;
mod plan;
mod problem;

pub use no_layout::{NoLayout, TooWide};
pub use plan::{Joined, Layout, Placement, Proof, Remnant, Stretch};
pub use problem::{
    Item, Join, JoinAngle, JoinPlace, Problem, Rotation, Rotations, Shape, Shrinkage, Stock,
};
