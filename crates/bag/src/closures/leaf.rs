//! A leaf of two layers that is set into the back rim and closes over the front: a tab or a flap.

use measure::{Length, Outline, Point, Rounding, Segment};

use super::shared::{Clear, amiss, front_and_back, half_at, nearest, on_pocket, rectangle, round};
use crate::design::Role;
use crate::draft::face::whole;
use crate::draft::rim_set::{RimSet, RimWords, set_in_rim};
use crate::draft::strap::{behind_rim, from_edge};
use crate::draft::{Drafter, Face, NewPiece, Shell, centred_gap};
use crate::operations::{
    Attach, AttachHardware, Beside, Clip, FaceSide, Foot, Gap, Join, Line, Phrase, Place, Placed,
    Press, SetEyelets, StitchDown, StitchedDown, Through, Topstitch, TrimCorners, Turn,
};
use crate::pattern::{
    Chapter, Checkpoint, ClosureClaim, CopyId, Gauge, Grain, Half, MarkShape, Notion, Reach, Run,
    notion,
};

/// Edges of a leaf, its free end first.
const END: usize = 0;
const RIGHT: usize = 1;
const RAW: usize = 2;
const LEFT: usize = 3;

/// A leaf and what holds it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leaf {
    /// "tab", "flap".
    pub word: &'static str,
    /// Finished width.
    pub width: Length,
    /// How far it hangs down over the front, from the rim.
    pub over: Length,
    /// How far it goes across the mouth first.
    pub across: Length,
    /// Radius of its corners; zero for square ones.
    pub radius: Length,
    /// What holds it.
    pub held: Held,
    /// How wide that is.
    pub diameter: Length,
    /// From the rim down the front to its middle.
    pub below: Length,
    /// Those two as they are asked for; where they are not, the lengths above are the usual ones.
    pub asked: [Option<Length>; 2],
    /// The parameters with which those two are asked for.
    pub keys: [&'static str; 2],
    /// How much lower the two lie than they are asked for, which is from the lower edge of what is
    /// gathered, rolled or turned down at the rim.
    pub lower: [Length; 2],
    /// How far below the rim what holds it begins at least.
    pub least: Length,
    /// How far below the rim it is stitched on to the back; set into the rim if that is left out.
    pub sewn_on: Option<Length>,
}

/// What holds a leaf to the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Held {
    /// A magnetic snap.
    Magnet,
    /// A press stud.
    Stud,
    /// A turn lock.
    TurnLock,
}

impl Held {
    /// By its word in a design.
    pub(crate) fn of(word: &str) -> Self {
        match word {
            "press-stud" => Self::Stud,
            "turn-lock" => Self::TurnLock,
            _ => Self::Magnet,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Magnet => "magnetic snap",
            Self::Stud => "press stud",
            Self::TurnLock => "turn lock",
        }
    }
}

/// The share of its radius at which a curve's control points lie to look like a quarter of a circle
/// (4/3 · tan(π/8) = 0.5523).
const ROUND: i64 = 5_523;

/// The outline of a leaf that hangs down, its end below, so far from the rim's stitching line.
fn outline(width: Length, length: Length, radius: Length) -> Outline {
    if !radius.is_positive() {
        return Outline::rectangle(width, length);
    }
    let p = Point::new;
    let none = Length::ZERO;
    let near = radius - Length::nm(radius.to_nm() / 10_000 * ROUND);
    let start = p(none, radius);
    let left = (Segment::Curve(p(none, near), p(near, none)), p(radius, none));
    let flat = (Segment::Line, p(width - radius, none));
    let right = (Segment::Curve(p(width - near, none), p(width, near)), p(width, radius));
    // A full half circle at the end leaves nothing straight.
    let end = if radius * 2 >= width { vec![left, right] } else { vec![left, flat, right] };
    let edges = vec![
        end,
        vec![(Segment::Line, p(width, length))],
        vec![(Segment::Line, p(none, length))],
        vec![(Segment::Line, start)],
    ];
    Outline::from_edges(start, edges).unwrap_or_else(|_| Outline::rectangle(width, length))
}

/// The rows that stitch a leaf on, from its raw end.
fn rows(d: &Drafter<'_>) -> [Length; 2] {
    [
        d.either(Length::inch_frac(1, 8), Length::mm(3)),
        d.either(Length::inch_frac(3, 8), Length::mm(10)),
    ]
}

impl Leaf {
    /// Fits it to a bag: where the rim does not stand, it is stitched on to the back below what is
    /// gathered, rolled, folded or turned down there, and closes over the front below that.
    pub(super) fn over(mut self, d: &Drafter<'_>, outside: &Shell) -> Self {
        let Some([front, back]) = front_and_back(outside) else { return self };
        if d.rim_stands || d.rim_under_flap {
            return self;
        }
        let room = d.either(Length::inch_frac(1, 4), Length::mm(6));
        self.sewn_on = Some(d.snap_up(back.kept + rows(d)[1] + room));
        let [over, below] = self.asked;
        self.lower = [front.kept - front.rolled, front.kept];
        let [over_kept, below_kept] =
            self.lower.map(|lower| move |length: Length| d.snap_up(length + lower));
        (self.over, self.below) = (over_kept(self.over), below_kept(self.below));
        self.asked = [over.map(over_kept), below.map(below_kept)];
        self.least = front.kept;
        self
    }

    /// Settles what is left out: what holds it comes to the place nearest to the usual one where the
    /// front is free, and the leaf hangs as far below that as usual, if the front is high enough.
    pub(crate) fn settle(mut self, d: &Drafter<'_>, outside: &Shell) -> Self {
        let Some([front, _]) = front_and_back(outside) else { return self };
        let (half, rolled) = (self.diameter.half(), front.rolled);
        let room = half + d.either(Length::inch_frac(1, 4), Length::mm(6));
        let beyond = self.over - (self.below - rolled);
        let most = front.height - rolled - d.base_rise.max(front.corner);
        let most = d.ruler().round(most, Rounding::Down);
        let [over, below] = self.asked;
        let longest = over.unwrap_or(most);
        self.below = below.unwrap_or_else(|| {
            let usual = self.below.min(longest + rolled - beyond);
            let fits =
                |below: Length| below - half >= self.least && below - rolled + room <= longest;
            let spot = |below| (Length::ZERO, below);
            let free =
                |below: Length| amiss(d, front, spot(below), half, Clear::Everything).is_none();
            let bare = nearest(d, usual, front.height, |below| fits(below) && free(below));
            if fits(bare) && free(bare) {
                return bare;
            }
            let held = |below: Length| on_pocket(d, front, spot(below), half).is_some();
            nearest(d, usual, front.height, |below| fits(below) && held(below))
        });
        let hang = self.below - rolled;
        self.over = over.unwrap_or_else(|| (hang + beyond).min(most).max(hang + room));
        self.radius = self.radius.min(self.over.half());
        self
    }

    /// Keeps other things clear of a leaf that belongs to the body and is stitched on.
    pub(crate) fn keep_clear(&self, shell: &mut Shell) {
        if let [front, .., back] = shell.faces.as_mut_slice() {
            front.kept = self.over;
            back.kept = self.sewn_on.unwrap_or(Length::ZERO);
        }
    }

    /// Makes the leaf, sets it into the back rim, and what holds it onto the front.
    pub(crate) fn build(self, d: &mut Drafter<'_>, outside: &Shell) {
        let Some([front, back]) = front_and_back(outside) else { return };
        let typed = [self.over - self.lower[0], self.below - self.lower[1]];
        for (key, length) in self.keys.into_iter().zip(typed) {
            d.settle(key, d.ruler().round(length, Rounding::Down));
        }
        if !self.is_possible(d, outside) {
            return;
        }
        let Some(on_front) = self.half_on_front(d, front) else { return };
        let by_pocket = !front.copies.contains(&on_front.on);
        if self.meets_another(d, on_front) {
            return;
        }
        let (behind, in_seam) = behind_rim(d);
        let allowance = d.allowance("side");
        let (rim, spent) = match self.sewn_on {
            Some(below) => (allowance, self.across + below - back.rolled),
            None if in_seam => (behind, self.across),
            None => (Length::ZERO, self.across + behind),
        };
        let length = spent + self.over;
        // What is rolled away of the front hangs nowhere.
        let hang = self.below - front.rolled;
        let net = outline(self.width, length, self.radius);
        let piece = d.piece(NewPiece {
            id: self.word,
            name: self.word,
            role: Role::Outside,
            net,
            edges: vec![
                ("free end", allowance),
                ("right side", allowance),
                ("raw end", rim),
                ("left side", allowance),
            ],
            grain: Grain::Lengthwise,
            join: None,
        });
        let upper = d.copy(piece, &format!("{} (upper layer)", self.word));
        let under = d.copy(piece, &format!("{} (under layer)", self.word));
        let at = Point::new(self.width.half(), self.over - hang);
        d.mark(piece, self.held.words(), MarkShape::Dot(at));
        d.mark_copy(on_front.on, self.held.words(), MarkShape::Dot(on_front.at));
        let on_leaf = Half { on: under, at, edge: RAW, spent: spent - front.rolled };
        self.hold_before(d, on_leaf, on_front, by_pocket);
        let left_by = self.sew(d, [upper, under]);
        self.hold_after(d, upper, at);
        match self.sewn_on {
            Some(below) => self.sew_on(d, outside, upper, (below, length), left_by),
            None => self.set_in(d, outside, [upper, under]),
        }
        let on_leaf =
            if self.held == Held::TurnLock { Half { on: upper, ..on_leaf } } else { on_leaf };
        d.claims.closures.push(ClosureClaim {
            name: format!("{} with {}", self.word, self.held.words()),
            meets: vec![[on_leaf, on_front]],
            shows: vec![
                rectangle(
                    front,
                    Some(upper),
                    (Length::ZERO, front.rolled),
                    (self.width, self.over),
                ),
                round(front, (Length::ZERO, self.below), self.diameter),
            ],
        });
    }

    /// Sets its raw end into the back rim.
    fn set_in(&self, d: &mut Drafter<'_>, outside: &Shell, layers: [CopyId; 2]) {
        let items = layers.map(|what| RimSet {
            what,
            face: outside.faces.len() - 1,
            ends: vec![(RAW, Length::ZERO, FaceSide::Wrong)],
            width: self.width,
        });
        let lies = format!("the upper layer facing the panel and the {} hanging down", self.word);
        let id = format!("place-{}", self.word);
        let words = RimWords {
            id: &id,
            what: &format!("the {} on the back,", self.word),
            mark: self.word,
            lies: &lies,
            mind: "its outside faces the panel now, and comes out when the bag is turned.",
        };
        set_in_rim(d, outside, &items, words);
    }

    /// Stitches it on to the back with two rows, which close the opening it was turned through.
    fn sew_on(
        &self,
        d: &mut Drafter<'_>,
        outside: &Shell,
        upper: CopyId,
        (below, length): (Length, Length),
        left_by: String,
    ) {
        let back = &outside.faces[outside.faces.len() - 1];
        let index = back.copies.len() - 1;
        let (half, line) = (self.width.half(), back.height - below);
        let (onto, at) = back.on(index, Length::ZERO, line);
        // It points up over the rim, its free end uppermost.
        let (_, corner) = back.box_on(index, (-half, line), (self.width, length));
        // What lies from that line up, over the rim.
        let corners = [(-half, line), (half, back.height)].map(|(x, up)| back.on(index, x, up).1);
        d.laid.push((onto, corners, self.word.to_owned()));
        let feet = vec![Foot { edge: RAW, at, face_up: FaceSide::Right }];
        let upside_down = !back.lies[index].turned;
        let items = vec![Placed { feet, upside_down, ..Placed::new(upper, onto, corner) }];
        d.ends(&items);
        let word = self.word;
        for (copy, a, b) in back.line((-half, line), (half, line)) {
            d.mark_copy(copy, word, MarkShape::Placement(a, b));
        }
        let how = Phrase::new(format!(
            "Lay the {word} on the right side of the back, its upper layer up and its free end \
             pointing up over the rim, centred, the edge with the opening on the line ",
        ))
        .len(below + back.cuff + d.rim_allowance)
        .say(" below the raw rim.");
        let place = Place { items, how, mind: None, attach: Attach::Pin };
        d.step(Chapter::Panels, &format!("place-{word}"), place);
        let rows = rows(d);
        let lines = rows.map(|row| {
            let at = |x| back.on(index, x, line + row).1;
            Line { from: at(-half), to: at(half) }
        });
        let how = Phrase::new(format!("Stitch the {word} on along that edge, "))
            .len(rows[0])
            .say(" and ")
            .len(rows[1])
            .say(" from it, from side to side; this closes its opening.");
        let mind = format!(
            "fold the {word} down afterwards and pin it to the back, away from the rim and from the \
             sides, until the bag is turned."
        );
        let down = StitchDown {
            how,
            mind: Some(mind.as_str().into()),
            items: vec![StitchedDown { what: upper, onto, lines: lines.into(), holds: vec![RAW] }],
            closes: Some(left_by),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Panels, &format!("stitch-{word}"), down);
    }

    /// Refuses a leaf that does not fit on the rim, or that lies on handles.
    fn is_possible(&self, d: &mut Drafter<'_>, outside: &Shell) -> bool {
        let Some([front, back]) = front_and_back(outside) else { return false };
        let margin = d.either(Length::inch_frac(1, 4), Length::mm(6));
        let rim = back.top_width.min(front.top_width);
        let narrowest = rim - margin * 2;
        if !self.width.is_positive() {
            let message = format!(
                "of a rim {} wide nothing would be left for the {}",
                d.show(rim),
                self.word
            );
            let cure = format!("make the bag {} wider or more", d.show(margin * 4 - self.width));
            d.refuse("body.width", message, cure);
            return false;
        }
        if self.width > narrowest {
            let message = format!(
                "a {} {} wide does not fit on a rim {} wide",
                self.word,
                d.show(self.width),
                d.show(narrowest)
            );
            let cure = format!("make it {} or narrower", d.show(narrowest.max(Length::ZERO)));
            d.refuse("closure.kind", message, cure);
            return false;
        }
        let room = self.diameter.half() + d.either(Length::inch_frac(1, 4), Length::mm(6));
        let hang = self.below - front.rolled;
        if hang + room > self.over || self.width < room * 2 || self.radius * 2 > self.width {
            let message = format!(
                "a {} {} wide that hangs {} over the front has no room for a {} {} below the rim",
                self.word,
                d.show(self.width),
                d.show(self.over),
                self.held.words(),
                d.show(hang)
            );
            let cure = format!(
                "let it hang {} or more, be {} or more wide, or set the {} higher",
                d.show(hang + room),
                d.show((room * 2).max(self.radius * 2)),
                self.held.words()
            );
            let too_short = hang + room > self.over && self.asked[0].is_some();
            d.refuse(self.keys[usize::from(!too_short)], message, cure);
            return false;
        }
        let most = front.height - front.rolled - d.base_rise.max(front.corner);
        if self.over > most {
            let message = format!(
                "a {} that hangs {} over the front reaches under the bag",
                self.word,
                d.show(self.over)
            );
            let most = d.ruler().round(most, Rounding::Down) - self.lower[0];
            let cure = format!("let it hang {} or less", d.show(most.max(Length::ZERO)));
            d.refuse(self.keys[0], message, cure);
            return false;
        }
        // A handle of the front would lie under it, unless it comes free below it.
        let lower = self.over + front.rolled;
        if front.closed.max(front.kept) < lower
            && let Some(handle) = d.handle_at_rim(front, (Length::ZERO, lower), self.width.half())
        {
            let message = format!(
                "the {handle} comes free where the {} closes over the front, and would lie under it",
                self.word
            );
            let cure = "set the handles farther apart, make it narrower, or choose handles that \
                        stand on the back only";
            d.refuse("handles.kind", message, cure.to_owned());
            return false;
        }
        true
    }

    /// Refuses a place on the front where something else is fastened already: what closes a bag under
    /// its own flap.
    fn meets_another(&self, d: &mut Drafter<'_>, on_front: Half) -> bool {
        let near =
            |half: &Half| half.on == on_front.on && half.at.distance(on_front.at) < self.diameter;
        let halves = |claim: &ClosureClaim| claim.meets.iter().flatten().any(near);
        let Some(other) = d.claims.closures.iter().find(|claim| halves(claim)) else {
            return false;
        };
        let message = format!(
            "the {} of the {} would sit on the {}, which is fastened at the same place of the front",
            self.held.words(),
            self.word,
            other.name
        );
        let cure = format!("set one of the two {} or more higher or lower", d.show(self.diameter));
        d.refuse("closure.below", message, cure);
        true
    }

    /// The half on the front: on the panel itself where that is free, or else on a pocket that lies
    /// there. Refuses what neither can hold.
    fn half_on_front(&self, d: &mut Drafter<'_>, front: &Face) -> Option<Half> {
        let (middle, half) = ((Length::ZERO, self.below), self.diameter.half());
        let Some((message, cure)) = amiss(d, front, middle, half, Clear::Everything) else {
            return Some(half_at(d, front, middle));
        };
        let held = on_pocket(d, front, middle, half);
        if held.is_none() {
            d.refuse("closure.below", message, cure);
        }
        held
    }

    /// What is fastened while everything lies flat: on the under layer, and on the front or, before it is
    /// made, on the outer layer of a pocket there.
    fn hold_before(&self, d: &mut Drafter<'_>, on_leaf: Half, on_front: Half, by_pocket: bool) {
        let (kind, backing) = match self.held {
            Held::Magnet => {
                (&notion::MAGNETIC_SNAP, "a square of firm interfacing, three times as wide,")
            }
            Held::Stud => (&notion::PRESS_STUD, "a square of firm interfacing"),
            Held::TurnLock => (&notion::TURN_LOCK, "a square of firm interfacing, twice as wide,"),
        };
        let what = kind.one;
        if self.held != Held::TurnLock {
            let attach = AttachHardware {
                what: format!("{} half of the {what}", if by_pocket { "the other" } else { "one" }),
                at: vec![(on_leaf.on, on_leaf.at)],
                backing: backing.to_owned(),
            };
            d.step(Chapter::Panels, &format!("attach-to-{}", self.word), attach);
        }
        let part = match self.held {
            Held::TurnLock => "the turning part",
            _ if by_pocket => "one half",
            _ => "the other half",
        };
        let attach = AttachHardware {
            what: format!("{part} of the {what}"),
            at: vec![(on_front.on, on_front.at)],
            backing: backing.to_owned(),
        };
        let id = d.free_step_id(if by_pocket { "attach-to-pocket" } else { "attach-to-front" });
        if by_pocket {
            d.comes_first(&id);
            d.step(Chapter::Pockets, &id, attach);
        } else {
            d.step(Chapter::Panels, &id, attach);
        }
        d.notion(Notion::of(kind, 1).wide(self.diameter));
        d.notion(Notion::of(&notion::SCRAP, 2).serving(&format!("the {what}")));
    }

    /// Sews both layers to each other, turns and topstitches them; returns the id of the first step.
    fn sew(&self, d: &mut Drafter<'_>, layers: [CopyId; 2]) -> String {
        let [upper, under] = layers;
        let chapter = Chapter::Panels;
        let one = [LEFT, END, RIGHT].into_iter().flat_map(|edge| whole(d, upper, edge).spans);
        let other =
            [RIGHT, END, LEFT].into_iter().flat_map(|edge| whole(d, under, edge).reversed().spans);
        let (mut one, mut other): (Vec<_>, Vec<_>) = (one.collect(), other.collect());
        let word = self.word;
        let (what, mut gaps) =
            (format!("the {word} on three sides, its raw end open,"), Vec::new());
        let what = match self.sewn_on {
            Some(_) => {
                // All round, but for an opening in the edge that is stitched on.
                one.extend(whole(d, upper, RAW).spans);
                other.extend(whole(d, under, RAW).reversed().spans);
                let before: Length = one.iter().take(3).map(crate::pattern::Span::length).sum();
                let gap = centred_gap(self.width, d.either(Length::inch(5), Length::mm(120)));
                gaps.push(Gap { from: before + gap.from, to: before + gap.to });
                let mark = MarkShape::Opening { edge: RAW, from: gap.from, to: gap.to };
                d.mark_copy(upper, "opening", mark);
                format!("the {word} on all four sides")
            }
            None => what,
        };
        let sides = match self.sewn_on {
            Some(_) => [Run::round(one), Run::round(other)],
            None => [Run::open(one), Run::open(other)],
        };
        let through_gap = !gaps.is_empty();
        let mut join = Join::plain(&what, vec![sides], d.allowance("side"), d.stitch("seam"));
        join.gaps = gaps;
        join.press = Press::Not;
        let sewn = format!("sew-{word}");
        d.step(chapter, &sewn, join);
        let leave = from_edge(d);
        if self.radius.is_positive() {
            let every = d.either(Length::inch_frac(3, 8), Length::mm(10));
            let what = format!("the curves of the {word}");
            d.step(
                chapter,
                &format!("clip-{word}"),
                Clip { what, copies: layers.to_vec(), every, leave, wedges: true },
            );
        } else {
            d.step(
                chapter,
                &format!("trim-{word}"),
                TrimCorners { what: None, copies: layers.to_vec(), leave },
            );
        }
        let turn = Turn {
            what: format!("the {word}"),
            bodies: vec![upper],
            through: if through_gap { Through::Opening(sewn.clone()) } else { Through::Rim },
            then: "Push the corners out with a blunt point, and press.".to_owned(),
        };
        d.step(chapter, &format!("turn-{word}"), turn);
        let topstitch = Topstitch {
            what: format!("the {word} along its three finished sides"),
            copies: layers.to_vec(),
            rows: vec![leave],
            beside: Beside::Edge,
            along: vec![d.all_but(upper, RAW)],
            stitch: d.stitch("topstitch"),
            round: false,
        };
        let wide = Checkpoint::Measures {
            what: format!("the {word}"),
            gauge: Gauge(vec![Reach::Across(upper, LEFT, RIGHT)]),
            how: "wide",
        };
        d.step_checked(chapter, &format!("topstitch-{word}"), topstitch, wide);
        sewn
    }

    /// The frame of a turn lock goes through the finished leaf.
    fn hold_after(&self, d: &mut Drafter<'_>, upper: CopyId, at: Point) {
        if self.held != Held::TurnLock {
            return;
        }
        let how = Phrase::new(format!("of the {} at its mark", self.word));
        let hole = self.diameter.half();
        let what = "the frame of the turn lock".to_owned();
        let set = SetEyelets { what, at: vec![(upper, at)], hole, how };
        d.step(Chapter::Panels, &format!("set-frame-in-{}", self.word), set);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A half circle of radius r is π·r long; the curve comes within 0.03 % of it.
    #[test]
    fn a_rounded_end_is_a_half_circle() {
        let mm = Length::mm;
        let net = outline(mm(50), mm(90), mm(25));
        let end = net.edge_length(END).to_mm();
        assert!((end - 25.0 * std::f64::consts::PI).abs() < 0.03, "{end}");
        assert_eq!(net.size(), (mm(50), mm(90)));
    }
}
