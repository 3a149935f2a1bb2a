//! A flat bag of two panels.

use measure::Length;

use super::Body;
use super::two_panel_params::{CONTRAST, EASE, HEIGHT, HOLDS, SIZE, STANDS, TAPER, WIDTH};
use crate::draft::{Drafter, Plan, TwoPanels};
use crate::kinds::{Kind, Param, Values};

/// The kind.
pub(super) struct Flat;
/// Its entry in the list.
pub(super) const KIND: Flat = Flat;

impl Kind for Flat {
    fn name(&self) -> &'static str {
        "flat"
    }
    fn title(&self) -> &'static str {
        "Flat bag"
    }
    fn help(&self) -> &'static str {
        "Two panels sewn at the sides and the base, without depth: for books and papers, and the \
         quickest of all."
    }
    fn params(&self) -> &'static [Param] {
        &[SIZE, WIDTH, HEIGHT, TAPER, CONTRAST, HOLDS, STANDS, EASE]
    }
}

impl Body for Flat {
    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let plan = TwoPanels::plan(d, values, Length::ZERO)?;
        Some(Box::new(plan))
    }
}
