//! What is said of handles that leave no room: for a hand, or for a flap.

use measure::Length;

use super::{Hold, Legs, StrapLengths, Wanted, below_rim};
use crate::draft::{Drafter, Face};
use crate::finding::{Finding, Place};

/// Says that the given length leaves no loop.
pub fn refuse_short(d: &mut Drafter<'_>, legs: &Legs, wanted: Wanted, face: &Face) {
    let below = below_rim(d, legs, face);
    let least = below * 2 + legs.apart;
    let message = format!(
        "a handle {} long is too short: {} of it lie below the rim",
        d.show(wanted.length.unwrap_or(Length::ZERO)),
        d.show(below * 2)
    );
    d.refuse("handles.length", message, format!("cut it longer than {}", d.show(least)));
}

/// Refuses legs that would be stitched through a pocket and close it. Those that run up from the base
/// divide a pocket that is held in the seams.
pub(super) fn clear_of_pockets(d: &mut Drafter<'_>, legs: &Legs, face: &Face) -> bool {
    let ([low, high], from_base) = match legs.hold {
        Hold::Rim => return true,
        Hold::Base(stop) => ([Length::ZERO, face.height - stop], true),
        Hold::Panel([stop, end]) => ([face.height - end, face.height - stop], false),
    };
    for middle in [-legs.apart.half(), legs.apart.half()] {
        let (left, right) = (middle - legs.width.half(), middle + legs.width.half());
        let Some(pocket) = d.pocket_closed_by(face, [(left, low), (right, high)], from_base) else {
            continue;
        };
        let message = format!("the legs would be stitched through the {pocket}, and close it");
        let cure = if from_base {
            "set them farther apart or into the rim, make the pocket narrower, or put it on another side"
        } else {
            "set them farther apart, make the pocket less high or narrower, or put it inside"
        };
        d.refuse("handles.apart", message, cure.to_owned());
        return false;
    }
    true
}

/// Notes that a handle that comes free below a flap lies before it when the bag is closed.
pub(crate) fn note_before_flap(d: &mut Drafter<'_>, legs: &Legs, faces: &[&Face]) {
    let (Hold::Base(stop) | Hold::Panel([stop, _])) = legs.hold else { return };
    let over = |face: &Face| face.word == "front" && (face.closed.is_positive() || d.front_covered);
    if !faces.iter().any(|face| over(face)) {
        return;
    }
    let message = format!(
        "the front {} comes free {} below the rim, below what closes over the front, and hangs before \
         it",
        legs.word,
        d.show(stop)
    );
    let cure = "if it is to be opened without moving the handle aside, take a strap between the sides, \
                or a loop on the back";
    let place = Place::parameter("handles.from");
    d.find(Finding::note("handles-have-room", place, message, cure.to_owned()));
}

/// Warns if no hand goes through the loop.
pub fn warn_on_drop(d: &mut Drafter<'_>, lengths: StrapLengths) {
    let hand = d.either(Length::inch(4), Length::mm(100));
    if lengths.drop < hand {
        let message =
            format!("the handles drop {}: a hand hardly goes through", d.show(lengths.drop));
        let cure = format!("ask for a drop of {} or more", d.show(hand));
        let place = Place::parameter("handles.drop");
        d.find(Finding::warning("handles-have-room", place, message, cure));
    }
}
