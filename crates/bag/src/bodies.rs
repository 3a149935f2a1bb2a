//! The bodies of bags. A body is its file and its word in this list.

use crate::draft::{Drafter, Plan};
use crate::kinds::{Kind, Values, kinds};

/// A body.
pub trait Body: Kind {
    /// Works out the numbers; nothing, with the reasons told to the drafter, if there can be no
    /// such bag.
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>>;
}

kinds!(Body: boxed, flat, gusset, gusset_in_parts, round_base, rounded_base);

mod two_panel_params;
