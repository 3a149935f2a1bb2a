//! The bodies of bags. A body is its file and its word in this list.

use crate::design::Design;
use crate::draft::{Ability, Drafter, Plan};
use crate::kinds::{Kind, Values, kinds};
use crate::{handles, linings};

/// A body.
pub trait Body: Kind {
    /// Works out the numbers; nothing, with the reasons told to the drafter, if there can be no
    /// such bag.
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>>;
    /// The kind of handles that a new design of it begins with.
    fn usual_handles(&self) -> &'static str {
        handles::ALL[0].name()
    }
    /// The kind of lining that a new design of it begins with.
    fn usual_lining(&self) -> &'static str {
        linings::ALL[0].name()
    }
    /// What it needs of the rest of the bag, a second layer for instance; see the table in
    /// `draft/compatible.rs`.
    fn needs(&self, _: &Values) -> Vec<Ability> {
        Vec::new()
    }
    /// Sets in a new design of it what suits it better than the usual values of those kinds.
    fn suit(&self, _: &mut Design) {}
}

kinds!(
    Body: boxed, flat, cut_corners, folded_base, wrapped, gusset, gusset_in_parts, round_base,
    rounded_base, zip_pouch, boxed_pouch, basket, bottle_carrier, lunch_bag, drawstring_bag,
    roll_top, messenger, backpack, duffel,
);

mod two_panel_params;
