//! Hook and loop tape inside the rim.

use measure::{Length, Outline, Point};

use super::Closure;
use super::shared::{
    Clear, amiss, below_casing, front_and_back, half_on, nearest, within_the_mouth,
};
use crate::design::Role;
use crate::draft::fittings::webbing;
use crate::draft::strap::from_edge;
use crate::draft::{Ability, Drafter, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, length, optional};
use crate::operations::{
    Attach, FaceSide, Line, Phrase, Place, Placed, StitchDown, StitchedDown,
};
use crate::pattern::{Band, Chapter, ClosureClaim, Grain, MarkShape};

/// The kind.
pub(super) struct HookAndLoop;
/// Its entry in the list.
pub(super) const KIND: HookAndLoop = HookAndLoop;

impl Kind for HookAndLoop {
    fn name(&self) -> &'static str {
        "hook-and-loop"
    }
    fn title(&self) -> &'static str {
        "Hook and loop tape"
    }
    fn help(&self) -> &'static str {
        "A strip of hook tape inside the front and one of loop tape inside the back: it closes a \
         long mouth flat. The hooks catch on knitwear."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "length",
                "strip length",
                "Length of each strip, along the rim.",
                [Length::mm(30), Length::mm(600), Length::inch(4), Length::mm(100)],
            ),
            length(
                "width",
                "tape width",
                "Width of the tape as sold; 20 mm (3/4 in) is usual.",
                [Length::mm(10), Length::mm(50), Length::inch_frac(3, 4), Length::mm(20)],
            ),
            optional(
                "below",
                "below the rim",
                "From the rim down to the upper edge of the strips; in an unlined bag they lie below \
                 its hem at least. Left out, just below the rim, where nothing else lies.",
                [Length::mm(6), Length::mm(150)],
            ),
        ];
        PARAMS
    }
}

impl Closure for HookAndLoop {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        within_the_mouth()
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, inside: Option<&Shell>) {
        let (long, width) = (values.length("length"), values.length("width"));
        let lined = inside.is_some();
        let clear_of_hem = d.rim_hem.filter(|_| !lined).map_or(Length::ZERO, |hem| {
            hem + d.either(Length::inch_frac(1, 8), Length::mm(3))
        });
        let Some(faces) = front_and_back(inside.unwrap_or(outside)) else { return };
        let usual = d.either(Length::inch_frac(5, 8), Length::mm(15));
        let [usual, least] = [usual, from_edge(d)]
            .map(|below| below_casing(below, faces).max(clear_of_hem));
        let below = match values.optional("below") {
            Some(below) => below_casing(below, faces).max(clear_of_hem),
            None => nearest(d, usual, faces[0].height, |below| {
                let is_free = |face: &crate::draft::Face, x: Length| {
                    let at = (x, below + width.half());
                    amiss(d, face, at, width.half(), Clear::Pockets).is_none()
                };
                let along = [-long.half(), Length::ZERO, long.half()];
                below >= least && faces.iter().all(|face| along.iter().all(|x| is_free(face, *x)))
            }),
        };
        d.settle("closure.below", below - below_casing(Length::ZERO, faces));
        let middle = below + width.half();
        let mut halves = Vec::new();
        for face in faces {
            let beside = [-long.half(), long.half()];
            // Both ends and the middle must lie on the panel and clear of pockets.
            for x in beside.into_iter().chain([Length::ZERO]) {
                let Some(half) = half_on(d, face, (x, middle), width.half(), Clear::Pockets) else {
                    return;
                };
                if x == Length::ZERO {
                    halves.push(half);
                }
            }
        }
        let [front, back] = halves.as_slice() else { return };
        let inset = from_edge(d).min(width / 4);
        let (mut items, mut down) = (Vec::new(), Vec::new());
        for (sort, half, face) in [("hook", front, faces[0]), ("loop", back, faces[1])] {
            let id = format!("{sort}-tape");
            let material =
                webbing(d, &id, &format!("{sort} tape"), (Band::HookOrLoop, width), "the closure");
            let none = Length::ZERO;
            let piece = d.piece_of_material(
                NewPiece {
                    id: &format!("{sort}-strip"),
                    name: &format!("{sort} strip"),
                    role: Role::Handle,
                    net: Outline::rectangle(long, width),
                    edges: vec![("lower edge", none), ("right end", none), ("upper edge", none), ("left end", none)],
                    grain: Grain::Crosswise,
                    join: None,
                },
                material,
            );
            let copy = d.copy(piece, &format!("{sort} strip"));
            d.part(copy, (long, width));
            let index = face.copies.iter().position(|copy| *copy == half.on).unwrap_or(0);
            let low = face.height - below - width;
            let laid = face.lay(index, copy, (-long.half(), low), (long, width));
            let (onto, corner) = (laid.onto, laid.at);
            let ground = if lined { FaceSide::Right } else { FaceSide::Wrong };
            items.push(Placed { ground, ..laid });
            let at = |x, y| Point::new(corner.x + x, corner.y + y);
            let spots = [
                at(inset, inset),
                at(long - inset, inset),
                at(long - inset, width - inset),
                at(inset, width - inset),
            ];
            let lines = (0..4).map(|n| Line { from: spots[n], to: spots[(n + 1) % 4] }).collect();
            down.push(StitchedDown { what: copy, onto, lines, holds: vec![0, 1, 2, 3] });
            let [left, right] =
                [-long.half(), long.half()].map(|x| face.on(index, x, face.height - below).1);
            d.mark_copy(onto, &format!("{sort} strip"), MarkShape::Placement(left, right));
        }
        let (chapter, [side, layer]) = if lined {
            (Chapter::Lining, ["the right side of the", "lining"])
        } else {
            (Chapter::Panels, ["the wrong side of the", "panel"])
        };
        let raw = d.rim_allowance + faces[0].cuff;
        let how = Phrase::new(format!(
            "Lay the hook strip on {side} front {layer} and the loop strip on {side} back {layer}, \
             centred, the upper edge of each "
        ))
        .len(below + raw)
        .say(" below the raw rim and parallel to it.");
        d.step(chapter, "place-strips", Place { items, how, mind: None, attach: Attach::Pin });
        let how = Phrase::new("Stitch each strip down all round, ").len(inset).say(" from its edges.");
        let stitch = d.stitch("topstitch");
        let mind = Some("round the corners of the strips a little with scissors first: sharp corners lift and scratch.".into());
        d.step(chapter, "stitch-strips", StitchDown { how, mind, items: down, closes: None, stitch });
        d.claims.closures.push(ClosureClaim {
            name: "hook and loop tape".to_owned(),
            meets: vec![[*front, *back]],
            shows: Vec::new(),
        });
    }
}
