//! A zip along the top, between two strips that are caught in the rim.

use measure::{Length, Outline};

use super::Closure;
use super::shared::{front_and_back, within_the_mouth};
use crate::design::Role;
use crate::draft::strap::{leg_line, press_hem};
use crate::draft::zips::{BoughtZip, tape};
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Attach, FaceSide, Foot, Phrase, Place, Placed, ZipStrips};
use crate::pattern::{Chapter, ClosureClaim, CopyId, Grain, MarkShape};

/// The kind.
pub(super) struct Zip;
/// Its entry in the list.
pub(super) const KIND: Zip = Zip;

impl Kind for Zip {
    fn name(&self) -> &'static str {
        "zip"
    }
    fn title(&self) -> &'static str {
        "Zip along the top"
    }
    fn help(&self) -> &'static str {
        "A zip between two folded strips, which are caught in the seam between outside and lining: a \
         recessed panel that spans the mouth, its ends free so that the bag opens wide."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "strip",
                "strip width",
                "Finished width of the strip on either side of the zip; both strips and the zip span \
                 the mouth.",
                [Length::mm(15), Length::mm(150), Length::inch_frac(3, 2), Length::mm(38)],
            ),
            length(
                "shorter",
                "shorter by",
                "How much shorter than the rim the strips are, at each side.",
                [Length::mm(10), Length::mm(200), Length::inch(1), Length::mm(25)],
            ),
            length(
                "teeth",
                "zip",
                "Width of its teeth; 5 mm (a number 5) suits bags.",
                [Length::mm(3), Length::mm(10), Length::mm(5), Length::mm(5)],
            ),
            choice(
                "ends",
                "ends of the zip",
                "Whether its lower end hangs free beyond the strips, in a tab.",
                &[
                    ("one-free", "the lower end stands out and is covered by a tab"),
                    ("level", "level with the strips, both ends covered"),
                ],
            ),
        ];
        PARAMS
    }
}

impl Closure for Zip {
    fn needs(&self, _: &Values) -> Vec<Ability> {
        let mut needs = within_the_mouth();
        needs.extend([Ability::OpenMouth, Ability::RimAtMouth]);
        needs
    }

    fn build(&self, d: &mut Drafter<'_>, values: &Values, outside: &Shell, inside: Option<&Shell>) {
        let shell = inside.unwrap_or(outside);
        let Some(faces) = front_and_back(shell) else { return };
        let narrowest = faces.iter().map(|face| face.top_width).min().unwrap_or(Length::ZERO);
        let long = d.snap(narrowest - values.length("shorter") * 2);
        let least = d.either(Length::inch(4), Length::mm(100));
        let beyond = match values.choice("ends") {
            "level" => Length::ZERO,
            _ => d.either(Length::inch(2), Length::mm(50)),
        };
        if long < least {
            let message = format!("strips {} long leave no mouth to close", d.show(long.max(Length::ZERO)));
            d.refuse("closure.shorter", message, "make the bag wider, or the strips less short".to_owned());
            return;
        }
        let bought = BoughtZip::of(d.system, long + beyond);
        let strips = self.strips(d, values, (long, beyond, bought));
        if inside.is_some() {
            self.place(d, shell, &strips, long);
        } else {
            self.tuck(d, shell, &strips, long);
        }
        d.notion(bought.notion(values.length("teeth")));
        d.claims.closures.push(ClosureClaim {
            name: "zip".to_owned(),
            meets: Vec::new(),
            shows: Vec::new(),
        });
    }
}

impl Zip {
    /// Cuts the strips and the tabs, and sets the zip.
    fn strips(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        (long, beyond, bought): (Length, Length, BoughtZip),
    ) -> Vec<CopyId> {
        let (width, teeth) = (values.length("strip"), values.length("teeth"));
        let turn = d.either(Length::inch_frac(1, 2), Length::mm(12));
        // Under a hem, as far as the crease at the rim.
        let rim = d.rim_hem.unwrap_or(d.allowance("rim"));
        let piece = d.piece(NewPiece {
            id: "zip-strip",
            name: "zip strip",
            role: Role::Lining,
            net: Outline::rectangle(long, width * 2),
            edges: vec![
                ("long edge", rim),
                ("right end", turn),
                ("other long edge", rim),
                ("left end", turn),
            ],
            grain: Grain::Free,
            join: None,
        });
        let fold = MarkShape::Fold(
            measure::Point::new(-turn, width),
            measure::Point::new(long + turn, width),
        );
        d.mark(piece, "fold", fold);
        let strips =
            ["front", "back"].map(|word| d.copy(piece, &format!("{word} zip strip"))).to_vec();
        d.part(strips[0], (long, width + rim));
        // A tab is folded over an end: the tape, and its turns.
        let across = d.snap(tape(teeth));
        let tab = d.piece(NewPiece {
            id: "zip-tab",
            name: "zip tab",
            role: Role::Outside,
            net: Outline::rectangle(across, across * 2),
            edges: ["end", "side", "other end", "other side"].map(|edge| (edge, turn.half())).into(),
            grain: Grain::Free,
            join: None,
        });
        let tabs = if beyond.is_positive() {
            vec![d.copy(tab, "zip tab")]
        } else {
            vec![d.copy(tab, "first zip tab"), d.copy(tab, "second zip tab")]
        };
        d.part(tabs[0], (across + turn, across * 2 + turn));
        let op = ZipStrips {
            strips: strips.clone(),
            tabs,
            bought: bought.length(),
            length: long + beyond,
            turn,
            width,
            from_teeth: d.either(Length::inch_frac(1, 8), Length::mm(3)),
            stitch: d.stitch("topstitch"),
        };
        let chapter = if d.rim_hem.is_some() { Chapter::Panels } else { Chapter::Lining };
        bought.prepare(d, (chapter, "cut-zip"), "the zip", 1);
        d.step(chapter, "set-zip", op);
        strips
    }

    fn mark(d: &mut Drafter<'_>, face: &Face, long: Length) {
        for sign in [-1, 1] {
            let x = leg_line(d, long.half(), Length::ZERO, sign, 1);
            let rim = face.height + face.cuff;
            let low = rim - d.either(Length::inch(1), Length::mm(25)).min(rim);
            let index = face.copies.len() - 1;
            let [a, b] = [low, rim].map(|height| face.on(index, x, height).1);
            d.mark_copy(face.top(), "zip strip", MarkShape::Placement(a, b));
        }
    }

    /// Pushes both raw edges of each strip up under the pressed hem of a bag without a lining.
    fn tuck(&self, d: &mut Drafter<'_>, shell: &Shell, strips: &[CopyId], long: Length) {
        let Some(faces) = front_and_back(shell) else { return };
        let hem = d.rim_hem.unwrap_or(Length::ZERO);
        press_hem(d, shell);
        for face in faces {
            Self::mark(d, face, long);
        }
        let items = faces.iter().zip(strips).map(|(face, strip)| {
            let index = face.copies.len() - 1;
            let low = face.height + face.cuff - hem;
            let at = face.on(index, Length::ZERO, low).1;
            let foot = |edge, face_up| Foot { edge, at, face_up };
            let feet = vec![foot(0, FaceSide::Right), foot(2, FaceSide::Wrong)];
            let corner = (-long.half(), low);
            let (onto, corner) = face.box_on(index, corner, (long, Length::ZERO));
            Placed { ground: FaceSide::Wrong, feet, ..Placed::new(*strip, onto, corner) }
        });
        let items: Vec<Placed> = items.collect();
        d.ends(&items);
        d.tucked.extend(strips.iter().flat_map(|strip| [(*strip, 0), (*strip, 2)]));
        let how = Phrase::new(
            "On the wrong side, push the raw edges of the zip strips up under the pressed hem as far \
             as the crease at the rim, one at the front and one at the back, each between its marks, \
             the upper side of the zip toward the rim.",
        );
        let mind = Some("open the zip: the bag is turned through the mouth that it spans.".into());
        let place = Place { items, how, mind, attach: Attach::Pin };
        d.step(Chapter::Finish, "place-zip", place);
    }

    /// Lays both raw edges of each strip level with the rim of the lining.
    fn place(&self, d: &mut Drafter<'_>, inside: &Shell, strips: &[CopyId], long: Length) {
        let Some(faces) = front_and_back(inside) else { return };
        let items = faces.iter().zip(strips).map(|(face, strip)| {
            let index = face.copies.len() - 1;
            let (on, edge) = face.rim_edge();
            let rim = face.height + face.cuff;
            let at = face.on(index, Length::ZERO, rim).1;
            let foot = |edge, face_up| Foot { edge, at, face_up };
            let feet = vec![foot(0, FaceSide::Right), foot(2, FaceSide::Wrong)];
            let level = vec![(0, on, edge), (2, on, edge)];
            let (onto, corner) = face.on(index, -long.half(), rim);
            Placed { level, feet, ..Placed::new(*strip, onto, corner) }
        });
        let items: Vec<Placed> = items.collect();
        d.ends(&items);
        for face in faces {
            Self::mark(d, face, long);
        }
        let how = Phrase::new(
            "Lay the zip strips on the right side of the lining, one at the front and one at the \
             back, the upper side of the zip facing the lining, each between its marks, its raw edges level with the raw rim.",
        );
        let mind = Some("open the zip: the bag is turned through the mouth that it spans.".into());
        let attach = Attach::baste(d);
        d.step(Chapter::Together, "place-zip", Place { items, how, mind, attach });
    }
}
