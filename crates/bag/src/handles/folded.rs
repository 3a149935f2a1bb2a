//! Handles folded from a strip of fabric: four layers, edgestitched.

use measure::{Length, Outline};

use super::Handles;
use crate::design::Role;
use crate::draft::strap::{
    APART, DROP, FROM, LENGTH, Legs, STOP, Wanted, attach, check_fit, refuse_short, strap_lengths,
    warn_on_drop,
};
use crate::draft::{Drafter, Face, NewPiece, Shell};
use crate::finding::{Finding, Place};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length};
use crate::operations::{FoldStrip, JoinStrips};
use crate::pattern::{
    Chapter, Checkpoint, CopyId, Gauge, Grain, MarkShape, Reach, StripJoin, StripPlace,
};

/// The kind.
pub(super) struct Folded;
/// Its entry in the list.
pub(super) const KIND: Folded = Folded;

impl Kind for Folded {
    fn name(&self) -> &'static str {
        "folded"
    }
    fn title(&self) -> &'static str {
        "Folded fabric handles"
    }
    fn help(&self) -> &'static str {
        "A pair of handles folded from strips of fabric into four layers and edgestitched on both \
         sides. Strips longer than the fabric is wide are joined."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            FROM,
            DROP,
            LENGTH,
            length(
                "strip",
                "strip width",
                "Width to cut the strips; the handle finishes a quarter of it.",
                [Length::mm(40), Length::mm(320), Length::inch_frac(9, 2), Length::mm(100)],
            ),
            APART,
            STOP,
            choice(
                "runs",
                "strips run",
                "How the strips lie on the fabric.",
                &[
                    ("across", "from selvedge to selvedge"),
                    ("along", "along the length of the fabric, which stretches least"),
                    ("either", "whichever way less is bought"),
                ],
            ),
            choice(
                "join",
                "join lies",
                "Where strips that are too short for the fabric's width are joined.",
                &[
                    ("hidden", "in the part that is stitched down, where it does not show"),
                    ("centre", "in the middle of the handle, where a hand covers it"),
                    ("anywhere", "wherever it falls, which takes the fewest strips"),
                ],
            ),
            Param {
                key: "joins",
                label: "joins in a handle",
                help: "How many joins there may be in one handle; 0 forbids them.",
                quantity: Quantity::Count { least: 0, most: 4, default: 1 },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Folded {
    /// Where a join may lie. It is hidden in the stitched-down part where the fabric is wide
    /// enough for that; a strap set into the rim has no such part. Elsewhere it lies in the
    /// middle, where a hand covers it.
    fn join(
        d: &mut Drafter<'_>,
        values: &Values,
        (legs, face): (&Legs, &Face),
        length: Length,
    ) -> Option<StripJoin> {
        let (most, allowance) = (values.count("joins"), d.allowance("join"));
        let held = legs.held(d, face);
        let fabric = d.fabric(Role::Handle);
        let usable = d.cloth_width(fabric).unwrap_or(length);
        let hidden = held.filter(|held| length - usable + allowance <= *held);
        let place = match (values.choice("join"), hidden) {
            ("anywhere", _) => StripPlace::Anywhere,
            ("hidden", Some(held)) => StripPlace::NearEnd(held),
            _ => StripPlace::Centre,
        };
        if values.choice("join") == "hidden" && hidden.is_none() && length > usable && most > 0 {
            let message = format!(
                "the join of a handle {} long, cut across fabric {} wide, cannot be hidden where \
                 it is stitched down",
                d.show(length),
                d.show(usable)
            );
            let cure = "it lies in the middle instead; cut the strips along the fabric to avoid it";
            let place = Place::parameter("handles.join");
            d.find(Finding::note("strip-joins", place, message, cure.to_owned()));
        }
        (most > 0).then_some(StripJoin { most, allowance, place })
    }
}

impl Handles for Folded {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell) {
        let strip = values.length("strip");
        let width = strip / 4;
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
        let join = Self::join(d, values, (&legs, face), lengths.cut);
        let grain = match values.choice("runs") {
            "along" => Grain::Lengthwise,
            "either" => Grain::Free,
            _ => Grain::Crosswise,
        };
        let (none, end) = (Length::ZERO, lengths.beyond);
        let piece = d.piece(NewPiece {
            id: "handle",
            name: "handle",
            role: Role::Handle,
            net: Outline::rectangle(strip, lengths.cut - lengths.beyond * 2),
            edges: vec![("end", end), ("side", none), ("other end", end), ("other side", none)],
            grain,
            join: join.filter(|_| grain != Grain::Lengthwise),
        });
        for quarter in 1..4 {
            let x = strip * quarter / 4;
            let at = |y| measure::Point::new(x, y);
            d.mark(piece, "fold", MarkShape::Fold(at(-end), at(lengths.cut - end)));
        }
        let straps: Vec<CopyId> = outside
            .faces
            .iter()
            .map(|face| d.copy(piece, &format!("{} handle", face.word)))
            .collect();
        self.make(d, &straps, lengths.cut, strip);
        attach(d, &legs, outside, &faces, &straps, lengths);
        warn_on_drop(d, lengths);
    }
}

impl Folded {
    fn make(&self, d: &mut Drafter<'_>, straps: &[CopyId], length: Length, strip: Length) {
        let piece = d.piece_of(straps[0]).clone();
        let fabric = d.fabric(Role::Handle);
        let usable = d.cloth_width(fabric);
        if let Some(join) = piece.join.filter(|_| usable.is_some_and(|usable| length > usable)) {
            let StripJoin { allowance, place, .. } = join;
            let op = JoinStrips { straps: straps.to_vec(), allowance, place, length };
            d.step(Chapter::Handles, "join-strips", op);
        }
        let fold = FoldStrip {
            strips: straps.to_vec(),
            cut_width: strip,
            edgestitch: d.either(Length::inch_frac(1, 8), Length::mm(3)),
            stitch: d.stitch("topstitch"),
        };
        let check = Checkpoint::Measures {
            what: "each handle".to_owned(),
            gauge: Gauge(vec![Reach::Folded(straps[0], 1, 3, 4)]),
            how: "wide",
        };
        d.step_checked(Chapter::Handles, "fold-handles", fold, check);
    }
}
