//! Rolled handles: tubes of fabric round a filler cord.

use std::f64::consts::PI;

use measure::{Length, Outline, Rounding};

use super::Handles;
use crate::design::Role;
use crate::draft::strap::{
    APART, DROP, LENGTH, Legs, Wanted, attach, check_fit, refuse_short, strap_lengths, warn_on_drop,
};
use crate::draft::{Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::RollStrip;
use crate::pattern::{Chapter, Checkpoint, CopyId, Gauge, Grain, Notion, Reach, notion};

/// The kind.
pub(super) struct Rolled;
/// Its entry in the list.
pub(super) const KIND: Rolled = Rolled;

impl Kind for Rolled {
    fn name(&self) -> &'static str {
        "rolled"
    }
    fn title(&self) -> &'static str {
        "Rolled handles"
    }
    fn help(&self) -> &'static str {
        "A pair of round handles: tubes of fabric over a filler cord, flat at their ends, set into \
         the rim, or stitched on below one that does not stand. They sit well in the hand and on \
         the arm."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            DROP,
            LENGTH,
            length(
                "cord",
                "filler cord",
                "Thickness of the cord that fills the tube.",
                [Length::mm(5), Length::mm(25), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            APART,
        ];
        PARAMS
    }
}

/// How wide a strip is cut for a tube over a cord: once around it, with as much again as a turned
/// seam takes up, and two allowances (once around: π times the thickness; the rest common practice,
/// no source).
fn strip_width(d: &Drafter<'_>, cord: Length, allowance: Length) -> Length {
    let around = Length::from_mm_f64(cord.to_mm() * PI);
    let room = d.either(Length::inch_frac(1, 8), Length::mm(3));
    d.ruler().round(around + room + allowance * 2, Rounding::Up)
}

impl Handles for Rolled {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let cord = values.length("cord");
        let allowance = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let strip = strip_width(d, cord, allowance);
        let flat = (strip - allowance * 2).half();
        let faces: Vec<&Face> = outside.faces.iter().collect();
        let legs = Legs::at_rim_as_asked(d, values, flat, &faces);
        let (wanted, face) = (Wanted::of(values), faces[0]);
        if !check_fit(d, &legs, face) {
            return;
        }
        let Some(lengths) = strap_lengths(d, &legs, wanted, face) else {
            refuse_short(d, &legs, wanted, face);
            return;
        };
        d.settle("handles.length", lengths.cut);
        if lengths.cut <= strip * 2 {
            let message = format!(
                "a tube {} long and {} thick cannot be turned and filled",
                d.show(lengths.cut),
                d.show(cord)
            );
            d.refuse("handles.cord", message, "take a thinner cord or longer handles".to_owned());
            return;
        }
        let straps = self.cut(d, outside, (strip, allowance), lengths.beyond, lengths.cut);
        let empty = (lengths.cut - lengths.free).half() + d.either(Length::inch(1), Length::mm(25));
        let filler = lengths.cut - empty * 2;
        let roll = RollStrip {
            strips: straps.clone(),
            allowance,
            filling: "filler cord".to_owned(),
            flat: empty,
            stitch: d.stitch("seam"),
        };
        let check = Checkpoint::Measures {
            what: "each tube, lying flat,".to_owned(),
            gauge: Gauge(vec![Reach::Folded(straps[0], 1, 3, 2)]),
            how: "wide",
        };
        d.step_checked(Chapter::Handles, "roll-handles", roll, check);
        let filling = Notion::of(&notion::FILLER_CORD, straps.len()).thick(cord);
        d.notion(filling.long(filler.max(Length::MM)));
        attach(d, &legs, outside, &faces, &straps, lengths);
        warn_on_drop(d, lengths);
    }
}

impl Rolled {
    /// The strips; their stitching lines lie along the sides.
    fn cut(
        &self,
        d: &mut Drafter<'_>,
        outside: &Shell,
        (strip, allowance): (Length, Length),
        beyond: Length,
        cut: Length,
    ) -> Vec<CopyId> {
        let piece = d.piece(NewPiece {
            id: "handle",
            name: "handle",
            role: Role::Handle,
            net: Outline::rectangle(strip - allowance * 2, cut - beyond * 2),
            edges: vec![
                ("end", beyond),
                ("side", allowance),
                ("other end", beyond),
                ("other side", allowance),
            ],
            grain: Grain::Free,
            join: None,
        });
        outside.faces.iter().map(|face| d.copy(piece, &format!("{} handle", face.word))).collect()
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::{Chosen, Design};

    /// Once around a cord of 1/2 in is π/2 = 1.571 in; with 1/8 in of room and two allowances of
    /// 1/4 in a strip of 2 1/4 in (rounded up to the next 1/16 in).
    #[test]
    fn a_strip_goes_once_around_its_cord() {
        let mut design = Design::of(crate::bodies::ALL[0], Units::Inch);
        design.handles = Chosen::new(&KIND, design.system());
        let pattern = crate::draft(&design).pattern.expect("it can be made");
        let handle = pattern.pieces.iter().find(|piece| piece.id == "handle").expect("it is cut");
        assert_eq!(handle.cut_size().0, Length::inch_frac(9, 4));
    }
}
