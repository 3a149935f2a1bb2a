//! What pockets that are stitched onto a side of the bag have in common: which side and layer they
//! lie on, where, and how they are placed, stitched down and divided.

use measure::{Length, Point, Rounding};

use super::pouch::the;
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT};
use crate::draft::{Ability, Drafter, Face, Shell};
use crate::kinds::{Param, Values, choice, optional};
use crate::operations::{Attach, FaceSide, Line, Phrase, Place, Placed, StitchDown, StitchedDown};
use crate::pattern::{Chapter, CopyId, MarkShape, PieceId, PocketClaim};

/// Where pockets lie: first those of every bag, then those on a gusset, then those on ends.
const PLACES: &[(&str, &str)] = &[
    ("front", "the front"),
    ("back", "the back"),
    ("both", "front and back"),
    ("left-side", "the left side, seen from the front, of a bag with a gusset"),
    ("right-side", "the right side"),
    ("sides", "both sides"),
    ("left-end", "the left end, seen from the front, of a bag with ends of their own"),
    ("right-end", "the right end"),
    ("ends", "both ends"),
];

/// The front or the back.
pub(super) const ON_PANELS: Param =
    choice("on", "on", "Which side of the bag.", PLACES.split_at(3).0);

/// The front, the back or a side of a gusset.
pub(super) const ON: Param = choice("on", "on", "Which side of the bag.", PLACES.split_at(6).0);

/// The same, or an end.
pub(super) const ON_ENDS: Param = choice("on", "on", "Which side or end of the bag.", PLACES);

/// Which faces of the bag a word of [`ON_ENDS`] is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Among {
    /// Front and back.
    Panels,
    /// The sides of a gusset.
    Sides,
    /// Ends that are pieces of their own.
    Ends,
}

impl Among {
    /// From what the parameter `on` says.
    pub(super) fn of(values: &Values) -> Self {
        match values.choice("on") {
            "left-side" | "right-side" | "sides" => Self::Sides,
            "left-end" | "right-end" | "ends" => Self::Ends,
            _ => Self::Panels,
        }
    }

    /// What the bag must have for it.
    fn needs(self) -> Option<Ability> {
        match self {
            Self::Panels => None,
            Self::Sides => Some(Ability::Sides),
            Self::Ends => Some(Ability::Ends),
        }
    }

    /// Its faces in a shell, and the word for all of them.
    fn faces(self, shell: &Shell) -> (&[Face], &'static str) {
        match self {
            Self::Panels => (&shell.faces, "both"),
            Self::Sides => (&shell.sides, "sides"),
            Self::Ends => (&shell.ends, "ends"),
        }
    }
}

/// What a pocket that is laid flat on its panel needs for that panel to be there.
pub(super) fn needs_its_place(values: &Values) -> Vec<Ability> {
    Among::of(values).needs().into_iter().collect()
}

/// Whether it lies outside or inside.
pub(super) const SIDE: Param = choice(
    "side",
    "side",
    "Whether it lies on the outside of the bag, or inside: on the lining, or on the wrong side of \
     a bag without one.",
    &[("outside", "on the outside"), ("inside", "on the inside")],
);

/// The same for kinds that are inside as a rule.
pub(super) const INSIDE: Param = choice(
    "side",
    "side",
    SIDE.help,
    &[("inside", "on the inside"), ("outside", "on the outside")],
);

/// The nearest to the rim that a pocket may be set.
const HIGHEST: Length = Length::mm(15);

/// From the rim down to the pocket's top edge.
pub(super) const BELOW: Param = optional(
    "below",
    "below the rim",
    "From the rim down to the pocket's top edge; left out, a hand's breadth, or less on a bag that is \
     not high enough for that.",
    [HIGHEST, Length::mm(600)],
).along();

/// A width that follows the panel.
pub(super) const WIDTH: Param = optional(
    "width",
    "width",
    "Finished width as it lies on the bag; left out, what is usual, or as wide as the panel allows.",
    [Length::mm(60), Length::mm(1_000)],
).along();

/// A height that follows the panel.
pub(super) const HEIGHT: Param = optional(
    "height",
    "height",
    "Finished height; left out, what is usual, or as high as the panel allows.",
    [Length::mm(60), Length::mm(800)],
)
.along();

/// The faces that a pocket lies on, and which side of them.
#[derive(Clone, Debug)]
pub(super) struct Ground<'s> {
    /// The faces.
    pub(super) faces: Vec<&'s Face>,
    /// Whether it is inside the bag.
    pub(super) inside: bool,
    /// Whether it lies on a lining.
    pub(super) lined: bool,
    /// Which faces of the bag they are.
    pub(super) among: Among,
}

impl<'s> Ground<'s> {
    /// From what the parameters `on` and, if the kind has it, `side` say.
    pub(super) fn of(
        values: &Values,
        is_inside: bool,
        outside: &'s Shell,
        inside: Option<&'s Shell>,
    ) -> Self {
        let on = values.choice("on");
        let lining = inside.filter(|_| is_inside);
        let among = Among::of(values);
        let (faces, all) = among.faces(lining.unwrap_or(outside));
        let word = on.replace('-', " ");
        let faces = faces.iter().filter(|face| on == all || word == face.word).collect();
        Self { faces, inside: is_inside, lined: lining.is_some(), among }
    }

    /// "the front panel", "the left-hand side of the gusset": what it is laid on.
    pub(super) fn onto(&self, face: &Face) -> String {
        format!("the {}", self.named(&place_of(face)))
    }

    /// "each panel": what each of several is laid on.
    pub(super) fn onto_each(&self) -> String {
        match self.among {
            Among::Panels => format!("each {}", self.layer()),
            Among::Sides => format!("each {}", self.named("side")),
            Among::Ends => format!("each {}", self.named("end")),
        }
    }

    /// "front lining", "left end of the lining": a place, and whose it is.
    fn named(&self, place: &str) -> String {
        match (self.among, self.lined) {
            (Among::Panels, _) => format!("{place} {}", self.layer()),
            (Among::Sides, false) => format!("{place} of the gusset"),
            (Among::Sides, true) => format!("{place} of the gusset of the lining"),
            (Among::Ends, false) => place.to_owned(),
            (Among::Ends, true) => format!("{place} of the lining"),
        }
    }

    /// What its panel is called after the word of its side: "panel", or "lining".
    pub(super) fn layer(&self) -> &'static str {
        if self.lined { "lining" } else { "panel" }
    }

    /// Whether its faces are both ends of one strip that goes round the base, which has no seam there.
    pub(super) fn on_a_strip(&self) -> bool {
        self.among == Among::Sides && self.faces.iter().any(|face| face.base_edge().is_none())
    }

    /// Whether its faces have no seam at the base: the ends of such a strip, or the halves of a panel that
    /// is folded there.
    pub(super) fn without_base_seam(&self) -> bool {
        self.among != Among::Ends && self.faces.iter().any(|face| face.base_edge().is_none())
    }

    /// How things lie on both ends of a strip: a word of warning.
    pub(super) fn toward_its_end(&self) -> Option<Phrase> {
        let both = self.on_a_strip() && self.faces.len() > 1;
        both.then(|| {
            "either end of the strip is a top: each pocket opens toward the end next to it, so that on \
             the flat strip the two point away from each other."
                .into()
        })
    }

    /// How things lie on the half of a panel that stands on its head below its fold: a word of warning.
    pub(super) fn toward_its_rim(&self) -> Option<Phrase> {
        let turned = |face: &&Face| face.lies.iter().any(|lie| lie.turned);
        (self.among == Among::Panels && self.faces.iter().any(turned)).then(|| {
            "the pocket opens toward the rim next to it: while the panel lies flat, the back stands on its \
             head."
                .into()
        })
    }

    /// The allowance of the edge from which it is measured down, and what a person calls that edge.
    pub(super) fn upper_edge(&self, d: &Drafter<'_>) -> (Length, &'static str) {
        let end = self.faces.first().filter(|_| self.among == Among::Ends);
        let Some((copy, edge)) = end.map(|face| face.rim_edge()) else {
            let strip = self.on_a_strip();
            let raw = if strip { "the raw end of the strip" } else { "the raw rim" };
            return (d.rim_allowance, raw);
        };
        let allowance = d.piece_of(copy).edges.get(edge).map(|edge| edge.allowance);
        (allowance.unwrap_or(d.rim_allowance), "the middle of its raw top")
    }

    /// The side of the panel that is up when the pocket is laid on it.
    pub(super) fn side(&self) -> FaceSide {
        if self.inside && !self.lined { FaceSide::Wrong } else { FaceSide::Right }
    }

    /// The highest that a pocket is as a rule: on a side, which may be too narrow for a hand, as deep as
    /// fingers reach, 8 in (200 mm), common practice, no source.
    pub(super) fn within_reach(&self, d: &Drafter<'_>, usual: Length) -> Length {
        match self.among {
            Among::Sides => usual.min(d.either(Length::inch(8), Length::mm(200))),
            Among::Panels | Among::Ends => usual,
        }
    }

    /// How far down what lies on the outside is covered by a top that is turned down.
    pub(super) fn covered(&self) -> Length {
        let covered = self.faces.iter().filter(|_| !self.inside).map(|face| face.covered);
        covered.max().unwrap_or(Length::ZERO)
    }

    /// How far down a casing of the body gathers it.
    fn drawn(&self) -> Length {
        self.faces.iter().map(|face| face.drawn).max().unwrap_or(Length::ZERO)
    }

    /// How far down the panel bends round the edge of a top, across which nothing lies flat.
    fn bends(&self) -> Length {
        self.faces.iter().map(|face| face.bends).max().unwrap_or(Length::ZERO)
    }

    /// The chapter in which it is sewn on.
    pub(super) fn chapter(&self) -> Chapter {
        if self.lined { Chapter::Lining } else { Chapter::Panels }
    }

    /// The part of the bag whose fabric it is cut from.
    pub(super) fn role(&self) -> Role {
        if self.inside { Role::InsidePocket } else { Role::Pocket }
    }

    /// The places of its faces, with these words between them: "front and the back".
    pub(super) fn places(&self, between: &str) -> String {
        let places: Vec<String> = self.faces.iter().map(|face| place_of(face)).collect();
        places.join(between)
    }

    /// One copy of a piece for each face, named after it.
    pub(super) fn copies(&self, d: &mut Drafter<'_>, piece: PieceId, noun: &str) -> Vec<CopyId> {
        self.faces.iter().map(|face| d.copy(piece, &format!("{} {noun}", face.word))).collect()
    }
}

/// Where a pocket lies on its face, centred across: its finished size as it lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    /// Finished width.
    pub(super) width: Length,
    /// Finished height.
    pub(super) height: Length,
    /// From the finished rim down to its top edge.
    pub(super) below: Length,
}

/// Parameters to which a spot's refusals point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keys {
    /// What makes it narrower.
    pub(super) width: &'static str,
    /// What makes it lower.
    pub(super) height: &'static str,
}

impl Spot {
    /// The spot of the parameters `width`, `height` and `below`, for a pocket that is so large as a
    /// rule, in inches and in mm; nothing, with the reason told, if it does not fit on its face.
    pub(super) fn of(
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        (values, index): (&Values, usize),
        [width, height]: [[Length; 2]; 2],
    ) -> Option<Self> {
        let usual = Self {
            width: d.either(width[0], width[1]),
            height: d.either(height[0], height[1]),
            below: usual_below(d),
        };
        let asked = ["width", "height", "below"].map(|key| values.optional(key));
        let spot = Self::fitted(d, ground, asked, usual);
        let Self { width, height, below } = spot;
        settle(d, index, [("width", width), ("height", height), ("below", below)]);
        let keys = Keys { width: "width", height: "height" };
        spot.fits(d, ground, index, keys).then_some(spot)
    }

    /// The spot of a width, a height and a place below the rim that are asked for, or not. What is
    /// left out is as usual; where the panel has less room than that, the pocket moves up, and then
    /// becomes smaller.
    pub(super) fn fitted(
        d: &Drafter<'_>,
        ground: &Ground<'_>,
        [width, height, below]: [Option<Length>; 3],
        usual: Self,
    ) -> Self {
        let Some(face) = ground.faces.first() else { return usual };
        let usual = Self { height: ground.within_reach(d, usual.height), ..usual };
        if face.circle {
            return Self::in_circle(d, face, [width, height, below], usual);
        }
        let margin = margin(d);
        let least = d.either(Length::inch_frac(5, 2), Length::mm(60));
        let hem = d.rim_hem.filter(|_| !ground.lined).unwrap_or(Length::ZERO);
        let highest = d.snap_up(
            HIGHEST.max(hem).max(ground.covered()).max(ground.bends()).max(ground.drawn()),
        );
        let room = face.height - d.base_rise - margin;
        let tall = height.unwrap_or(usual.height);
        let below = below
            .unwrap_or_else(|| round_down(d, room - tall).clamp(highest, usual.below.max(highest)));
        let height =
            height.unwrap_or_else(|| fitting(d, usual.height, room - below).max(least.min(tall)));
        let low = (face.height - below - height).max(Length::ZERO);
        let high = (face.height - below).clamp(low, face.height.max(low));
        let widest =
            (face.room_across(low) - margin * 2).min(face.room_between([low, high], margin));
        let width =
            width.unwrap_or_else(|| fitting(d, usual.width, widest).max(least.min(usual.width)));
        Self { width, height, below }
    }

    /// How high its lower edge lies above the base of the face, at the stitching line.
    pub(super) fn low(&self, face: &Face) -> Length {
        face.height - self.below - self.height
    }

    /// Index of the copy of the face on which its places are told: that on which its lower edge lies.
    fn index(&self, face: &Face) -> usize {
        let low = self.low(face);
        face.starts.iter().rposition(|start| *start <= low).unwrap_or(0)
    }

    /// That copy.
    pub(super) fn panel(&self, face: &Face) -> CopyId {
        face.copies[self.index(face)]
    }

    /// Where the lower left corner of its box lies on that copy.
    pub(super) fn corner(&self, face: &Face) -> Point {
        let (left, low) = (-self.width.half(), self.low(face));
        face.box_on(self.index(face), (left, low), (self.width, self.height)).1
    }

    /// A place of the pocket, from its lower left corner as one looks at the face, on that copy.
    pub(super) fn on(&self, face: &Face, (across, up): (Length, Length)) -> Point {
        let (left, low) = (-self.width.half(), self.low(face));
        face.on(self.index(face), left + across, low + up).1
    }

    /// A copy of it, placed on the face.
    pub(super) fn placed(&self, ground: &Ground<'_>, face: &Face, copy: CopyId) -> Placed {
        let place = (-self.width.half(), self.low(face));
        let laid = face.lay(self.index(face), copy, place, (self.width, self.height));
        Placed { ground: ground.side(), ..laid }
    }

    /// Stitches along its side, lower edge and side, so far within them.
    pub(super) fn three_sides(&self, face: &Face, inset: Length) -> Vec<Line> {
        let (right, top) = (self.width - inset, self.height);
        let corners = [(inset, top), (inset, inset), (right, inset), (right, top)]
            .map(|place| self.on(face, place));
        corners.windows(2).map(|pair| Line { from: pair[0], to: pair[1] }).collect()
    }

    /// Refuses what does not fit on its face, at the pocket's parameters.
    pub(super) fn fits(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        index: usize,
        keys: Keys,
    ) -> bool {
        let Some(face) = ground.faces.first() else { return false };
        let low = self.low(face);
        let margin = margin(d);
        let low_high = [low, low + self.height].map(|at| at.clamp(Length::ZERO, face.height));
        let narrowest = face.room_between(low_high, margin);
        let layer = if ground.lined { "lining" } else { "panel" };
        let mut fits = true;
        if self.width > narrowest && narrowest < SMALLEST && ground.among == Among::Sides {
            let message = format!(
                "the sides of this gusset leave {} for a pocket that is stitched on to them",
                d.show(narrowest.max(Length::ZERO))
            );
            let cure = "put it on the front or the back, choose one that is held in the seams of the \
                        gusset, or make the bag deeper";
            refuse(d, index, "on", message, cure.to_owned());
            return false;
        }
        if face.circle && self.width < SMALLEST {
            let message = format!(
                "a pocket {} high on a round end {} across leaves {} of width for it",
                d.show(self.height),
                d.show(face.height),
                d.show(self.width.max(Length::ZERO))
            );
            let most = round_down(d, Self::tallest(d, face, SMALLEST).max(Length::ZERO));
            let cure = format!("make it {} or less high, in the middle of the end", d.show(most));
            refuse(d, index, keys.height, message, cure);
            return false;
        }
        if self.width > narrowest && !narrowest.is_positive() {
            let message = format!("the {layer} has no room there for a pocket clear of its edges");
            let cure = "set it elsewhere, make it less high, or make the bag larger".to_owned();
            d.refuse(&format!("pocket[{}].{}", index + 1, keys.width), message, cure);
            fits = false;
        } else if self.width > narrowest {
            let message = format!(
                "a pocket {} wide does not fit on a {layer} {} wide there",
                d.show(self.width),
                d.show(narrowest)
            );
            let cure = format!("make it {} or narrower", d.show(narrowest));
            d.refuse(&format!("pocket[{}].{}", index + 1, keys.width), message, cure);
            fits = false;
        }
        let free = (face.room_across(low.max(Length::ZERO)) - margin * 2).max(Length::ZERO);
        if self.width <= narrowest && self.width > free {
            let message = format!(
                "a pocket {} wide lies where what stands inside the bag is stitched to the {layer}, \
                 and would be sewn through: {} is free there",
                d.show(self.width),
                d.show(free)
            );
            let elsewhere = if ground.lined { "set it" } else { "line the bag and set it" };
            let cure =
                format!("make it {} or narrower, or {elsewhere} on the outside", d.show(free));
            d.refuse(&format!("pocket[{}].{}", index + 1, keys.width), message, cure);
            fits = false;
        }
        if low < d.base_rise + margin {
            // One that is higher than its panel would begin above the rim.
            let below = self.below.max(Length::ZERO);
            let message = format!(
                "a pocket {} high, {} below the rim, reaches down into the base",
                d.show(self.height),
                d.show(below)
            );
            let most = (face.height - below - d.base_rise - margin).max(Length::ZERO);
            let cure = format!("make it {} or less high, or set it higher", d.show(most));
            d.refuse(&format!("pocket[{}].{}", index + 1, keys.height), message, cure);
            fits = false;
        }
        fits & self.clears_the_hem(d, ground, index)
            & self.clears_the_cuff(d, ground, index)
            & self.clears_the_casing(d, ground, index)
    }

    /// The same on a round end: in its middle, within a box that is four parts wide and three high, whose
    /// corners lie on the circle (a triangle of 3, 4 and 5), or as much of it as is usual.
    fn in_circle(
        d: &Drafter<'_>,
        face: &Face,
        [width, height, below]: [Option<Length>; 3],
        usual: Self,
    ) -> Self {
        let clear = margin(d);
        let radius = face.corner - clear;
        let tall = width.map_or(radius * 6 / 5, |width| Self::tallest(d, face, width));
        let height = height.unwrap_or_else(|| fitting(d, usual.height, tall));
        let below =
            below.unwrap_or_else(|| d.snap((face.height - height).half()).max(Length::ZERO));
        let low = face.height - below - height;
        let places = [low, low + height].map(|at| at.clamp(Length::ZERO, face.height));
        let widest = face.room_between(places, clear);
        let width = width.unwrap_or_else(|| fitting(d, usual.width, widest));
        Self { width, height, below }
    }

    /// How high a pocket of that width may be in the middle of a round end: as wide as the other may be,
    /// a quarter turn on.
    fn tallest(d: &Drafter<'_>, face: &Face, width: Length) -> Length {
        let (middle, clear) = (face.corner, margin(d));
        let off = width.half().min(middle - clear);
        face.room_between([middle - off, middle + off], clear)
    }

    /// Refuses what would be stitched through a hem that is turned later.
    fn clears_the_hem(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let Some(hem) = d.rim_hem.filter(|hem| !ground.lined && self.below < *hem) else {
            return true;
        };
        let message = format!(
            "a pocket {} below the rim lies under its hem, which is {} deep",
            d.show(self.below),
            d.show(hem)
        );
        let cure = format!("set it {} or more below the rim", d.show(hem));
        d.refuse(&format!("pocket[{}].below", index + 1), message, cure);
        false
    }

    /// Refuses what would be stitched through the rows of a casing, and gathered by its cord.
    fn clears_the_casing(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let drawn = ground.drawn();
        if self.below >= drawn || d.rim_hem.is_some_and(|hem| !ground.lined && self.below < hem) {
            return true;
        }
        let message = format!(
            "a pocket {} below the rim lies in the casing, which reaches {} down",
            d.show(self.below),
            d.show(drawn)
        );
        let cure = format!("set it {} or more below the rim", d.show(d.snap_up(drawn)));
        d.refuse(&format!("pocket[{}].below", index + 1), message, cure);
        false
    }

    /// Refuses a pocket on the outside whose mouth a cuff covers.
    fn clears_the_cuff(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, index: usize) -> bool {
        let cuff = ground.covered();
        if self.below >= cuff {
            return true;
        }
        let message = format!(
            "a pocket {} below the fold lies under the top that is turned down {}",
            d.show(self.below),
            d.show(cuff)
        );
        let cure = format!("set it {} or more below the fold, or inside", d.show(cuff));
        d.refuse(&format!("pocket[{}].below", index + 1), message, cure);
        false
    }

    /// Marks where it lies, on each piece on which it does. Of pieces that are cut alike it says on
    /// which: a line on the right side of another may stay.
    pub(super) fn mark(&self, d: &mut Drafter<'_>, ground: &Ground<'_>, label: &str) {
        for face in &ground.faces {
            let (right, low) = (self.width.half(), self.low(face));
            let (left, high) = (right - self.width, low + self.height);
            let corners = [(left, low), (left, high), (right, high), (right, low)];
            for n in 0..4 {
                for (on, from, to) in face.line(corners[n], corners[(n + 1) % 4]) {
                    let alike = d.copies_alike(on) > ground.faces.len();
                    let only =
                        if alike { format!(", {} only", place_of(face)) } else { String::new() };
                    d.mark_copy(on, &format!("{label}{only}"), MarkShape::Placement(from, to));
                }
            }
        }
    }

    /// Places a copy on each face and marks its place.
    pub(super) fn place(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        (stem, name): (&str, &str),
        copies: &[CopyId],
        (attach, mind): (Attach, Option<Phrase>),
    ) {
        let items =
            ground.faces.iter().zip(copies).map(|(face, copy)| self.placed(ground, face, *copy));
        let (above, edge) = ground.upper_edge(d);
        let how = Phrase::new(format!(
            "Lay {}, {} up, centred, its top edge ",
            match copies.len() {
                1 => format!("the {name} on the {}", ground.named(&ground.places(""))),
                _ => format!(
                    "one {name} on the {}",
                    ground.named(&ground.places(" and one on the "))
                ),
            },
            ground.side().words()
        ))
        .len(self.below + above + ground.faces.first().map_or(Length::ZERO, |it| it.cuff))
        .say(if ground.among == Among::Ends {
            format!(" below {edge}, and level.")
        } else {
            format!(" below {edge} and parallel to it.")
        });
        self.mark(d, ground, name);
        let mind = mind.or_else(|| ground.toward_its_end());
        let place = Place { items: items.collect(), how, mind, attach };
        d.step(ground.chapter(), &format!("place-{stem}"), place);
    }

    /// Edgestitches each copy along its sides and lower edge; `closes` is the step whose openings
    /// that closes.
    pub(super) fn stitch(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        (stem, name): (&str, &str),
        copies: &[CopyId],
        closes: Option<String>,
    ) {
        let from_edge = edgestitch(d);
        let closing = if closes.is_some() { "; this closes its opening" } else { "" };
        let how = Phrase::new(format!(
            "Edgestitch {} down along one side, the lower edge and the other side, ",
            the(name, copies.len())
        ))
        .len(from_edge)
        .say(format!(
            " from its edges{closing}. Sew a small triangle at both upper corners, where it is pulled."
        ));
        let item = |(face, copy): (&&Face, &CopyId)| StitchedDown {
            what: *copy,
            onto: self.panel(face),
            lines: self.three_sides(face, from_edge),
            holds: vec![BASE, RIGHT, LEFT],
        };
        let items = ground.faces.iter().zip(copies).map(item).collect();
        let (mind, stitch) = (Some("leave the top edge open.".into()), d.stitch("topstitch"));
        let down = StitchDown { how, mind, items, closes, stitch };
        d.step(ground.chapter(), &format!("stitch-{stem}"), down);
    }

    /// Stitches divisions at the given distances from the left edge, as one looks at the pocket.
    pub(super) fn divide(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        stem: &str,
        copies: &[CopyId],
        (cuts, how): (&[Length], Phrase),
    ) {
        if cuts.is_empty() {
            return;
        }
        let items = ground.faces.iter().zip(copies).map(|(face, copy)| {
            let lines = cuts.iter().map(|cut| {
                // The wrong side of a panel is seen mirrored.
                let across =
                    if ground.side() == FaceSide::Wrong { self.width - *cut } else { *cut };
                let [from, to] = [Length::ZERO, self.height].map(|up| self.on(face, (across, up)));
                Line { from, to }
            });
            StitchedDown {
                what: *copy,
                onto: self.panel(face),
                lines: lines.collect(),
                holds: Vec::new(),
            }
        });
        let (items, stitch) = (items.collect(), d.stitch("topstitch"));
        let down = StitchDown { how, mind: None, items, closes: None, stitch };
        d.step(ground.chapter(), &format!("divide-{stem}"), down);
    }

    /// Promises the pocket on each face: as deep in use as its height above the row of stitches
    /// that holds its lower edge.
    pub(super) fn claim(
        &self,
        d: &mut Drafter<'_>,
        ground: &Ground<'_>,
        name: &str,
        copies: &[CopyId],
        (opening, compartments): (Length, Vec<Length>),
    ) {
        let true_depth = self.height - edgestitch(d);
        for (face, copy) in ground.faces.iter().zip(copies) {
            d.claims.pockets.push(PocketClaim {
                name: format!("{name}, {}", face.word),
                copy: *copy,
                on: self.panel(face),
                at: self.corner(face),
                size: (self.width, self.height),
                true_depth,
                opening,
                compartments: compartments.clone(),
                inside: ground.inside,
            });
        }
    }
}

/// What a person calls the place of a face: "the right side of the gusset" might be that of its cloth.
fn place_of(face: &Face) -> String {
    match face.word {
        "left side" => "left-hand side".to_owned(),
        "right side" => "right-hand side".to_owned(),
        word => word.to_owned(),
    }
}

/// The narrowest pocket that can be asked for.
const SMALLEST: Length = Length::mm(60);

/// How far within its edges a pocket is stitched down: 1/8 in (3 mm), common practice, no source.
pub(super) fn edgestitch(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 8), Length::mm(3))
}

/// How far below the rim a pocket begins as a rule (common practice, no source).
pub(super) fn usual_below(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(5, 2), Length::mm(60))
}

/// How far a pocket stays from the seams around it.
fn margin(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 4), Length::mm(6))
}

/// The usual length, or the longest round one that there is room for.
pub(super) fn fitting(d: &Drafter<'_>, usual: Length, room: Length) -> Length {
    if usual <= room { usual } else { round_down(d, room) }
}

/// The next lower quarter of an inch, or 5 mm.
fn round_down(d: &Drafter<'_>, length: Length) -> Length {
    d.coarse_ruler().round(length, Rounding::Down)
}

/// What the step ids of the same pocket on the other side of the bag end in.
pub(super) fn suffix(number: usize) -> &'static str {
    if number == 0 { "" } else { "-other-side" }
}

/// Refuses equal compartments into which nothing goes: a pencil 7 mm thick takes half of its way round,
/// 11 mm (derived), and some ease: 5/8 in (15 mm).
pub(super) fn wide_enough(
    d: &mut Drafter<'_>,
    index: usize,
    (width, divisions): (Length, i64),
) -> bool {
    let least = d.either(Length::inch_frac(5, 8), Length::mm(15));
    let each = width / divisions.max(1);
    if divisions < 2 || each >= least {
        return true;
    }
    let message = format!(
        "{divisions} compartments on a pocket {} wide are {} wide each: not even a pencil goes in",
        d.show(width),
        d.show(each)
    );
    let most = (width.to_nm() / least.to_nm()).max(1);
    let cure = match most {
        1 => "leave it in one".to_owned(),
        _ => format!("make it {most} or fewer, or make the pocket wider"),
    };
    refuse(d, index, "divisions", message, cure);
    false
}

/// Notes what these sizes and places of the pocket with that index come to.
pub(super) fn settle<const N: usize>(
    d: &mut Drafter<'_>,
    index: usize,
    settled: [(&str, Length); N],
) {
    for (key, length) in settled {
        d.settle(&format!("pocket[{}].{key}", index + 1), length);
    }
}

/// Refuses a parameter of the pocket with that index.
pub(super) fn refuse(d: &mut Drafter<'_>, index: usize, key: &str, message: String, cure: String) {
    d.refuse(&format!("pocket[{}].{key}", index + 1), message, cure);
}
