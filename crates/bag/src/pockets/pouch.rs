//! Two layers sewn right sides together all round, turned through an opening in the lower edge, and
//! pressed: pockets and flaps with nothing raw anywhere.

use measure::{Length, Outline, Point, Segment};

use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::{Drafter, NewPiece, centred_gap};
use crate::operations::{Clip, Gap, Join, Phrase, Press, PressSeam, Through, TrimCorners, Turn};
use crate::pattern::{Chapter, Checkpoint, CopyId, Gauge, Grain, MarkShape, PieceId, Reach, Run};

/// A finished size, sewn of two layers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pouch<'n> {
    /// Word of its piece and steps.
    pub(crate) stem: &'n str,
    /// What a person calls it.
    pub(crate) name: &'n str,
    /// Finished width and height.
    pub(crate) size: (Length, Length),
    /// Radius of its two lower corners; nothing if they are square.
    pub(crate) radius: Option<Length>,
    /// Length of the opening for turning.
    pub(crate) opening: Length,
    /// Whether the opening lies in the top edge, not in the lower one.
    pub(crate) opens_above: bool,
}

/// Both layers of one pouch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layers {
    /// The layer that shows.
    pub(crate) front: CopyId,
    /// The layer behind it.
    pub(crate) back: CopyId,
}

/// "the divider" where there is one of it, "each divider" where several are made alike.
pub(crate) fn the(name: &str, count: usize) -> String {
    if count == 1 { format!("the {name}") } else { format!("each {name}") }
}

impl Pouch<'_> {
    /// Its outline: the lower edge, the right side, the top edge, the left side; a rounded corner
    /// is an edge of its own between them.
    fn net(&self) -> Outline {
        let (width, height) = self.size;
        let square = || Outline::rectangle(width, height);
        let Some(radius) = self.radius.filter(|r| r.is_positive()) else { return square() };
        let at = |x, y| Point::new(x, y);
        // A quarter circle as one cubic: its handles are 4/3·(√2 − 1) of the radius long.
        let handle = Length::from_mm_f64(radius.to_mm() * 0.552_284_75);
        let zero = Length::ZERO;
        let start = at(radius, zero);
        let right = Segment::Curve(at(width - radius + handle, zero), at(width, radius - handle));
        let left = Segment::Curve(at(zero, radius - handle), at(radius - handle, zero));
        let edges = vec![
            vec![(Segment::Line, at(width - radius, zero))],
            vec![(right, at(width, radius))],
            vec![(Segment::Line, at(width, height))],
            vec![(Segment::Line, at(zero, height))],
            vec![(Segment::Line, at(zero, radius))],
            vec![(left, start)],
        ];
        Outline::from_edges(start, edges).unwrap_or_else(|_| square())
    }

    /// The indices of its right side, top edge and left side.
    pub(crate) fn sides(&self) -> [usize; 3] {
        if self.radius.is_some() { [2, 3, 4] } else { [RIGHT, RIM, LEFT] }
    }

    /// The piece of which both layers are cut.
    pub(crate) fn piece(&self, d: &mut Drafter<'_>, role: Role) -> PieceId {
        let allowance = d.allowance("pocket");
        let names: &[&str] = if self.radius.is_some() {
            &["lower edge", "right corner", "right side", "top edge", "left side", "left corner"]
        } else {
            &["lower edge", "right side", "top edge", "left side"]
        };
        let edges = names.iter().map(|name| (*name, allowance)).collect();
        let (id, name, net) = (self.stem, self.name, self.net());
        d.piece(NewPiece { id, name, role, net, edges, grain: Grain::Lengthwise, join: None })
    }

    /// Sews, trims, turns and presses both layers of each, all that are alike in one go, and marks
    /// their openings. Gives the id of the step that leaves them.
    pub(crate) fn sew(&self, d: &mut Drafter<'_>, all: &[Layers]) -> String {
        let Self { stem, name, .. } = self;
        let sewn = format!("sew-{stem}");
        let Some(first) = all.first() else { return sewn };
        let which = the(name, all.len());
        let [_, rim, _] = self.sides();
        let open = if self.opens_above { rim } else { BASE };
        let gap = centred_gap(d.piece_of(first.front).net.edge_length(open), self.opening);
        let mut join = Join::plain(
            &format!("{which} on all four sides"),
            all.iter().map(|layers| around(d, *layers, open)).collect(),
            d.allowance("pocket"),
            d.stitch("seam"),
        );
        join.gaps = vec![Gap { from: gap.from, to: gap.to }];
        join.each_open = all.len() > 1;
        join.press = Press::Not;
        join.lay = (all.len() > 1).then(|| {
            format!(
                "Make {} alike: lay the two layers of {which} on each other, {}, matching the marks, and \
                 pin.",
                all.len(),
                join.meet.words()
            )
        });
        d.step(Chapter::Pockets, &sewn, join);
        for layers in all {
            d.part(layers.front, self.size);
            let (edge, from, to) = (open, gap.from, gap.to);
            d.mark_copy(layers.front, "opening", MarkShape::Opening { edge, from, to });
        }
        self.turn(d, all, &which, &sewn);
        sewn
    }

    /// Trims the corners of all that are alike, turns and presses them.
    fn turn(&self, d: &mut Drafter<'_>, all: &[Layers], which: &str, sewn: &str) {
        let Self { stem, .. } = self;
        let copies: Vec<CopyId> =
            all.iter().flat_map(|layers| [layers.front, layers.back]).collect();
        let trim = TrimCorners {
            what: (all.len() > 1).then(|| which.to_owned()),
            copies: copies.clone(),
            leave: d.either(Length::inch_frac(1, 8), Length::mm(3)),
        };
        d.step(Chapter::Pockets, &format!("trim-{stem}"), trim);
        if self.radius.is_some() {
            let clip = Clip {
                what: format!("the rounded corners of {which}"),
                copies: copies.clone(),
                every: d.either(Length::inch_frac(3, 8), Length::mm(10)),
                leave: d.either(Length::inch_frac(1, 16), Length::mm(2)),
                // The allowance of a curve that stands out is too long inside.
                wedges: true,
            };
            d.step(Chapter::Pockets, &format!("clip-{stem}"), clip);
        }
        let turn = Turn {
            what: which.to_owned(),
            bodies: all.iter().map(|layers| layers.front).collect(),
            through: Through::Opening(sewn.to_owned()),
            then: "Push the corners out with a blunt point.".to_owned(),
        };
        d.step(Chapter::Pockets, &format!("turn-{stem}"), turn);
        let press = PressSeam {
            what: Phrase::new(format!("{which} flat, the allowances of its opening turned in by "))
                .len(d.allowance("pocket")),
            copies,
            mind: None,
        };
        let ([right, rim, left], front) = (self.sides(), all[0].front);
        let size = Checkpoint::Size {
            what: which.to_owned(),
            width: Gauge(vec![Reach::Across(front, left, right)]),
            height: Gauge(vec![Reach::Across(front, rim, BASE)]),
            depth: None,
        };
        d.step_checked(Chapter::Pockets, &format!("press-{stem}"), press, size);
    }
}

/// The edges of both layers all round, from the one that is left open on.
fn around(d: &Drafter<'_>, Layers { front, back }: Layers, open: usize) -> [Run; 2] {
    let edges = d.piece_of(front).net.edge_count();
    let around = (0..edges).map(|n| (open + n) % edges);
    let one = Run::round(around.clone().flat_map(|e| whole(d, front, e).spans));
    let mirrored = around.map(|e| (edges - e) % edges);
    [one, Run::round(mirrored.flat_map(|e| whole(d, back, e).reversed().spans))]
}
