//! A patch pocket divided for what goes in.

use measure::{Length, Point, find_fit, parse_length};

use super::kit::{
    BELOW, Ground, INSIDE, Keys, ON, Spot, needs_its_place, refuse, settle, usual_below,
};
use super::patch::{layers, topstitch_top};
use super::pouch::{Pouch, the};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::draft::{Ability, Drafter, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, length, optional};
use crate::operations::{Attach, Phrase};
use crate::pattern::{CopyId, MarkShape};

/// The kind.
pub(super) struct Organiser;
/// Its entry in the list.
pub(super) const KIND: Organiser = Organiser;

impl Kind for Organiser {
    fn name(&self) -> &'static str {
        "organiser"
    }
    fn title(&self) -> &'static str {
        "Divided organiser"
    }
    fn help(&self) -> &'static str {
        "A self-lined patch in a row of compartments: say how wide each is, or what goes in, and \
         the widths are worked out."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            INSIDE,
            ON,
            Param {
                key: "row",
                label: "compartments",
                help: "From left to right, with commas between: a width, or what goes in: `phone`, \
                       `pen`, `pens`, `book`, `keys`, `glasses`, `scissors`, `bottle`, or a thing \
                       of the list of things. \"phone, pens, 4 in\".",
                quantity: Quantity::Text { default: "phone, pens, book" },
                grows: None,
            },
            optional(
                "height",
                "height",
                "Finished height; taller things stand out at the top. Left out, what is usual, or as \
                 high as the panel allows.",
                [Length::mm(50), Length::mm(800)],
            ).along(),
            BELOW,
            length(
                "ease",
                "ease",
                "Added to each compartment that is worked out, so that things go in and out.",
                [Length::ZERO, Length::mm(40), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "opening",
                "opening for turning",
                "Left in the lower edge.",
                [Length::mm(40), Length::mm(300), Length::inch(3), Length::mm(80)],
            ),
        ];
        PARAMS
    }
}

/// Width and thickness of small things, in mm: common sizes, from memory, no standard. Pens are
/// three pens side by side.
const SMALL: &[(&str, [i64; 2])] = &[
    ("phone", [80, 12]),
    ("pen", [14, 14]),
    ("pens", [42, 14]),
    ("keys", [60, 20]),
    ("glasses", [75, 45]),
    ("scissors", [80, 12]),
];

/// Names of things that have a longer one in the list of things that fit.
const ALSO: &[(&str, &str)] = &[("book", "a6-book"), ("bottle", "bottle-half-litre")];

/// Width and thickness of a thing by its word.
fn thing(word: &str) -> Option<(Length, Length)> {
    if let Some((_, [wide, thick])) = SMALL.iter().find(|(name, _)| *name == word) {
        return Some((Length::mm(*wide), Length::mm(*thick)));
    }
    let id = ALSO.iter().find(|(name, _)| *name == word).map_or(word, |(_, id)| id);
    find_fit(id).map(|fit| (fit.width, fit.thickness))
}

/// How wide a flat pocket is sewn for a thing: both of its layers go round it, so twice the width
/// is the way round the thing (derived). A round bottle of diameter D takes π·D round, a box twice
/// its width and thickness.
fn wide_for((wide, thick): (Length, Length)) -> Length {
    if wide == thick {
        Length::from_mm_f64(wide.to_mm() * std::f64::consts::FRAC_PI_2)
    } else {
        wide + thick
    }
}

/// The most compartments in one row.
const MOST: usize = 12;

/// The widths of the row, from left to right; what is wrong with it is refused.
fn row(d: &mut Drafter<'_>, values: &Values, index: usize) -> Option<Vec<Length>> {
    let text = values.text("row").to_owned();
    let words: Vec<&str> = text.split(',').map(str::trim).filter(|w| !w.is_empty()).collect();
    if words.is_empty() || words.len() > MOST {
        let message = format!("a row of {} compartments cannot be made", words.len());
        let cure = format!("name from 1 to {MOST}, with commas between: `phone, pens, 4 in`");
        refuse(d, index, "row", message, cure);
        return None;
    }
    let least = d.either(Length::inch_frac(1, 2), Length::mm(12));
    let mut widths = Vec::new();
    for word in words {
        let given = parse_length(word, d.design.units).ok();
        let worked_out = thing(word).map(|thing| d.snap_up(wide_for(thing) + values.length("ease")));
        let Some(width) = worked_out.or(given) else {
            let known: Vec<&str> =
                SMALL.iter().chain([]).map(|it| it.0).chain(ALSO.iter().map(|it| it.0)).collect();
            let message = format!("`{word}` is neither a width nor a thing whose size is known");
            let cure = format!("write a width such as `4 in`, or one of {}", known.join(", "));
            refuse(d, index, "row", message, cure);
            return None;
        };
        if width < least || width > Length::mm(1_000) {
            let message = format!("a compartment {} wide cannot be used", d.show(width));
            let cure = format!("make each {} wide or wider", d.show(least));
            refuse(d, index, "row", message, cure);
            return None;
        }
        widths.push(width);
    }
    Some(widths)
}

impl Pocket for Organiser {
    fn is_inside(&self, values: &Values) -> bool {
        values.choice("side") == "inside"
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        needs_its_place(values)
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let ground = Ground::of(values, self.is_inside(values), outside, inside);
        let Some(widths) = row(d, values, index) else { return };
        let width: Length = widths.iter().copied().sum();
        let usual = Spot {
            width,
            height: d.either(Length::inch(6), Length::mm(150)),
            below: usual_below(d),
        };
        let asked = [Some(width), values.optional("height"), values.optional("below")];
        let spot = Spot::fitted(d, &ground, asked, usual);
        let height = spot.height;
        settle(d, index, [("height", height), ("below", spot.below)]);
        if !spot.fits(d, &ground, index, Keys { width: "row", height: "height" }) {
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("organiser", ordinal);
        let name = numbered_name("organiser", ordinal);
        let pouch = Pouch {
            stem: &stem,
            name: &name,
            size: (width, height),
            radius: None,
            opening: values.length("opening"),
            opens_above: false,
        };
        let layers = layers(d, &ground, &pouch);
        let sewn = pouch.sew(d, &layers);
        let fronts: Vec<CopyId> = layers.iter().map(|layers| layers.front).collect();
        let mut at = Length::ZERO;
        let mut cuts = Vec::new();
        for width in &widths[..widths.len() - 1] {
            at += *width;
            cuts.push(at);
            let line = MarkShape::Stitching(Point::new(at, Length::ZERO), Point::new(at, height));
            d.mark_copy(fronts[0], "division", line);
        }
        topstitch_top(d, &stem, &name, &layers);
        spot.place(d, &ground, (&stem, &name), &fronts, (Attach::Pin, None));
        spot.stitch(d, &ground, (&stem, &name), &fronts, Some(sewn));
        spot.divide(d, &ground, &stem, &fronts, (&cuts, told(&the(&name, fronts.len()), &widths)));
        spot.claim(d, &ground, &name, &fronts, (width, widths));
    }
}

/// "Stitch the divisions … so that compartments of 4 in, 2 in and 5 in result."
fn told(which: &str, widths: &[Length]) -> Phrase {
    let mut how = Phrase::new(format!(
        "Stitch the divisions of {which} from the lower edge to the top, so that from left to \
         right compartments "
    ));
    for (number, width) in widths.iter().enumerate() {
        let between = match number {
            0 => "",
            n if n + 1 == widths.len() => " and ",
            _ => ", ",
        };
        how = how.say(between).len(*width);
    }
    how.say(" wide result.")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Derived: a flat pocket goes round a thing with both layers, so twice its width is the way
    /// round. A bottle 70 mm across is 219.9 mm round; an A6 book, 105 × 148 mm by ISO 216 and
    /// 12 mm thick, 234 mm.
    #[test]
    fn compartments_go_round_what_goes_in() {
        let wide = |word: &str| thing(word).map(wide_for).map(Length::to_mm);
        assert!((wide("bottle").expect("known") - 219.911 / 2.0).abs() < 0.001);
        assert_eq!(wide("book"), Some(117.0));
        assert_eq!(wide("pens"), Some(56.0));
        assert_eq!(wide("elephant"), None);
    }
}
