//! Webbing handles with a padded grip wrapped round their middle.

use measure::{Length, Outline};

use super::Handles;
use crate::design::Role;
use crate::draft::fittings::{NAME, WEIGHT, WIDTH, handle_webbing, length_of};
use crate::draft::strap::{
    APART, DROP, FROM, LENGTH, Legs, STOP, Wanted, attach, check_fit, refuse_short, strap_lengths,
    warn_on_drop,
};
use crate::draft::{Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{Phrase, WrapGrip};
use crate::pattern::{Chapter, CopyId, Grain, Notion, notion};

/// The kind.
pub(super) struct Padded;
/// Its entry in the list.
pub(super) const KIND: Padded = Padded;

impl Kind for Padded {
    fn name(&self) -> &'static str {
        "padded"
    }
    fn title(&self) -> &'static str {
        "Webbing handles with a padded grip"
    }
    fn help(&self) -> &'static str {
        "A pair of webbing handles, each with a grip of fabric wrapped round wadding or foam where \
         the hand holds it: for heavy bags."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            FROM,
            DROP,
            LENGTH,
            WIDTH,
            APART,
            STOP,
            length(
                "grip",
                "grip length",
                "Finished length of the padded grip; a hand is about 4 in (10 cm) wide.",
                [Length::mm(60), Length::mm(300), Length::inch_frac(9, 2), Length::mm(120)],
            ),
            length(
                "padding",
                "padding",
                "Thickness of the wadding or foam, pressed lightly; it goes over both faces of the \
                 webbing.",
                [Length::mm(1), Length::mm(12), Length::inch_frac(1, 8), Length::mm(3)],
            ),
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

impl Handles for Padded {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let width = values.length("width");
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let (wanted, face) = (Wanted::of(values), faces[0]);
        let legs = Legs::of(d, values, width, &faces);
        if !check_fit(d, &legs, face) {
            return;
        }
        let Some(lengths) = strap_lengths(d, &legs, wanted, face) else {
            refuse_short(d, &legs, wanted, face);
            return;
        };
        d.settle("handles.length", lengths.cut);
        let grip = values.length("grip");
        let bare = d.either(Length::inch(1), Length::mm(25));
        if grip + bare * 2 > lengths.free {
            let message = format!(
                "a grip {} long leaves less than {} of webbing at its ends, on a handle {} long \
                 above the rim",
                d.show(grip),
                d.show(bare),
                d.show(lengths.free)
            );
            let most = (lengths.free - bare * 2).max(Length::ZERO);
            d.refuse("handles.grip", message, format!("make it {} or shorter", d.show(most)));
            return;
        }
        let material = handle_webbing(d, values);
        let (net, end) = (lengths.cut - lengths.beyond * 2, lengths.beyond);
        let piece = length_of(d, material, ("handle", "handle"), (width, net), [end; 2]);
        let straps: Vec<CopyId> = outside
            .faces
            .iter()
            .map(|face| d.copy(piece, &format!("{} handle", face.word)))
            .collect();
        self.wrap(d, values, outside, &straps);
        attach(d, &legs, outside, &faces, &straps, lengths);
        warn_on_drop(d, lengths);
    }
}

/// How wide a grip is cut: round the webbing and the padding on both of its faces, and a turn at
/// either long edge, so that one covers the other (derived).
pub(super) fn grip_width(webbing: Length, padding: Length, turn: Length) -> Length {
    (webbing + padding * 2) * 2 + turn * 2
}

impl Padded {
    fn wrap(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, straps: &[CopyId]) {
        let (width, grip) = (values.length("width"), values.length("grip"));
        let padding = values.length("padding");
        let turn = d.either(Length::inch_frac(1, 2), Length::mm(12));
        let around = d.snap(grip_width(width, padding, Length::ZERO));
        let piece = d.piece(NewPiece {
            id: "grip",
            name: "grip",
            role: Role::Handle,
            net: Outline::rectangle(around, grip),
            edges: vec![("end", turn), ("side", turn), ("other end", turn), ("other side", turn)],
            grain: Grain::Free,
            join: None,
        });
        let grips: Vec<CopyId> =
            outside.faces.iter().map(|face| d.copy(piece, &format!("{} grip", face.word))).collect();
        d.part(grips[0], (d.snap(grip_width(width, padding, turn)), grip + turn * 2));
        let how = Phrase::new("On each grip press ")
            .len(turn)
            .say(" of both ends and of one long edge to the wrong side. Cut padding ")
            .len(width)
            .say(" wide and ")
            .len(grip)
            .say(
                " long, one piece for each face of the webbing. Lay the middle of the handle with \
                 its padding on the wrong side of the grip, wrap the raw edge round it first and \
                 the pressed edge over it, and clip. Edgestitch along the pressed edge and across \
                 both ends",
            );
        let stitch = d.stitch("topstitch");
        d.step(
            Chapter::Handles,
            "wrap-grips",
            WrapGrip { grips, straps: straps.to_vec(), how, stitch },
        );
        let wadding = Notion::of(&notion::WADDING, straps.len() * 2).wide(width).long(grip);
        d.notion(wadding.thick(padding).serving("the grips"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Derived: webbing 1 in wide with 1/8 in of foam on both faces is 2 1/2 in round; with two
    /// turns of 1/2 in the grip is cut 3 1/2 in wide.
    #[test]
    fn a_grip_goes_round_webbing_and_padding() {
        let cut = grip_width(Length::inch(1), Length::inch_frac(1, 8), Length::inch_frac(1, 2));
        assert_eq!(cut, Length::inch_frac(7, 2));
    }
}
