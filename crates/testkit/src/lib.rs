//! What tests and `cargo xtask` share: patterns to try things on, and faults seeded into them.
//! Nothing of the product reads this crate.

pub mod corpus;
pub mod faults;
mod measuring;
mod page;
pub mod random;
mod rng;
pub mod sweep;
mod verdict;

pub use measuring::{Row, Table, measure};
pub use page::page;
pub use rng::Rng;
pub use verdict::{Verdict, judge};
