//! Pockets as wide as their panel, caught in its side and base seams.

use measure::{Length, Point};

use super::kit::{
    Among, Ground, edgestitch, fitting, needs_its_place, refuse, settle, wide_enough,
};
use super::pouch::the;
use super::single::turn_under;
use super::{numbered, numbered_name, ordinal};
use crate::design::Role;
use crate::draft::face::{BASE, Lower, whole};
use crate::draft::strap::by_panel;
use crate::draft::{Ability, Drafter, Face, NewPiece};
use crate::kinds::{Param, Values, choice, length, optional};
use crate::operations::{
    Attach, Beside, EdgeFinish, FaceSide, FinishEdges, Hem, Join, Line, Phrase, Place, Placed,
    Press, PressSeam, StitchDown, StitchedDown, Through, Topstitch, Turn,
};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PieceId, PocketClaim, Run};

/// How the top edge is finished.
pub(super) const TOP: Param = choice(
    "top",
    "top edge",
    "How the top edge is finished.",
    &[
        ("hem", "turned twice and stitched"),
        ("lined", "a second layer of lining fabric, turned over the top"),
    ],
);

/// From the base seam up.
pub(super) const HEIGHT: Param = optional(
    "height",
    "height",
    "From the base seam, or from the fold of a panel that is folded at the base, to the pocket's finished \
     top edge, on a strip that goes round the base from where that turns; left out, what is usual, or as \
     high as the panel allows.",
    [Length::mm(40), Length::mm(1_200)],
).along();

/// What it needs of its panel.
pub(super) fn needs(values: &Values) -> Vec<Ability> {
    match Among::of(values) {
        Among::Panels => vec![Ability::SideSeams],
        Among::Sides | Among::Ends => needs_its_place(values),
    }
}

/// Makes one on each of these faces: the words of its steps, of its piece and of its copies.
pub(super) fn build(
    d: &mut Drafter<'_>,
    values: &Values,
    index: usize,
    ground: &Ground<'_>,
    [stem, name, noun]: [&str; 3],
) {
    let ordinal = ordinal(d, index);
    let full = FullWidth {
        stem: numbered(stem, ordinal),
        name: numbered_name(name, ordinal),
        noun: numbered_name(noun, ordinal),
        height: full_height(d, ground, values),
        from: begins(d, ground),
        top: Top::of(values),
    };
    settle(d, index, [("height", full.height)]);
    let divisions = i64::from(values.count("divisions"));
    let width = ground.faces.first().map_or(Length::ZERO, |face| face.width_at(full.height));
    if !full.fits(d, ground, index) || !wide_enough(d, index, (width, divisions)) {
        return;
    }
    let fronts = full.make(d, ground);
    full.divide(d, ground, &fronts, divisions);
    full.claim(d, ground, &fronts, divisions);
}

/// The height that is asked for; left out, 9 in (230 mm), or less where the rim, a cuff or what else
/// lies over the panel leaves less.
fn full_height(d: &Drafter<'_>, ground: &Ground<'_>, values: &Values) -> Length {
    // Of a round end up to where it is widest: there its sides are upright, and a hem turns onto itself.
    if let Some(end) = ground.faces.first().filter(|face| face.circle) {
        return values.optional("height").unwrap_or_else(|| d.snap(end.corner));
    }
    let usual = ground.within_reach(d, d.either(Length::inch(9), Length::mm(230)));
    let clear = d.either(Length::inch(1), Length::mm(25)).max(ground.covered());
    let corner = ground.faces.first().map_or(Length::ZERO, |face| face.corner);
    let least =
        d.base_rise.max(corner).max(begins(d, ground)) + d.either(Length::inch(2), Length::mm(50));
    values.optional("height").unwrap_or_else(|| {
        let room = ground.faces.first().map_or(usual, |face| face.height - clear);
        fitting(d, usual, room).max(least.min(usual))
    })
}

/// Depth of the hem.
pub(super) const HEM: Param = length(
    "hem",
    "hem",
    "Depth of the hem, which is turned twice by as much.",
    [Length::mm(6), Length::mm(60), Length::inch_frac(1, 2), Length::mm(12)],
);

/// How the top edge is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Top {
    /// Turned twice by this much.
    Hem(Length),
    /// With a second layer.
    Lined,
}

impl Top {
    /// As the parameters say.
    pub(super) fn of(values: &Values) -> Self {
        if values.choice("top") == "lined" { Self::Lined } else { Self::Hem(values.length("hem")) }
    }
}

/// A pocket as wide as its panel.
#[derive(Clone, Debug)]
pub(super) struct FullWidth {
    /// Word of its piece and steps.
    pub(super) stem: String,
    /// What a person calls its piece.
    pub(super) name: String,
    /// What its copies are called after the word of their face.
    pub(super) noun: String,
    /// From the base seam, where a strip turns under the base, or the fold there, to its finished top
    /// edge.
    pub(super) height: Length,
    /// From there to its finished lower edge: nothing where it is caught in the seam.
    pub(super) from: Length,
    /// How its top edge is finished.
    pub(super) top: Top,
}

/// Whether handles run up from the base, over whatever reaches down to it.
pub(super) fn handles_from_base(d: &Drafter<'_>) -> bool {
    let handles = &d.design.handles.values;
    handles.get("from").is_some() && handles.choice("from") == "base"
}

/// Where the lower left corner of the pocket's box comes on the lowest copy of its face: centred,
/// at the base. The boxes of panels that taper are as wide as their wider end.
pub(super) fn corner(face: &Face, height: Length) -> Point {
    let half = face.box_below(height).half();
    face.on(0, -half, Length::ZERO).1
}

/// How high a pocket begins that has no seam at the base to be caught in: above where a strip turns under
/// the base, or above the base of a panel that is folded there. It bends there, a strip is clipped, and
/// corners are boxed: 1/2 in (12 mm) clear of that, common practice, no source.
fn begins(d: &Drafter<'_>, ground: &Ground<'_>) -> Length {
    if !ground.without_base_seam() {
        return Length::ZERO;
    }
    d.base_rise + d.either(Length::inch_frac(1, 2), Length::mm(12))
}

impl FullWidth {
    /// Refuses what reaches the rim, or ends under the bag.
    pub(super) fn fits(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let Some(first) = ground.faces.first() else { return false };
        if first.circle {
            return self.fits_in_circle(d, first, index);
        }
        let height = self.height;
        let room = first.height - height;
        let cuff = ground.covered();
        if cuff.is_positive() && room < cuff {
            let message = format!(
                "a pocket {} high on a panel {} high reaches under the top that is turned down {}",
                d.show(height),
                d.show(first.height),
                d.show(cuff)
            );
            let most = (first.height - cuff).max(Length::ZERO);
            let cure = format!("make it {} or less", d.show(most));
            refuse(d, index, "height", message, cure);
            return false;
        }
        if room < d.either(Length::inch_frac(1, 2), Length::mm(12)) {
            let message = format!(
                "a pocket {} high reaches the rim of a panel {} high",
                d.show(height),
                d.show(first.height)
            );
            let most = first.height - d.either(Length::inch(1), Length::mm(25));
            let cure = if most.is_positive() {
                format!("make it {} or less", d.show(most))
            } else {
                "make the bag higher, or choose another pocket".to_owned()
            };
            refuse(d, index, "height", message, cure);
            return false;
        }
        let least = first.corner + d.either(Length::inch_frac(1, 2), Length::mm(12));
        if first.corner.is_positive() && height < least {
            let message = format!(
                "a pocket {} high ends in the rounded corners, which reach {} up",
                d.show(height),
                d.show(first.corner)
            );
            refuse(d, index, "height", message, format!("make it {} or more", d.show(least)));
            return false;
        }
        let least = self.from + d.either(Length::inch(2), Length::mm(50));
        if self.from.is_positive() && height < least {
            let message = format!(
                "a pocket that begins {} above the {} and ends {} above it holds nothing",
                d.show(self.from),
                if ground.among == Among::Panels { "fold" } else { "base" },
                d.show(height)
            );
            refuse(d, index, "height", message, format!("make it {} or more", d.show(least)));
            return false;
        }
        if height <= d.base_rise {
            let message = format!(
                "a pocket {} high ends under the bag: the base takes {} of the panel",
                d.show(height),
                d.show(d.base_rise)
            );
            let least = d.base_rise + d.either(Length::inch(2), Length::mm(50));
            let cure = format!("make it {} or more", d.show(least));
            refuse(d, index, "height", message, cure);
            return false;
        }
        true
    }

    /// The same on a round end: its mouth is the chord at its top edge, through which a hand goes, and
    /// below which there is something to hold.
    fn fits_in_circle(&self, d: &mut Drafter<'_>, end: &Face, index: usize) -> bool {
        let hand = d.either(Length::inch(4), Length::mm(100));
        let least = d.either(Length::inch(2), Length::mm(50));
        // Halfway from the middle to the top the end is still √3/2 times as wide as there.
        let most = end.height - (end.corner / 2).max(least);
        let mouth = end.width_at(self.height.min(end.height));
        if self.height >= least && self.height <= most && mouth >= hand {
            return true;
        }
        let message = format!(
            "a pocket {} high on a round end {} across is open for {}",
            d.show(self.height),
            d.show(end.height),
            d.show(mouth)
        );
        let cure = if end.height < hand {
            format!("make the end {} across or more, or put the pocket elsewhere", d.show(hand))
        } else {
            let widest = d.show(d.snap(end.corner));
            format!("make it {widest} high, where the end is widest, or up to {}", d.show(most))
        };
        refuse(d, index, "height", message, cure);
        false
    }

    /// Cuts, finishes and places it on each face; gives its fronts.
    pub(super) fn make(&self, d: &mut Drafter<'_>, ground: &Ground<'_>) -> Vec<CopyId> {
        let Some(first) = ground.faces.first() else { return Vec::new() };
        let top = match self.top {
            Top::Lined => d.allowance("pocket"),
            Top::Hem(hem) => hem * 2,
        };
        let (stem, name) = (&self.stem, &self.name);
        let piece = self.piece(d, first, (stem, name, ground.role()), top);
        let fronts = ground.copies(d, piece, &self.noun);
        let mut backs = Vec::new();
        let [_, edge, _] = self.below(first).sides;
        match self.top {
            Top::Lined => {
                let names = (format!("{stem}-lining"), format!("{name} lining"));
                let lining = self.piece(d, first, (&names.0, &names.1, Role::Lining), top);
                backs = ground.copies(d, lining, &lining_of(&self.noun));
                self.line(d, (&fronts, &backs), edge);
            }
            Top::Hem(hem) => self.hem(d, &fronts, (edge, hem)),
        }
        self.mark(d, ground, &fronts);
        self.place(d, ground, &fronts, &backs);
        if self.is_free_below() {
            self.stitch_across(d, ground, &fronts);
        }
        fronts
    }

    /// Whether its lower edge lies in no seam.
    fn is_free_below(&self) -> bool {
        self.from.is_positive()
    }

    /// How high it is itself.
    fn high(&self) -> Length {
        self.height - self.from
    }

    /// Where the lower left corner of its box comes on the lowest copy of its face.
    fn corner(&self, face: &Face) -> Point {
        if !self.is_free_below() {
            return corner(face, self.height);
        }
        let width = face.width_at(self.height);
        face.box_on(0, (-width.half(), self.from), (width, self.high())).1
    }

    /// Edgestitches its lower edge down, from seam to seam.
    fn stitch_across(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, fronts: &[CopyId]) {
        let inset = edgestitch(d);
        let how = Phrase::new(format!(
            "Edgestitch the lower edge of {} down from one raw edge of the {} to the other, ",
            the("pocket", fronts.len()),
            if ground.among == Among::Panels { ground.layer() } else { "strip" }
        ))
        .len(inset)
        .say(" from it.");
        let item = |(face, copy): (&&Face, &CopyId)| {
            let half = face.width_at(self.height).half();
            let [from, to] = [-half, half].map(|x| face.on(0, x, self.from + inset).1);
            let (lines, holds) = (vec![Line { from, to }], vec![BASE]);
            StitchedDown { what: *copy, onto: face.bottom(), lines, holds }
        };
        let items = ground.faces.iter().zip(fronts).map(item).collect();
        let mind = Some("this row is the floor of the pocket: go over it twice.".into());
        let stitch = d.stitch("topstitch");
        let down = StitchDown { how, mind, items, closes: None, stitch };
        d.step(ground.chapter(), &format!("stitch-{}", self.stem), down);
    }

    /// Promises it on each face, in so many equal compartments beside what is stitched to the panel
    /// from within.
    pub(super) fn claim(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        fronts: &[CopyId],
        divisions: i64,
    ) {
        let height = self.height;
        let row = if self.is_free_below() { edgestitch(d) } else { Length::ZERO };
        for (face, copy) in ground.faces.iter().zip(fronts) {
            let width = face.width_at(height);
            d.claims.pockets.push(PocketClaim {
                name: format!("{} {}", face.word, self.noun),
                copy: *copy,
                on: face.bottom(),
                at: self.corner(face),
                size: (width, self.high()),
                true_depth: height - d.base_rise.max(self.from) - row,
                opening: width,
                compartments: Vec::new(),
                inside: ground.inside,
            });
            let lines = (1..divisions).map(|n| width * n / divisions - width.half());
            let lines = lines.map(|x| (x, x));
            d.divide_pocket(*copy, lines.chain(face.sewn.iter().map(|strip| strip.across)));
        }
    }

    fn piece(
        &self,
        d: &mut Drafter<'_>,
        face: &Face,
        (id, name, role): (&str, &str, Role),
        top: Length,
    ) -> PieceId {
        let Lower { net, names, sides, level } = self.below(face);
        let mut edges = held_edges(d, &names, &level, (sides[1], top));
        if self.is_free_below() {
            edges[BASE] = ("lower edge", self.below_allowance(d));
        }
        d.piece(NewPiece { id, name, role, net, edges, grain: Grain::Lengthwise, join: None })
    }

    /// Allowance of a lower edge that lies in no seam of the bag: sewn to its lining, or turned under.
    fn below_allowance(&self, d: &Drafter<'_>) -> Length {
        match self.top {
            Top::Lined => d.allowance("pocket"),
            Top::Hem(_) => turn_under(d),
        }
    }

    /// The part of a face that it lies on.
    fn below(&self, face: &Face) -> Lower {
        face.below(self.high(), face.width_at(self.height))
    }

    fn hem(&self, d: &mut Drafter<'_>, fronts: &[CopyId], (top, hem): (usize, Length)) {
        let stem = &self.stem;
        let run = Run::open(fronts.iter().flat_map(|copy| whole(d, *copy, top).spans));
        let what = format!("the top edge of {}", the("pocket", fronts.len()));
        let stitch = d.stitch("topstitch");
        if self.is_free_below() {
            let finish = FinishEdges {
                what: format!("the lower edge of {}", the("pocket", fronts.len())),
                runs: fronts.iter().map(|copy| whole(d, *copy, BASE)).collect(),
                how: EdgeFinish::Overcast,
                bound_with: None,
                together: false,
            };
            d.step(Chapter::Pockets, &format!("finish-{stem}"), finish);
        }
        d.step(
            Chapter::Pockets,
            &format!("hem-{stem}"),
            Hem { what, run, first: hem, depth: hem, tucked: Vec::new(), stitch },
        );
        if self.is_free_below() {
            let press = PressSeam {
                what: Phrase::new(format!(
                    "the lower edge of {} to the wrong side by ",
                    the("pocket", fronts.len())
                ))
                .len(turn_under(d)),
                copies: fronts.to_vec(),
                mind: None,
            };
            d.step(Chapter::Pockets, &format!("press-{stem}"), press);
        }
    }

    fn line(&self, d: &mut Drafter<'_>, (fronts, backs): (&[CopyId], &[CopyId]), top: usize) {
        let stem = &self.stem;
        let tube = self.is_free_below();
        let edges = if tube { vec![top, BASE] } else { vec![top] };
        let seams = fronts.iter().zip(backs).flat_map(|(front, back)| {
            let along = |edge| [whole(d, *front, edge), whole(d, *back, edge).reversed()];
            edges.iter().map(|edge| along(*edge)).collect::<Vec<_>>()
        });
        let which = the("pocket", fronts.len());
        let edges = if tube { "the top and the lower edge" } else { "the top edge" };
        let (allowance, stitch) = (d.allowance("pocket"), d.stitch("seam"));
        let mut join =
            Join::plain(&format!("{edges} of {which}"), seams.collect(), allowance, stitch);
        join.press = if tube { Press::Not } else { Press::Toward("the lining".to_owned()) };
        d.step(Chapter::Pockets, &format!("line-{stem}"), join);
        if tube {
            let turn = Turn {
                what: which.clone(),
                bodies: fronts.to_vec(),
                through: Through::End,
                then: String::new(),
            };
            d.step(Chapter::Pockets, &format!("turn-{stem}"), turn);
        }
        let press = PressSeam {
            what: Phrase::new(if tube {
                format!("{which} flat, its seams exactly on its edges, its raw sides level")
            } else {
                format!(
                    "the lining to the wrong side of {which}, wrong sides together, so that the seam \
                     lies exactly on the edge and all raw edges are level"
                )
            }),
            copies: [fronts, backs].concat(),
            mind: tube.then(|| "its sides stay open and raw: the seams there hold them.".into()),
        };
        d.step(Chapter::Pockets, &format!("press-{stem}"), press);
        let topstitch = Topstitch {
            what: format!("the top edge of {which}"),
            copies: if tube { [fronts, backs].concat() } else { fronts.to_vec() },
            rows: vec![d.either(Length::inch_frac(1, 4), Length::mm(6))],
            beside: Beside::Edge,
            along: Vec::new(),
            stitch: d.stitch("topstitch"),
            round: false,
        };
        d.step(Chapter::Pockets, &format!("topstitch-{stem}"), topstitch);
    }

    /// Marks the centre of its base, or where it comes across a panel or strip without a seam there.
    fn mark(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, fronts: &[CopyId]) {
        for (face, copy) in ground.faces.iter().zip(fronts) {
            if self.is_free_below() {
                self.mark_across(d, face);
                continue;
            }
            let along = d.piece_of(*copy).net.edge_length(BASE).half();
            let label = match ground.among {
                Among::Sides => "centre of the seam",
                Among::Panels | Among::Ends => "centre of the base",
            };
            d.mark_copy(*copy, label, MarkShape::Notch { edge: BASE, along });
        }
    }

    /// Marks where its lower and its top edge come across what it lies on.
    fn mark_across(&self, d: &mut Drafter<'_>, face: &Face) {
        let half = face.width_at(self.height).half();
        for (label, up) in [("lower edge", self.from), ("top edge", self.height)] {
            for (on, from, to) in face.line((-half, up), (half, up)) {
                let label = format!("{} of the {}", label, self.noun);
                d.mark_copy(on, &label, MarkShape::Placement(from, to));
            }
        }
    }

    fn place(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, fronts: &[CopyId], backs: &[CopyId]) {
        let (stem, faces) = (&self.stem, &ground.faces);
        let layer = |face: &Face, copy: &CopyId| {
            let level = self.below(face).level;
            let placed = Placed::new(*copy, face.bottom(), self.corner(face));
            let upside_down = face.lies[0].turned;
            Placed { level, upside_down, ground: ground.side(), ..placed }
        };
        let mut items: Vec<Placed> =
            faces.iter().zip(fronts).map(|(face, copy)| layer(face, copy)).collect();
        // The pocket's lining lies below, its wrong side up, and is caught with it.
        items.extend(
            faces
                .iter()
                .zip(backs)
                .map(|(face, copy)| Placed { face_up: FaceSide::Wrong, ..layer(face, copy) }),
        );
        let layer = ground.layer();
        let (which, onto) = match faces.as_slice() {
            [one] => ("the", ground.onto(one)),
            _ => ("a", ground.onto_each()),
        };
        let level = match ground.among {
            Among::Ends => "with its raw edge all along its curve, its centre notch on the mark of the \
                            base seam"
                .to_owned(),
            Among::Sides if self.is_free_below() => "with the raw edges of both long sides, its lower \
                                                     edge on the line nearer to the middle of the strip, \
                                                     its top edge on that nearer to its end"
                .to_owned(),
            Among::Sides => "with the raw edges at the base and both sides, its centre notch on that of \
                             the side"
                .to_owned(),
            Among::Panels if self.is_free_below() => {
                "with the raw edges at both sides, its lower and its top edge on their lines".to_owned()
            }
            Among::Panels => format!(
                "with the raw edges at the base and both sides, its centre notch on that of the {layer}"
            ),
        };
        let up = ground.side().words();
        let how = Phrase::new(match ground.among {
            // "On the right side of the right-hand side" is no help.
            Among::Sides => format!(
                "Lay {which} pocket, right side up, on {onto}, which lies {up} up, level {level}."
            ),
            Among::Panels | Among::Ends => {
                format!("Lay {which} pocket, right side up, on the {up} of {onto}, level {level}.")
            }
        });
        let place = Place {
            items,
            how,
            mind: ground
                .toward_its_end()
                .or_else(|| ground.toward_its_rim())
                .or_else(|| Some("see that a one-way print stands the right way up.".into())),
            attach: Attach::baste(d),
        };
        d.step(ground.chapter(), &format!("place-{stem}"), place);
    }

    /// From where it is divided at a distance from the centre line.
    fn floor(&self, face: &Face, x: Length) -> Length {
        if self.is_free_below() { self.from } else { face.floor_at(x) }
    }

    /// Stitches it into equal compartments.
    pub(super) fn divide(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        fronts: &[CopyId],
        divisions: i64,
    ) {
        if divisions < 2 {
            return;
        }
        let (stem, faces, height) = (&self.stem, &ground.faces, self.height);
        let width = faces[0].width_at(height);
        let each = width / divisions;
        let items = faces.iter().zip(fronts).flat_map(|(face, copy)| {
            let lines = (1..divisions).flat_map(|n| {
                let x = d.snap(width * n / divisions) - width.half();
                face.line((x, self.floor(face, x)), (x, height))
                    .into_iter()
                    .map(|(on, from, to)| (on, Line { from, to }))
            });
            by_panel(*copy, lines.collect())
        });
        let items: Vec<StitchedDown> = items.collect();
        for (face, copy) in faces.iter().zip(fronts) {
            for n in 1..divisions {
                let x = d.snap(width * n / divisions) - width.half();
                let (low, high) = if self.is_free_below() {
                    // Its own upright: the end of the strip may stand on its head.
                    let across = x + width.half();
                    (Point::new(across, Length::ZERO), Point::new(across, self.high()))
                } else {
                    let by = if face.circle { corner(face, height).x } else { Length::ZERO };
                    let on_pocket = |at: Point| Point::new(at.x - by, at.y);
                    let low = face.on(0, x, face.floor_at(x)).1;
                    (on_pocket(low), on_pocket(face.on(0, x, height).1))
                };
                let line = MarkShape::Stitching(low, high);
                d.mark_copy(*copy, "division", line);
            }
        }
        let ground_words = if self.is_free_below() {
            if ground.among == Among::Panels {
                "panel from the pocket's lower edge"
            } else {
                "gusset from the pocket's lower edge"
            }
        } else {
            "panel from the base"
        };
        let how = Phrase::new(format!(
            "Stitch through pocket and {ground_words} to the pocket's top edge, so that \
             {divisions} compartments "
        ))
        .len(each)
        .say(" wide result.");
        let stitch = d.stitch("topstitch");
        let down = StitchDown { how, mind: None, items, closes: None, stitch };
        d.step(ground.chapter(), &format!("divide-{stem}"), down);
    }
}

/// Names and allowances of a pocket's edges: its raw edges come level with those of the panel that
/// it lies on, and its top edge has its own allowance.
pub(super) fn held_edges(
    d: &Drafter<'_>,
    names: &[&'static str],
    level: &[(usize, CopyId, usize)],
    (top, own): (usize, Length),
) -> Vec<(&'static str, Length)> {
    let allowance = |edge: usize| {
        let held = level.iter().find(|(it, ..)| *it == edge);
        let of_host = held.and_then(|(_, host, at)| d.piece_of(*host).edges.get(*at));
        of_host.map_or(d.seam_allowance("side"), |edge| edge.allowance)
    };
    let each = names.iter().enumerate();
    each.map(|(edge, name)| (*name, if edge == top { own } else { allowance(edge) })).collect()
}

/// "pocket lining" after "pocket", "pocket lining 2" after "pocket 2".
fn lining_of(noun: &str) -> String {
    match noun.rsplit_once(' ') {
        Some((stem, number)) if number.parse::<u32>().is_ok() => format!("{stem} lining {number}"),
        _ => format!("{noun} lining"),
    }
}
