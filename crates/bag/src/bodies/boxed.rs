//! A bag of two panels with boxed base corners: it stands.

use super::Body;
use super::two_panel_params::{
    CONTRAST, DEPTH, EASE, HEIGHT, HOLDS, SIZE, STANDS, TAPER, WIDTH,
};
use crate::draft::{Drafter, Plan, TwoPanels};
use crate::kinds::{Kind, Param, Values};

/// The kind.
pub(super) struct Boxed;
/// Its entry in the list.
pub(super) const KIND: Boxed = Boxed;

impl Kind for Boxed {
    fn name(&self) -> &'static str {
        "boxed"
    }
    fn title(&self) -> &'static str {
        "Bag with boxed corners"
    }
    fn help(&self) -> &'static str {
        "Two panels sewn at the sides and the base, the base corners boxed so that the bag stands \
         and holds square things. The first bag for most classes."
    }
    fn params(&self) -> &'static [Param] {
        &[SIZE, WIDTH, HEIGHT, DEPTH, TAPER, CONTRAST, HOLDS, STANDS, EASE]
    }
}

impl Body for Boxed {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let plan = TwoPanels::plan(d, values, values.length("depth"))?;
        Some(Box::new(plan))
    }
}
