//! Handles of cord through eyelets, knotted inside.

use measure::{Length, Rounding};

use super::Handles;
use crate::draft::fittings::{length_of, stands_within, webbing};
use crate::draft::patches::patches;
use crate::draft::strap::{APART, DROP, Hold, StrapLengths, apart, even_up, free_below, warn_on_drop};
use crate::draft::{Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, length};
use crate::operations::{FastenEnd, Fastening, Phrase, SetEyelets};
use crate::pattern::{Band, CopyId, HandleClaim, MarkShape, Notion, notion};

/// The kind.
pub(super) struct Eyelets;
/// Its entry in the list.
pub(super) const KIND: Eyelets = Eyelets;

/// Holes of eyelets as they are sold, in millimetres (common practice, no source).
const HOLES: [i64; 10] = [4, 5, 6, 8, 10, 12, 14, 17, 20, 25];

/// The smallest eyelet through which a cord goes easily: 1 mm wider than the cord.
fn hole_for(cord: Length) -> Option<Length> {
    HOLES.into_iter().map(Length::mm).find(|hole| *hole >= cord + Length::MM)
}

/// How far the flange of an eyelet reaches from the middle of its hole: not quite as far as the hole
/// is wide (common practice, no source).
fn flange(hole: Length) -> Length {
    hole * 9 / 10
}

/// What a knot takes of a cord, with the end that stays beyond it: an overhand knot about ten times
/// its thickness, and an end as long as a thumb is wide (common practice, no source).
fn knot(d: &Drafter<'_>, cord: Length) -> Length {
    let end = d.either(Length::inch(1), Length::mm(25));
    d.ruler().round(cord * 10 + end, Rounding::Up)
}

impl Kind for Eyelets {
    fn name(&self) -> &'static str {
        "eyelets"
    }
    fn title(&self) -> &'static str {
        "Cord handles through eyelets"
    }
    fn help(&self) -> &'static str {
        "A pair of cord or rope handles that run through eyelets below the rim and are knotted \
         inside. The eyelets are set when the bag is finished, through every layer."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            DROP,
            APART,
            length(
                "cord",
                "cord",
                "Thickness of the cord; the eyelet is chosen for it.",
                [Length::mm(3), Length::mm(20), Length::inch_frac(3, 8), Length::mm(10)],
            ),
            length(
                "below",
                "below the rim",
                "From the rim down to the middle of the eyelets; lower where a casing, a roll or a cuff \
                 comes below that.",
                [Length::mm(10), Length::mm(120), Length::inch_frac(3, 2), Length::mm(40)],
            ),
            Param {
                key: "name",
                label: "name",
                help: "What you call this cord on the shopping list.",
                quantity: Quantity::Text { default: "cord" },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Handles for Eyelets {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let cord = values.length("cord");
        let Some(hole) = hole_for(cord) else {
            let message = format!("no eyelet is sold for a cord {} thick", d.show(cord));
            d.refuse("handles.cord", message, "take a thinner cord".to_owned());
            return;
        };
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let free = free_below(d, &faces);
        let covered = !d.rim_stands || d.rim_covered;
        let below = if free.is_positive() && covered {
            values.length("below").max(d.snap_up(free + flange(hole)))
        } else {
            values.length("below")
        };
        let wide = flange(hole) * 2;
        let half = apart(d, values, Hold::Rim, wide, &faces).half();
        let at: Vec<(usize, Length)> =
            (0..outside.faces.len()).flat_map(|face| [(face, -half), (face, half)]).collect();
        if !stands_within(d, outside, ("handles.apart", "an eyelet"), &at, wide)
            || !clear(d, outside, (half, below), flange(hole))
        {
            return;
        }
        let ends = knot(d, cord);
        let (drop, leg) = (values.length("drop").to_mm(), half.to_mm());
        let wanted = Length::from_mm_f64(2.0 * libm::hypot(drop, leg));
        // From the top of the closed bag, which may be rolled down.
        let inside = below - faces[0].rolled;
        let cut = even_up(d, wanted + (inside + ends) * 2);
        let free = cut - (inside + ends) * 2;
        let taut = (free.half().to_mm() * free.half().to_mm() - leg * leg).max(0.0).sqrt();
        let drop = Length::from_mm_f64(taut);
        let name = match values.text("name") {
            "" => "cord",
            name => name,
        };
        let material = webbing(d, "cord", name, (Band::Cord, cord), "handles");
        let names = ("handle", "cord handle");
        let piece = length_of(d, material, names, (cord, cut), [Length::ZERO; 2]);
        if d.rim_stands && below == values.length("below") {
            patches(d, outside, &at, wide);
        } else {
            d.notion(Notion::of(&notion::SCRAP, outside.faces.len() * 2).serving("the eyelets"));
        }
        let straps: Vec<CopyId> = outside
            .faces
            .iter()
            .map(|face| d.copy(piece, &format!("{} handle", face.word)))
            .collect();
        for (face, strap) in outside.faces.iter().zip(&straps) {
            let feet =
                [-half, half].map(|x| face.on(face.copies.len() - 1, x, face.top_in_use()).1);
            d.claims.handles.push(HandleClaim {
                free,
                drop,
                added: -(inside * 2),
                ..HandleClaim::plain(format!("{} handle", face.word), *strap, face.top(), feet, cord)
            });
        }
        self.set(d, outside, &straps, (half, below), (hole, ends));
        warn_on_drop(d, StrapLengths { cut, beyond: Length::ZERO, free, drop });
    }
}

/// Refuses eyelets that hang over the rim, or go through a pocket, which they would sew shut.
fn clear(
    d: &mut Drafter<'_>,
    outside: &Shell,
    (half, below): (Length, Length),
    flange: Length,
) -> bool {
    let room = d.either(Length::inch_frac(1, 8), Length::mm(3));
    let face = &outside.faces[0];
    if below < flange + room {
        let least = d.show(flange + room);
        let message = format!(
            "an eyelet whose middle is {} below the rim hangs over it: its flange reaches {}",
            d.show(below),
            d.show(flange)
        );
        d.refuse("handles.below", message, format!("set it at least {least} below the rim"));
        return false;
    }
    if half < flange {
        let message = format!("eyelets {} apart lie on each other", d.show(half * 2));
        d.refuse("handles.apart", message, format!("set them {} apart or more", d.show(flange * 2)));
        return false;
    }
    let lowest = below + flange;
    let narrow = face.width_at((face.height - lowest).max(Length::ZERO)).half();
    if lowest >= face.height - d.base_rise || half + flange > narrow {
        let message = format!("eyelets {} below the rim lie beside the panel", d.show(below));
        d.refuse("handles.below", message, "set them nearer to the rim or each other".to_owned());
        return false;
    }
    for face in &outside.faces {
        for x in [-half, half] {
            if let Some(pocket) = d.pocket_at(face, (x, face.height - below), flange) {
                let message = format!("the eyelets go through the {pocket}, and close it");
                let cure = "set them higher or farther apart, or make the pocket less high";
                d.refuse("handles.below", message, cure.to_owned());
                return false;
            }
        }
    }
    true
}

impl Eyelets {
    fn set(
        &self,
        d: &mut Drafter<'_>,
        outside: &Shell,
        straps: &[CopyId],
        (half, below): (Length, Length),
        (hole, knot): (Length, Length),
    ) {
        let spot = |face: &Face, x| face.at(x, face.height - below);
        let at: Vec<_> = outside
            .faces
            .iter()
            .flat_map(|face| [spot(face, -half), spot(face, half)])
            .collect();
        for (copy, point) in &at {
            d.mark_copy(*copy, "eyelet", MarkShape::Dot(*point));
        }
        let how = Phrase::new("of the finished bag at the marks, the middle of each ")
            .len(below)
            .say(" below the rim and ")
            .len(half)
            .say(" from the centre line");
        let what = format!("{} eyelets", at.len());
        d.notion(Notion::of(&notion::EYELET, at.len()).wide(hole));
        d.finally("set-eyelets", SetEyelets { what, at, hole, how });
        let fasten = FastenEnd {
            ends: straps.iter().flat_map(|strap| [(*strap, 0), (*strap, 2)]).collect(),
            through: "the two eyelets of its side from the right side".to_owned(),
            by: Fastening::Knotted(knot),
            stitch: d.stitch("seam"),
        };
        d.finally("knot-handles", fasten);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: the hole is the next size above the cord.
    #[test]
    fn the_eyelet_follows_the_cord() {
        assert_eq!(hole_for(Length::mm(10)), Some(Length::mm(12)));
        assert_eq!(hole_for(Length::inch_frac(3, 8)), Some(Length::mm(12)));
        assert_eq!(hole_for(Length::mm(20)), Some(Length::mm(25)));
    }
}
