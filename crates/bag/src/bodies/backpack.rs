//! A backpack: gusset and padded back; its mouth is drawn shut by one cord with a flap over it, or
//! left to a closure, a zip along the top for instance.

use measure::{Length, Point};

use super::Body;
use super::two_panel_params::{EASE, HOLDS, SIZE, STANDS};
use crate::closures::leaf::{Held, Leaf};
use crate::closures::shared::rectangle;
use crate::design::Role;
use crate::draft::cords::{channel, knot};
use crate::draft::fittings::{length_of, webbing};
use crate::draft::{Ability, Base, Drafter, Gusset, Juts, Layer, NewPiece, Plan, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length, optional};
use crate::operations::{
    Attach, FaceSide, FastenEnd, Fastening, Phrase, Place, Placed, SetEyelets, StitchCasing,
    ThreadDrawstring,
};
use crate::pattern::{
    Band, Chapter, ClosureClaim, Cloth, CopyId, Form, Look, MarkShape, Material, Notion, notion,
};

/// The kind.
pub(super) struct Backpack;
/// Its entry in the list.
pub(super) const KIND: Backpack = Backpack;

impl Kind for Backpack {
    fn name(&self) -> &'static str {
        "backpack"
    }
    fn title(&self) -> &'static str {
        "Backpack"
    }
    fn help(&self) -> &'static str {
        "Front and back with a gusset in one strip, foam behind the back. One cord in a casing draws \
         the mouth shut and comes out of two eyelets at the front; a flap, stitched on to the back \
         below the casing, closes over it. Or the mouth is left to a closure: a zip along the top. \
         Shoulder straps are stitched to the back, or stand in its rim."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            SIZE,
            length(
                "width",
                "width",
                "Width of the finished front, or of a cut panel.",
                [Length::mm(160), Length::mm(500), Length::inch(11), Length::mm(280)],
            ).size(),
            length(
                "height",
                "height",
                "Height of the finished front up to the rim, drawn open, or of a cut panel.",
                [Length::mm(250), Length::mm(800), Length::inch(16), Length::mm(400)],
            ).size(),
            length(
                "depth",
                "depth",
                "Width of the finished gusset.",
                [Length::mm(50), Length::mm(300), Length::inch(5), Length::mm(125)],
            ).size(),
            optional(
                "corner",
                "rounded corners",
                "Radius of the bottom corners at the stitching line; left out, they are square.",
                [Length::mm(12), Length::mm(150)],
            ).along(),
            HOLDS,
            STANDS,
            EASE,
            choice(
                "top",
                "top",
                "What becomes of the mouth.",
                &[
                    ("drawn", "a cord draws it shut, and a flap closes over it"),
                    (
                        "open",
                        "left to the closure, a zip along the top for instance; what is said of cord \
                         and flap does not matter",
                    ),
                ],
            ),
            length(
                "cord",
                "cord",
                "Thickness of the cord that draws the mouth shut.",
                [Length::mm(3), Length::mm(10), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "frill",
                "frill",
                "How far the rim stands above the casing.",
                [Length::mm(12), Length::mm(80), Length::inch_frac(3, 4), Length::mm(20)],
            ),
            length(
                "ends",
                "cord ends",
                "How far each end of the cord comes out when the mouth is open; short, because they \
                 hang near straps and hands.",
                [Length::mm(40), Length::mm(250), Length::inch(4), Length::mm(100)],
            ),
            optional(
                "over",
                "flap over the front",
                "How far the flap hangs down over the front, from the rim; left out, far enough to \
                 cover its snap.",
                [Length::mm(60), Length::mm(400)],
            ).along(),
            length(
                "narrower",
                "flap narrower by",
                "How much narrower than the front the flap is, at each side.",
                [Length::mm(6), Length::mm(100), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "sewn-on",
                "flap stitched on",
                "How far below the rim the flap is stitched to the back.",
                [Length::mm(35), Length::mm(250), Length::inch_frac(5, 2), Length::mm(65)],
            ),
            optional(
                "lock",
                "snap below the rim",
                "From the rim down the front to the middle of the flap's magnetic snap; left out, \
                 toward the end of the flap, where the front is free.",
                [Length::mm(25), Length::mm(380)],
            ).along(),
            Param {
                key: "padded",
                label: "padded back",
                help: "Whether foam is laid behind the back.",
                quantity: Quantity::Flag { default: true },
                grows: None,
            },
        ];
        PARAMS
    }
}

impl Body for Backpack {
    fn usual_handles(&self) -> &'static str {
        "backpack"
    }

    fn plan(&self, d: &mut Drafter<'_>, values: &Values) -> Option<Box<dyn Plan>> {
        let padded = values.flag("padded");
        if values.choice("top") == "open" {
            let gusset = Gusset::plan(d, values, false)?;
            return Some(Box::new(Planned { gusset, padded, drawn: None }));
        }
        let (cord, frill) = (values.length("cord"), values.length("frill"));
        let below = frill + channel(d, cord);
        let lined = d.rim_hem.is_none();
        if let Some(hem) = d.rim_hem {
            let turn = d.rim_allowance - hem;
            d.rim_hem = Some(below);
            d.rim_allowance = below + turn.min(below);
        }
        let gusset = Gusset::plan(d, values, false)?;
        let sewn_on = values.length("sewn-on");
        let room = d.either(Length::inch_frac(1, 2), Length::mm(12));
        let most = gusset.panel.1 - gusset.corner - room;
        if sewn_on < below + room || sewn_on > most {
            let message = format!(
                "a flap stitched on {} below the rim lies on the casing or reaches the base",
                d.show(sewn_on)
            );
            let cure = format!(
                "stitch it on between {} and {} below the rim",
                d.show(below + room),
                d.show(most.max(Length::ZERO))
            );
            d.refuse("body.sewn-on", message, cure);
            return None;
        }
        let lock = values.optional("lock");
        let diameter = d.either(Length::inch_frac(3, 4), Length::mm(18));
        if let Some(lock) = lock
            && lock < below + diameter
        {
            let message = format!("a snap {} below the rim lies on the casing", d.show(lock));
            let cure = format!("set it {} or more below the rim", d.show(below + diameter));
            d.refuse("body.lock", message, cure);
            return None;
        }
        let flap = Leaf {
            word: "flap",
            width: gusset.panel.0 - values.length("narrower") * 2,
            over: d.either(Length::inch(6), Length::mm(150)),
            across: gusset.depth,
            radius: d.either(Length::inch(2), Length::mm(50)),
            held: Held::of("magnetic-snap"),
            diameter,
            below: d.either(Length::inch_frac(9, 2), Length::mm(115)),
            asked: [values.optional("over"), lock],
            keys: ["body.over", "body.lock"],
            lower: [Length::ZERO; 2],
            least: below + diameter.half(),
            sewn_on: Some(sewn_on),
        };
        let ends = values.length("ends");
        let drawn = Drawn { flap, cord, frill, below, ends, lined };
        Some(Box::new(Planned { gusset, padded, drawn: Some(drawn) }))
    }
}

/// A planned backpack.
struct Planned {
    gusset: Gusset,
    padded: bool,
    /// How the mouth is drawn shut, if it is.
    drawn: Option<Drawn>,
}

/// A mouth with a cord in a casing, and a flap over it.
#[derive(Clone, Copy, Debug)]
struct Drawn {
    flap: Leaf,
    cord: Length,
    /// From the rim to the upper row of the casing.
    frill: Length,
    /// From the rim to its lower row.
    below: Length,
    ends: Length,
    lined: bool,
}

impl Planned {
    /// Foam behind the back, basted round it.
    fn pad(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let back = outside.faces[1].bottom();
        let width = d.either(Length::inch(58), Length::mm(1_500));
        let foam = d.material(Material {
            id: "foam".to_owned(),
            name: "foam for the back".to_owned(),
            serves: "the back".to_owned(),
            form: Form::Fabric(Cloth {
                bought_width: width,
                usable_width: width,
                usable_given: true,
                one_way: false,
                thickness: None,
                weight: None,
                turnable: true,
                shrinks_in_length: 0,
                shrinks_in_width: 0,
            }),
            look: Look::Interfacing,
        });
        let front = d.piece_of(back).clone();
        let new = NewPiece {
            id: "back-padding",
            name: "back padding",
            role: Role::Outside,
            net: front.net,
            edges: front.edges.iter().map(|e| (e.name.as_str(), e.allowance)).collect(),
            grain: front.grain,
            join: None,
        };
        let piece = d.piece_of_material(new, foam);
        let copy = d.copy(piece, "back padding");
        let net = &d.piece_of(back).net;
        let level = (0..net.edge_count()).map(|edge| (edge, back, edge)).collect();
        let (low, _) = net.bounds();
        let item = Placed {
            ground: FaceSide::Wrong,
            face_up: FaceSide::Right,
            level,
            ..Placed::new(copy, back, low)
        };
        let how = Phrase::new(
            "Lay the padding on the wrong side of the back, raw edges level. From here on both are \
             treated as one.",
        );
        let mind = Some("trim the foam out of the allowances when the seams are sewn, and out of the hem or casing before it is turned: it is too thick to be folded.".into());
        let place = Place { items: vec![item], how, mind, attach: Attach::baste(d) };
        d.step(Chapter::Interface, "pad-back", place);
    }
}

impl Drawn {
    /// Where the cord comes out: two places on the front, in the middle of the casing.
    fn exits(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<(CopyId, Point)> {
        let front = &outside.faces[0];
        let height = front.height - (self.frill + self.below).half();
        let apart = d.either(Length::inch(1), Length::mm(25));
        [-apart, apart].map(|x| front.on(front.copies.len() - 1, x, height)).to_vec()
    }

    fn ready(&self, d: &mut Drafter<'_>, outside: &Shell) {
        // The rows of the flap must not cross the stitching of shoulder straps.
        let back = &outside.faces[1];
        let line = back.height - self.flap.sewn_on.unwrap_or(Length::ZERO);
        let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let crossed = d.claims.handles.iter().find(|handle| {
            let reach = handle.width * 2;
            let top = handle.feet[0].y;
            handle.on == back.top() && top + room > line && top - reach < line + room
        });
        if let Some(name) = crossed.map(|handle| handle.name.clone()) {
            let message = format!("the flap would be stitched across the {name}");
            let cure = "stitch the straps on lower, or the flap higher".to_owned();
            d.refuse("body.sewn-on", message, cure);
            return;
        }
        for (copy, point) in self.exits(d, outside) {
            d.mark_copy(copy, "eyelet", MarkShape::Dot(point));
        }
        let before = d.found();
        self.flap.settle(d, outside).build(d, outside);
        let names = [("closure.below", "body.lock"), ("closure.kind", "body.narrower")];
        d.rename_parameters(before, &names);
    }

    fn close(&self, d: &mut Drafter<'_>, outside: &Shell) {
        let mut copies: Vec<CopyId> = outside.rim.iter().map(|span| span.copy).collect();
        copies.dedup();
        let rows = if self.lined { vec![self.frill, self.below] } else { vec![self.frill] };
        let stitch = d.stitch("topstitch");
        d.finally("stitch-casing", StitchCasing { what: "the bag".to_owned(), copies, rows, stitch });
        let eyelets = SetEyelets {
            what: "two eyelets".to_owned(),
            at: self.exits(d, outside),
            hole: d.snap_up(self.cord + d.either(Length::inch_frac(1, 8), Length::mm(2))),
            how: Phrase::new(
                "of the front only, at their marks in the middle of the casing, a scrap of firm \
                 interfacing behind each; the layer behind the casing stays whole",
            ),
        };
        let id = d.free_step_id("set-eyelets");
        d.finally(&id, eyelets);
        let (around, knot) = (outside.rim().length(), knot(d, self.cord));
        let long = d.ruler().round(around + (self.ends + knot) * 2, measure::Rounding::Up);
        let material =
            webbing(d, "drawcord", "cord for the mouth", (Band::Cord, self.cord), "the closure");
        let piece = length_of(d, material, ("cord", "cord"), (self.cord, long), [Length::ZERO; 2]);
        let cord = d.copy(piece, "cord");
        d.part(cord, (self.cord, long - knot * 2));
        let thread = ThreadDrawstring {
            what: "the cord".to_owned(),
            route: "in at one eyelet, once round the mouth, and out at the other".to_owned(),
            casing: outside.rim(),
            length: long,
        };
        d.finally("thread-cord", thread);
        let fasten = FastenEnd {
            ends: vec![(cord, 0), (cord, 2)],
            through: "one cord stop".to_owned(),
            by: Fastening::Knotted(knot),
            stitch: d.stitch("seam"),
        };
        d.finally("knot-cord", fasten);
        d.notion(Notion::of(&notion::CORD_STOP, 1).thick(self.cord));
        d.notion(Notion::of(&notion::CORD_EYELET, 2).thick(self.cord));
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        // Of the casing, what the flap leaves free.
        let face = &outside.faces[0];
        let size = (face.top_width, self.below - self.frill);
        let shows = vec![rectangle(face, Some(face.top()), (Length::ZERO, self.frill), size)];
        let name = "drawstring".to_owned();
        d.claims.closures.insert(0, ClosureClaim { name, meets: Vec::new(), shows });
    }
}

impl Plan for Planned {
    fn shell(&self, d: &mut Drafter<'_>, layer: Layer) -> Shell {
        let mut shell = self.gusset.shell(d, layer);
        if let Some(drawn) = &self.drawn {
            if layer == Layer::Outside {
                drawn.flap.settle(d, &shell).keep_clear(&mut shell);
            }
            for face in shell.faces.iter_mut().chain(&mut shell.sides) {
                face.drawn = drawn.below;
            }
        }
        shell
    }

    fn ready_mouth(&self, d: &mut Drafter<'_>, outside: &Shell, _: Option<&Shell>) {
        if self.padded {
            self.pad(d, outside);
        }
        if let Some(drawn) = &self.drawn {
            drawn.ready(d, outside);
        }
    }

    fn sew(&self, d: &mut Drafter<'_>, shell: &Shell, opening: Option<Length>) -> Option<String> {
        self.gusset.sew(d, shell, opening)
    }

    fn close(&self, d: &mut Drafter<'_>, outside: &Shell) {
        if let Some(drawn) = &self.drawn {
            drawn.close(d, outside);
        }
    }

    fn claim(&self, d: &mut Drafter<'_>, outside: &Shell) {
        self.gusset.claim(d, outside);
        if let Some(drawn) = &self.drawn {
            drawn.claim(d, outside);
        }
    }

    fn base_rise(&self) -> Length {
        self.gusset.base_rise()
    }

    fn juts(&self) -> Juts {
        self.gusset.juts()
    }

    fn base(&self, d: &Drafter<'_>, outside: &Shell) -> Option<Base> {
        self.gusset.base(d, outside)
    }

    fn piped(&self, d: &Drafter<'_>, outside: &Shell) -> Vec<crate::extras::PipedSeam> {
        self.gusset.piped(d, outside)
    }

    fn offers(&self) -> Vec<Ability> {
        if self.drawn.is_none() {
            return self.gusset.offers();
        }
        let not = [
            Ability::StandingRim,
            Ability::RimAtSides,
            Ability::OpenFront,
            Ability::BareFront,
            Ability::OpenMouth,
        ];
        self.gusset.offers().into_iter().filter(|ability| !not.contains(ability)).collect()
    }

    fn bound_seams(&self, d: &Drafter<'_>, outside: &Shell) -> Length {
        self.gusset.bound_seams(d, outside)
    }
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::{Design, Severity};

    /// With its straps, padded and not, square and rounded, with every lining: it sews without an
    /// error.
    #[test]
    fn it_is_sewn_with_every_lining() {
        for units in [Units::Inch, Units::Mm] {
            for lining in crate::linings::ALL {
                for (padded, corner) in [(true, None), (false, Some(Length::mm(50)))] {
                    let mut design = Design::of(&KIND, units);
                    design.lining = Chosen::new(*lining, units.system());
                    assert!(design.body.values.set("padded", Value::Flag(padded)));
                    let corner = corner.map_or(Value::Absent, Value::Length);
                    assert!(design.body.values.set("corner", corner));
                    let drafted = crate::draft(&design);
                    let pattern =
                        drafted.pattern.unwrap_or_else(|| panic!("{:?}", drafted.findings));
                    let errors: Vec<_> = crate::checks::run(&pattern)
                        .into_iter()
                        .filter(|finding| finding.severity == Severity::Error)
                        .collect();
                    assert!(errors.is_empty(), "{}: {errors:#?}", lining.name());
                    assert_eq!(pattern.claims.handles.len(), 2);
                }
            }
        }
    }
}
