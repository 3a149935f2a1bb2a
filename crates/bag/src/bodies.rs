//! The bodies of bags. A body is its file and its word in this list.

use crate::draft::{Drafter, Plan};
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
}

kinds!(
    Body: boxed, flat, cut_corners, wrapped, gusset, gusset_in_parts, round_base, rounded_base,
    drawstring_bag, roll_top, messenger, backpack,
);

mod two_panel_params;
