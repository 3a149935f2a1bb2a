//! An immediate layout of outlines: one piece after the other, each as low as it can lie, in the
//! form that reaches least far.

use super::board::{Axis, Bind, Board, Lie};

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
    let mut laid = vec![false; board.units.len()];
    for (unit, is_laid) in laid.iter_mut().enumerate() {
        *is_laid = board.units[unit].is_fixed;
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
        let best = best_lie(board, unit, &laid, &mut full);
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
fn best_lie(board: &mut Board, unit: usize, laid: &[bool], full: &mut Full) -> Option<Lie> {
    let mut best: Option<((i64, i64), Lie)> = None;
    for form in board.units[unit].forms.clone() {
        let size = board.apart.forms[form].size;
        let most = best.map_or(i64::MAX, |(rank, _)| rank.0 - size.1);
        let is_free = board.units[unit].bind == [Bind::Free; 2];
        let from = if is_free { full[form] } else { 0 };
        let Some((level, lie)) = lowest(board, unit, form, laid, (from, most)) else { continue };
        if is_free && best.is_none() {
            full[form] = level;
        }
        let rank = (lie.at.1 + size.1, lie.at.0 + size.0);
        if best.is_none_or(|(least, _)| rank < least) {
            best = Some((rank, lie));
        }
    }
    best.map(|(_, lie)| lie)
}

/// The lowest level that is tried and free, and the lie when it is pushed down and aside from
/// there; levels from the first to the last that are given.
fn lowest(
    board: &mut Board,
    unit: usize,
    form: usize,
    laid: &[bool],
    (from, most): (i64, i64),
) -> Option<(i64, Lie)> {
    let (first, last) = board.range(unit, form, Axis::Along)?;
    for level in levels(board, form, laid) {
        let level = board.up(unit, Axis::Along, level.max(first));
        if level < from {
            continue;
        }
        if level > last || level > most {
            return None;
        }
        let lie = Lie { form, at: (0, level) };
        let among = |other: usize| laid[other];
        if let Some(x) = board.first_free(unit, lie, Axis::Across, 0, among) {
            return Some((level, pushed(board, unit, Lie { form, at: (x, level) }, laid)));
        }
    }
    None
}

/// The heights at which this form may come to lie on or beside others.
fn levels(board: &Board, form: usize, laid: &[bool]) -> Vec<i64> {
    let mut levels = vec![0];
    for (_, lie) in board.lies.iter().enumerate().filter(|(other, _)| laid[*other]) {
        let overlap = board.apart.overlap(lie.form, form);
        match overlap.parts.as_slice() {
            [part] if part.corners().len() <= 12 => {
                levels.extend(part.corners().iter().map(|corner| corner.1 + lie.at.1));
            }
            _ => levels.extend([overlap.low.1, overlap.high.1].map(|level| level + lie.at.1)),
        }
    }
    levels.sort_unstable();
    levels.dedup();
    levels
}

/// Pushed down and to the first selvedge, in turns, as far as it goes without a jump being barred.
fn pushed(board: &mut Board, unit: usize, mut lie: Lie, laid: &[bool]) -> Lie {
    for _ in 0..8 {
        let before = lie;
        if let Some(y) = board.first_free(unit, lie, Axis::Along, 0, |other| laid[other]) {
            lie.at.1 = y.min(lie.at.1);
        }
        if let Some(x) = board.first_free(unit, lie, Axis::Across, 0, |other| laid[other]) {
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
    let mut order: Vec<usize> = (0..board.units.len()).collect();
    order.retain(|&unit| !board.units[unit].is_fixed);
    let all = vec![true; board.units.len()];
    for _ in 0..6 {
        order.sort_by_key(|&unit| (board.lies[unit].at.1, board.lies[unit].at.0, unit));
        let before = board.lies.clone();
        for &unit in &order {
            board.lies[unit] = pushed(board, unit, board.lies[unit], &all);
        }
        if board.lies == before {
            break;
        }
    }
}
