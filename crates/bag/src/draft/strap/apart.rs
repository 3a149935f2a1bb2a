//! How far apart the legs of handles stand, where nothing is asked, and how much room there is for them.

use measure::{Length, Rounding};

use super::Hold;
use crate::draft::{Drafter, Face};
use crate::kinds::{Param, Values, optional};

/// How far apart the legs stand.
pub const APART: Param = optional(
    "apart",
    "legs apart",
    "From the middle of one leg to the middle of the other; left out, it is 7 in (180 mm), or half of \
     the width there where the bag is too narrow for that.",
    [Length::mm(30), Length::mm(1_200)],
);

/// How wide a face is where legs stand that are held so.
pub(super) fn room_across(d: &Drafter<'_>, hold: Hold, face: &Face) -> Length {
    match hold {
        // Beside rounded corners only the straight part of the base holds their ends.
        Hold::Base(_) => face.base_width - d.base_rise.max(face.corner) * 2,
        Hold::Rim => face.top_width,
        Hold::Panel([_, end]) => {
            face.top_width.min(face.width_at((face.height - end).max(Length::ZERO)))
        }
    }
}

/// How far apart legs so wide stand, as [`APART`] says.
pub fn apart(
    d: &mut Drafter<'_>,
    values: &Values,
    hold: Hold,
    width: Length,
    faces: &[&Face],
) -> Length {
    if let Some(asked) = values.optional("apart") {
        return asked;
    }
    let usual = d.either(Length::inch(7), Length::mm(180));
    let room = faces.iter().map(|face| room_across(d, hold, face)).min().unwrap_or(usual);
    // Half of it is measured from the centre line.
    let half = d.coarse_ruler().round((room / 4).max(width.half()), Rounding::Down) * 2;
    let apart = if usual + width <= room { usual } else { half.max(width).min(usual) };
    d.settle("handles.apart", apart);
    apart
}
