//! Two cords in a casing below the rim.

use measure::{Length, Outline, Rounding};

use super::Closure;
use super::shared::{front_and_back, rectangle};
use crate::design::Role;
use crate::draft::cords::{Cords, channel};
use crate::draft::face::whole;
use crate::draft::strap::from_edge;
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, length};
use crate::operations::{
    Attach, Hem, Line, Phrase, Place, PressSeam, StitchDown, StitchedDown,
};
use crate::pattern::{Chapter, ClosureClaim, CopyId, Grain, MarkShape, Notion, Run, notion};

/// The kind.
pub(super) struct Drawstring;
/// Its entry in the list.
pub(super) const KIND: Drawstring = Drawstring;

/// Edges of a casing strip.
const LOWER: usize = 0;
const RIGHT: usize = 1;
const UPPER: usize = 2;
const LEFT: usize = 3;

impl Kind for Drawstring {
    fn name(&self) -> &'static str {
        "drawstring"
    }
    fn title(&self) -> &'static str {
        "Drawstring in a casing"
    }
    fn help(&self) -> &'static str {
        "A casing strip on the outside of front and back, below the rim, and two cords through both, \
         one from each side, with cord stops or knots. The rim stands as a frill above it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "below",
                "casing below the rim",
                "From the rim down to the upper edge of the casing.",
                [Length::mm(10), Length::mm(200), Length::inch_frac(5, 4), Length::mm(30)],
            ),
            length(
                "cord",
                "cord",
                "Thickness of the cord; the casing is made for it.",
                [Length::mm(3), Length::mm(12), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "ends",
                "cord ends",
                "How far each end of a cord comes out of the casing when the bag is open; short for \
                 the bag of a child.",
                [Length::mm(60), Length::mm(400), Length::inch(5), Length::mm(120)],
            ),
        ];
        PARAMS
    }
}

/// How far its ends stay from the sides of a face, so that no seam catches them.
fn from_sides(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 2), Length::mm(12))
}

impl Closure for Drawstring {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::OpenMouth, Ability::StandingRim]
    }

    fn closed(&self, d: &Drafter<'_>, values: &Values, _: &Shell) -> [Length; 2] {
        let (below, cord) = (values.length("below"), values.length("cord"));
        [below + channel(d, cord) + from_edge(d) * 2; 2]
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, inside: Option<&Shell>) {
        let Some(faces) = front_and_back(outside) else { return };
        let (below, cord) = (values.length("below"), values.length("cord"));
        let inset = from_edge(d);
        let high = channel(d, cord) + inset * 2;
        let hem = d.rim_hem.filter(|_| inside.is_none()).unwrap_or(Length::ZERO);
        let narrowest = |face: &Face| {
            let low = (face.height - below - high).max(Length::ZERO);
            face.width_at(low).min(face.width_at((face.height - below).max(Length::ZERO)))
        };
        let width = faces.iter().map(|face| narrowest(face)).min().unwrap_or(Length::ZERO);
        let long = d.ruler().round(width - from_sides(d) * 2, Rounding::Down);
        if !self.fits(d, faces, (below, high), (long, hem)) {
            return;
        }
        let strips = self.casings(d, faces, (below, high), (long, inset));
        self.cords(d, values, outside, &strips);
        let shows = vec![rectangle(
            faces[0],
            Some(strips[0]),
            (Length::ZERO, below),
            (long, high),
        )];
        let name = "drawstring".to_owned();
        d.claims.closures.push(ClosureClaim { name, meets: Vec::new(), shows });
    }
}

impl Drawstring {
    fn fits(
        &self,
        d: &mut Drafter<'_>,
        faces: [&Face; 2],
        (below, high): (Length, Length),
        (long, hem): (Length, Length),
    ) -> bool {
        let room = d.either(Length::inch_frac(1, 8), Length::mm(3));
        if long < d.either(Length::inch(2), Length::mm(50)) {
            let message = format!("a casing {} long is no casing", d.show(long.max(Length::ZERO)));
            d.refuse("closure.kind", message, "make the bag wider".to_owned());
            return false;
        }
        if below < hem + room {
            let message = format!(
                "a casing {} below the rim lies on the hem, which is {} deep",
                d.show(below),
                d.show(hem)
            );
            let cure = format!("set it at least {} below the rim", d.show(hem + room));
            d.refuse("closure.below", message, cure);
            return false;
        }
        for face in faces {
            let (top, low) = (face.height - below, face.height - below - high);
            if low <= d.base_rise.max(face.corner) + room {
                let message =
                    format!("a casing {} below the rim reaches into the base", d.show(below));
                d.refuse("closure.below", message, "set it higher, or make the bag higher".to_owned());
                return false;
            }
            if face.starts.iter().skip(1).any(|start| *start + room > low && *start < top + room) {
                let message = format!("the casing would lie on a seam of the {}", face.word);
                d.refuse("closure.below", message, "set it higher or lower".to_owned());
                return false;
            }
            if let Some(taken) = self.on_its_way(d, face, (low, top), long) {
                let message = format!("the casing lies across the {taken}");
                let cure = "set it higher, or the pocket lower";
                d.refuse("closure.below", message, cure.to_owned());
                return false;
            }
        }
        true
    }

    /// A pocket that reaches up to the casing.
    fn on_its_way(
        &self,
        d: &Drafter<'_>,
        face: &Face,
        (low, top): (Length, Length),
        long: Length,
    ) -> Option<String> {
        let steps = 8;
        (0..=steps).find_map(|n| {
            let x = -long.half() + long * n / steps;
            d.pocket_at(face, (x, (low + top).half()), (top - low).half())
        })
    }

    fn casings(
        &self,
        d: &mut Drafter<'_>,
        faces: [&Face; 2],
        (below, high): (Length, Length),
        (long, inset): (Length, Length),
    ) -> Vec<CopyId> {
        let turn = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let piece = d.piece(NewPiece {
            id: "casing",
            name: "casing",
            role: Role::Outside,
            net: Outline::rectangle(long, high),
            edges: vec![
                ("lower edge", turn),
                ("right end", turn * 2),
                ("upper edge", turn),
                ("left end", turn * 2),
            ],
            grain: Grain::Free,
            join: None,
        });
        let strips: Vec<CopyId> =
            faces.iter().map(|face| d.copy(piece, &format!("{} casing", face.word))).collect();
        let ends = strips.iter().flat_map(|strip| {
            [RIGHT, LEFT].map(|edge| whole(d, *strip, edge).spans).concat()
        });
        let hem = Hem {
            what: "both short ends of each casing".to_owned(),
            run: Run::open(ends.collect::<Vec<_>>()),
            first: turn,
            depth: turn,
            tucked: Vec::new(),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Panels, "hem-casings", hem);
        let (mut items, mut down) = (Vec::new(), Vec::new());
        for (face, strip) in faces.iter().zip(&strips) {
            let low = face.height - below - high;
            let index = face.starts.iter().rposition(|start| *start <= low).unwrap_or(0);
            let laid = face.lay(index, *strip, (-long.half(), low), (long, high));
            let (onto, corner) = (laid.onto, laid.at);
            items.push(laid);
            let at = |y| {
                let start = measure::Point::new(corner.x, corner.y + y);
                Line { from: start, to: measure::Point::new(corner.x + long, corner.y + y) }
            };
            let lines = vec![at(inset), at(high - inset)];
            down.push(StitchedDown { what: *strip, onto, lines, holds: vec![LOWER, UPPER] });
            let [left, right] =
                [-long.half(), long.half()].map(|x| face.on(index, x, face.height - below).1);
            d.mark_copy(onto, "casing", MarkShape::Placement(left, right));
        }
        let press = PressSeam {
            what: Phrase::new("the casings: turn ")
                .len(turn)
                .say(" of both long edges of each to the wrong side"),
            copies: strips.clone(),
            mind: None,
        };
        d.step(Chapter::Panels, "press-casings", press);
        let how = Phrase::new("Lay a casing on the right side of each panel, centred, its upper edge ")
            .len(below + d.rim_allowance)
            .say(" below the raw rim and parallel to it.");
        let mind = Some("fold everything else away from it: loops of handles must not lie under it.".into());
        d.step(Chapter::Panels, "place-casings", Place { items, how, mind, attach: Attach::Pin });
        let how = Phrase::new("Edgestitch each casing along its upper and its lower edge, ")
            .len(inset)
            .say(" from them. Leave both ends open.");
        let stitch = d.stitch("topstitch");
        let stitched = StitchDown { how, mind: None, items: down, closes: None, stitch };
        d.step(Chapter::Panels, "stitch-casings", stitched);
        strips
    }

    fn cords(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, strips: &[CopyId]) {
        let cord = values.length("cord");
        let runs = strips.iter().flat_map(|strip| whole(d, *strip, UPPER).spans).collect::<Vec<_>>();
        let cords = Cords {
            cord,
            around: outside.rim().length(),
            ends: values.length("ends"),
            casing: Run::round(runs),
            route: "the first from the left side round through both casings and out where it began, \
                    the second in the same way from the right side",
            through: "the cord stop of its side, both ends of a cord through one",
        };
        cords.add(d);
        d.notion(Notion::of(&notion::CORD_STOP, 2).thick(cord));
    }
}
