//! Pockets. A pocket is its file and its word in this list.

mod full_width;
mod kit;
pub(crate) mod pouch;
mod single;

use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Values, kinds};

/// A pocket.
pub trait Pocket: Kind {
    /// Whether it lies inside the bag: without a lining it is then stitched through the panel.
    fn is_inside(&self, values: &Values) -> bool;

    /// What it needs of the rest of the bag; see the table in `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }

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

kinds!(Pocket: band, patch, flap, bellows, pleated, elastic, organiser, slip, zip_slit, zip_seam, window);

/// How many pockets of its kind come before the pocket with that index in the design.
fn ordinal(d: &Drafter<'_>, index: usize) -> usize {
    let pockets = &d.design.pockets;
    pockets[..index].iter().filter(|other| other.kind == pockets[index].kind).count()
}

/// A word that is unique among the pockets of a design: "outside-pocket", "outside-pocket-2".
fn numbered(stem: &str, ordinal: usize) -> String {
    if ordinal == 0 { stem.to_owned() } else { format!("{stem}-{}", ordinal + 1) }
}

/// The same for names: "outside pocket", "outside pocket 2".
fn numbered_name(stem: &str, ordinal: usize) -> String {
    if ordinal == 0 { stem.to_owned() } else { format!("{stem} {}", ordinal + 1) }
}
