//! A second front with a zip in the seam across it: the whole front is a pocket.

use measure::{Length, Outline, Point};

use super::full_width::{handles_from_base, held_edges};
use super::kit::{Ground, ON_PANELS, fitting, refuse, settle};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, Lower, RIGHT, RIM, whole};
use crate::draft::zips::{BoughtZip, pocket_tape};
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, optional};
use crate::operations::{
    Attach, Beside, Phrase, Place, Placed, SetZip, Topstitch, ZipInto,
};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PieceId, PocketClaim};

/// The kind.
pub(super) struct ZipSeam;
/// Its entry in the list.
pub(super) const KIND: ZipSeam = ZipSeam;

impl Kind for ZipSeam {
    fn name(&self) -> &'static str {
        "zip-seam"
    }
    fn title(&self) -> &'static str {
        "Zip pocket in a seam across the front"
    }
    fn help(&self) -> &'static str {
        "A second front on the panel, of a lower and an upper part with a zip between them, held in \
         the seams all round: the whole front is a pocket, and the panel is its back."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            ON_PANELS,
            optional(
                "height",
                "zip at",
                "From the base seam up to the zip; left out, what is usual, or as high as the panel \
                 allows.",
                [Length::mm(60), Length::mm(1_000)],
            ).along(),
        ];
        PARAMS
    }
}

/// The measures, worked out for one face.
#[derive(Clone, Copy, Debug)]
struct Measures {
    /// From the base seam up to the lower part's finished top edge.
    low: Length,
    /// Between both finished edges: where the zip shows.
    gap: Length,
    /// Width of both edges at the zip.
    width: Length,
    /// Height of the whole face.
    whole: Length,
}

/// Seam allowance at the zip: 1/4 in (6 mm) of a tape that is 1/2 in (12 mm) wide on each side of
/// the teeth (common practice, no source).
fn at_zip(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 4), Length::mm(6))
}

/// What is left of the front below the zip, above the base.
fn room(d: &Drafter<'_>) -> Length {
    d.either(Length::inch(1), Length::mm(25))
}

/// What is left of it above the zip.
fn above(d: &Drafter<'_>) -> Length {
    room(d) + d.rim_hem.unwrap_or(Length::ZERO)
}

/// From the base seam up to the zip: 10 in (250 mm), or as much as leaves the front its room above.
fn usual_height(d: &Drafter<'_>, face: &Face) -> Length {
    let usual = d.either(Length::inch(10), Length::mm(250));
    let clear = d.either(Length::inch_frac(1, 4), Length::mm(6));
    let usual = face.sewn.iter().map(|strip| strip.top + clear).fold(usual, Length::max);
    fitting(d, usual, face.height - at_zip(d) * 2 - above(d) - face.covered)
}

impl Measures {
    fn of(d: &Drafter<'_>, face: &Face, low: Length) -> Self {
        let gap = at_zip(d) * 2;
        let whole = face.height + face.cuff;
        Self { low, gap, width: face.width_at(low + gap.half()), whole }
    }

    /// The part of a face that its lower part lies on.
    fn below(&self, face: &Face) -> Lower {
        face.below(self.low, self.width)
    }

    /// From the base seam up to the upper part's finished lower edge.
    fn high(&self) -> Length {
        self.low + self.gap
    }

    fn fits(&self, d: &mut Drafter<'_>, face: &Face, index: usize) -> bool {
        let (room, above) = (room(d), above(d));
        if !self.low.is_positive() {
            let message = format!("a front {} high has no room for a zip across it", d.show(face.height));
            let cure = "make the bag higher, or choose another pocket".to_owned();
            refuse(d, index, "height", message, cure);
            return false;
        }
        if self.high() + above + face.cuff + face.covered > self.whole {
            let message = format!(
                "a zip {} above the base leaves less than {} of the front above it",
                d.show(self.low),
                d.show(above)
            );
            let most = (self.whole - above - self.gap).max(Length::ZERO);
            refuse(d, index, "height", message, format!("set it {} or less", d.show(most)));
            return false;
        }
        if self.low < d.base_rise.max(face.corner) + room {
            let corners =
                if face.corner.is_positive() { ", in its rounded corners" } else { "" };
            let message = format!(
                "a zip {} above the base seam lies under the bag{corners}, or close to its edge",
                d.show(self.low)
            );
            let least = d.base_rise.max(face.corner) + room;
            let cure = format!("set it {} or more", d.show(least));
            refuse(d, index, "height", message, cure);
            return false;
        }
        let lean = (face.width_at(self.high()) - face.width_at(self.low)).half().abs();
        if lean > Length::nm(1_800_000) {
            let message = "the sides lean so far that both edges of the zip differ in length";
            let cure = "give the bag less taper, or set the zip into a slit";
            refuse(d, index, "height", message.to_owned(), cure.to_owned());
            return false;
        }
        true
    }
}

impl Pocket for ZipSeam {
    fn is_inside(&self, _: &Values) -> bool {
        false
    }

    fn needs(&self, _: &Values) -> Vec<Ability> {
        vec![Ability::BaseSeam, Ability::SideSeams]
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        _: Option<&Shell>,
    ) {
        let ground = Ground::of(values, false, outside, None);
        let Some(first) = ground.faces.first() else { return };
        let low = values.optional("height").unwrap_or_else(|| usual_height(d, first));
        settle(d, index, [("height", low)]);
        let measures = Measures::of(d, first, low);
        if handles_from_base(d) {
            let message = "handles that run up from the base would be stitched over the zip";
            let cure = "set the handles into the rim, or choose another pocket";
            refuse(d, index, "kind", message.to_owned(), cure.to_owned());
            return;
        }
        if first.sewn.iter().any(|strip| strip.top > measures.low) {
            let message = "what is stitched in from within would be stitched over the zip";
            let cure = "set the zip higher, line the bag, or choose another pocket";
            refuse(d, index, "height", message.to_owned(), cure.to_owned());
            return;
        }
        if !measures.fits(d, first, index) {
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("zip-front", ordinal);
        let name = numbered_name("zip front", ordinal);
        let [lower, upper] = pieces(d, &measures, first, (&stem, &name));
        let lowers = ground.copies(d, lower, &format!("{name}, lower part"));
        let uppers = ground.copies(d, upper, &format!("{name}, upper part"));
        sew(d, (&stem, &name), (&lowers, &uppers), (measures.below(first).sides[1], measures.width));
        place(d, &ground, (&stem, &name), &measures, (&lowers, &uppers));
        for (face, copy) in ground.faces.iter().zip(&lowers) {
            d.claims.pockets.push(PocketClaim {
                name: format!("{} {name}", face.word),
                copy: *copy,
                on: face.bottom(),
                at: corner(face, Length::ZERO, (face.base_width, measures.width)),
                size: (measures.width, measures.low),
                true_depth: measures.low - d.base_rise,
                opening: measures.width,
                compartments: Vec::new(),
                inside: false,
            });
            d.divide_pocket(*copy, face.sewn.iter().map(|strip| strip.across));
        }
    }
}

/// Where the box of a part comes on the lowest copy of its face, from its height and both widths.
fn corner(face: &Face, up: Length, (one, other): (Length, Length)) -> Point {
    face.on(0, -one.max(other).half(), up).1
}

fn pieces(
    d: &mut Drafter<'_>,
    measures: &Measures,
    face: &Face,
    (stem, name): (&str, &str),
) -> [PieceId; 2] {
    let zip = at_zip(d);
    let below = measures.below(face);
    let mut low = held_edges(d, &below.names, &below.level, (below.sides[1], zip));
    low[below.sides[1]].0 = "zip edge";
    let side = low[below.sides[0]].1;
    let (copy, edge) = face.rim_edge();
    let rim = d.piece_of(copy).edges.get(edge).map_or(d.rim_allowance, |edge| edge.allowance);
    let mut piece = |part: &str, net: Outline, edges: Vec<(&str, Length)>| {
        let (id, name) = (format!("{stem}-{part}"), format!("{name}, {part} part"));
        d.piece(NewPiece {
            id: &id,
            name: &name,
            role: Role::Pocket,
            net,
            edges,
            grain: Grain::Lengthwise,
            join: None,
        })
    };
    let upper =
        Outline::trapezoid(measures.width, face.top_width, measures.whole - measures.high());
    let high = vec![("zip edge", zip), ("right side", side), ("rim", rim), ("left side", side)];
    [piece("lower", below.net, low), piece("upper", upper, high)]
}

/// Sets the zip between both parts.
fn sew(
    d: &mut Drafter<'_>,
    (stem, name): (&str, &str),
    (lowers, uppers): (&[CopyId], &[CopyId]),
    (edge, width): (usize, Length),
) {
    let cut = width + d.seam_allowance("side") * 2;
    // The side seams go over its teeth: it has no stops.
    let bought = BoughtZip::ByLength(cut);
    d.notion(bought.for_pockets(lowers.len(), pocket_tape(d)));
    let cut = (Chapter::Pockets, format!("cut-zip-{stem}"));
    bought.prepare(d, (cut.0, &cut.1), &format!("the {name}"), lowers.len());
    d.tool("zip foot");
    let gap = d.either(Length::inch_frac(1, 8), Length::mm(3));
    for (number, (lower, upper)) in lowers.iter().zip(uppers).enumerate() {
        let sides = [whole(d, *lower, edge), whole(d, *upper, BASE).reversed()];
        let zip = SetZip {
            what: "the zip".to_owned(),
            length: width,
            into: ZipInto::Edges(sides, at_zip(d)),
            shows: None,
            from_teeth: gap,
            stitch: d.stitch("seam"),
        };
        let suffix = super::kit::suffix(number);
        d.step(Chapter::Pockets, &format!("zip-{stem}{suffix}"), zip);
    }
    let topstitch = Topstitch {
        what: "both edges along the zip".to_owned(),
        copies: [lowers, uppers].concat(),
        rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
        beside: Beside::Seam,
        along: Vec::new(),
        stitch: d.stitch("topstitch"),
        round: false,
    };
    d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
}

/// Lays both parts, joined, on the panel and bastes them to it all round.
fn place(
    d: &mut Drafter<'_>,
    ground: &Ground<'_>,
    (stem, name): (&str, &str),
    measures: &Measures,
    (lowers, uppers): (&[CopyId], &[CopyId]),
) {
    let mut items = Vec::new();
    for (face, (lower, upper)) in ground.faces.iter().zip(lowers.iter().zip(uppers)) {
        let [right, left] = face.side_edges();
        let sides: Vec<(usize, CopyId, usize)> = right
            .into_iter()
            .map(|(host, edge)| (RIGHT, host, edge))
            .chain(left.into_iter().map(|(host, edge)| (LEFT, host, edge)))
            .collect();
        let part = |copy: CopyId, up: Length, widths, level| {
            Placed { level, ..Placed::new(copy, face.bottom(), corner(face, up, widths)) }
        };
        let (host, edge) = face.rim_edge();
        let widths = (face.base_width, measures.width);
        items.push(part(*lower, Length::ZERO, widths, measures.below(face).level));
        let widths = (measures.width, face.top_width);
        let level = sides.into_iter().chain([(RIM, host, edge)]).collect();
        items.push(part(*upper, measures.high(), widths, level));
        let along = d.piece_of(*lower).net.edge_length(BASE).half();
        let centre = MarkShape::Notch { edge: BASE, along };
        d.mark_copy(*lower, "centre of the base", centre);
        let centre = MarkShape::Notch { edge: RIM, along: face.top_width.half() };
        d.mark_copy(*upper, "centre of the rim", centre);
    }
    let how = Phrase::new(format!(
        "Lay the {name}, right side up and its zip closed, on the right side of the {} panel, level \
         with the raw edges all round, its centre notches on those of the panel.",
        ground.places(" and the ")
    ));
    let place = Place {
        items,
        how,
        mind: Some(
            "the slider must lie clear of both side seams, and the seams go over the ends of the \
             teeth: turn the hand wheel there."
                .into(),
        ),
        attach: Attach::baste(d),
    };
    d.step(ground.chapter(), &format!("place-{stem}"), place);
}
