//! A self-lined patch pocket on the inside.

use measure::{Length, Outline, Point};

use super::{Pocket, numbered, numbered_name, ordinal};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::{Drafter, Face, NewPiece, Shell, centred_gap};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length};
use crate::operations::{
    Attach, Beside, FaceSide, Gap, Join, Line, Phrase, Place, Placed, Press, PressSeam, StitchDown,
    StitchedDown, Through, Topstitch, TrimCorners, Turn,
};
use crate::pattern::{
    Chapter, Checkpoint, CopyId, Gauge, Grain, MarkShape, PocketClaim, Reach, Run,
};

/// The kind.
pub(super) struct Patch;
/// Its entry in the list.
pub(super) const KIND: Patch = Patch;

impl Kind for Patch {
    fn name(&self) -> &'static str {
        "patch"
    }
    fn title(&self) -> &'static str {
        "Self-lined patch pocket inside"
    }
    fn help(&self) -> &'static str {
        "Two layers sewn right sides together, turned, and stitched to the inside of the bag; \
         nothing raw anywhere. It can be divided for phone, pens and keys."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "on",
                "on",
                "Which side of the inside.",
                &[("back", "the back"), ("front", "the front"), ("both", "front and back")],
            ),
            length(
                "width",
                "width",
                "Finished width.",
                [Length::mm(50), Length::mm(1_200), Length::inch_frac(23, 2), Length::mm(290)],
            ),
            length(
                "height",
                "height",
                "Finished height.",
                [Length::mm(50), Length::mm(1_000), Length::inch_frac(17, 2), Length::mm(210)],
            ),
            length(
                "below",
                "below the rim",
                "From the rim seam down to the pocket's top edge.",
                [Length::mm(15), Length::mm(600), Length::inch_frac(5, 2), Length::mm(60)],
            ),
            Param {
                key: "divisions",
                label: "compartments",
                help: "Into how many equal compartments it is stitched.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
            },
            length(
                "opening",
                "opening for turning",
                "Left in the pocket's lower edge.",
                [Length::mm(40), Length::mm(300), Length::inch(3), Length::mm(80)],
            ),
        ];
        PARAMS
    }
}

impl Pocket for Patch {
    fn is_inside(&self) -> bool {
        true
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let lined = inside.is_some();
        let shell = inside.unwrap_or(outside);
        let on = values.choice("on");
        let faces: Vec<&Face> =
            shell.faces.iter().filter(|face| on == "both" || on == face.word).collect();
        let (width, height) = (values.length("width"), values.length("height"));
        let Some(face) = faces.first() else { return };
        if !fits(d, values, index, face) {
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("inside-pocket", ordinal);
        let name = numbered_name("inside pocket", ordinal);
        let allowance = d.allowance("pocket");
        let piece = d.piece(NewPiece {
            id: &stem,
            name: &name,
            role: Role::InsidePocket,
            net: Outline::rectangle(width, height),
            edges: ["lower edge", "right side", "top edge", "left side"].map(|e| (e, allowance)).into(),
            grain: Grain::Lengthwise,
            join: None,
        });
        let pairs: Vec<[CopyId; 2]> = faces
            .iter()
            .map(|face| {
                let word = if faces.len() > 1 { format!("{} ", face.word) } else { String::new() };
                [
                    d.copy(piece, &format!("{word}{name} (front layer)")),
                    d.copy(piece, &format!("{word}{name} (back layer)")),
                ]
            })
            .collect();
        self.make(d, values, &stem, &name, &pairs);
        self.attach(d, values, &stem, &name, &faces, &pairs, lined);
        for (face, pair) in faces.iter().zip(&pairs) {
            let each = width / i64::from(values.count("divisions"));
            d.claims.pockets.push(PocketClaim {
                name: format!("{name}, {}", face.word),
                copy: pair[0],
                on: face.top(),
                at: corner(face, values),
                size: (width, height),
                true_depth: height,
                compartments: vec![each; values.count("divisions") as usize],
                inside: true,
            });
        }
    }
}

/// What the step ids of the same pocket on the other side of the bag end in.
fn suffix(number: usize) -> &'static str {
    if number == 0 { "" } else { "-other-side" }
}

/// Where the pocket's lower left corner lies on the top copy of the face.
fn corner(face: &Face, values: &Values) -> Point {
    let low = face.height - values.length("below") - values.length("height");
    face.on(face.copies.len() - 1, -values.length("width").half(), low).1
}

fn fits(d: &mut Drafter<'_>, values: &Values, index: usize, face: &Face) -> bool {
    let (width, height) = (values.length("width"), values.length("height"));
    let low = face.height - values.length("below") - height;
    let margin = d.either(Length::inch_frac(1, 4), Length::mm(6));
    let narrowest = face.width_at(low.max(Length::ZERO)) - margin * 2;
    let mut fits = true;
    if width > narrowest {
        let message = format!(
            "a pocket {} wide does not fit on a lining {} wide there",
            d.show(width),
            d.show(narrowest)
        );
        let cure = format!("make it {} or narrower", d.show(narrowest));
        d.refuse(&format!("pocket[{}].width", index + 1), message, cure);
        fits = false;
    }
    if low < d.base_rise + margin {
        let message = format!(
            "a pocket {} high, {} below the rim, reaches down into the base",
            d.show(height),
            d.show(values.length("below"))
        );
        let most = (face.height - values.length("below") - d.base_rise - margin).max(Length::ZERO);
        let cure = format!("make it {} or less high, or set it higher", d.show(most));
        d.refuse(&format!("pocket[{}].height", index + 1), message, cure);
        fits = false;
    }
    fits
}

impl Patch {
    fn make(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        stem: &str,
        name: &str,
        pairs: &[[CopyId; 2]],
    ) {
        let (width, height) = (values.length("width"), values.length("height"));
        let gap = centred_gap(width, values.length("opening"));
        for (number, pair) in pairs.iter().enumerate() {
            let suffix = suffix(number);
            let front = Run::round([BASE, RIGHT, RIM, LEFT].into_iter().flat_map(|e| whole(d, pair[0], e).spans));
            let back =
                Run::round([BASE, LEFT, RIM, RIGHT].into_iter().flat_map(|e| whole(d, pair[1], e).reversed().spans));
            let mut join = Join::plain(
                &format!("the {name} on all four sides"),
                vec![[front, back]],
                d.allowance("pocket"),
                d.stitch("seam"),
            );
            join.gaps = vec![Gap { from: gap.from, to: gap.to }];
            join.press = Press::Not;
            d.step(Chapter::Pockets, &format!("sew-{stem}{suffix}"), join);
            let leave = d.either(Length::inch_frac(1, 8), Length::mm(3));
            let trim = TrimCorners { copies: pair.to_vec(), leave };
            d.step(Chapter::Pockets, &format!("trim-{stem}{suffix}"), trim);
            let turn = Turn {
                what: format!("the {name}"),
                body: pair[0],
                through: Through::Opening(format!("sew-{stem}{suffix}")),
                then: "Push the corners out with a blunt point.".to_owned(),
            };
            d.step(Chapter::Pockets, &format!("turn-{stem}{suffix}"), turn);
            let press = PressSeam {
                what: Phrase::new(format!(
                    "the {name} flat, the allowances of its opening turned in by "
                ))
                .len(d.allowance("pocket")),
                copies: pair.to_vec(),
                mind: None,
            };
            let size = Checkpoint::Size {
                what: format!("the {name}"),
                width: Gauge(vec![Reach::Across(pair[0], LEFT, RIGHT)]),
                height: Gauge(vec![Reach::Across(pair[0], RIM, BASE)]),
            };
            d.step_checked(Chapter::Pockets, &format!("press-{stem}{suffix}"), press, size);
        }
        let mark = MarkShape::Opening { edge: BASE, from: gap.from, to: gap.to };
        d.mark_copy(pairs[0][0], "opening", mark);
        let divisions = i64::from(values.count("divisions"));
        for n in 1..divisions {
            let x = d.snap(width * n / divisions);
            let line = MarkShape::Stitching(Point::new(x, Length::ZERO), Point::new(x, height));
            d.mark_copy(pairs[0][0], "division", line);
        }
        let topstitch = Topstitch {
            what: format!("the top edge of the {name}"),
            copies: pairs.iter().flatten().copied().collect(),
            rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
            beside: Beside::Edge,
            stitch: d.stitch("topstitch"),
            round: false,
        };
        d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
    }

    #[allow(clippy::too_many_arguments, reason = "one call, and each is a different thing")]
    fn attach(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        stem: &str,
        name: &str,
        faces: &[&Face],
        pairs: &[[CopyId; 2]],
        lined: bool,
    ) {
        let chapter = if lined { Chapter::Lining } else { Chapter::Panels };
        let ground = if lined { "lining, right side up" } else { "panel, wrong side up" };
        let below = values.length("below") + if lined { d.rim_allowance } else { Length::ZERO };
        let items = faces.iter().zip(pairs).map(|(face, pair)| {
            let (onto, at) = (face.top(), corner(face, values));
            let ground = if lined { FaceSide::Right } else { FaceSide::Wrong };
            Placed { ground, ..Placed::new(pair[0], onto, at) }
        });
        let words: Vec<&str> = faces.iter().map(|face| face.word).collect();
        let how = Phrase::new(format!(
            "Lay the {name} on the {} {ground}, centred, its top edge ",
            words.join(" and the ")
        ))
        .len(if lined { below } else { below + d.rim_allowance })
        .say(" below the raw rim and parallel to it.");
        for (face, _) in faces.iter().zip(pairs) {
            let at = corner(face, values);
            let (w, h) = (values.length("width"), values.length("height"));
            let corners = [at, Point::new(at.x, at.y + h), Point::new(at.x + w, at.y + h), Point::new(at.x + w, at.y)];
            for n in 0..4 {
                let line = MarkShape::Placement(corners[n], corners[(n + 1) % 4]);
                d.mark_copy(face.top(), name, line);
            }
        }
        let place = Place { items: items.collect(), how, mind: None, attach: Attach::Pin };
        d.step(chapter, &format!("place-{stem}"), place);
        let from_edge = d.either(Length::inch_frac(1, 8), Length::mm(3));
        for (number, (face, pair)) in faces.iter().zip(pairs).enumerate() {
            let suffix = suffix(number);
            let which = if faces.len() > 1 { format!("{} {name}", face.word) } else { name.to_owned() };
            let how = Phrase::new(format!(
                "Edgestitch the {which} down along one side, the lower edge and the other side, "
            ))
            .len(from_edge)
            .say(" from its edges; this closes its opening. Sew a small triangle at both upper corners, where it is pulled.");
            let down = StitchDown {
                how,
                mind: Some("leave the top edge open.".into()),
                items: vec![StitchedDown {
                    what: pair[0],
                    onto: face.top(),
                    lines: outline(face, values, from_edge),
                    holds: vec![BASE, RIGHT, LEFT],
                }],
                closes: Some(format!("sew-{stem}{suffix}")),
                stitch: d.stitch("topstitch"),
            };
            d.step(chapter, &format!("stitch-{stem}{suffix}"), down);
        }
        self.divide(d, values, stem, name, faces, pairs, chapter);
    }

    #[allow(clippy::too_many_arguments, reason = "one call, and each is a different thing")]
    fn divide(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        stem: &str,
        name: &str,
        faces: &[&Face],
        pairs: &[[CopyId; 2]],
        chapter: Chapter,
    ) {
        let divisions = i64::from(values.count("divisions"));
        if divisions < 2 {
            return;
        }
        let (width, height) = (values.length("width"), values.length("height"));
        let items = faces.iter().zip(pairs).map(|(face, pair)| {
            let at = corner(face, values);
            let lines = (1..divisions).map(|n| {
                let x = at.x + d.snap(width * n / divisions);
                Line { from: Point::new(x, at.y), to: Point::new(x, at.y + height) }
            });
            StitchedDown {
                what: pair[0],
                onto: face.top(),
                lines: lines.collect(),
                holds: Vec::new(),
            }
        });
        let how = Phrase::new(format!(
            "Stitch the divisions of the {name} from the lower edge to the top, so that \
             {divisions} compartments "
        ))
        .len(width / divisions)
        .say(" wide result.");
        let (items, stitch) = (items.collect(), d.stitch("topstitch"));
        let down = StitchDown { how, mind: None, items, closes: None, stitch };
        d.step(chapter, &format!("divide-{stem}"), down);
    }
}

/// Side, lower edge and side of a pocket in place.
fn outline(face: &Face, values: &Values, inset: Length) -> Vec<Line> {
    let at = corner(face, values);
    let (left, low) = (at.x + inset, at.y + inset);
    let (right, top) =
        (at.x + values.length("width") - inset, at.y + values.length("height"));
    let corners = [(left, top), (left, low), (right, low), (right, top)]
        .map(|(x, y)| Point::new(x, y));
    corners.windows(2).map(|pair| Line { from: pair[0], to: pair[1] }).collect()
}
