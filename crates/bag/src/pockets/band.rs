//! A full-width pocket on the outside, held in the side and base seams.

use measure::{Length, Outline, Point};

use super::{Pocket, numbered, numbered_name, ordinal};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::strap::by_panel;
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Quantity, Values, choice, length};
use crate::operations::{
    Attach, Beside, FaceSide, Hem, Join, Line, Phrase, Place, Placed, Press, PressSeam, StitchDown,
    StitchedDown, Topstitch,
};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PocketClaim, Run};

/// The kind.
pub(super) struct Band;
/// Its entry in the list.
pub(super) const KIND: Band = Band;

impl Kind for Band {
    fn name(&self) -> &'static str {
        "band"
    }
    fn title(&self) -> &'static str {
        "Full-width outside pocket"
    }
    fn help(&self) -> &'static str {
        "A pocket as wide as the panel, held in the side and base seams. Handles that run up from \
         the base divide it."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "on",
                "on",
                "Which side of the bag.",
                &[("front", "the front"), ("back", "the back"), ("both", "front and back")],
            ),
            length(
                "height",
                "height",
                "From the base seam to the pocket's finished top edge.",
                [Length::mm(40), Length::mm(1_200), Length::inch(9), Length::mm(230)],
            ),
            choice(
                "top",
                "top edge",
                "How the top edge is finished.",
                &[
                    ("hem", "turned twice and stitched"),
                    ("lined", "a second layer of lining fabric, turned over the top"),
                ],
            ),
            length(
                "hem",
                "hem",
                "Depth of the hem, which is turned twice by as much.",
                [Length::mm(6), Length::mm(60), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            Param {
                key: "divisions",
                label: "compartments",
                help: "Into how many equal compartments it is stitched, besides what the handles \
                       divide.",
                quantity: Quantity::Count { least: 1, most: 12, default: 1 },
            },
        ];
        PARAMS
    }
}

impl Pocket for Band {
    fn is_inside(&self) -> bool {
        false
    }

    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![
            Ability::HangingFaces,
            Ability::BaseSeam,
            Ability::SideSeams,
            Ability::SquareCorners,
        ]
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        _: Option<&Shell>,
    ) {
        let on = values.choice("on");
        let faces: Vec<&Face> =
            outside.faces.iter().filter(|face| on == "both" || on == face.word).collect();
        let Some(first) = faces.first() else { return };
        let height = values.length("height");
        let parameter = format!("pocket[{}].height", index + 1);
        let room = first.height - height;
        if room < d.either(Length::inch_frac(1, 2), Length::mm(12)) {
            let message = format!(
                "a pocket {} high reaches the rim of a panel {} high",
                d.show(height),
                d.show(first.height)
            );
            let most = first.height - d.either(Length::inch(1), Length::mm(25));
            d.refuse(&parameter, message, format!("make it {} or less", d.show(most)));
            return;
        }
        if height <= d.base_rise {
            let message = format!(
                "a pocket {} high ends under the bag: the base takes {} of the panel",
                d.show(height),
                d.show(d.base_rise)
            );
            let least = d.base_rise + d.either(Length::inch(2), Length::mm(50));
            d.refuse(&parameter, message, format!("make it {} or more", d.show(least)));
            return;
        }
        let lined = values.choice("top") == "lined";
        let hem = values.length("hem");
        let net = Outline::trapezoid(first.base_width, first.width_at(height), height);
        let top = if lined { d.allowance("pocket") } else { hem * 2 };
        let ordinal = ordinal(d, index);
        let stem = numbered("outside-pocket", ordinal);
        let name = numbered_name("outside pocket", ordinal);
        let piece = self.piece(d, first, (&stem, &name, Role::Pocket), &net, top);
        let fronts = self.copies(d, piece, &faces, ordinal, "pocket");
        let mut backs = Vec::new();
        if lined {
            let lining = self.piece(
                d,
                first,
                (&format!("{stem}-lining"), &format!("{name} lining"), Role::Lining),
                &net,
                top,
            );
            backs = self.copies(d, lining, &faces, ordinal, "pocket lining");
            self.line(d, &stem, &fronts, &backs);
        } else {
            self.hem(d, &stem, &fronts, hem);
        }
        self.mark(d, &faces, &fronts, height);
        self.place(d, &stem, &faces, &fronts, &backs, height);
        self.divide(d, values, &stem, &faces, &fronts);
        for (face, copy) in faces.iter().zip(&fronts) {
            d.claims.pockets.push(PocketClaim {
                name: format!("{} {}", face.word, numbered_name("pocket", ordinal)),
                copy: *copy,
                on: face.bottom(),
                at: corner(face, height),
                size: (face.width_at(height), height),
                true_depth: height - d.base_rise,
                compartments: compartments(d, values, face, height),
                inside: false,
            });
        }
    }
}

/// Widths of the compartments, at the pocket's top edge: what its own divisions and the legs of
/// handles from the base leave.
fn compartments(d: &Drafter<'_>, values: &Values, face: &Face, height: Length) -> Vec<Length> {
    let width = face.width_at(height);
    let divisions = i64::from(values.count("divisions"));
    let mut cuts: Vec<(Length, Length)> =
        (1..divisions).map(|n| (width * n / divisions, width * n / divisions)).collect();
    for (low, high) in legs(d) {
        cuts.push((width.half() + low, width.half() + high));
    }
    cuts.sort_unstable();
    let mut widths = Vec::new();
    let mut start = Length::ZERO;
    for (low, high) in cuts {
        if low > start {
            widths.push(low - start);
        }
        start = start.max(high);
    }
    if width > start {
        widths.push(width - start);
    }
    widths
}

/// Both edges of each leg of a handle that runs up from the base, as distances from the centre
/// line; none of other handles.
fn legs(d: &Drafter<'_>) -> Vec<(Length, Length)> {
    let handles = &d.design.handles.values;
    if handles.get("from").is_none() || handles.choice("from") != "base" {
        return Vec::new();
    }
    let width = match handles.get("strip") {
        Some(_) => handles.length("strip") / 4,
        None => handles.length("width"),
    };
    let leg = |sign| {
        let middle = handles.length("apart").half() * sign;
        (middle - width.half(), middle + width.half())
    };
    [-1, 1].map(leg).into()
}

/// Where the lower left corner of the pocket's box comes on the lowest copy of its face: centred,
/// at the base. The boxes of panels that taper are as wide as their wider end.
fn corner(face: &Face, height: Length) -> Point {
    let half = face.base_width.max(face.width_at(height)).half();
    face.on(0, -half, Length::ZERO).1
}

/// Allowances of the panel at its base and at its sides.
fn held_by(d: &Drafter<'_>, face: &Face) -> (Length, Length) {
    let allowance = |edge: Option<(CopyId, usize)>, key: &str| {
        let of_edge = |(copy, edge): (CopyId, usize)| {
            d.piece_of(copy).edges.get(edge).map(|edge| edge.allowance)
        };
        edge.and_then(of_edge).unwrap_or_else(|| d.seam_allowance(key))
    };
    let side = face.side_edges()[0].first().copied();
    (allowance(face.base_edge(), "base"), allowance(side, "side"))
}

impl Band {
    fn piece(
        &self,
        d: &mut Drafter<'_>,
        face: &Face,
        (id, name, role): (&str, &str, Role),
        net: &Outline,
        top: Length,
    ) -> crate::pattern::PieceId {
        // Its raw edges come level with those of the panel that it lies on.
        let (base, side) = held_by(d, face);
        let edges =
            vec![("base", base), ("right side", side), ("top edge", top), ("left side", side)];
        let (net, grain) = (net.clone(), Grain::Lengthwise);
        d.piece(NewPiece { id, name, role, net, edges, grain, join: None })
    }

    fn copies(
        &self,
        d: &mut Drafter<'_>,
        piece: crate::pattern::PieceId,
        faces: &[&Face],
        ordinal: usize,
        noun: &str,
    ) -> Vec<CopyId> {
        let noun = numbered_name(noun, ordinal);
        faces.iter().map(|face| d.copy(piece, &format!("{} {noun}", face.word))).collect()
    }

    fn hem(&self, d: &mut Drafter<'_>, stem: &str, fronts: &[CopyId], hem: Length) {
        let run = Run::open(fronts.iter().flat_map(|copy| whole(d, *copy, RIM).spans));
        let what = plural(fronts, "the top edge of the pocket", "the top edge of each pocket");
        let stitch = d.stitch("topstitch");
        d.step(
            Chapter::Pockets,
            &format!("hem-{stem}"),
            Hem { what, run, first: hem, depth: hem, tucked: Vec::new(), stitch },
        );
    }

    fn line(&self, d: &mut Drafter<'_>, stem: &str, fronts: &[CopyId], backs: &[CopyId]) {
        let seams = fronts
            .iter()
            .zip(backs)
            .map(|(front, back)| {
                [whole(d, *front, RIM), whole(d, *back, RIM).reversed()]
            })
            .collect();
        let mut join =
            Join::plain("the top edge", seams, d.allowance("pocket"), d.stitch("seam"));
        join.press = Press::Toward("the lining".to_owned());
        d.step(Chapter::Pockets, &format!("line-{stem}"), join);
        let press = PressSeam {
            what: "the lining to the wrong side of the pocket, wrong sides together, so that the \
                   seam lies exactly on the edge and all raw edges are level"
                .into(),
            copies: [fronts, backs].concat(),
            mind: None,
        };
        d.step(Chapter::Pockets, &format!("press-{stem}"), press);
        let topstitch = Topstitch {
            what: "the top edge of the pocket".to_owned(),
            copies: fronts.to_vec(),
            rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
            beside: Beside::Edge,
            stitch: d.stitch("topstitch"),
            round: false,
        };
        d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
    }

    /// Marks the centre of the base, and where handles from the base cross the pocket, which covers
    /// the marks of its panel.
    fn mark(&self, d: &mut Drafter<'_>, faces: &[&Face], fronts: &[CopyId], height: Length) {
        for (face, copy) in faces.iter().zip(fronts) {
            let centre = MarkShape::Notch { edge: BASE, along: face.base_width.half() };
            d.mark_copy(*copy, "centre of the base", centre);
            let middle = face.base_width.max(face.width_at(height)).half();
            let lines: Vec<Length> =
                legs(d).into_iter().flat_map(|(a, b)| [a, b]).map(|x| d.snap(x)).collect();
            for x in lines {
                let at = |y| Point::new(middle + x, y);
                let line = MarkShape::Placement(at(Length::ZERO), at(height));
                d.mark_copy(*copy, "handle", line);
            }
        }
    }

    fn place(
        &self,
        d: &mut Drafter<'_>,
        stem: &str,
        faces: &[&Face],
        fronts: &[CopyId],
        backs: &[CopyId],
        height: Length,
    ) {
        let layer = |face: &Face, copy: &CopyId| {
            let mut level = Vec::new();
            level.extend(face.base_edge().map(|(host, edge)| (BASE, host, edge)));
            let [right, left] = face.side_edges();
            for ((host, at_right), (on, at_left)) in right.into_iter().zip(left) {
                level.push((RIGHT, host, at_right));
                level.push((LEFT, on, at_left));
            }
            Placed { level, ..Placed::new(*copy, face.bottom(), corner(face, height)) }
        };
        let mut items: Vec<Placed> =
            faces.iter().zip(fronts).map(|(face, copy)| layer(face, copy)).collect();
        // The pocket's lining lies below, its wrong side up, and is caught with it.
        items.extend(faces.iter().zip(backs).map(|(face, copy)| Placed {
            face_up: FaceSide::Wrong,
            ..layer(face, copy)
        }));
        let (which, onto) = match faces {
            [one] => ("the", format!("the {} panel", one.word)),
            _ => ("a", "each panel".to_owned()),
        };
        let how = Phrase::new(format!(
            "Lay {which} pocket, right side up, on the right side of {onto}, level with the raw \
             edges at the base and both sides, its centre notch on that of the panel."
        ));
        let place = Place {
            items,
            how,
            mind: Some("see that a one-way print stands the right way up.".into()),
            attach: Attach::baste(d),
        };
        d.step(Chapter::Panels, &format!("place-{stem}"), place);
    }

    fn divide(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        stem: &str,
        faces: &[&Face],
        fronts: &[CopyId],
    ) {
        let divisions = i64::from(values.count("divisions"));
        if divisions < 2 {
            return;
        }
        let height = values.length("height");
        let width = faces[0].width_at(height);
        let each = width / divisions;
        let items = faces.iter().zip(fronts).flat_map(|(face, copy)| {
            let lines = (1..divisions).flat_map(|n| {
                let x = d.snap(width * n / divisions) - width.half();
                face.line((x, Length::ZERO), (x, height))
                    .into_iter()
                    .map(|(on, from, to)| (on, Line { from, to }))
            });
            by_panel(*copy, lines.collect())
        });
        let items: Vec<StitchedDown> = items.collect();
        for (face, copy) in faces.iter().zip(fronts) {
            for n in 1..divisions {
                let x = d.snap(width * n / divisions) - width.half();
                let (low, high) = (face.on(0, x, Length::ZERO).1, face.on(0, x, height).1);
                d.mark_copy(*copy, "division", MarkShape::Stitching(low, high));
            }
        }
        let how = Phrase::new(format!(
            "Stitch through pocket and panel from the base to the pocket's top edge, so that \
             {divisions} compartments "
        ))
        .len(each)
        .say(" wide result.");
        let stitch = d.stitch("topstitch");
        let down = StitchDown { how, mind: None, items, closes: None, stitch };
        d.step(Chapter::Panels, &format!("divide-{stem}"), down);
    }
}

fn plural(copies: &[CopyId], one: &str, many: &str) -> String {
    if copies.len() == 1 { one.to_owned() } else { many.to_owned() }
}
