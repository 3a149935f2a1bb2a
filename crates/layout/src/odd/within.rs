//! Rectangles within an outline. For bounds: what lies within a piece lies on no other.

use measure::{Length, Outline};

use super::convex::{Spot, bounds, turn};

/// How many lines are tried in each direction.
const LINES: usize = 9;

/// Stretches along an outline that [`slabs`] begins with.
const STRETCHES: i64 = 64;

/// How closely curves are followed, in millimetres; and what chords may lie outside, in nanometres.
const CHORDS: f64 = 0.1;
const OUTSIDE: i64 = 110_000;

/// Which rectangle is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// The largest.
    Largest,
    /// The longest, and of these the widest.
    Longest,
    /// The widest, and of these the longest.
    Widest,
}

impl Wanted {
    pub(crate) const ALL: [Self; 3] = [Self::Largest, Self::Longest, Self::Widest];

    fn rank(self, (width, length): Spot) -> (i128, i64) {
        match self {
            Self::Largest => (i128::from(width) * i128::from(length), 0),
            Self::Longest => (length.into(), width),
            Self::Widest => (width.into(), length),
        }
    }
}

/// Width and length of rectangles within the outline, as drawn, in the order of [`Wanted::ALL`];
/// the best that have their sides on lines through corners, or evenly spread. None where none is
/// found.
pub(crate) fn rectangles(outline: &Outline) -> [Option<(Length, Length)>; 3] {
    let (polygon, away) = (polygon(outline), room(outline));
    let stretches = |lines: Vec<i64>| -> Vec<(i64, i64)> {
        let all = lines.iter().enumerate();
        all.flat_map(|(at, &low)| lines[at + 1..].iter().map(move |&high| (low, high))).collect()
    };
    let across = stretches(lines(&polygon, LINES, |p| p.0));
    let along = stretches(lines(&polygon, LINES, |p| p.1));
    let mut best: [Option<Spot>; 3] = [None; 3];
    for &(x0, x1) in &across {
        for &(y0, y1) in &along {
            let size = (x1 - x0 - 2 * away, y1 - y0 - 2 * away);
            let is_better = |(wanted, best): &(Wanted, Option<Spot>)| {
                best.is_none_or(|best| wanted.rank(size) > wanted.rank(best))
            };
            let better: Vec<bool> =
                Wanted::ALL.into_iter().zip(best).map(|one| is_better(&one)).collect();
            let is_size = size.0 > 0 && size.1 > 0;
            if is_size && better.contains(&true) && is_within(&polygon, (x0, y0), (x1, y1)) {
                for (best, is_better) in best.iter_mut().zip(better) {
                    if is_better {
                        *best = Some(size);
                    }
                }
            }
        }
    }
    best.map(|best| best.map(|(width, length)| (Length::nm(width), Length::nm(length))))
}

/// A rectangle within the box of an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slab {
    /// Its lower left corner.
    pub(crate) low: Spot,
    /// Its upper right corner.
    pub(crate) high: Spot,
}

impl Slab {
    pub(crate) fn size(self) -> Spot {
        (self.high.0 - self.low.0, self.high.1 - self.low.1)
    }

    fn area(self) -> i128 {
        let (width, length) = self.size();
        i128::from(width) * i128::from(length)
    }

    /// The widest within this one and the one that follows on it.
    fn and(self, next: Self) -> Self {
        Self {
            low: (self.low.0.max(next.low.0), self.low.1),
            high: (self.high.0.min(next.high.0), next.high.1),
        }
    }
}

/// At most so many rectangles within the outline, as drawn, one beyond the other along it and none
/// on another. Of narrow stretches the widest is taken that is found; then those are put together
/// that lose the least of the area by it.
pub(crate) fn slabs(outline: &Outline, most: usize) -> Vec<Slab> {
    let (polygon, away) = (polygon(outline), room(outline));
    let (low, high) = bounds(&polygon);
    let mut lines = lines(&polygon, LINES * 3, |p| p.1);
    lines.extend((1..STRETCHES).map(|part| low.1 + (high.1 - low.1) / STRETCHES * part));
    lines.sort_unstable();
    lines.dedup();
    let stretches = lines.windows(2).filter_map(|ends| {
        let (x0, x1) = section(&polygon, (low.0.midpoint(high.0), ends[0], ends[1]))?;
        let slab = Slab { low: (x0, ends[0]), high: (x1, ends[1]) };
        is_within(&polygon, slab.low, slab.high).then_some(slab)
    });
    let mut slabs: Vec<Slab> = stretches.collect();
    loop {
        let pairs = slabs.windows(2).enumerate();
        let lost = |(at, pair): (usize, &[Slab])| {
            let both = pair[0].and(pair[1]);
            let is_one = pair[0].high.1 == pair[1].low.1 && both.low.0 < both.high.0;
            is_one.then(|| (pair[0].area() + pair[1].area() - both.area(), at))
        };
        let Some((lost, at)) = pairs.filter_map(lost).min() else { break };
        if lost > 0 && slabs.len() <= most {
            break;
        }
        slabs[at] = slabs[at].and(slabs[at + 1]);
        slabs.remove(at + 1);
    }
    slabs.sort_by_key(|slab| -slab.area());
    slabs.truncate(most);
    let inside = |slab: Slab| Slab {
        low: (slab.low.0 + away, slab.low.1 + away),
        high: (slab.high.0 - away, slab.high.1 - away),
    };
    let all = slabs.into_iter().map(inside);
    all.filter(|slab| slab.low.0 < slab.high.0 && slab.low.1 < slab.high.1).collect()
}

/// From where to where, rounded inwards, a polygon reaches on every line of a stretch, if it is on
/// either side of its middle there.
fn section(polygon: &[Spot], (middle, y0, y1): (i64, i64, i64)) -> Option<Spot> {
    let (low, high) = bounds(polygon);
    let (mut left, mut right) = (low.0, high.0);
    let ends = polygon.iter().cycle().skip(1);
    for (&a, &b) in polygon.iter().zip(ends) {
        let (a, b) = if a.1 <= b.1 { (a, b) } else { (b, a) };
        if b.1 <= y0 || a.1 >= y1 {
            continue;
        }
        // Where the edge is at either end of the stretch, or where it ends within, from and to.
        let at = |y: i64| {
            let y = y.clamp(a.1, b.1);
            let part = i128::from(b.0 - a.0) * i128::from(y - a.1);
            let whole = i128::from(b.1 - a.1).max(1);
            let by = |add: i128| i64::try_from((part + add).div_euclid(whole)).unwrap_or(0);
            (a.0 + by(0), a.0 + by(whole - 1))
        };
        for (down, up) in [at(y0), at(y1)] {
            if up <= middle { left = left.max(up) } else { right = right.min(down) }
        }
    }
    (left < right).then_some((left, right))
}

/// The corners of an outline, with chords along its curves, its box with the lower left corner at
/// the origin.
pub(crate) fn polygon(outline: &Outline) -> Vec<Spot> {
    let (low, _) = outline.bounds();
    let points = outline.flattened(CHORDS);
    points.iter().map(|p| ((p.x - low.x).to_nm(), (p.y - low.y).to_nm())).collect()
}

/// How far [`polygon`] may lie outside the outline.
pub(crate) fn room(outline: &Outline) -> i64 {
    let is_curved = outline.segments().any(|(_, kind, _)| kind != measure::Segment::Line);
    if is_curved { OUTSIDE } else { 0 }
}

/// Lines through corners, or evenly spread when there are too many.
pub(crate) fn lines(polygon: &[Spot], most: usize, of: impl Fn(&Spot) -> i64) -> Vec<i64> {
    let mut lines: Vec<i64> = polygon.iter().map(of).collect();
    lines.sort_unstable();
    lines.dedup();
    if lines.len() <= most {
        return lines;
    }
    let (low, high) = (lines[0], lines[lines.len() - 1]);
    let parts = i64::try_from(most - 1).unwrap_or(1);
    (0..=parts).map(|part| low + (high - low) / parts * part).collect()
}

/// Whether a rectangle lies within a polygon: its middle does, and no edge passes through it.
pub(crate) fn is_within(polygon: &[Spot], low: Spot, high: Spot) -> bool {
    let ends = polygon.iter().cycle().skip(1);
    let is_clear = polygon.iter().zip(ends).all(|(&a, &b)| {
        let (least, most) = bounds(&[a, b]);
        let is_off = most.0 <= low.0 || least.0 >= high.0 || most.1 <= low.1 || least.1 >= high.1;
        is_off || {
            let corners = [low, (high.0, low.1), high, (low.0, high.1)];
            let sides = corners.map(|corner| turn(a, b, corner).signum());
            sides.iter().all(|side| *side >= 0) || sides.iter().all(|side| *side <= 0)
        }
    });
    is_clear && holds(polygon, ((low.0 + high.0) / 2, (low.1 + high.1) / 2))
}

/// Whether a place lies inside a polygon, by the number of edges to its right.
fn holds(polygon: &[Spot], place: Spot) -> bool {
    let ends = polygon.iter().cycle().skip(1);
    let crossed = polygon.iter().zip(ends).filter(|&(&a, &b)| {
        (a.1 > place.1) != (b.1 > place.1) && (turn(a, b, place) > 0) == (b.1 > a.1)
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use measure::Point;

    use super::*;

    fn mm(x: i64, y: i64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    #[test]
    fn an_ell_holds_its_larger_arm() {
        let ell = [mm(0, 0), mm(100, 0), mm(100, 40), mm(60, 40), mm(60, 130), mm(0, 130)];
        let outline = Outline::polygon(ell).unwrap();
        let found = rectangles(&outline).map(|found| found.map(|(w, l)| (w.to_mm(), l.to_mm())));
        assert_eq!(found, [Some((60.0, 130.0)), Some((60.0, 130.0)), Some((100.0, 40.0))]);
    }

    #[test]
    fn slabs_follow_the_sides() {
        let table = [mm(0, 0), mm(100, 0), mm(100, 40), mm(80, 40), mm(80, 130), mm(0, 130)];
        let found = slabs(&Outline::polygon(table).unwrap(), 5);
        let sizes: Vec<_> = found.iter().map(|slab| slab.size()).collect();
        assert_eq!(sizes, [(80_000_000, 90_000_000), (100_000_000, 40_000_000)]);
        // Nearly all of a circle and of a trapezoid, and never more.
        let round = Outline::ellipse(Length::mm(200), Length::mm(200)).unwrap();
        let tapered = Outline::trapezoid(Length::mm(300), Length::mm(200), Length::mm(100));
        for (outline, least) in [(round, 0.90), (tapered, 0.98)] {
            let slabs = slabs(&outline, 12);
            let area: i128 = slabs.iter().map(|slab| slab.area()).sum();
            let part = area as f64 / (outline.area().to_mm2() * 1e12);
            assert!(slabs.len() <= 12 && part > least && part < 1.0, "{part}");
        }
    }

    #[test]
    fn a_trapezoid_holds_the_rectangle_over_its_short_side() {
        let (base, top, height) = (Length::mm(300), Length::mm(200), Length::mm(100));
        let outline = Outline::trapezoid(base, top, height);
        assert_eq!(rectangles(&outline)[0], Some((top, height)));
    }
}
