//! The finished size that a bag needs, to hold something.

use measure::{Length, Rounding, Ruler, System, find_fit};

use super::Drafter;
use crate::kinds::Values;

/// Width, height and depth for what must fit, with the design's ease, rounded up to what a ruler
/// shows at a glance; and the id of that thing. A bag without depth goes around the thing, so its
/// thickness is added to the width and half of it to the height (derived: the flat bag's girth
/// must go round width and thickness).
pub(super) fn room_for(
    d: &mut Drafter<'_>,
    values: &Values,
    depth: Length,
) -> Option<((Length, Length, Length), String)> {
    let id = values.choice("holds");
    let Some(thing) = find_fit(id) else {
        let message = format!("`{id}` is not a thing whose size is known");
        d.refuse("body.holds", message, "choose one of the list in the guide".to_owned());
        return None;
    };
    let ease = values.length("ease");
    let (width, height) = match values.choice("stands") {
        "sideways" => (thing.height, thing.width),
        _ => (thing.width, thing.height),
    };
    let (width, height, deep) = if depth.is_positive() {
        (width, height, (thing.thickness + ease).max(depth))
    } else {
        (width + thing.thickness, height + thing.thickness.half(), Length::ZERO)
    };
    let ruler = match d.system {
        System::Inch => Ruler::HALF_INCH,
        System::Metric => Ruler::CM,
    };
    let up = |length| ruler.round(length, Rounding::Up);
    let room =
        (up(width + ease), up(height + ease), if depth.is_positive() { up(deep) } else { deep });
    Some((room, id.to_owned()))
}
