//! Strips to bind edges with.

use measure::{Length, Outline};

use super::{Drafter, NewPiece};
use crate::design::Role;
use crate::pattern::{Grain, StripJoin, StripPlace};

/// Cuts a binding strip, of that id and name, long enough for edges of this length, with a tenth to
/// spare for corners and ends (common practice, no source); four times the finished width (double
/// fold).
pub fn binding_strip(d: &mut Drafter<'_>, (id, name): (&str, &str), width: Length, edges: Length) {
    let inches = d.either(Length::INCH, Length::mm(10));
    let long = (edges + edges / 10).to_nm();
    let length = inches * ((long + inches.to_nm() - 1) / inches.to_nm());
    let none = Length::ZERO;
    let join = StripJoin {
        most: 40,
        allowance: d.either(Length::inch_frac(1, 4), Length::mm(6)),
        place: StripPlace::Anywhere,
    };
    let piece = d.piece(NewPiece {
        id,
        name,
        role: Role::Binding,
        net: Outline::rectangle(width * 4, length),
        edges: vec![("end", none), ("side", none), ("other end", none), ("other side", none)],
        grain: Grain::Crosswise,
        join: Some(join),
    });
    let strip = d.copy(piece, name);
    d.part(strip, (width * 4, length));
}
