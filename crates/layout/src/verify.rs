//! The verifier: accepts or rejects a layout by the rules alone, with integers, sharing no code
//! with the solvers. It trusts nothing that a layout says of itself.

use std::collections::{BTreeMap, BTreeSet};

use measure::Length;

use crate::faults::Fault;
use crate::verify_fold::{check_fold, check_match};
use crate::verify_outlines::{SLACK as OUTLINE_SLACK, Solid};
use crate::{
    Cutting, Item, JoinAngle, JoinPlace, Layout, Part, Placement, Problem, Proof, Shape, Stock,
    sane, verify_cuts, verify_remnants,
};

/// Checks a layout against its problem: every piece is there once and has its size, lies on the
/// fabric, is turned as it may be and keeps the gap to all others; joined strips add up and their
/// seams lie where they may; the lengths used, needed and bought follow from each other, the bound
/// is not above the length, and the proof says no more than the bound.
///
/// # Errors
/// All faults that were found.
pub fn verify(problem: &Problem, layout: &Layout) -> Result<(), Vec<Fault>> {
    if sane::check(problem).is_err() || sane::is_solved(problem).is_err() {
        return Err(vec![Fault::Problem]);
    }
    let mut faults = Vec::new();
    let width = washed_width(problem);
    if layout.width != width {
        faults.push(Fault::Width { said: layout.width, is: width });
    }
    let mut known = vec![Vec::new(); problem.pieces.len()];
    for (index, one) in layout.placements.iter().enumerate() {
        match problem.pieces.get(one.piece) {
            Some(item) => {
                check_lie(problem, item, one, index, width, &mut faults);
                known[one.piece].push(one);
            }
            None => faults.push(Fault::Unknown { placement: index }),
        }
    }
    let left_over = verify_remnants::check(problem, layout, &mut faults);
    let is_bolt = matches!(problem.stock, Stock::Bolt { .. });
    if is_bolt {
        check_rest(layout, problem, &mut faults);
    } else {
        verify_remnants::check_rest(problem, layout, &mut faults);
    }
    check_overlaps(problem, &layout.placements, &mut faults);
    check_fold(problem, layout, &mut faults);
    check_match(problem, layout, &mut faults);
    for ((piece, item), of_piece) in problem.pieces.iter().enumerate().zip(known) {
        let width = widest(problem, width);
        Pieces { problem, layout, piece, item, of_piece, width, left_over: &left_over }
            .check(&mut faults);
    }
    let stray = layout.joins.iter().any(|joined| joined.piece >= problem.pieces.len());
    if stray {
        faults.push(Fault::StrayJoin);
    }
    if is_bolt {
        check_lengths(problem, layout, &mut faults);
    }
    let fabric = Part {
        stock: 0,
        x: Length::ZERO,
        y: Length::ZERO,
        width,
        length: far_end(problem, layout.bought),
    };
    let fabrics = match &problem.stock {
        Stock::Bolt { .. } => vec![fabric],
        Stock::Remnants(all) => {
            let remnant = |(stock, shape): (usize, &Shape)| {
                let (width, length) = shape.size();
                Part { stock, width, length, ..fabric }
            };
            all.iter().enumerate().map(remnant).collect()
        }
    };
    verify_cuts::check(problem, layout, &fabrics, &mut faults);
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

fn washed_width(problem: &Problem) -> Length {
    let width = problem.stock.width().unwrap_or(Length::ZERO);
    let left = 1_000_000 - i128::from(problem.shrinkage.crosswise);
    narrow(i128::from(width.to_nm()) * left / 1_000_000)
}

/// The widest piece of fabric there is: what is longer has to be joined.
fn widest(problem: &Problem, width: Length) -> Length {
    match &problem.stock {
        Stock::Bolt { .. } => width,
        Stock::Remnants(all) => all.iter().map(|one| one.size().0).max().unwrap_or(Length::ZERO),
    }
}

fn narrow(nm: i128) -> Length {
    Length::nm(i64::try_from(nm).unwrap_or(i64::MAX))
}

/// One placement by itself: on the fabric, turned as it may be.
fn check_lie(
    problem: &Problem,
    item: &Item,
    one: &Placement,
    index: usize,
    width: Length,
    faults: &mut Vec<Fault>,
) {
    let is_within = match problem.stock {
        Stock::Bolt { .. } => one.stock == 0 && one.x + one.width <= width,
        Stock::Remnants(_) => verify_remnants::lies_on(problem, item, one),
    };
    let is_on = one.x >= Length::ZERO && one.y >= Length::ZERO && is_within;
    if !is_on || !one.width.is_positive() || !one.length.is_positive() {
        faults.push(Fault::OffFabric { placement: index });
    }
    if !item.rotations.allows(one.rotation) {
        faults.push(Fault::Rotation { placement: index });
    }
    if one.mirrored != (item.mirror && one.copy % 2 == 1) {
        faults.push(Fault::Mirrored { placement: index });
    }
    if u64::from(one.copy) >= u64::from(item.count) * u64::from(problem.copies) {
        faults.push(Fault::Unknown { placement: index });
    }
}

/// Pairs that lie nearer to each other than the gap, by a sweep along the length: rectangles by
/// their boxes, others by their outlines.
fn check_overlaps(problem: &Problem, placements: &[Placement], faults: &mut Vec<Fault>) {
    let gap = problem.gap + Length::nm(2 * OUTLINE_SLACK);
    let mut by_start: Vec<_> = placements.iter().enumerate().collect();
    by_start.sort_by_key(|(_, one)| one.y);
    let mut open: Vec<(usize, &Placement)> = Vec::new();
    for (index, one) in by_start {
        open.retain(|(_, before)| before.y + before.length + gap > one.y);
        for (other, before) in &open {
            if before.stock == one.stock && !is_apart(problem, before, one) {
                faults
                    .push(Fault::Overlap { one: (*other).min(index), other: (*other).max(index) });
            }
        }
        open.push((index, one));
    }
}

/// Whether two pieces keep the gap.
fn is_apart(problem: &Problem, one: &Placement, other: &Placement) -> bool {
    let gap = problem.gap;
    let is_beside = one.x + one.width + gap <= other.x
        || other.x + other.width + gap <= one.x
        || one.y + one.length + gap <= other.y
        || other.y + other.length + gap <= one.y;
    let solid = |one: &Placement| problem.pieces.get(one.piece).map(|item| Solid::new(item, one));
    is_beside || {
        let is_outline = |one: &Placement| {
            let item = problem.pieces.get(one.piece);
            item.is_some_and(|item| matches!(item.shape, Shape::Outline(_)))
        };
        (is_outline(one) || is_outline(other))
            && solid(one).zip(solid(other)).is_some_and(|(one, other)| one.is_apart(&other, gap))
    }
}

/// All placements of one piece.
struct Pieces<'a> {
    problem: &'a Problem,
    layout: &'a Layout,
    piece: usize,
    item: &'a Item,
    of_piece: Vec<&'a Placement>,
    width: Length,
    left_over: &'a BTreeSet<(usize, u32)>,
}

impl Pieces<'_> {
    /// Every copy is there once, whole or joined.
    fn check(&self, faults: &mut Vec<Fault>) {
        let mut seen: BTreeMap<u32, u32> = BTreeMap::new();
        let joined: Vec<_> =
            self.layout.joins.iter().filter(|joined| joined.piece == self.piece).collect();
        if joined.is_empty() {
            for one in &self.of_piece {
                *seen.entry(one.copy).or_default() += 1;
                if one.part != 0 || unturned(one) != self.item.shape.size() {
                    faults.push(Fault::Size { piece: self.piece, copy: one.copy });
                }
            }
        } else {
            for joined in &joined {
                *seen.entry(joined.copy).or_default() += 1;
            }
            self.check_joins(faults);
        }
        let count = u64::from(self.item.count) * u64::from(self.problem.copies);
        for (&copy, &times) in &seen {
            if times > 1 || u64::from(copy) >= count {
                faults.push(Fault::TooOften { piece: self.piece, copy });
            }
        }
        // At most as many are listed as there are placements, so that absurd counts cost nothing.
        let listed = u32::try_from(count).unwrap_or(u32::MAX).min(20_000);
        let is_there =
            |copy: &u32| seen.contains_key(copy) || self.left_over.contains(&(self.piece, *copy));
        for copy in (0..listed).filter(|copy| !is_there(copy)) {
            faults.push(Fault::Missing { piece: self.piece, copy });
        }
    }

    /// The widest part that a strip can be cut across. With strips first, fabric that is too wide for
    /// the ruler when it is folded in four is divided lengthwise before, into as few equal parts as
    /// do.
    fn widest_part(&self) -> Length {
        let Cutting::StripsFirst { longest_cut: Some(ruler) } = self.problem.cutting else {
            return self.width;
        };
        let reach = ruler * 4;
        let gaps = |parts: i64| self.problem.gap * (parts - 1);
        let suffice = |parts: &i64| reach * *parts + gaps(*parts) >= self.width;
        let parts = (1..=1_000).find(suffice).unwrap_or(1);
        (self.width - gaps(parts)) / parts
    }

    /// Joined strips: the parts have the strip's breadth, each finished strip is lawful, and
    /// nothing is cut twice from the same part.
    fn check_joins(&self, faults: &mut Vec<Fault>) {
        let Shape::Rect { width, length } = self.item.shape else {
            faults.push(Fault::NotJoinable { piece: self.piece });
            return;
        };
        let (long, breadth) = if width >= length { (width, length) } else { (length, width) };
        if self.item.join.is_none() || long <= self.widest_part() {
            faults.push(Fault::NotJoinable { piece: self.piece });
            return;
        }
        let mut parts: BTreeMap<u32, Length> = BTreeMap::new();
        for one in &self.of_piece {
            let (across, along) = unturned(one);
            let (part_long, part_breadth) =
                if width >= length { (across, along) } else { (along, across) };
            let is_again = parts.insert(one.part, part_long).is_some();
            if is_again || part_breadth != breadth {
                faults.push(Fault::Size { piece: self.piece, copy: one.copy });
            }
        }
        let mut taken: Vec<(u32, Length, Length)> = Vec::new();
        for joined in self.layout.joins.iter().filter(|joined| joined.piece == self.piece) {
            let lengths: Vec<_> = joined.stretches.iter().map(|one| one.length).collect();
            if !self.is_lawful(long, breadth, &lengths) {
                faults.push(Fault::Join { piece: self.piece, copy: joined.copy });
            }
            taken.extend(joined.stretches.iter().map(|one| (one.part, one.from, one.length)));
        }
        self.check_stretches(&parts, taken, faults);
    }

    /// Stretches do not overlap, and reach to the end of the part they lie on: no part is cut
    /// longer than needed, or for nothing.
    fn check_stretches(
        &self,
        parts: &BTreeMap<u32, Length>,
        mut taken: Vec<(u32, Length, Length)>,
        faults: &mut Vec<Fault>,
    ) {
        taken.sort_unstable();
        let mut ends: BTreeMap<u32, Length> = BTreeMap::new();
        let mut is_wrong = false;
        for (part, from, length) in taken {
            let end = ends.entry(part).or_default();
            is_wrong |= from < *end;
            *end = from + length;
        }
        if is_wrong || ends != *parts {
            faults.push(Fault::Stretches { piece: self.piece });
        }
    }

    /// Whether stretches of these lengths give one finished strip, with seams where they may be.
    fn is_lawful(&self, long: Length, breadth: Length, lengths: &[Length]) -> bool {
        let Some(join) = self.item.join else { return false };
        let Some((&first, rest)) = lengths.split_first() else { return false };
        let taken = match join.angle {
            JoinAngle::Straight => join.allowance + join.allowance,
            JoinAngle::Diagonal => breadth,
        };
        let joins = rest.len();
        let mut whole = first;
        // How far each seam's middle lies from the strip's beginning.
        let mut seams = Vec::new();
        for &length in rest {
            seams.push(whole - taken.half());
            whole = whole + length - taken;
        }
        let counts = (1..=join.most as usize).contains(&joins);
        let shows = lengths.iter().all(|&length| length > taken);
        let is_placed = match join.place {
            JoinPlace::Anywhere => true,
            JoinPlace::Centre => joins == 1 && (first - rest[0]).abs() <= Length::nm(1),
            JoinPlace::WithinEnd(within) => {
                joins <= 2 && seams.iter().all(|&seam| seam <= within || long - seam <= within)
            }
        };
        counts && shows && is_placed && whole == long
    }
}

/// A placement's size before it was turned.
fn unturned(one: &Placement) -> (Length, Length) {
    if one.rotation.degrees() % 180 == 90 {
        (one.length, one.width)
    } else {
        (one.width, one.length)
    }
}

/// How far the fabric that is bought reaches when it is washed and squared up.
fn far_end(problem: &Problem, bought: Length) -> Length {
    let left = 1_000_000 - i128::from(problem.shrinkage.lengthwise);
    narrow(i128::from(bought.to_nm()) * left / 1_000_000) - problem.squaring
}

/// The rest is free and lies on the fabric that is bought.
fn check_rest(layout: &Layout, problem: &Problem, faults: &mut Vec<Fault>) {
    let Some(rest) = layout.remnant else { return };
    let far = far_end(problem, layout.bought);
    let is_on = rest.x >= Length::ZERO
        && rest.y >= Length::ZERO
        && rest.width.is_positive()
        && rest.length.is_positive()
        && rest.x + rest.width <= layout.width
        && rest.y + rest.length <= far;
    let is_free = layout.placements.iter().all(|one| {
        one.x + one.width <= rest.x
            || rest.x + rest.width <= one.x
            || one.y + one.length <= rest.y
            || rest.y + rest.length <= one.y
    });
    if !is_on || !is_free {
        faults.push(Fault::Remnant);
    }
}

/// Lengths used, needed and bought, the bound and the proof.
fn check_lengths(problem: &Problem, layout: &Layout, faults: &mut Vec<Fault>) {
    let length = layout.placements.iter().map(|one| one.y + one.length).max();
    let length = length.unwrap_or(Length::ZERO);
    if layout.length != length {
        faults.push(Fault::Length { said: layout.length, is: length });
    }
    let needed = needed(problem, length);
    if layout.needed != needed {
        faults.push(Fault::Needed { said: layout.needed, is: needed });
    }
    let bought = sold(problem, needed);
    if layout.bought != bought {
        faults.push(Fault::Bought { said: layout.bought, is: bought });
    }
    if layout.bound > length || layout.bound < Length::ZERO {
        faults.push(Fault::Bound { bound: layout.bound, length });
    }
    let is_proven = match layout.proof {
        Proof::Shortest => layout.bound == length,
        Proof::NoShorterPurchase => sold(problem, self::needed(problem, layout.bound)) == bought,
        Proof::Within(ppm) => {
            let over = i128::from((length - layout.bound).to_nm()) * 1_000_000;
            over <= i128::from(ppm) * i128::from(layout.bound.to_nm().max(1))
        }
    };
    if !is_proven {
        faults.push(Fault::Proof);
    }
}

/// The least length to buy, by trying: `wanted` must be left after washing.
fn needed(problem: &Problem, used: Length) -> Length {
    if used <= Length::ZERO {
        return Length::ZERO;
    }
    let left = 1_000_000 - i128::from(problem.shrinkage.lengthwise);
    let wanted = i128::from((used + problem.squaring).to_nm()) * 1_000_000;
    let floor = wanted / left;
    narrow(if floor * left < wanted { floor + 1 } else { floor })
}

/// The least that is sold and not less than `needed`.
fn sold(problem: &Problem, needed: Length) -> Length {
    let Stock::Bolt { increments, .. } = &problem.stock else { return Length::ZERO };
    let enough = increments.steps().iter().map(|step| {
        let times = needed.to_nm() / step.to_nm();
        let floor = *step * times;
        if floor < needed { floor + *step } else { floor }
    });
    enough.min().unwrap_or(needed)
}
