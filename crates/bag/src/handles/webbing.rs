//! Handles of webbing.

use measure::{Length, Outline};

use super::Handles;
use crate::design::Role;
use crate::draft::fittings::{NAME, WEIGHT, WIDTH, handle_webbing};
use crate::draft::strap::{
    APART, DROP, FROM, LENGTH, Legs, STOP, Wanted, attach, check_fit, refuse_short, strap_lengths,
    warn_on_drop,
};
use crate::draft::{Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values};
use crate::pattern::{CopyId, Grain};

/// The kind.
pub(super) struct Webbing;
/// Its entry in the list.
pub(super) const KIND: Webbing = Webbing;

impl Kind for Webbing {
    fn name(&self) -> &'static str {
        "webbing"
    }
    fn title(&self) -> &'static str {
        "Webbing handles"
    }
    fn help(&self) -> &'static str {
        "A pair of handles cut from webbing: strong, and nothing to fold."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            FROM,
            DROP,
            LENGTH,
            WIDTH,
            APART,
            STOP,
            NAME,
            WEIGHT,
        ];
        PARAMS
    }
}

impl Handles for Webbing {
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
        let material = handle_webbing(d, values);
        let (none, end) = (Length::ZERO, lengths.beyond);
        let new = NewPiece {
            id: "handle",
            name: "handle",
            role: Role::Handle,
            net: Outline::rectangle(width, lengths.cut - lengths.beyond * 2),
            edges: vec![("end", end), ("side", none), ("other end", end), ("other side", none)],
            grain: Grain::Lengthwise,
            join: None,
        };
        let piece = d.piece_of_material(new, material);
        let straps: Vec<CopyId> = outside
            .faces
            .iter()
            .map(|face| d.copy(piece, &format!("{} handle", face.word)))
            .collect();
        attach(d, &legs, outside, &faces, &straps, lengths);
        warn_on_drop(d, lengths);
    }
}
