//! The domain, pure: what a person wants (`design`), what to cut, mark and sew (`pattern`), the
//! steps as data (`operations`), carrying them out in the abstract (`assembly`) and what is found
//! wrong (`checks`).
//!
//! In reading order: a [`Design`] names kinds of bodies, pockets, handles, closures, linings and extras;
//! [`draft()`] turns it into a [`Pattern`]; [`assembly::Assembly`] carries the pattern's steps out;
//! [`checks::run`] looks at both. Nothing here reads a file, a clock or the environment, and
//! nothing after the pattern knows which body it came from.

pub mod design;
pub mod finding;
pub mod kinds;

pub mod pattern;

pub mod operations;

pub mod record;

pub mod assembly;

pub mod draft;

pub mod bodies;
pub mod closures;
pub mod extras;
pub mod handles;
pub mod linings;
pub mod pockets;

pub mod checks;

pub use design::{Chosen, Design, Edition, Role};
pub use draft::draft;
pub use finding::{Finding, Place, Severity};
pub use pattern::Pattern;

#[cfg(test)]
mod tests;
