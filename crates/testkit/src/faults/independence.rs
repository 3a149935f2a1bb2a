//! When two steps may be done in either order: the rules by which a swap or a move is harmless.
//!
//! Each rule is about sewing. None of them asks the checks.

use bag::assembly::Assembly;
use bag::operations::{
    BoxAndX, BoxCorner, CloseGap, FinishEdges, FrenchSeam, Hem, Join, Place, PressSeam, SewOn,
    StitchDown, Topstitch, TrimCorners, Turn,
};
use bag::pattern::{CopyId, Pattern, Run, Step};
use measure::{Length, Point};

use super::edit::ARM;

/// Rules in words, for the table.
pub(super) const RULES: &str = "each step that changes places with another is independent of it: \
    (a) they handle pieces that hang together neither then nor by any step between; or (b) one of \
    them only presses: a press is good practice at any time and holds nothing; or (c) both are \
    plain seams or edge finishes of panels that lie in the same bag, and share no edge; or (d) \
    both fasten things to the same panel, at places that do not overlap; or (e) one closes an \
    opening and the other topstitches a rim elsewhere; or (f) one row of topstitching passes \
    no edge that the other step sews or finishes; or (g) one hems the rim of an unlined bag, and \
    the other turns it or boxes its corners: a rim can be hemmed with either side out, and lies \
    far from the base; or (h) both only stitch through what lies there already; or (i) one marks \
    pieces and the other stiffens them: both are done on the table, before the first seam; or (j) one boxes \
    handles within the hem at the open rim, and the other turns the bag: the machine gets at the \
    rim with either side out; or (k) one sews something small on by hand, and the other is a row of \
    topstitching: the needle goes in beside the row; or (l) one clips or notches an allowance, or hems, \
    gathers or presses a pocket that is on no panel yet, and the other handles none of these pieces; \
    or (m) one holds straps down within 4 in (100 mm) of the open rim, where the free arm of the \
    machine reaches, and the other sews a seam of other pieces or below";

/// Whether the order of two steps does not matter. `before` is the first of them by index.
pub(super) fn either_order(pattern: &Pattern, first: usize, second: usize) -> bool {
    let [a, b] = [first, second].map(|index| &pattern.steps[index]);
    if first == second || presses(a) || presses(b) {
        return true;
    }
    apart(pattern, first, second)
        || seams_elsewhere(a, b)
        || fastened_apart(pattern, a, b)
        || closing_and_topstitching(a, b)
        || row_elsewhere(a, b)
        || hem_and_base(a, b)
        || both_stitch(a, b)
        || both_prepare(a, b)
        || box_at_rim(pattern, a, b)
        || by_hand_and_row(a, b)
        || handles_nothing_of(a, b)
        || held_near_rim(pattern, a, b)
}

/// Rule (b).
fn presses(step: &Step) -> bool {
    step.as_a::<PressSeam>().is_some()
}

/// Steps that prepare pieces on the table touch whatever is cut.
fn prepares(step: &Step) -> bool {
    matches!(step.operation.word(), "cut-out" | "block-fuse" | "mark" | "interface")
}

/// Rule (a): the pieces of both hang together neither by seams nor by lying on one another, when
/// everything up to the later of the two is done.
fn apart(pattern: &Pattern, first: usize, second: usize) -> bool {
    let [a, b] = [first, second].map(|index| &pattern.steps[index]);
    let (of_a, of_b) = (a.operation.copies(), b.operation.copies());
    if a.operation.word() == "cut-out" || b.operation.word() == "cut-out" {
        return false;
    }
    if prepares(a) && prepares(b) {
        return of_a.iter().all(|copy| !of_b.contains(copy));
    }
    let work = Assembly::sew_first(pattern, first.max(second) + 1);
    let group = |copies: &[CopyId]| hanging_together(&work, copies);
    let reached = group(&of_a);
    of_b.iter().all(|copy| !reached.contains(copy))
}

/// All copies that hang together with these: sewn to them, lying on them, or under them.
fn hanging_together(work: &Assembly<'_>, copies: &[CopyId]) -> Vec<CopyId> {
    let mut reached: Vec<CopyId> = copies.to_vec();
    let mut next = 0;
    while let Some(copy) = reached.get(next).copied() {
        next += 1;
        let riders = work.riders.iter().filter_map(|rider| match () {
            () if rider.what == copy => Some(rider.onto),
            () if rider.onto == copy => Some(rider.what),
            () => None,
        });
        for other in work.body_copies(copy).into_iter().chain(riders) {
            if !reached.contains(&other) {
                reached.push(other);
            }
        }
    }
    reached
}

/// The edges that a step sews or finishes, if it is a plain seam or an edge finish.
fn edges(step: &Step) -> Option<Vec<(CopyId, usize)>> {
    let runs: Vec<&Run> = if let Some(join) = step.as_a::<Join>() {
        join.seams.iter().flatten().collect()
    } else if let Some(seam) = step.as_a::<FrenchSeam>() {
        seam.seams.iter().flatten().collect()
    } else if let Some(finish) = step.as_a::<FinishEdges>() {
        finish.runs.iter().collect()
    } else {
        return None;
    };
    Some(runs.iter().flat_map(|run| run.spans.iter().map(|span| (span.copy, span.edge))).collect())
}

/// Rule (c). A seam in the round closes the bag, and a seam of two panels must come before that.
fn seams_elsewhere(a: &Step, b: &Step) -> bool {
    let (Some(of_a), Some(of_b)) = (edges(a), edges(b)) else { return false };
    let copies = |edges: &[(CopyId, usize)]| {
        let mut copies: Vec<CopyId> = edges.iter().map(|(copy, _)| *copy).collect();
        copies.sort_unstable();
        copies.dedup();
        copies
    };
    let round = |step: &Step| {
        step.as_a::<Join>().is_some_and(|join| join.seams.iter().any(|seam| seam[0].closed))
    };
    // Of panels that are joined end to end first, a longer seam takes in both.
    let over_both = |first: &Step, second: &Step| {
        let joined = first.as_a::<Join>().into_iter().flat_map(|join| &join.seams);
        let runs = second.as_a::<Join>().into_iter().flat_map(|join| join.seams.iter().flatten());
        let long: Vec<Vec<CopyId>> = runs.map(Run::copies).collect();
        joined.into_iter().any(|[one, other]| {
            long.iter().any(|run| {
                one.copies().iter().any(|copy| run.contains(copy))
                    && other.copies().iter().any(|copy| run.contains(copy))
            })
        })
    };
    !round(a)
        && !round(b)
        && (within(&copies(&of_a), &copies(&of_b))
            || within(&copies(&of_b), &copies(&of_a))
            || !(over_both(a, b) || over_both(b, a)))
        && of_a.iter().all(|edge| !of_b.contains(edge))
}

fn within(few: &[CopyId], many: &[CopyId]) -> bool {
    few.iter().all(|copy| many.contains(copy))
}

/// Boxes in which a step fastens things, with the panel.
fn boxes(pattern: &Pattern, step: &Step) -> Option<Vec<(CopyId, Point, Point)>> {
    let around = |points: Vec<Point>| {
        let low = Point::new(
            points.iter().map(|p| p.x).min().unwrap_or(Length::ZERO),
            points.iter().map(|p| p.y).min().unwrap_or(Length::ZERO),
        );
        let high = Point::new(
            points.iter().map(|p| p.x).max().unwrap_or(Length::ZERO),
            points.iter().map(|p| p.y).max().unwrap_or(Length::ZERO),
        );
        (low, high)
    };
    if let Some(place) = step.as_a::<Place>() {
        let boxes = place.items.iter().flat_map(|item| {
            let (width, height) = pattern.piece_of(item.what).net_size();
            if item.feet.is_empty() {
                let far = Point::new(item.at.x + width, item.at.y + height);
                return vec![(item.onto, item.at, far)];
            }
            // A strap lies at its feet, and from there up to the rim.
            let (_, top) = pattern.piece_of(item.onto).net.bounds();
            let half = width.min(height).half();
            let foot = |at: Point| {
                (item.onto, Point::new(at.x - half, at.y), Point::new(at.x + half, top.y.max(at.y)))
            };
            item.feet.iter().map(|it| foot(it.at)).collect()
        });
        return Some(boxes.collect());
    }
    if let Some(down) = step.as_a::<StitchDown>() {
        let boxes = down.items.iter().map(|item| {
            let (low, high) = around(item.lines.iter().flat_map(|l| [l.from, l.to]).collect());
            (item.onto, low, high)
        });
        return Some(boxes.collect());
    }
    let boxed = step.as_a::<BoxAndX>()?;
    let (width, height) = boxed.size;
    let boxes = boxed.boxes.iter();
    Some(boxes.map(|(_, on, at)| (*on, *at, Point::new(at.x + width, at.y + height))).collect())
}

/// Rule (d).
fn fastened_apart(pattern: &Pattern, a: &Step, b: &Step) -> bool {
    let (Some(of_a), Some(of_b)) = (boxes(pattern, a), boxes(pattern, b)) else { return false };
    of_a.iter().all(|(on, low, high)| {
        of_b.iter().all(|(other, their_low, their_high)| {
            on != other
                || high.x <= their_low.x
                || their_high.x <= low.x
                || high.y <= their_low.y
                || their_high.y <= low.y
        })
    })
}

/// Rule (e).
fn closing_and_topstitching(a: &Step, b: &Step) -> bool {
    let closes = |step: &Step| step.as_a::<CloseGap>().is_some();
    let round = |step: &Step| step.as_a::<Topstitch>().is_some_and(|row| row.round);
    (closes(a) && round(b)) || (closes(b) && round(a))
}

/// Rule (f): a row along an edge, and trimming of corners.
fn row_elsewhere(a: &Step, b: &Step) -> bool {
    let row = |step: &Step| step.as_a::<Topstitch>().is_some_and(|row| !row.round);
    let trims = |step: &Step| step.as_a::<TrimCorners>().is_some();
    (row(a) && trims(b)) || (row(b) && trims(a))
}

/// Rule (g).
fn hem_and_base(a: &Step, b: &Step) -> bool {
    let hems = |step: &Step| step.as_a::<Hem>().is_some_and(|hem| hem.run.closed);
    let other = |step: &Step| step.as_a::<Turn>().is_some() || step.as_a::<BoxCorner>().is_some();
    (hems(a) && other(b)) || (hems(b) && other(a))
}

/// Rule (h).
fn both_stitch(a: &Step, b: &Step) -> bool {
    let stitches =
        |step: &Step| step.as_a::<StitchDown>().is_some() || step.as_a::<BoxAndX>().is_some();
    stitches(a) && stitches(b)
}

/// Rule (i).
fn both_prepare(a: &Step, b: &Step) -> bool {
    let words = [a.operation.word(), b.operation.word()];
    words == ["mark", "interface"] || words == ["interface", "mark"]
}

/// Rule (j).
fn box_at_rim(pattern: &Pattern, a: &Step, b: &Step) -> bool {
    let boxes = |step: &Step| step.as_a::<BoxAndX>().is_some();
    let turns = |step: &Step| step.as_a::<Turn>().is_some();
    let at_rim = pattern.claims.handles.iter().all(|handle| !handle.from_base);
    at_rim && ((boxes(a) && turns(b)) || (boxes(b) && turns(a)))
}

/// Rule (l).
fn handles_nothing_of(a: &Step, b: &Step) -> bool {
    let alone = |step: &Step| {
        matches!(step.operation.word(), "clip" | "clip-edge" | "take-in")
            || step.as_a::<Hem>().is_some_and(|hem| !hem.run.closed)
            || step.as_a::<FinishEdges>().is_some()
    };
    let (of_a, of_b) = (a.operation.copies(), b.operation.copies());
    (alone(a) || alone(b))
        && !prepares(a)
        && !prepares(b)
        && of_a.iter().all(|copy| !of_b.contains(copy))
}

/// Rule (m).
fn held_near_rim(pattern: &Pattern, a: &Step, b: &Step) -> bool {
    let near = |step: &Step| {
        let Some(boxed) = step.as_a::<BoxAndX>() else { return false };
        boxed.boxes.iter().all(|(strap, on, low)| {
            let (_, top) = pattern.piece_of(*on).net.bounds();
            let claim = pattern.claims.handles.iter().find(|claim| claim.strap == *strap);
            let rim = claim.map_or(top.y, |claim| claim.feet[0].y);
            (rim - low.y).abs() <= ARM
        })
    };
    let seam = |step: &Step| {
        step.as_a::<Join>().is_some_and(|join| join.seams.iter().all(|seam| !seam[0].closed))
    };
    (near(a) && seam(b)) || (near(b) && seam(a))
}

/// Rule (k).
fn by_hand_and_row(a: &Step, b: &Step) -> bool {
    let by_hand = |step: &Step| step.as_a::<SewOn>().is_some();
    let row = |step: &Step| step.as_a::<Topstitch>().is_some();
    (by_hand(a) && row(b)) || (by_hand(b) && row(a))
}
