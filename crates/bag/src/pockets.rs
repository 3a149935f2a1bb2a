//! Pockets. A pocket is its file and its word in this list.

use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A pocket.
pub trait Pocket: Kind {
    /// Adds its pieces and steps. `index` counts the design's pockets from zero; `inside` is the
    /// lining, if there is one.
    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    );
}

kinds!(Pocket: band, patch);

/// A word that is unique among the pockets of a design: "outside-pocket", "outside-pocket-2".
fn numbered(stem: &str, index: usize) -> String {
    if index == 0 { stem.to_owned() } else { format!("{stem}-{}", index + 1) }
}

/// The same for names: "outside pocket", "outside pocket 2".
fn numbered_name(stem: &str, index: usize) -> String {
    if index == 0 { stem.to_owned() } else { format!("{stem} {}", index + 1) }
}
