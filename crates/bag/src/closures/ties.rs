//! Pairs of ties at the rim.

use measure::Length;

use super::Closure;
use super::shared::{front_and_back, half_at, rectangle};
use crate::draft::fittings::{length_of, stands_within, webbing};
use crate::draft::rim_set::{RimSet, RimWords, set};
use crate::draft::strap::{Hold, behind, box_height, rim_or_panel};
use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, length};
use crate::operations::{FaceSide, FastenEnd, Fastening};
use crate::pattern::{Band, Chapter, ClosureClaim};

/// The kind.
pub(super) struct Ties;
/// Its entry in the list.
pub(super) const KIND: Ties = Ties;

impl Kind for Ties {
    fn name(&self) -> &'static str {
        "ties"
    }
    fn title(&self) -> &'static str {
        "Ties"
    }
    fn help(&self) -> &'static str {
        "Pairs of ribbons or tapes in the rims of front and back, tied in bows. Not for the bag of a \
         small child."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            Param {
                key: "pairs",
                label: "pairs",
                help: "How many pairs.",
                quantity: Quantity::Count { least: 1, most: 5, default: 1 },
                grows: None,
            },
            length(
                "length",
                "length of a tie",
                "From the rim to its end; 10 in (25 cm) makes a small bow.",
                [Length::mm(100), Length::mm(600), Length::inch(10), Length::mm(250)],
            ),
            length(
                "width",
                "tape width",
                "Width of the tape or ribbon.",
                [Length::mm(5), Length::mm(40), Length::inch_frac(5, 8), Length::mm(15)],
            ),
        ];
        PARAMS
    }
}

impl Closure for Ties {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::OpenFront]
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, _: Option<&Shell>) {
        let (pairs, width) = (i64::from(values.count("pairs")), values.length("width"));
        let Some([front, back]) = front_and_back(outside) else { return };
        let top = front.top_width.min(back.top_width);
        // Each pair in the middle of its share of the rim.
        let places: Vec<Length> =
            (0..pairs).map(|n| d.snap(top * (2 * n + 1 - pairs) / (pairs * 2))).collect();
        let last = outside.faces.len() - 1;
        let at: Vec<(usize, Length)> =
            places.iter().flat_map(|x| [(0, *x), (last, -*x)]).collect();
        if !stands_within(d, outside, ("closure.pairs", "a tie"), &at, width)
            || !self.clear(d, outside, &at, (width, top / pairs))
        {
            return;
        }
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let hold =
            if d.rim_under_flap { Hold::Rim } else { rim_or_panel(d, width, &faces) };
        if let Hold::Panel([_, end]) = hold
            && !self.clear_below(d, &at, (width, end), outside)
        {
            return;
        }
        let (behind, in_seam) = behind(d, hold, width);
        let turn = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let free = values.length("length") + turn * 2;
        let (net, end) = if in_seam { (free, behind) } else { (free + behind, Length::ZERO) };
        let material = webbing(d, "tape", "tape or ribbon", (Band::Tape, width), "ties");
        let piece = length_of(d, material, ("tie", "tie"), (width, net), [end, Length::ZERO]);
        let items: Vec<RimSet> = at
            .iter()
            .enumerate()
            .map(|(index, (face, x))| {
                let number = if pairs > 1 { format!(" {}", index / 2 + 1) } else { String::new() };
                let what = d.copy(piece, &format!("{} tie{number}", outside.faces[*face].word));
                RimSet { what, face: *face, ends: vec![(0, *x, FaceSide::Right)], width }
            })
            .collect();
        if let Some(first) = items.first() {
            d.part(first.what, (width, values.length("length") + behind));
        }
        let hem = FastenEnd {
            ends: items.iter().map(|item| (item.what, 2)).collect(),
            through: "to its wrong side".to_owned(),
            by: Fastening::Hemmed(turn),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Panels, "hem-ties", hem);
        let words = RimWords {
            id: "place-ties",
            what: "each tie",
            mark: "tie",
            lies: "its long end hanging down",
            mind: "long ties are a strangling hazard for small children: keep them short, and check \
                   the rules where you live before you give or sell the bag for a child.",
        };
        set(d, outside, &items, (hold, words));
        let meets = places
            .iter()
            .map(|x| [half_at(d, front, (*x, Length::ZERO)), half_at(d, back, (-*x, Length::ZERO))])
            .collect();
        let shows = places
            .iter()
            .zip(items.chunks(2))
            .map(|(x, pair)| {
                let size = (width, values.length("length").min(front.height / 2));
                rectangle(front, Some(pair[0].what), (*x, Length::ZERO), size)
            })
            .collect();
        let name = if pairs > 1 { format!("{pairs} pairs of ties") } else { "ties".to_owned() };
        d.claims.closures.push(ClosureClaim { name, meets, shows });
    }
}

impl Ties {
    /// Refuses ties that would be stitched on through a pocket, or beside the base.
    fn clear_below(
        &self,
        d: &mut Drafter<'_>,
        at: &[(usize, Length)],
        (width, end): (Length, Length),
        outside: &Shell,
    ) -> bool {
        for (face, x) in at {
            let face = &outside.faces[*face];
            let low = face.height - end;
            if low < d.base_rise.max(face.corner) {
                let message = format!("ties stitched on {} below the rim reach under the bag", d.show(end));
                d.refuse("closure.kind", message, "make the bag higher".to_owned());
                return false;
            }
            let middle = low + box_height(d, width).half();
            if let Some(pocket) = d.taken_at(face, (*x, middle), width.half()) {
                let message = format!("a tie would be stitched on through the {pocket}");
                let cure = "choose another number of pairs, or make the pocket less high";
                d.refuse("closure.pairs", message, cure.to_owned());
                return false;
            }
        }
        true
    }

    /// Refuses ties that lie on each other or on the ends of handles.
    fn clear(
        &self,
        d: &mut Drafter<'_>,
        outside: &Shell,
        at: &[(usize, Length)],
        (width, share): (Length, Length),
    ) -> bool {
        if share < width {
            let message = format!("pairs of ties {} apart and {} wide lie on each other", d.show(share), d.show(width));
            d.refuse("closure.pairs", message, "choose fewer pairs or narrower tape".to_owned());
            return false;
        }
        for (face, x) in at {
            if let Some(handle) = d.handle_at_rim(&outside.faces[*face], (*x, Length::ZERO), width.half()) {
                let message = format!("the {handle} stands where a tie is set into the rim");
                let cure = "choose another number of pairs, or set the handles elsewhere";
                d.refuse("closure.pairs", message, cure.to_owned());
                return false;
            }
        }
        true
    }
}
