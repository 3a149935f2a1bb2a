//! A board in a sleeve, that lies in the base.

use measure::{Length, Outline, Rounding};

use super::{Bag, Extra, is_first, refuse};
use crate::design::Role;
use crate::draft::face::{BASE, LEFT, RIGHT, RIM, whole, whole_span};
use crate::draft::{BaseShape, Drafter, NewPiece};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{CloseGap, Closing, Gap, Join, Phrase, Press, PressSeam, Through, Turn};
use crate::pattern::{Chapter, Grain, MarkShape, Notion, Run, notion};

/// The kind.
pub(super) struct Stiffener;
/// Its entry in the list.
pub(super) const KIND: Stiffener = Stiffener;

impl Kind for Stiffener {
    fn name(&self) -> &'static str {
        "stiffener"
    }
    fn title(&self) -> &'static str {
        "Stiffened base"
    }
    fn help(&self) -> &'static str {
        "A board, cut to the finished base less a little room, in a sleeve of fabric that lies in \
         the bag: it keeps the base flat and comes out for washing."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            length(
                "room",
                "room around it",
                "How much smaller than the finished base the board in its sleeve is, on each side.",
                [Length::mm(2), Length::mm(25), Length::inch_frac(1, 4), Length::mm(6)],
            ),
            length(
                "board",
                "thickness of the board",
                "Thickness of the board, for which the sleeve is cut larger.",
                [Length::mm(1), Length::mm(6), Length::inch_frac(1, 8), Length::mm(3)],
            ),
            choice(
                "of",
                "sleeve of",
                "What the sleeve is made of.",
                &[("lining", "the fabric of the lining"), ("outside", "the fabric of the outside")],
            ),
        ];
        PARAMS
    }
}

impl Extra for Stiffener {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        if !is_first(d, index, "a board in its base") {
            return;
        }
        let base = bag.plan.base(d, bag.outside);
        let Some(base) = base else {
            let message = "a board lies in a base, and this bag has none that lies flat".to_owned();
            let cure = "choose a body with depth, or leave out the board".to_owned();
            refuse(d, index, "kind", message, cure);
            return;
        };
        let (room, thick) = (values.length("room"), values.length("board"));
        let down = |length| d.ruler().round(length, Rounding::Down);
        let least = d.either(Length::inch(1), Length::mm(25));
        let size = (base.size.0 - room * 2, base.size.1 - room * 2);
        let (width, depth) = (down(size.0), down(size.1));
        // The sleeve goes round the board: it is larger by its thickness.
        let board = (down(width - thick * 2), down(depth - thick * 2));
        if board.0.min(board.1) < least {
            let message = format!(
                "a base {} leaves a board of {}: that stiffens nothing",
                measure::show_size(base.size.0, base.size.1, d.system),
                measure::show_size(
                    board.0.max(Length::ZERO),
                    board.1.max(Length::ZERO),
                    d.system
                )
            );
            let cure = "leave less room around it, or make the base deeper".to_owned();
            refuse(d, index, "room", message, cure);
            return;
        }
        let radii = match base.shape {
            BaseShape::Rounded(radius) if radius > room => {
                let radius = (radius - room).min(width.half()).min(depth.half());
                Some((radius, radius))
            }
            BaseShape::Oval => Some((width.half(), depth.half())),
            BaseShape::Square | BaseShape::Rounded(_) => None,
        };
        let round = radii.and_then(|radii| Outline::rounded_rectangle(width, depth, radii).ok());
        sleeve(d, values, (width, depth), round);
        let shape = match base.shape {
            BaseShape::Oval if width == depth => "round",
            BaseShape::Oval => "oval",
            BaseShape::Rounded(radius) if radius > room => "corners rounded as those of the sleeve",
            BaseShape::Square | BaseShape::Rounded(_) => "corners blunted",
        };
        let piece = Notion::of(&notion::BOARD, 1).wide(board.0).long(board.1).thick(thick);
        d.notion(piece.note(shape).serving("the base"));
    }
}

/// Two layers round the board, turned through the whole of one end, which is closed by hand.
fn sleeve(
    d: &mut Drafter<'_>,
    values: &Values,
    (width, depth): (Length, Length),
    round: Option<Outline>,
) {
    let seam = d.either(Length::inch_frac(3, 8), Length::mm(10));
    let role = if values.choice("of") == "outside" { Role::Outside } else { Role::Lining };
    let is_round = round.is_some();
    let edges: Vec<(&str, Length)> = if is_round {
        vec![("front half", seam), ("back half", seam)]
    } else {
        ["long edge", "right end", "other long edge", "left end"].map(|edge| (edge, seam)).into()
    };
    let material = d.fabric(role);
    let new = NewPiece {
        id: "board-sleeve",
        name: "board sleeve",
        role,
        net: round.unwrap_or_else(|| Outline::rectangle(width, depth)),
        edges,
        grain: Grain::Free,
        join: None,
    };
    let piece = d.piece_of_material(new, material);
    let [upper, lower] = ["upper", "lower"].map(|at| d.copy(piece, &format!("{at} board sleeve")));
    let chapter = Chapter::Finish;
    let (one, other, gap) = if is_round {
        let half = d.piece_of(upper).net.edge_length(0);
        let sides = [whole(d, upper, 0), whole(d, upper, 1)].map(|run| run.spans).concat();
        let back = [whole(d, lower, 0), whole(d, lower, 1)];
        let back = back.map(|run| run.reversed().spans);
        let [first, second] = back;
        // A board that does not bend goes in where the sleeve is widest: nearly half of the way
        // round.
        let end = d.snap(half / 20);
        let gap = Gap { from: end, to: half - end };
        (sides, [first, second].concat(), gap)
    } else {
        let sides = [RIGHT, RIM, LEFT, BASE].map(|edge| whole_span(d, upper, edge)).to_vec();
        let back = [LEFT, RIM, RIGHT, BASE].map(|edge| whole_span(d, lower, edge).reversed());
        let end = whole_span(d, upper, RIGHT).length();
        (sides, back.to_vec(), Gap { from: Length::ZERO, to: end })
    };
    let marked = if is_round { 0 } else { RIGHT };
    d.mark_copy(upper, "opening", MarkShape::Opening { edge: marked, from: gap.from, to: gap.to });
    let mut join = Join::plain(
        "the sleeve of the board",
        vec![[Run::round(one), Run::round(other)]],
        seam,
        d.stitch("seam"),
    );
    join.gaps = vec![gap];
    join.press = Press::Not;
    d.step(chapter, "sew-board-sleeve", join);
    let left_by = "sew-board-sleeve".to_owned();
    let turn = Turn {
        what: "the sleeve".to_owned(),
        bodies: vec![upper],
        through: Through::Opening(left_by.clone()),
        then: "Push the corners out, press, and slide the board in.".to_owned(),
    };
    d.step(chapter, "turn-board-sleeve", turn);
    let close = CloseGap { left_by, copies: vec![upper], closing: Closing::Hand, allowance: seam };
    d.step(chapter, "close-board-sleeve", close);
    let press = PressSeam {
        what: Phrase::new("the sleeve beside the board, not over it, and lay it in the base of the bag"),
        copies: vec![upper, lower],
        mind: None,
    };
    d.finally("lay-board", press);
}
