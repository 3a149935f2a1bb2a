//! From a problem to pieces on a board, and back to placements.
//!
//! Folded fabric is laid as its one half, from the fold (at zero) to the selvedges: what is cut
//! there comes twice, the second time mirrored on the other side of the fold. A piece on the fold
//! lies half beyond it.

use measure::{Length, Outline, Point, Segment};

use super::apart::{Apart, Form};
use super::board::{Bind, Board, Lie, Unit};
use super::convex::Spot;
use super::parts::Around;
use crate::cuts::Cut;
use crate::{Item, NoLayout, Placement, Problem, Rotation, Shape, Stock};

/// How closely the polygon around a piece follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Follows {
    /// With few corners, for an answer at once.
    Loosely,
    /// For a search.
    Closely,
}

impl Follows {
    /// How much larger than the piece the polygon may be, in parts per million.
    const fn larger(self) -> f64 {
        match self {
            Self::Loosely => 10_000.0,
            Self::Closely => 800.0,
        }
    }
}

/// How far two shapes may differ and still be the same, in nanometres.
const SAME: i64 = 1_000;

/// Longer than anything that is laid, in nanometres; sums of two stay exact in `f64`.
const LONGEST: i64 = 2_000_000_000_000_000;

/// How a unit lies in one of its forms.
#[derive(Clone, Copy, Debug)]
struct Way {
    rotation: Rotation,
    /// How what is cut beneath it lies, if that is wanted.
    beneath: Rotation,
}

/// What comes of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Gives {
    /// One piece.
    One,
    /// Two pieces on folded fabric; the copy that comes from beneath, or none when that is spare.
    Two(Option<u32>),
    /// One piece, on the fold.
    OnFold,
}

/// What a unit of the board is.
#[derive(Clone, Debug)]
struct Part {
    cut: Cut,
    mirrored: bool,
    beneath_mirrored: bool,
    ways: Vec<Way>,
    gives: Gives,
}

/// What all units of a board are.
pub(crate) struct Parts {
    parts: Vec<Part>,
    usable: i64,
    /// Where the board's zero lies on the fabric.
    zero: i64,
}

/// An outline as it lies, the lower left corner of its box at the origin.
pub(crate) fn lying(outline: &Outline, mirrored: bool, rotation: Rotation) -> Outline {
    let over = if mirrored { outline.mirrored() } else { outline.clone() };
    let turned = over.rotated_quarter(i32::from(rotation.quarters()));
    let (low, _) = turned.bounds();
    turned.translated(Point::ORIGIN - low)
}

/// The form of a rectangle as it lies.
fn rectangle(cut: &Cut, rotation: Rotation) -> Form {
    let (width, length) =
        if rotation.is_crosswise() { (cut.length, cut.width) } else { (cut.width, cut.length) };
    Form {
        corners: Around::rectangle(width, length).corners,
        margin: 0,
        size: (width.to_nm(), length.to_nm()),
        is_box: true,
        is_ground: false,
    }
}

/// A form turned over and turned; it is simplified once for all the ways it may lie.
fn turned(form: &Form, mirrored: bool, rotation: Rotation) -> Form {
    let (width, length) = form.size;
    let one = |&(x, y): &Spot| {
        let x = if mirrored { width - x } else { x };
        match rotation {
            Rotation::None => (x, y),
            Rotation::Quarter => (length - y, x),
            Rotation::Half => (width - x, length - y),
            Rotation::ThreeQuarters => (y, width - x),
        }
    };
    let mut corners: Vec<Spot> = form.corners.iter().map(one).collect();
    if mirrored {
        corners.reverse();
    }
    let size = if rotation.is_crosswise() { (length, width) } else { (width, length) };
    Form { corners, size, ..form.clone() }
}

/// The rotation that gives the mirror image of a shape in another rotation, turned over or not.
fn beneath(item: &Item, rotation: Rotation) -> Option<(Rotation, bool)> {
    let back = match rotation {
        Rotation::Quarter => Rotation::ThreeQuarters,
        Rotation::ThreeQuarters => Rotation::Quarter,
        Rotation::None | Rotation::Half => rotation,
    };
    if item.mirror {
        return item.rotations.allows(back).then_some((back, true));
    }
    match &item.shape {
        Shape::Rect { .. } => Some((rotation, false)),
        Shape::Outline(outline) => {
            let image = lying(outline, true, back);
            let same = |way: &Rotation| is_same(&image, &lying(outline, false, *way));
            item.rotations.iter().find(same).map(|way| (way, false))
        }
    }
}

/// Whether a piece as it lies is its own mirror image.
fn is_even(item: &Item, mirrored: bool, rotation: Rotation) -> bool {
    match &item.shape {
        Shape::Rect { .. } => true,
        Shape::Outline(outline) => {
            let lying = lying(outline, mirrored, rotation);
            is_same(&lying.mirrored(), &lying)
        }
    }
}

/// Whether two outlines with their boxes at the origin are the same, within [`SAME`].
fn is_same(one: &Outline, other: &Outline) -> bool {
    let points = |outline: &Outline| -> Vec<Point> {
        let of = |(start, segment, _): (Point, Segment, Point)| match segment {
            Segment::Line => vec![start],
            Segment::Curve(a, b) => vec![start, a, b],
        };
        outline.segments().flat_map(of).collect()
    };
    let (one, mut other) = (points(one), points(other));
    let is_near =
        |a: Point, b: Point| (a.x - b.x).to_nm().abs() <= SAME && (a.y - b.y).to_nm().abs() <= SAME;
    one.len() == other.len()
        && one.iter().all(|a| {
            let found = other.iter().position(|b| is_near(*a, *b));
            found.map(|at| other.swap_remove(at)).is_some()
        })
}

/// Collects units and forms.
struct Maker<'a> {
    problem: &'a Problem,
    follows: Follows,
    is_folded: bool,
    /// The width of the board, and of the fabric.
    width: i64,
    usable: i64,
    zero: i64,
    forms: Vec<Form>,
    units: Vec<Unit>,
    parts: Vec<Part>,
    groups: Vec<String>,
    /// The outlines of pieces as drawn.
    drawn: Vec<(usize, Form)>,
    /// How pieces of groups lie.
    turn: Option<Rotation>,
}

impl Parts {
    /// Cuts to lay on fabric of a usable width; the length is left open. Pieces that have to match
    /// lie in this rotation.
    ///
    /// # Errors
    /// When a piece does not fit, or cannot be cut from folded fabric.
    pub(crate) fn on_board(
        problem: &Problem,
        usable: Length,
        cuts: &[Cut],
        turn: Option<Rotation>,
        follows: Follows,
    ) -> Result<(Self, Board), NoLayout> {
        let is_folded = matches!(problem.stock, Stock::Bolt { fold: true, .. });
        let usable = usable.to_nm();
        let width = if is_folded { usable / 2 } else { usable };
        let zero = usable - width;
        let mut maker = Maker {
            problem,
            follows,
            is_folded,
            width,
            usable,
            zero,
            forms: Vec::new(),
            units: Vec::new(),
            parts: Vec::new(),
            groups: Vec::new(),
            drawn: Vec::new(),
            turn,
        };
        let mut rest = cuts;
        while let [cut, later @ ..] = rest {
            rest = maker.add(cut, later)?;
        }
        let Maker { forms, units, parts, groups, .. } = maker;
        let apart = Apart::new(forms, problem.gap.to_nm());
        let mut board = Board::new(apart, units, (width, LONGEST), groups.len());
        board.start = if is_folded { (problem.gap.to_nm() + 1) / 2 } else { 0 };
        Ok((Self { parts, usable, zero }, board))
    }

    /// The placement of one piece that lies so, above the fold.
    fn placement(
        &self,
        board: &Board,
        (part, unit): (&Part, &Unit),
        lie: Lie,
    ) -> Option<(Placement, Way)> {
        let way = part.ways[unit.forms.iter().position(|form| *form == lie.form)?];
        let (width, length) = board.apart.forms[lie.form].size;
        let placement = Placement {
            piece: part.cut.piece,
            copy: part.cut.copy,
            part: part.cut.part,
            stock: 0,
            rotation: way.rotation,
            mirrored: part.mirrored,
            x: Length::nm(self.zero + lie.at.0),
            y: Length::nm(lie.at.1),
            width: Length::nm(width),
            length: Length::nm(length),
        };
        Some((placement, way))
    }

    /// The placements of the pieces by themselves, each on flat fabric, in the order of the cuts.
    pub(crate) fn each(&self, board: &Board, lies: &[Lie]) -> Vec<Option<Placement>> {
        let units = self.parts.iter().zip(&board.units).zip(lies);
        units.map(|(of, lie)| Some(self.placement(board, of, *lie)?.0)).collect()
    }

    /// The placements of these lies.
    pub(crate) fn placements(&self, board: &Board, lies: &[Lie]) -> Vec<Placement> {
        let mut all = Vec::new();
        for ((unit, lie), part) in board.units.iter().zip(lies).zip(&self.parts) {
            let Some((first, way)) = self.placement(board, (part, unit), *lie) else { continue };
            all.push(first);
            if let Gives::Two(Some(copy)) = part.gives {
                all.push(Placement {
                    copy,
                    rotation: way.beneath,
                    mirrored: part.beneath_mirrored,
                    x: Length::nm(self.usable) - first.x - first.width,
                    ..first
                });
            }
        }
        all.sort_by_key(|one| (one.piece, one.copy, one.part));
        all
    }

    /// The lies of placements; none when these lie in no way that is known here.
    pub(crate) fn lies(&self, board: &Board, placements: &[Placement]) -> Option<Vec<Lie>> {
        let units = self.parts.iter().zip(&board.units);
        let lie = |(part, unit): (&Part, &Unit)| {
            let is_it = |one: &&Placement| {
                (one.piece, one.copy, one.part) == (part.cut.piece, part.cut.copy, part.cut.part)
            };
            let one = placements.iter().find(is_it)?;
            // A rectangle turned by half a turn is the same form.
            let same = |way: &Way| way.rotation == one.rotation;
            let size = |at: usize| board.apart.forms[unit.forms[at]].size;
            let alike = |at: &usize| size(*at) == (one.width.to_nm(), one.length.to_nm());
            let way = part.ways.iter().position(same);
            let way = way.or_else(|| (0..part.ways.len()).find(alike))?;
            let at = (one.x.to_nm() - self.zero, one.y.to_nm());
            Some(Lie { form: unit.forms[way], at })
        };
        units.map(lie).collect()
    }
}

impl<'a> Maker<'a> {
    /// Adds the unit of a cut, and of the next one when both come together; gives what is left.
    fn add<'b>(&mut self, cut: &Cut, later: &'b [Cut]) -> Result<&'b [Cut], NoLayout> {
        let item = &self.problem.pieces[cut.piece];
        if !self.is_folded {
            self.push(item, cut, Gives::One);
            return Ok(later);
        }
        let next = later.first().filter(|next| {
            next.piece == cut.piece
                && (next.width, next.length, next.part) == (cut.width, cut.length, cut.part)
                && item.join.is_none()
        });
        if !item.on_fold && next.is_some_and(|_| cut.copy.is_multiple_of(2)) {
            let copy = next.map(|next| next.copy);
            if self.push(item, cut, Gives::Two(copy)) {
                return Ok(&later[1..]);
            }
        }
        // By itself: on the fold when it is its own mirror image; else with a spare one.
        let laid = self.push(item, cut, Gives::OnFold)
            || (!item.on_fold && self.push(item, cut, Gives::Two(None)));
        if laid {
            return Ok(later);
        }
        let name = &item.name;
        Err(NoLayout::Nonsense(if item.on_fold {
            format!(
                "{name}: it cannot lie on the fold, for its left half is not the mirror image of \
                 its right half; give the whole shape, or take it off the fold"
            )
        } else {
            format!(
                "{name}: it is wider than half the fabric, and cannot lie on the fold, for its \
                 left half is not the mirror image of its right half; lay the fabric flat"
            )
        }))
    }

    /// Adds a unit if there is a way for it to lie.
    fn push(&mut self, item: &Item, cut: &Cut, gives: Gives) -> bool {
        let mirrored = item.mirror && cut.copy % 2 == 1;
        let known = self.parts.iter().zip(&self.units).find(|(part, _)| {
            let same = |one: &Cut| (one.piece, one.width, one.length);
            let alike = matches!(
                (part.gives, gives),
                (Gives::One, Gives::One)
                    | (Gives::OnFold, Gives::OnFold)
                    | (Gives::Two(Some(_)), Gives::Two(Some(_)))
                    | (Gives::Two(None), Gives::Two(None))
            );
            same(&part.cut) == same(cut) && part.mirrored == mirrored && alike
        });
        if let Some((part, unit)) = known {
            let (part, unit) = (Part { cut: *cut, gives, ..part.clone() }, unit.clone());
            self.parts.push(part);
            self.units.push(unit);
            return true;
        }
        let mut unit = Unit { forms: Vec::new(), bind: self.bind(item), is_fixed: false };
        let mut part =
            Part { cut: *cut, mirrored, beneath_mirrored: false, ways: Vec::new(), gives };
        for rotation in item.rotations.iter() {
            if item.group.is_some() && self.turn.is_some_and(|turn| turn != rotation) {
                continue;
            }
            let Some((form, under)) = self.way(item, cut, (mirrored, rotation), gives) else {
                continue;
            };
            let at = self.forms.iter().position(|known| *known == form).unwrap_or_else(|| {
                self.forms.push(form);
                self.forms.len() - 1
            });
            if !unit.forms.contains(&at) {
                unit.forms.push(at);
                part.ways.push(Way { rotation, beneath: under.0 });
                part.beneath_mirrored = under.1;
            }
        }
        if gives == Gives::OnFold {
            // Only forms of one width lie on the fold at one place.
            let Some(&first) = unit.forms.first() else { return false };
            let width = self.forms[first].size.0;
            let at: Vec<usize> = (0..unit.forms.len())
                .filter(|at| self.forms[unit.forms[*at]].size.0 == width)
                .collect();
            part.ways = at.iter().map(|at| part.ways[*at]).collect();
            unit.forms = at.iter().map(|at| unit.forms[*at]).collect();
            unit.bind[0] = Bind::At((self.usable - width) / 2 - self.zero);
        }
        if unit.forms.is_empty() {
            return false;
        }
        self.units.push(unit);
        self.parts.push(part);
        true
    }

    /// The shape of a cut as it lies.
    fn form(&mut self, item: &Item, cut: &Cut, mirrored: bool, rotation: Rotation) -> Form {
        let Shape::Outline(outline) = &item.shape else { return rectangle(cut, rotation) };
        let known = self.drawn.iter().position(|(piece, _)| *piece == cut.piece);
        let at = known.unwrap_or_else(|| {
            let (width, length) = outline.size();
            let around = Around::outline(outline, self.follows.larger());
            // Held against boxes as the verifier does it: only what was given as a rectangle is one.
            let form = Form {
                corners: around.corners,
                margin: around.margin,
                size: (width.to_nm(), length.to_nm()),
                is_box: false,
                is_ground: false,
            };
            self.drawn.push((cut.piece, form));
            self.drawn.len() - 1
        });
        turned(&self.drawn[at].1, mirrored, rotation)
    }

    /// The form of a cut in a rotation, and how what is cut beneath it lies; none when it may not
    /// or cannot lie so.
    fn way(
        &mut self,
        item: &Item,
        cut: &Cut,
        (mirrored, rotation): (bool, Rotation),
        gives: Gives,
    ) -> Option<(Form, (Rotation, bool))> {
        let mut form = self.form(item, cut, mirrored, rotation);
        let most = match gives {
            Gives::One => self.width,
            Gives::Two(_) => self.width - (self.problem.gap.to_nm() + 1) / 2,
            Gives::OnFold => self.usable,
        };
        if form.size.0 > most {
            return None;
        }
        let under = match gives {
            Gives::One | Gives::Two(None) => (rotation, false),
            Gives::Two(Some(_)) => beneath(item, rotation)?,
            Gives::OnFold => {
                if !is_even(item, mirrored, rotation) {
                    return None;
                }
                // Half a nanometre cannot be laid.
                form.margin += (self.usable - form.size.0) % 2;
                (rotation, false)
            }
        };
        if self.is_folded && !form.is_box {
            form.margin += SAME;
        }
        Some((form, under))
    }

    /// What binds a piece: the print, if it has to match.
    fn bind(&mut self, item: &Item) -> [Bind; 2] {
        let (Some(name), Some(repeat)) = (&item.group, repeat(self.problem)) else {
            return [Bind::Free; 2];
        };
        let group = self.groups.iter().position(|known| known == name).unwrap_or_else(|| {
            self.groups.push(name.clone());
            self.groups.len() - 1
        });
        repeat.map(|repeat| match repeat {
            0 => Bind::Free,
            repeat => Bind::Every { repeat, group },
        })
    }
}

/// How often the print repeats after washing, in nanometres, across and along; none when nothing
/// repeats.
pub(crate) fn repeat(problem: &Problem) -> Option<[i64; 2]> {
    let Stock::Bolt { repeat: (across, along), .. } = problem.stock else { return None };
    let across = problem.shrinkage.width_after_washing(across).to_nm();
    let along = problem.shrinkage.after_washing(along).to_nm();
    (across > 0 || along > 0).then_some([across, along])
}
