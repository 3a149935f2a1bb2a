//! An immediate layout of outlines: one piece after the other, each as low as it can lie, in the
//! form that reaches least far.

use super::board::{Axis, Bind, Board, Lie};
use super::rows::Rows;

/// Levels below this one are full for a form; they only get fuller.
type Full = Vec<i64>;

/// Lays all pieces in this order; whether all found a place.
pub(crate) fn lay(board: &mut Board, order: &[usize]) -> bool {
    lay_until(board, order, true).1
}

/// Lays the pieces in this order, leaving out those that find no place; which units are laid.
pub(crate) fn lay_some(board: &mut Board, order: &[usize]) -> Vec<bool> {
    lay_until(board, order, false).0
}

/// Which units are laid, and whether all are that were to be; with `is_strict` it stops at the
/// first that finds no place.
fn lay_until(board: &mut Board, order: &[usize], is_strict: bool) -> (Vec<bool>, bool) {
    let mut laid: Vec<bool> = board.units.iter().map(|unit| unit.is_fixed).collect();
    let mut rows = Rows::new(&board.apart);
    for unit in (0..laid.len()).filter(|unit| laid[*unit]) {
        rows.add(unit, board.lies[unit]);
    }
    let mut has_phase = vec![false; board.phases.len()];
    let mut full: Full = vec![0; board.apart.forms.len()];
    let mut is_whole = true;
    for &unit in order {
        let groups = groups(board, unit);
        let is_first = groups.iter().all(|&group| !has_phase[group]);
        let bind = board.units[unit].bind;
        if is_first {
            // The first of a group says where the pattern lies.
            board.units[unit].bind = bind.map(|one| match one {
                Bind::Every { .. } => Bind::Free,
                Bind::Free | Bind::At(_) => one,
            });
        }
        let best = best_lie(board, &rows, unit, &mut full);
        board.units[unit].bind = bind;
        let Some(lie) = best else {
            is_whole = false;
            if is_strict {
                break;
            }
            continue;
        };
        board.lies[unit] = lie;
        laid[unit] = true;
        rows.add(unit, lie);
        for group in groups {
            if is_first {
                board.phases[group] = lie.at;
            }
            has_phase[group] = true;
        }
    }
    (laid, is_whole)
}

fn groups(board: &Board, unit: usize) -> Vec<usize> {
    let of = |bind: &Bind| match bind {
        Bind::Every { group, .. } => Some(*group),
        Bind::Free | Bind::At(_) => None,
    };
    let mut groups: Vec<_> = board.units[unit].bind.iter().filter_map(of).collect();
    groups.dedup();
    groups
}

/// The lie that reaches least far along, then across.
fn best_lie(board: &mut Board, rows: &Rows, unit: usize, full: &mut Full) -> Option<Lie> {
    let mut best: Option<((i64, i64), Lie)> = None;
    let is_free = board.units[unit].bind == [Bind::Free; 2];
    for at in 0..board.units[unit].forms.len() {
        let form = board.units[unit].forms[at];
        let size = board.apart.forms[form].size;
        let most = best.map_or(i64::MAX, |(rank, _)| rank.0 - size.1);
        let from = if is_free { full[form] } else { 0 };
        let (level, lie) = lowest(board, rows, (unit, form), (from, most));
        if is_free {
            full[form] = level;
        }
        let Some(lie) = lie else { continue };
        let rank = (lie.at.1 + size.1, lie.at.0 + size.0);
        if best.is_none_or(|(least, _)| rank < least) {
            best = Some((rank, lie));
        }
    }
    best.map(|(_, lie)| lie)
}

/// The lowest level that is tried and free, and the lie when it is pushed down and aside from
/// there; levels from the first to the last that are given. Without a lie, the level up to which
/// there is none.
fn lowest(
    board: &mut Board,
    rows: &Rows,
    (unit, form): (usize, usize),
    (from, most): (i64, i64),
) -> (i64, Option<Lie>) {
    let Some((first, last)) = board.range(unit, form, Axis::Along) else { return (from, None) };
    // Row by row, so that no more levels are looked for than are tried.
    let mut levels = Vec::new();
    let mut near = Vec::new();
    let mut low = 0.max(from);
    while low <= rows.top {
        let high = low + rows.height;
        find_levels(board, rows, form, low..high, &mut levels);
        for &level in &levels {
            let level = board.up(unit, Axis::Along, level.max(first));
            if level > last || level > most {
                return (from.max(level.min(most)), None);
            }
            near.clear();
            near.extend(rows.near(level, level));
            let lie = Lie { form, at: (0, level) };
            if let Some(x) = board.first_free(unit, lie, Axis::Across, 0, near.iter().copied()) {
                let lie = pushed(board, rows, unit, Lie { form, at: (x, level) });
                return (level, Some(lie));
            }
        }
        low = high;
    }
    (from, None)
}

/// The heights in a stretch at which this form may come to lie on or beside others.
fn find_levels(
    board: &Board,
    rows: &Rows,
    form: usize,
    stretch: std::ops::Range<i64>,
    levels: &mut Vec<i64>,
) {
    levels.clear();
    levels.push(stretch.start);
    for other in rows.near(stretch.start, stretch.end) {
        let lie = board.lies[other];
        let overlap = board.apart.overlap(lie.form, form);
        let ends = [overlap.low.1, overlap.high.1];
        let corners = match overlap.parts.as_slice() {
            [part] if part.corners().len() <= 12 => part.corners(),
            _ => &[],
        };
        let all = corners.iter().map(|corner| corner.1).chain(ends);
        levels.extend(all.map(|level| level + lie.at.1).filter(|level| stretch.contains(level)));
    }
    levels.sort_unstable();
    levels.dedup();
}

/// Pushed down and to the first selvedge, in turns, as far as it goes without a jump being barred.
fn pushed(board: &mut Board, rows: &Rows, unit: usize, mut lie: Lie) -> Lie {
    let mut near = Vec::new();
    for _ in 0..8 {
        let before = lie;
        // No farther down than a row at a time: below that there is hardly ever room.
        let from = lie.at.1 - rows.height;
        near.clear();
        near.extend(rows.near(from, lie.at.1));
        if let Some(y) = board.first_free(unit, lie, Axis::Along, from, near.iter().copied()) {
            lie.at.1 = y.min(lie.at.1);
        }
        near.clear();
        near.extend(rows.near(lie.at.1, lie.at.1));
        if let Some(x) = board.first_free(unit, lie, Axis::Across, 0, near.iter().copied()) {
            lie.at.0 = x.min(lie.at.0);
        }
        if lie == before {
            break;
        }
    }
    lie
}

/// Pushes all pieces down and aside, the lowest first, until nothing moves; nothing overlaps
/// before, nor after.
pub(crate) fn press(board: &mut Board) {
    let mut rows = Rows::new(&board.apart);
    for (unit, lie) in board.lies.iter().enumerate() {
        rows.add(unit, *lie);
    }
    let mut order: Vec<usize> = (0..board.units.len()).collect();
    order.retain(|&unit| !board.units[unit].is_fixed);
    for _ in 0..6 {
        order.sort_by_key(|&unit| (board.lies[unit].at.1, board.lies[unit].at.0, unit));
        let mut has_moved = false;
        for &unit in &order {
            let (before, lie) = (board.lies[unit], pushed(board, &rows, unit, board.lies[unit]));
            if lie != before {
                rows.take(unit, before);
                rows.add(unit, lie);
                board.lies[unit] = lie;
                has_moved = true;
            }
        }
        if !has_moved {
            break;
        }
    }
}
