//! The finished size that a bag needs, to hold something.

use measure::{Length, Rounding, Ruler, System, find_fit};

use super::Drafter;
use crate::kinds::Values;

/// The finished size that a body is asked for.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// Width at the base.
    pub width: Length,
    /// Height up the front.
    pub height: Length,
    /// Depth of the base; zero for a flat bag.
    pub depth: Length,
    /// What was asked for, by parameter; nothing when it was worked out from what must fit.
    pub asked: Vec<(&'static str, Length)>,
    /// What must fit.
    pub holds: Vec<String>,
}

/// Reads the finished size from the parameters `size` (finished or fits), `width`, `height`, and
/// the depth given; nothing, with the reason told, if what must fit is not known.
pub fn wanted(d: &mut Drafter<'_>, values: &Values, depth: Length) -> Option<Wanted> {
    if values.choice("size") == "fits" {
        let ((width, height, depth), id) = room_for(d, values, depth)?;
        return Some(Wanted { width, height, depth, asked: Vec::new(), holds: vec![id] });
    }
    let (width, height) = (values.length("width"), values.length("height"));
    let mut asked = vec![("width", width), ("height", height)];
    if depth.is_positive() {
        asked.push(("depth", depth));
    }
    Some(Wanted { width, height, depth, asked, holds: Vec::new() })
}

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
