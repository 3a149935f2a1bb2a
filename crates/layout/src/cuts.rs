//! From the pieces of a problem to the rectangles that are laid: copies, joined strips, and the
//! ways each may lie. What does not fit is reported with what would help.

use measure::Length;

use crate::strips::Strips;
use crate::{
    Item, Join, JoinAngle, JoinPlace, Joined, NoLayout, Problem, Rotation, Shape, TooWide,
};

/// One rectangle to lay.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cut {
    pub(crate) piece: usize,
    pub(crate) copy: u32,
    pub(crate) part: u32,
    /// Its own size, before any turn.
    pub(crate) width: Length,
    pub(crate) length: Length,
    /// How it is turned when it lies upright, if it may and fits so.
    pub(crate) upright: Option<Rotation>,
    /// How it is turned when it lies crosswise, if it may and fits so.
    pub(crate) turned: Option<Rotation>,
}

/// All rectangles to lay, and how strips are joined from them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cuts {
    pub(crate) cuts: Vec<Cut>,
    pub(crate) joins: Vec<Joined>,
}

impl Cuts {
    /// How many joins have to be sewn.
    pub(crate) fn join_count(&self) -> usize {
        self.joins.iter().map(|joined| joined.stretches.len() - 1).sum()
    }
}

/// How a piece lies upright and turned, if it is allowed.
pub(crate) fn ways(item: &Item) -> (Option<Rotation>, Option<Rotation>) {
    let find = |crosswise| item.rotations.iter().find(|way| way.is_crosswise() == crosswise);
    (find(false), find(true))
}

/// The joined strips of a piece that may be joined on this usable width: it has a join, and its
/// long side, laid across, is longer than the fabric is wide.
pub(crate) fn strips(item: &Item, copies: u32, usable: Length) -> Option<Strips> {
    strips_with(item, item.join?, copies, usable)
}

/// Whether a strip that is longer than this usable width can be joined as it may be.
pub(crate) fn can_be_cut(item: &Item, copies: u32, usable: Length) -> bool {
    one_piece(0, item, usable).is_some()
        || strips(item, copies, usable).is_some_and(|strips| strips.cut().is_some())
}

fn strips_with(item: &Item, join: Join, copies: u32, usable: Length) -> Option<Strips> {
    let Shape::Rect { width, length } = item.shape else { return None };
    let (upright, turned) = ways(item);
    let lies_across = if width >= length { upright } else { turned };
    lies_across?;
    let count = item.count.checked_mul(copies)?;
    let (long, breadth) = (width.max(length), width.min(length));
    (long > usable).then_some(Strips { join, long, breadth, longest: usable, count })
}

/// The ways to cut the pieces: first with as few joins as can be, then, where it makes a
/// difference, with every strip joined that may be.
///
/// # Errors
/// When a piece fits in no allowed way.
pub(crate) fn alternatives(problem: &Problem, usable: Length) -> Result<Vec<Cuts>, NoLayout> {
    let (mut whole, mut joined) = (Cuts::default(), Cuts::default());
    let mut differ = false;
    let mut too_wide = Vec::new();
    for (piece, item) in problem.pieces.iter().enumerate() {
        let count = item.count.saturating_mul(problem.copies);
        let one = one_piece(piece, item, usable);
        let cutting = strips(item, problem.copies, usable)
            .filter(|_| count > 0)
            .and_then(|strips| strips.cut().map(|cutting| (strips, cutting)));
        if one.is_none() && cutting.is_none() && count > 0 {
            too_wide.push(help(piece, item, usable));
            continue;
        }
        let copies = |one: Cut| (0..count).map(move |copy| Cut { copy, ..one });
        match (one, cutting) {
            (Some(one), None) => {
                whole.cuts.extend(copies(one));
                joined.cuts.extend(copies(one));
            }
            (one, Some((strips, cutting))) => {
                add_strips(&mut joined, piece, item, &strips, &cutting);
                match one {
                    Some(one) => {
                        differ = true;
                        whole.cuts.extend(copies(one));
                    }
                    None => add_strips(&mut whole, piece, item, &strips, &cutting),
                }
            }
            (None, None) => {}
        }
    }
    match (too_wide.is_empty(), differ) {
        (false, _) => Err(NoLayout::TooWide(too_wide)),
        (true, false) => Ok(vec![whole]),
        (true, true) => Ok(vec![whole, joined]),
    }
}

/// The rectangle of a piece that is cut whole, if it fits.
fn one_piece(piece: usize, item: &Item, usable: Length) -> Option<Cut> {
    let (width, length) = item.shape.size();
    let (upright, turned) = ways(item);
    let (upright, turned) =
        (upright.filter(|_| width <= usable), turned.filter(|_| length <= usable));
    let cut = Cut { piece, copy: 0, part: 0, width, length, upright, turned };
    (upright.is_some() || turned.is_some()).then_some(cut)
}

/// Adds the strips of a joined piece.
fn add_strips(
    cuts: &mut Cuts,
    piece: usize,
    item: &Item,
    strips: &Strips,
    cutting: &crate::strips::Cutting,
) {
    let (width, _) = item.shape.size();
    let is_long_across = width == strips.long;
    let (upright, turned) = ways(item);
    for (part, &long) in (0..).zip(&cutting.bars) {
        let (width, length) =
            if is_long_across { (long, strips.breadth) } else { (strips.breadth, long) };
        let serves = |stretches: &Vec<crate::Stretch>| stretches.iter().any(|s| s.part == part);
        let copy =
            (0..).zip(&cutting.finished).find(|(_, s)| serves(s)).map_or(0, |(copy, _)| copy);
        let upright = upright.filter(|_| width <= strips.longest);
        let turned = turned.filter(|_| length <= strips.longest);
        cuts.cuts.push(Cut { piece, copy, part, width, length, upright, turned });
    }
    cuts.joins.extend((0..).zip(&cutting.finished).map(|(copy, stretches)| Joined {
        piece,
        copy,
        stretches: stretches.clone(),
    }));
}

/// What would help a piece that does not fit.
fn help(piece: usize, item: &Item, usable: Length) -> TooWide {
    let (width, length) = item.shape.size();
    let (upright, turned) = ways(item);
    let turn = (upright.is_none() && width <= usable) || (turned.is_none() && length <= usable);
    let across = [upright.map(|_| width), turned.map(|_| length)];
    let join = item.join.unwrap_or(Join {
        most: 0,
        allowance: Length::inch_frac(1, 2),
        angle: JoinAngle::Straight,
        place: JoinPlace::Anywhere,
    });
    // At most as many joins as a person would sew.
    let joins = strips_with(item, join, 1, usable)
        .and_then(|strips| {
            let joins = strips.fewest_joins()?;
            let place = JoinPlace::Anywhere;
            let freed = Strips { join: Join { most: joins, place, ..join }, ..strips };
            freed.cut().map(|_| joins)
        })
        .filter(|&joins| joins <= 10);
    TooWide {
        piece,
        name: item.name.clone(),
        width,
        length,
        usable,
        turn,
        joins,
        wide_enough: across.into_iter().flatten().min().unwrap_or(width),
    }
}
