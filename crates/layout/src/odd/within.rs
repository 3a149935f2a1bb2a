//! Rectangles within an outline. For bounds: what lies within a piece lies on no other.

use measure::{Length, Outline};

use super::convex::{Spot, bounds, turn};

/// How many lines are tried in each direction.
const LINES: usize = 9;

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
    fn a_trapezoid_holds_the_rectangle_over_its_short_side() {
        let (base, top, height) = (Length::mm(300), Length::mm(200), Length::mm(100));
        let outline = Outline::trapezoid(base, top, height);
        assert_eq!(rectangles(&outline)[0], Some((top, height)));
    }
}
