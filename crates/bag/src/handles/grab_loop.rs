//! A grab loop: one short loop at the middle of the back.

use measure::Length;

use super::Handles;
use crate::draft::fittings::{CARRIES, NAME, WEIGHT, WIDTH, carried, handle_webbing, length_of};
use crate::draft::patches::patches;
use crate::draft::strap::{
    Hold, Legs, Wanted, attach, check_fit, refuse_short, strap_lengths,
};
use crate::draft::{Drafter, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};

/// The kind.
pub(super) struct GrabLoop;
/// Its entry in the list.
pub(super) const KIND: GrabLoop = GrabLoop;

impl Kind for GrabLoop {
    fn name(&self) -> &'static str {
        "grab-loop"
    }
    fn title(&self) -> &'static str {
        "Grab loop"
    }
    fn help(&self) -> &'static str {
        "One short loop of webbing in the middle of the rim, to pick the bag up or hang it on a \
         hook; stitched on below a rim that is gathered, rolled, folded or turned down."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice("on", "on", "Which rim it stands on.", &[("back", "the back"), ("front", "the front")]),
            length(
                "drop",
                "drop",
                "From the rim to the top of the loop pulled taut; 2 1/2 in (6 cm) lets four \
                 fingers through.",
                [Length::mm(25), Length::mm(200), Length::inch_frac(5, 2), Length::mm(65)],
            ),
            length(
                "apart",
                "ends apart",
                "From the middle of one end to the middle of the other.",
                [Length::mm(20), Length::mm(200), Length::inch(4), Length::mm(100)],
            ),
            WIDTH,
            CARRIES,
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

impl Handles for GrabLoop {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let (width, apart) = (values.length("width"), values.length("apart"));
        let on = values.choice("on");
        let index = outside.faces.iter().position(|face| face.word == on).unwrap_or(0);
        let face = &outside.faces[index];
        let legs = Legs::at_rim(d, "grab loop", apart, width, &[face]);
        let wanted = Wanted { length: None, drop: values.length("drop") };
        if !check_fit(d, &legs, face) {
            return;
        }
        let Some(lengths) = strap_lengths(d, &legs, wanted, face) else {
            refuse_short(d, &legs, wanted, face);
            return;
        };
        let material = handle_webbing(d, values);
        let (net, end) = (lengths.cut - lengths.beyond * 2, lengths.beyond);
        let piece = length_of(d, material, ("grab-loop", "grab loop"), (width, net), [end; 2]);
        let strap = d.copy(piece, "grab loop");
        if carried(values) >= 10 && legs.hold == Hold::Rim {
            let half = apart.half();
            patches(d, outside, &[(index, -half), (index, half)], width);
        }
        attach(d, &legs, outside, &[face], &[strap], lengths);
        if let Some(claim) = d.claims.handles.last_mut() {
            claim.carries = carried(values);
        }
    }
}
