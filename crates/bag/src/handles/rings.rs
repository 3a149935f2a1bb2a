//! Handles between rings, which hang in tabs at the rim.

use measure::{Length, Rounding};

use super::Handles;
use crate::draft::fittings::{
    CARRIES, HARDWARE, NAME, WEIGHT, RingTabs, WIDTH, carried, end_fold, handle_webbing, hardware_goes,
    length_of, ring_height, ring_tabs, stands_within,
};
use crate::draft::strap::{
    APART, DROP, Hold, Legs, StrapLengths, apart, check_fit, even_up, rim_or_panel, warn_on_drop,
};
use crate::draft::{Drafter, Face, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{FastenEnd, Fastening};
use crate::pattern::{Chapter, HandleClaim, Notion, notion};

/// The kind.
pub(super) struct Rings;
/// Its entry in the list.
pub(super) const KIND: Rings = Rings;

impl Kind for Rings {
    fn name(&self) -> &'static str {
        "rings"
    }
    fn title(&self) -> &'static str {
        "Handles in rings"
    }
    fn help(&self) -> &'static str {
        "A pair of webbing handles whose ends are folded round rings; each ring hangs in a short \
         tab at the rim, or on the panel below a rim that does not stand, so that the handles fall to the side and can be renewed."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            DROP,
            WIDTH,
            APART,
            length(
                "stands",
                "tab stands",
                "How far a tab with its ring stands above the rim, without the ring.",
                [Length::mm(12), Length::mm(80), Length::inch(1), Length::mm(25)],
            ),
            HARDWARE,
            CARRIES,
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

impl Handles for Rings {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let width = values.length("width");
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let hold = rim_or_panel(d, width, &faces);
        let apart = apart(d, values, hold, width, &faces);
        let hardware = values.optional("hardware").unwrap_or(width);
        let half = apart.half();
        let at: Vec<(usize, Length)> =
            (0..outside.faces.len()).flat_map(|face| [(face, -half), (face, half)]).collect();
        if !hardware_goes(d, "handles.hardware", hardware, width)
            || !stands_within(d, outside, ("handles.apart", "a tab"), &at, width)
            || !legs_apart(d, apart, width)
        {
            return;
        }
        let rolled = faces[0].rolled;
        let lies = match hold {
            Hold::Panel(lies) => Some(lies.map(|it| it - rolled)),
            _ => None,
        };
        let legs = Legs { word: "ring tab", hold, apart, width };
        if lies.is_some() && !faces.iter().all(|face| check_fit(d, &legs, face)) {
            return;
        }
        // From ring to ring hangs the strap; a tab and its ring at either end come to it, from
        // where the tab comes free.
        let free_at = lies.map_or(Length::ZERO, |[stop, _]| stop);
        let added = (values.length("stands") + ring_height(d, hardware) - free_at) * 2;
        let fold = end_fold(d);
        let Some(lengths) = lengths(d, values, (apart, added), (fold.turn + fold.back) * 2) else { return };
        let material = handle_webbing(d, values);
        let names = ("handle", "handle");
        let piece = length_of(d, material, names, (width, lengths.cut), [Length::ZERO; 2]);
        let over = format!("a ring for webbing {} wide", d.show(hardware));
        let tabs = RingTabs {
            material,
            width,
            stands: values.length("stands"),
            over: &over,
            at: &at,
            patched: carried(values) >= 10,
            hold,
        };
        let tabs = ring_tabs(d, outside, tabs);
        let mut ends = Vec::new();
        for (index, face) in outside.faces.iter().enumerate() {
            let strap = d.copy(piece, &format!("{} handle", face.word));
            ends.extend([(strap, 0), (strap, 2)]);
            let feet = [-half, half]
                .map(|x| face.on(face.copies.len() - 1, x, face.top_in_use()).1);
            let name = format!("{} handle", face.word);
            d.claims.handles.push(HandleClaim {
                free: lengths.free,
                drop: lengths.drop,
                fastened: tabs[index * 2..index * 2 + 2].to_vec(),
                added,
                lies,
                carries: carried(values),
                ..HandleClaim::plain(name, strap, face.top(), feet, width)
            });
        }
        let fasten = FastenEnd {
            ends,
            through: "the rings of its two tabs, one end through each".to_owned(),
            by: Fastening::Folded(fold),
            stitch: d.stitch("seam"),
        };
        d.step(Chapter::Handles, "fasten-handles", fasten);
        d.notion(Notion::of(&notion::RING, at.len()).wide(hardware));
        warn_on_drop(d, lengths);
    }
}

/// Refuses legs that lie on each other.
fn legs_apart(d: &mut Drafter<'_>, apart: Length, width: Length) -> bool {
    if apart < width {
        let message =
            format!("tabs {} apart and {} wide lie on each other", d.show(apart), d.show(width));
        d.refuse("handles.apart", message, format!("set them at least {} apart", d.show(width)));
    }
    apart >= width
}

/// The lengths of a strap that hangs between rings: the loop, taut to a point, drops
/// √((free/2)² − (a/2)²) (Pythagoras).
fn lengths(
    d: &mut Drafter<'_>,
    values: &Values,
    (apart, added): (Length, Length),
    ends: Length,
) -> Option<StrapLengths> {
    let (drop, half) = (values.length("drop"), apart.half());
    let wanted = Length::from_mm_f64(2.0 * libm::hypot(drop.to_mm(), half.to_mm()));
    let least = d.either(Length::inch(4), Length::mm(100));
    if wanted < added + least {
        let message = format!(
            "a drop of {} leaves less than {} of handle between rings that stand {} above the rim",
            d.show(drop),
            d.show(least),
            d.show(added.half())
        );
        let cure = "ask for a longer drop or shorter tabs, or set the handles into the rim";
        d.refuse("handles.drop", message, cure.to_owned());
        return None;
    }
    let cut = even_up(d, d.ruler().round(wanted - added + ends, Rounding::Up));
    let free = cut - ends + added;
    let leg = free.half().to_mm();
    let drop = (leg * leg - half.to_mm() * half.to_mm()).max(0.0).sqrt();
    Some(StrapLengths { cut, beyond: Length::ZERO, free, drop: Length::from_mm_f64(drop) })
}
