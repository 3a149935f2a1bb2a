//! Pockets of one layer: hemmed at the top, overcast and turned under at the other edges, with
//! fullness taken in or not.

use measure::{Length, Outline, Point};

use super::pouch::the;
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole};
use crate::draft::{Drafter, NewPiece};
use crate::operations::{EdgeFinish, FinishEdges, Fullness, Hem, Phrase, PressSeam, TakeIn};
use crate::pattern::{Chapter, CopyId, Grain, MarkShape, PieceId, Run};

/// What the sides and the lower edge of a single layer are turned under by: 3/8 in (10 mm),
/// common practice, no source.
pub(super) fn turn_under(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(3, 8), Length::mm(10))
}

/// A pocket of one layer: hemmed at the top by both turns, turned under at the other edges.
#[derive(Clone, Copy, Debug)]
pub(super) struct Single<'n> {
    /// Word of its piece and steps.
    pub(super) stem: &'n str,
    /// What a person calls it.
    pub(super) name: &'n str,
    /// Net width and height, before any fullness is taken in.
    pub(super) net: (Length, Length),
    /// Both turns of the hem.
    pub(super) hem: (Length, Length),
}

impl Single<'_> {
    /// Its piece.
    pub(super) fn piece(&self, d: &mut Drafter<'_>, role: Role) -> PieceId {
        let turn = turn_under(d);
        let top = self.hem.0 + self.hem.1;
        let edges = vec![
            ("lower edge", turn),
            ("right side", turn),
            ("top edge", top),
            ("left side", turn),
        ];
        let net = Outline::rectangle(self.net.0, self.net.1);
        let (id, name) = (self.stem, self.name);
        d.piece(NewPiece { id, name, role, net, edges, grain: Grain::Lengthwise, join: None })
    }

    /// Overcasts three edges and hems the fourth.
    pub(super) fn make(&self, d: &mut Drafter<'_>, copies: &[CopyId]) {
        let Self { stem, name, .. } = self;
        let edges = |edges: &[usize], d: &Drafter<'_>| -> Vec<Run> {
            let each =
                |copy: &CopyId| edges.iter().map(|e| whole(d, *copy, *e)).collect::<Vec<_>>();
            copies.iter().flat_map(each).collect()
        };
        let finish = FinishEdges {
            what: format!("the sides and the lower edge of the {name}"),
            runs: edges(&[BASE, RIGHT, LEFT], d),
            how: EdgeFinish::Overcast,
            bound_with: None,
            together: false,
        };
        d.step(Chapter::Pockets, &format!("finish-{stem}"), finish);
        let hem = Hem {
            what: format!("the top edge of {}", the(name, copies.len())),
            run: Run::open(edges(&[RIM], d).into_iter().flat_map(|run| run.spans)),
            first: self.hem.0,
            depth: self.hem.1,
            tucked: Vec::new(),
            stitch: d.stitch("topstitch"),
        };
        d.step(Chapter::Pockets, &format!("hem-{stem}"), hem);
        if let Some(first) = copies.first() {
            let (turn, top) = (turn_under(d), self.hem.0 + self.hem.1);
            d.part(*first, (self.net.0 + turn * 2, self.net.1 + turn + top));
        }
    }

    /// Takes in the lower edge, in all copies alike.
    pub(super) fn take_in(
        &self,
        d: &mut Drafter<'_>,
        copies: &[CopyId],
        (to, how): (Length, Fullness),
    ) {
        let Self { stem, name, .. } = self;
        if let Fullness::Pleats(count) = how {
            let each = (self.net.0 - to) / i64::from(count.max(1));
            for (from, fold) in pleats(d, self.net.0, (count, each)) {
                for x in [from, fold] {
                    let up = d.either(Length::inch_frac(3, 2), Length::mm(40)).min(self.net.1);
                    let line = MarkShape::Placement(Point::new(x, Length::ZERO), Point::new(x, up));
                    d.mark_copy(copies[0], "pleat", line);
                }
            }
        }
        let take = TakeIn {
            what: format!("the lower edge of {}", the(name, copies.len())),
            edges: copies.iter().map(|copy| (*copy, BASE)).collect(),
            to,
            how,
            stitch: d.stitch("baste"),
        };
        d.step(Chapter::Pockets, &format!("take-in-{stem}"), take);
    }

    /// Presses both sides and the lower edge under.
    pub(super) fn press(&self, d: &mut Drafter<'_>, copies: &[CopyId]) {
        let stem = self.stem;
        let press = PressSeam {
            what: Phrase::new("both sides and the lower edge to the wrong side by ")
                .len(turn_under(d)),
            copies: copies.to_vec(),
            mind: None,
        };
        d.step(Chapter::Pockets, &format!("press-{stem}"), press);
    }
}

/// Both turns of a plain hem at a pocket's top: 1/4 in and 3/4 in (6 mm and 20 mm), common
/// practice, no source.
pub(super) fn usual_hem(d: &Drafter<'_>) -> (Length, Length) {
    let turn = d.either(Length::inch_frac(1, 4), Length::mm(6));
    (turn, d.either(Length::inch_frac(3, 4), Length::mm(20)))
}

/// Where pleats lie on an edge: both lines of each, which are folded onto each other. One lies in
/// the middle; of two, one near either end.
fn pleats(d: &Drafter<'_>, long: Length, (count, each): (u32, Length)) -> Vec<(Length, Length)> {
    if count < 2 {
        let middle = long.half();
        return vec![(middle - each.half(), middle + each.half())];
    }
    let end = d.either(Length::inch_frac(1, 2), Length::mm(12));
    vec![(end, end + each), (long - end, long - end - each)]
}
