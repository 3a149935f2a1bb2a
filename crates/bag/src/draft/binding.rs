//! Strips to bind edges with, straight or on the bias.

use measure::{Length, Outline};

use super::{BiasStrip, Drafter, NewPiece};
use crate::design::Role;
use crate::operations::{FinishEdges, strip_seam};
use crate::pattern::{Grain, Run, Step, StripJoin, StripPlace};

/// How long a strip is that binds edges of this length: a tenth to spare for corners and ends (common
/// practice, no source).
fn strip_length(d: &Drafter<'_>, edges: Length) -> Length {
    let inches = d.either(Length::INCH, Length::mm(10));
    let long = (edges + edges / 10).to_nm();
    inches * ((long + inches.to_nm() - 1) / inches.to_nm())
}

/// Cuts the strip, of id `binding`, that the steps so far bind seams of this length with: on the bias
/// if one of them is curved, as a strip on the straight grain does not lie flat round it (common
/// practice, no source).
pub fn seam_binding(d: &mut Drafter<'_>, width: Length, edges: Length) {
    let curved = |run: &Run| {
        run.spans.iter().any(|span| {
            let net = &d.piece_of(span.copy).net;
            span.edge < net.edge_count() && !net.edge(span.edge).is_straight()
        })
    };
    let bends = |step: &Step| {
        let finish = step.as_a::<FinishEdges>();
        finish.is_some_and(|it| it.bound_with.is_some() && it.runs.iter().any(curved))
    };
    if d.steps().iter().any(bends) {
        let long = strip_length(d, edges);
        d.cut_bias(BiasStrip { id: "binding", serves: "binding", wide: width * 4, long });
    } else {
        binding_strip(d, ("binding", "binding strip"), width, edges);
    }
}

/// Cuts a straight binding strip, of that id and name, long enough for edges of this length; four
/// times the finished width (double fold).
pub fn binding_strip(d: &mut Drafter<'_>, (id, name): (&str, &str), width: Length, edges: Length) {
    let length = strip_length(d, edges);
    let none = Length::ZERO;
    let join = StripJoin { most: 40, allowance: strip_seam(d.system), place: StripPlace::Anywhere };
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
