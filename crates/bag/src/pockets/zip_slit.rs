//! A zip pocket whose bag hangs behind a slit.

use measure::{Length, Outline, Point};

use super::kit::{BELOW, Ground, Keys, ON_ENDS, Spot, needs_its_place, refuse, settle, suffix};
use super::{Pocket, numbered, numbered_name, ordinal};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::zips::{BoughtZip, pocket_tape};
use crate::draft::{Ability, Drafter, Face, NewPiece, Shell};
use crate::kinds::{Kind, Param, Values, choice, optional};
use crate::operations::{
    Attach, EdgeFinish, FaceSide, FinishEdges, FoldAside, Join, Line, Phrase, Place, Placed, Press,
    PullThrough, SetZip, Slit, StitchDown, StitchedDown, ZipInto,
};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PocketClaim, Run};

/// The kind.
pub(super) struct ZipSlit;
/// Its entry in the list.
pub(super) const KIND: ZipSlit = ZipSlit;

impl Kind for ZipSlit {
    fn name(&self) -> &'static str {
        "zip-slit"
    }
    fn title(&self) -> &'static str {
        "Zip pocket set into a slit"
    }
    fn help(&self) -> &'static str {
        "A slit in the panel, faced with the bag of the pocket itself and closed by a zip; the bag \
         hangs behind the panel. Safe for money and papers."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "side",
                "side",
                "Whether it opens inside the bag or on its outside.",
                &[
                    ("lining", "inside, on the lining; on the outside of a bag without one"),
                    ("inside", "on the inside: the bag needs a lining"),
                    ("outside", "on the outside"),
                ],
            ),
            ON_ENDS,
            optional(
                "zip",
                "opening",
                "Length of the slit; the zip is as long or a little longer. Left out, what is usual, or \
                 as long as the panel allows.",
                [SHORTEST, Length::mm(600)],
            ),
            BELOW,
            optional(
                "depth",
                "depth",
                "From the slit down to the seam of the pocket's bag; left out, what is usual, or as \
                 deep as the panel allows.",
                [Length::mm(60), Length::mm(500)],
            ).along(),
        ];
        PARAMS
    }
}

/// The shortest slit: hardly two fingers go in.
const SHORTEST: Length = Length::mm(75);

/// The measures, worked out.
#[derive(Clone, Copy, Debug)]
struct Measures {
    /// The bag as it hangs.
    bag: Spot,
    /// Length of the slit.
    slit: Length,
    /// The zip as it is bought; what is longer than the slit lies behind its ends.
    zip: BoughtZip,
    /// From the bag's top edge down to the slit.
    above: Length,
    /// Half the height of the stitched box.
    half: Length,
}

impl Measures {
    /// The bag is 1 in (25 mm) wider than the slit at either end, and reaches 1 in (25 mm) above
    /// it; the stitched box is 1/2 in (12 mm) high, so that the teeth of a zip with tapes 1 in
    /// (25 mm) wide show between its long sides (common practice, no source).
    fn of(d: &Drafter<'_>, ground: &Ground<'_>, values: &Values) -> Self {
        let margin = d.either(Length::inch(1), Length::mm(25));
        let usual = Spot {
            width: d.either(Length::inch(7), Length::mm(180)) + margin * 2,
            height: d.either(Length::inch(6), Length::mm(150)) + margin,
            below: d.either(Length::inch(2), Length::mm(50)),
        };
        let asked = [
            values.optional("zip").map(|slit| slit + margin * 2),
            values.optional("depth").map(|depth| depth + margin),
            values.optional("below").map(|below| below - margin),
        ];
        let bag = Spot::fitted(d, ground, asked, usual);
        let slit = bag.width - margin * 2;
        let half = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let zip = BoughtZip::of(d.system, slit);
        Self { bag, slit, zip, above: margin, half }
    }

    fn fits(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let least = self.above + d.either(Length::inch_frac(1, 4), Length::mm(6));
        let below = self.bag.below + self.above;
        if below < least {
            let message =
                format!("a slit {} below the rim leaves no room for the bag above it", d.show(below));
            let cure = format!("cut it {} or more below the rim", d.show(least));
            refuse(d, index, "below", message, cure);
            return false;
        }
        let mut fits = self.bag.fits(d, ground, index, Keys { width: "zip", height: "depth" });
        let Some(face) = ground.faces.first() else { return false };
        if fits && self.slit < SHORTEST {
            let room = d.either(Length::inch(3), SHORTEST);
            let message = format!(
                "the panel leaves a slit of {}: hardly two fingers go in",
                d.show(self.slit.max(Length::ZERO))
            );
            let cure = format!(
                "make the panel {} wider, set the pocket where it is wider, or choose another pocket",
                d.show(room - self.slit)
            );
            refuse(d, index, "zip", message, cure);
            return false;
        }
        // The slit is cut within one panel, clear of the seams above a contrast base and below a
        // facing.
        let (slit, clear) = (face.height - below, self.half * 3);
        let near = |start: &Length| (*start - slit).abs() < clear;
        if slit < clear || face.starts.iter().skip(1).any(near) {
            let message = format!(
                "a slit {} below the rim lies on a seam of the panel, or below it",
                d.show(below)
            );
            let starts = face.starts.iter().rev();
            let above: Vec<Length> = starts.map(|start| face.height - *start - clear).collect();
            let higher = above.iter().copied().filter(|it| *it >= least && *it < below).max();
            let cure = match higher {
                Some(most) => format!("cut it {} below the rim, or well below that seam", d.show(most)),
                None => format!("cut it {} lower", d.show(clear * 2)),
            };
            refuse(d, index, "below", message, cure);
            fits = false;
        }
        fits & self.is_cut_once(d, ground, index)
    }

    /// Refuses a slit where the panel is cut for another pocket: there is no cloth left to stitch to.
    fn is_cut_once(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let middle = |(from, to): (Point, Point)| from.middle(to);
        let cut = ground.faces.iter().any(|face| {
            let own = middle(self.slit(|place| self.on(face, place)));
            d.steps().iter().filter_map(|step| step.as_a::<Slit>()).any(|slit| {
                let other = middle((slit.from, slit.to));
                slit.copy == self.panel(face) && own.distance(other) < self.half * 4
            })
        });
        let Some(face) = ground.faces.first().filter(|_| cut) else { return true };
        let message = "this slit would be cut where another zip pocket has its own, and cloth is \
                       cut there once";
        let clear = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let lower = self.bag.below + self.bag.height + clear + self.above;
        let room = face.height - d.base_rise - lower - self.bag.height + self.above;
        let elsewhere = "put it on another side of the bag, or leave one of the two out";
        let cure = if room > clear {
            format!("cut it {} or more below the rim, or {elsewhere}", d.show(lower))
        } else {
            elsewhere.to_owned()
        };
        refuse(d, index, "below", message.to_owned(), cure);
        false
    }

    /// Index of the copy of a face that is slit.
    fn index(&self, face: &Face) -> usize {
        let slit = face.height - self.bag.below - self.above;
        face.starts.iter().rposition(|start| *start < slit).unwrap_or(0)
    }

    /// The copy that is slit.
    fn panel(&self, face: &Face) -> CopyId {
        face.copies[self.index(face)]
    }

    /// A place of the bag, from its lower left corner, on the copy that is slit.
    fn on(&self, face: &Face, (across, up): (Length, Length)) -> Point {
        let (left, low) = (-self.bag.width.half(), self.bag.low(face));
        face.on(self.index(face), left + across, low + up).1
    }

    /// Where the lower left corner of the bag lies on that copy.
    fn corner(&self, face: &Face) -> Point {
        let (left, low) = (-self.bag.width.half(), self.bag.low(face));
        face.box_on(self.index(face), (left, low), (self.bag.width, self.bag.height)).1
    }

    /// Both ends of the slit, by where a place of the bag comes.
    fn slit(&self, on: impl Fn((Length, Length)) -> Point) -> (Point, Point) {
        let up = self.bag.height - self.above;
        (on((self.above, up)), on((self.above + self.slit, up)))
    }

    /// The stitched box round the slit.
    fn stitched(&self, on: impl Fn((Length, Length)) -> Point) -> Vec<Line> {
        let up = self.bag.height - self.above;
        let (left, right) = (self.above, self.above + self.slit);
        let (low, high) = (up - self.half, up + self.half);
        let corners = [(left, low), (right, low), (right, high), (left, high)].map(on);
        (0..4).map(|n| Line { from: corners[n], to: corners[(n + 1) % 4] }).collect()
    }
}

impl Pocket for ZipSlit {
    fn is_inside(&self, values: &Values) -> bool {
        values.choice("side") == "inside"
    }

    fn needs(&self, values: &Values) -> Vec<Ability> {
        needs_its_place(values)
    }

    fn build(
        &self,
        d: &mut Drafter<'_>,
        values: &Values,
        index: usize,
        outside: &Shell,
        inside: Option<&Shell>,
    ) {
        let lies_inside = match values.choice("side") {
            "lining" => inside.is_some(),
            _ => self.is_inside(values),
        };
        if lies_inside && inside.is_none() {
            let message = "a zip pocket inside a bag without a lining would open to the outside";
            let cure = "put it on the outside, or line the bag";
            refuse(d, index, "side", message.to_owned(), cure.to_owned());
            return;
        }
        let ground = Ground::of(values, lies_inside, outside, inside);
        let measures = Measures::of(d, &ground, values);
        let Measures { bag, slit, above, .. } = measures;
        let (depth, below) = (bag.height - above, bag.below + above);
        settle(d, index, [("zip", slit), ("depth", depth), ("below", below)]);
        if !measures.fits(d, &ground, index) {
            return;
        }
        let ordinal = ordinal(d, index);
        let stem = numbered("zip-pocket", ordinal);
        let name = numbered_name("zip pocket", ordinal);
        let bags = bags(d, &measures, &ground, (&stem, &name));
        let hidden = inside.is_some();
        let zips = measures.zip.for_pockets(bags.len(), pocket_tape(d));
        d.notion(zips.serving(&format!("the {name}")));
        let (id, what) = (format!("cut-zip-{stem}"), format!("the {name}"));
        measures.zip.prepare(d, (ground.chapter(), &id), &what, bags.len());
        d.tool("zip foot");
        for (number, (front, back)) in bags.iter().enumerate() {
            let face = ground.faces[number];
            let made = Made { stem: format!("{stem}{}", suffix(number)), front: *front, back: *back };
            made.fold_aside(d, &measures, (&ground, face), &name);
            made.face_slit(d, &measures, &ground, face);
            made.close(d, &measures, &ground, (measures.panel(face), &name), hidden);
            d.claims.pockets.push(PocketClaim {
                name: format!("{name}, {}", face.word),
                copy: *front,
                on: measures.panel(face),
                at: measures.corner(face),
                size: (measures.bag.width, measures.bag.height),
                true_depth: measures.bag.height - measures.above,
                opening: measures.slit,
                compartments: vec![measures.bag.width],
                inside: ground.inside,
            });
        }
    }
}

/// The two layers of the bag on each face, marked.
fn bags(
    d: &mut Drafter<'_>,
    measures: &Measures,
    ground: &Ground<'_>,
    (stem, name): (&str, &str),
) -> Vec<(CopyId, CopyId)> {
    let Spot { width, height, .. } = measures.bag;
    let allowance = bag_allowance(d);
    let piece = |id: &str, name: &str, d: &mut Drafter<'_>| {
        let edges = ["lower edge", "right side", "top edge", "left side"];
        d.piece(NewPiece {
            id,
            name,
            // A zip pocket's bag is not seen: it is cut from lining fabric wherever it hangs.
            role: Role::InsidePocket,
            net: Outline::rectangle(width, height),
            edges: edges.map(|edge| (edge, allowance)).into(),
            grain: Grain::Lengthwise,
            join: None,
        })
    };
    let front = piece(&format!("{stem}-front"), &format!("{name} front"), d);
    let back = piece(&format!("{stem}-back"), &format!("{name} back"), d);
    let own = |(x, y): (Length, Length)| Point::new(x, y);
    let mut pairs = Vec::new();
    for face in &ground.faces {
        let [one, other] = [(front, "front"), (back, "back")]
            .map(|(piece, side)| d.copy(piece, &format!("{} {name}, {side} of its bag", face.word)));
        pairs.push((one, other));
        let (from, to) = measures.slit(|place| measures.on(face, place));
        d.mark_copy(measures.panel(face), "slit", MarkShape::Placement(from, to));
        for line in measures.stitched(own) {
            d.mark_copy(one, "box", MarkShape::Stitching(line.from, line.to));
        }
        let (from, to) = measures.slit(own);
        d.mark_copy(one, "slit", MarkShape::Placement(from, to));
    }
    pairs
}

/// Seam allowance of the bag: 1/2 in (12 mm), common practice, no source.
fn bag_allowance(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 2), Length::mm(12))
}

/// One pocket in the making.
struct Made {
    stem: String,
    front: CopyId,
    back: CopyId,
}

impl Made {
    /// Folds the bags of earlier slits of the panel aside that hang where this one will.
    fn fold_aside(
        &self,
        d: &mut Drafter<'_>,
        measures: &Measures,
        (ground, face): (&Ground<'_>, &Face),
        name: &str,
    ) {
        let panel = measures.panel(face);
        let (low, size) = (measures.corner(face), (measures.bag.width, measures.bag.height));
        let over = |one: Length, long: Length, other: Length, also: Length| {
            (one + long).min(other + also) - one.max(other) > Length::ZERO
        };
        let hangs = |claim: &&PocketClaim| {
            claim.on == panel
                && over(low.x, size.0, claim.at.x, claim.size.0)
                && over(low.y, size.1, claim.at.y, claim.size.1)
                && d.steps().iter().any(|step| {
                    step.as_a::<PullThrough>().is_some_and(|pulled| pulled.what == claim.copy)
                })
        };
        let bags: Vec<CopyId> =
            d.claims.pockets.iter().filter(hangs).map(|claim| claim.copy).collect();
        let (from, to) = measures.slit(|place| measures.on(face, place));
        let middle = from.middle(to);
        let others = d.steps().iter().filter_map(|step| step.as_a::<Slit>());
        let apart = others
            .filter(|slit| slit.copy == panel)
            .map(|slit| slit.from.middle(slit.to).distance(middle))
            .min();
        let (Some(apart), false) = (apart, bags.is_empty()) else { return };
        let aside = FoldAside { bags, clear_of: self.front, of: format!("the {name}"), apart };
        d.step(ground.chapter(), &format!("aside-{}", self.stem), aside);
    }

    /// Lays the front of the bag on the panel, stitches the box, cuts, and pulls it through.
    fn face_slit(
        &self,
        d: &mut Drafter<'_>,
        measures: &Measures,
        ground: &Ground<'_>,
        face: &Face,
    ) {
        let (stem, front, chapter) = (&self.stem, self.front, ground.chapter());
        let panel = measures.panel(face);
        let on = |place| measures.on(face, place);
        let (allowance, edge) = ground.upper_edge(d);
        let how = Phrase::new(
            "Lay the front of the pocket's bag on the right side of the panel, right sides \
             together, its line of the slit on that of the panel; its top edge lies ",
        )
        .len(measures.bag.below + allowance)
        .say(format!(" below {edge}."));
        let item = Placed {
            face_up: FaceSide::Wrong,
            onto: panel,
            at: measures.corner(face),
            upside_down: face.lies[measures.index(face)].turned,
            ..measures.bag.placed(ground, face, front)
        };
        let place = Place { items: vec![item], how, mind: None, attach: Attach::Pin };
        d.step(chapter, &format!("place-{stem}"), place);
        let how = Phrase::new("Stitch a box round the slit through both layers, ")
            .len(measures.slit)
            .say(" long and ")
            .len(measures.half * 2)
            .say(" high, turning at its corners with the needle down.");
        let item = StitchedDown {
            what: front,
            onto: panel,
            lines: measures.stitched(on),
            holds: Vec::new(),
        };
        let boxed = StitchDown {
            how,
            mind: Some("shorten the stitch at the corners: they are cut into.".into()),
            items: vec![item],
            closes: None,
            stitch: d.stitch("seam"),
        };
        d.step(chapter, &format!("box-{stem}"), boxed);
        let (from, to) = measures.slit(on);
        d.step(chapter, &format!("slit-{stem}"), Slit { copy: panel, from, to });
        d.step(chapter, &format!("pull-{stem}"), PullThrough { what: front, panel });
    }

    /// Sets the zip, and closes the bag behind the panel.
    fn close(
        &self,
        d: &mut Drafter<'_>,
        measures: &Measures,
        ground: &Ground<'_>,
        (panel, name): (CopyId, &str),
        hidden: bool,
    ) {
        let (stem, chapter) = (&self.stem, ground.chapter());
        // Of two on one panel each has its own.
        let several = d.steps().iter().filter_map(|step| step.as_a::<SetZip>());
        let several = several.filter(|zip| zip.into == ZipInto::Slit(panel)).count() > 0;
        let zip = SetZip {
            what: if several { format!("the zip of the {name}") } else { "the zip".to_owned() },
            length: measures.zip.length(),
            into: ZipInto::Slit(panel),
            shows: None,
            from_teeth: measures.half.half(),
            stitch: d.stitch("topstitch"),
        };
        d.step(chapter, &format!("zip-{stem}"), zip);
        let [one, other] = self.around(d);
        let mut join = Join::plain(
            &format!("the bag of the {name} on all four sides"),
            vec![[one.clone(), other.clone()]],
            bag_allowance(d),
            d.stitch("seam"),
        );
        join.press = Press::Not;
        join.mind = Some(
            "fold the panel out of the way at each side: only the two layers of the bag are sewn."
                .to_owned(),
        );
        d.step(chapter, &format!("close-{stem}"), join);
        if !hidden {
            let finish = FinishEdges {
                what: format!("the bag of the {name}"),
                runs: vec![one, other],
                how: EdgeFinish::Overcast,
                bound_with: None,
                together: true,
            };
            d.step(chapter, &format!("finish-{stem}"), finish);
        }
        debug_assert!(chapter == Chapter::Panels || chapter == Chapter::Lining, "it lies flat");
    }

    /// Both sides of the seam round the bag.
    fn around(&self, d: &Drafter<'_>) -> [Run; 2] {
        let one = [BASE, RIGHT, RIM, LEFT].into_iter().flat_map(|e| whole(d, self.front, e).spans);
        let other = [BASE, LEFT, RIM, RIGHT]
            .into_iter()
            .flat_map(|e| whole(d, self.back, e).reversed().spans);
        [Run::round(one), Run::round(other)]
    }
}
