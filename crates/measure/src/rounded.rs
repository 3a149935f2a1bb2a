//! Outlines with round parts: circles, ovals, rectangles with rounded corners, panels with rounded
//! bottom corners.
//!
//! Arcs are drawn as one cubic for each eighth of a turn, which lies within 5 millionths of the
//! radius of the true arc (a quarter in one cubic would be 60 times farther off).

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_4};

use crate::{Length, Outline, OutlineError, Point, Segment};

/// A quarter of a turn, in the eighths that arcs are counted in.
const QUARTER: i32 = 2;

/// An arc of an ellipse with the half axes `radii` about `centre`, counter-clockwise from one
/// eighth of a turn to another, counted from the right: its start, and its segments with their
/// ends. With equal half axes it is an arc of a circle.
pub fn arc(
    centre: Point,
    radii: (Length, Length),
    from: i32,
    to: i32,
) -> (Point, Vec<(Segment, Point)>) {
    through(centre, radii, (from..=to).map(direction), FRAC_PI_4)
}

/// An arc of a circle about `centre`, counter-clockwise from one angle to another, in radians from
/// the right: its start, and as few equal segments as are an eighth of a turn or less, with their
/// ends.
pub fn arc_between(
    centre: Point,
    radius: Length,
    from: f64,
    to: f64,
) -> (Point, Vec<(Segment, Point)>) {
    let count = (1..=8).find(|n| (to - from) / f64::from(*n) <= FRAC_PI_4 + 1e-9).unwrap_or(8);
    let step = (to - from) / f64::from(count);
    let directions = (0..=count).map(|index| {
        let angle = from + step * f64::from(index);
        (libm::cos(angle), libm::sin(angle))
    });
    through(centre, (radius, radius), directions, step)
}

/// One cubic from each of these directions, given by cosine and sine, to the next, all as many
/// radians apart.
fn through(
    centre: Point,
    (rx, ry): (Length, Length),
    directions: impl Iterator<Item = (f64, f64)>,
    step: f64,
) -> (Point, Vec<(Segment, Point)>) {
    // The handles of a cubic over an angle a are 4/3·tan(a/4) radii long.
    let handle = 4.0 / 3.0 * libm::tan(step / 4.0);
    let at = |(cosine, sine): (f64, f64), tangent: f64| {
        let (x, y) = (cosine - tangent * sine, sine + tangent * cosine);
        centre
            + Point::new(Length::from_mm_f64(x * rx.to_mm()), Length::from_mm_f64(y * ry.to_mm()))
    };
    let directions: Vec<(f64, f64)> = directions.collect();
    let segments = directions
        .windows(2)
        .map(|pair| (Segment::Curve(at(pair[0], handle), at(pair[1], -handle)), at(pair[1], 0.0)));
    let start = directions.first().map_or(centre, |first| at(*first, 0.0));
    (start, segments.collect())
}

/// Cosine and sine of a number of eighths of a turn.
fn direction(eighth: i32) -> (f64, f64) {
    match eighth.rem_euclid(8) {
        0 => (1.0, 0.0),
        1 => (FRAC_1_SQRT_2, FRAC_1_SQRT_2),
        2 => (0.0, 1.0),
        3 => (-FRAC_1_SQRT_2, FRAC_1_SQRT_2),
        4 => (-1.0, 0.0),
        5 => (-FRAC_1_SQRT_2, -FRAC_1_SQRT_2),
        6 => (0.0, -1.0),
        _ => (FRAC_1_SQRT_2, -FRAC_1_SQRT_2),
    }
}

/// A chain of segments in the making: parts that are no longer than a rounding are left out.
struct Chain {
    at: Point,
    segments: Vec<(Segment, Point)>,
}

impl Chain {
    fn line(&mut self, to: Point) {
        if to != self.at {
            self.segments.push((Segment::Line, to));
            self.at = to;
        }
    }

    /// A straight run up to the start of the arc, and the arc.
    fn arc(&mut self, centre: Point, radii: (Length, Length), from: i32, to: i32) {
        let (start, segments) = arc(centre, radii, from, to);
        if radii.0.is_positive() && radii.1.is_positive() {
            self.line(start);
            self.at = segments.last().map_or(start, |(_, end)| *end);
            self.segments.extend(segments);
        } else {
            self.line(centre);
        }
    }

    /// What there is so far, as an edge; the next one goes on from there.
    fn cut(&mut self) -> Vec<(Segment, Point)> {
        std::mem::take(&mut self.segments)
    }
}

impl Outline {
    /// An ellipse, width × height, in a box with its lower left corner at the origin; a circle if
    /// both are the same. Two edges: the front half, from the middle of the left side along the
    /// bottom to the middle of the right side, and the back half.
    ///
    /// # Errors
    /// If it has no width or no height.
    pub fn ellipse(width: Length, height: Length) -> Result<Self, OutlineError> {
        Self::rounded_rectangle(width, height, (width.half(), height.half()))
    }

    /// A rectangle, width × height, its corners rounded by quarters of an ellipse with the given
    /// half axes, which are cut down to half the sides. Lower left corner of its box at the origin;
    /// edges as in [`Outline::ellipse`].
    ///
    /// # Errors
    /// If it has no width or no height.
    pub fn rounded_rectangle(
        width: Length,
        height: Length,
        radii: (Length, Length),
    ) -> Result<Self, OutlineError> {
        let radii = (radii.0.min(width.half()), radii.1.min(height.half()));
        let is_round = radii.0.is_positive() && radii.1.is_positive();
        let (rx, ry) = if is_round { radii } else { (Length::ZERO, Length::ZERO) };
        let radii = (rx, ry);
        let (left, right, low, high) = (rx, width - rx, ry, height - ry);
        let middle = height.half();
        let start = Point::new(Length::ZERO, middle);
        let mut chain = Chain { at: start, segments: Vec::new() };
        chain.arc(Point::new(left, low), radii, 2 * QUARTER, 3 * QUARTER);
        chain.arc(Point::new(right, low), radii, 3 * QUARTER, 4 * QUARTER);
        chain.line(Point::new(width, middle));
        let front = chain.cut();
        chain.arc(Point::new(right, high), radii, 0, QUARTER);
        chain.arc(Point::new(left, high), radii, QUARTER, 2 * QUARTER);
        chain.line(start);
        Self::from_edges(start, vec![front, chain.cut()])
    }

    /// A panel with rounded bottom corners, lower left corner of its box at the origin. Its edges,
    /// in order: the straight part of the base, the right corner, the right side, the rim, the left
    /// side, the left corner.
    ///
    /// # Errors
    /// If the corners leave nothing of the base or of the sides, or there is no radius.
    pub fn round_bottomed(
        width: Length,
        height: Length,
        radius: Length,
    ) -> Result<Self, OutlineError> {
        let empty = [(!radius.is_positive(), 1), (radius * 2 >= width, 0), (radius >= height, 2)];
        if let Some((_, edge)) = empty.into_iter().find(|(is_empty, _)| *is_empty) {
            return Err(OutlineError::EmptyEdge(edge));
        }
        let (right, radii) = (width - radius, (radius, radius));
        let start = Point::new(radius, Length::ZERO);
        let line = |x: Length, y: Length| vec![(Segment::Line, Point::new(x, y))];
        let (_, right_corner) = arc(Point::new(right, radius), radii, 3 * QUARTER, 4 * QUARTER);
        let (_, left_corner) = arc(Point::new(radius, radius), radii, 2 * QUARTER, 3 * QUARTER);
        let edges = vec![
            line(right, Length::ZERO),
            right_corner,
            line(width, height),
            line(Length::ZERO, height),
            line(Length::ZERO, radius),
            left_corner,
        ];
        Self::from_edges(start, edges)
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::Edge;

    fn inch(inches: f64) -> Length {
        Length::from_mm_f64(inches * 25.4)
    }

    #[track_caller]
    fn close(found: Length, mm: f64) {
        assert!((found.to_mm() - mm).abs() < 0.1, "{} mm for {mm}", found.to_mm());
    }

    /// Closed form: π·d, and π·d·d/4. The largest that a bag has, so that the worst is seen.
    #[test]
    fn a_circle_is_pi_diameters_round() {
        for diameter in [60, 317, 600] {
            let round = Outline::ellipse(Length::mm(diameter), Length::mm(diameter)).unwrap();
            let d = diameter as f64;
            close(round.perimeter(), PI * d);
            assert!((round.area().to_mm2() - PI * d * d / 4.0).abs() < 1e-5 * d * d);
            assert_eq!(round.size(), (Length::mm(diameter), Length::mm(diameter)));
            assert_eq!(round.edge_count(), 2);
            assert_eq!(round.edge_length(0), round.edge_length(1));
        }
    }

    /// π·d by hand: MIL-B-829M's duffel bag is 12.5 in across, so 39.27 in round; 12 in give
    /// 37.70, 9.5 in 29.85 (sewing pages on round bases, with π = 3.14: 37.68 and 29.83).
    #[test]
    fn bases_of_published_bags() {
        for (diameter, around) in [(12.5, 39.27), (12.0, 37.70), (9.5, 29.85)] {
            let round = Outline::ellipse(inch(diameter), inch(diameter)).unwrap();
            let found = round.perimeter().to_mm() / 25.4;
            assert!((found - around).abs() < 0.006, "{found} for {around}");
        }
    }

    /// A rounded rectangle's perimeter is that of a circle of its radius and the straight parts:
    /// perimeter 20, radius 2, short straight parts 0.5 give long ones of 3.217 (a worked example
    /// of 2010 has 3.25, with π = 22/7).
    #[test]
    fn a_rounded_base_of_a_given_perimeter() {
        let (radius, short, long) = (2.0, 0.5, (20.0 - 4.0 * PI - 1.0) / 2.0);
        let radii = (inch(radius), inch(radius));
        let base = Outline::rounded_rectangle(inch(long + 4.0), inch(short + 4.0), radii).unwrap();
        close(base.perimeter(), 20.0 * 25.4);
    }

    /// Panels of 13 × 15 in at the stitching line: round the sides and the base it is 43 in, and
    /// rounding a corner by R saves R·(2 − π/2) each: with 2 in, 41.283 in (derived).
    #[test]
    fn rounding_shortens_the_way_round_a_panel() {
        let round = Outline::round_bottomed(inch(13.0), inch(15.0), inch(2.0)).unwrap();
        let around = round.perimeter() - round.edge_length(3);
        let saved = 2.0 * 2.0 * (2.0 - PI / 2.0);
        close(around, (43.0 - saved) * 25.4);
        assert!((around.to_mm() / 25.4 - 41.283).abs() < 0.001);
        assert_eq!(round.size(), (inch(13.0), inch(15.0)));
    }

    /// Steiner's formula: an outline without inner corners, moved out by a, is 2π·a longer where
    /// its corners are rounded, and 8·a where they are mitred at right angles.
    #[test]
    fn the_cutting_line_of_a_round_base_is_a_larger_round_base() {
        let allowance = Length::mm(12);
        let cut = |outline: &Outline| outline.offset_evenly(allowance).unwrap();
        let round = Outline::ellipse(Length::mm(250), Length::mm(250)).unwrap();
        close(cut(&round).perimeter(), PI * 274.0);
        let oval = Outline::ellipse(Length::mm(300), Length::mm(160)).unwrap();
        close(cut(&oval).perimeter(), oval.perimeter().to_mm() + 2.0 * PI * 12.0);
        let radii = (Length::mm(40), Length::mm(40));
        let base = Outline::rounded_rectangle(Length::mm(300), Length::mm(120), radii).unwrap();
        close(cut(&base).perimeter(), base.perimeter().to_mm() + 2.0 * PI * 12.0);
        let panel = Outline::round_bottomed(Length::mm(330), Length::mm(380), radii.0).unwrap();
        // Two square corners at the rim, two round ones at the base.
        let longer = 4.0 * 12.0 + PI * 12.0;
        close(cut(&panel).perimeter(), panel.perimeter().to_mm() + longer);
    }

    /// The perimeter of an ellipse by the series of Gauss and Kummer, π(a+b)·Σ binom(½,n)²·hⁿ.
    fn ellipse_perimeter(a: f64, b: f64) -> f64 {
        let h = (a - b).powi(2) / (a + b).powi(2);
        let (mut sum, mut coefficient, mut power) = (0.0, 1.0_f64, 1.0);
        for n in 0..60 {
            sum += coefficient * coefficient * power;
            coefficient *= (0.5 - f64::from(n)) / (f64::from(n) + 1.0);
            power *= h;
        }
        PI * (a + b) * sum
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn ovals_agree_with_the_series(width in 60_i64..600, height in 60_i64..600) {
            let oval = Outline::ellipse(Length::mm(width), Length::mm(height)).unwrap();
            let expected = ellipse_perimeter(width as f64 / 2.0, height as f64 / 2.0);
            let off = oval.perimeter().to_mm() - expected;
            prop_assert!(off.abs() < 0.1, "{off}");
            prop_assert!(oval.is_simple());
            let off = (oval.edge_length(0) - oval.edge_length(1)).abs();
            prop_assert!(off <= Length::nm(50_000), "{off:?}");
        }

        #[test]
        fn any_rounding_keeps_the_box_and_closes(
            size in (20_i64..900, 20_i64..900), radii in (0_i64..500, 0_i64..500),
        ) {
            let (width, height) = (Length::mm(size.0), Length::mm(size.1));
            let radii = (Length::mm(radii.0), Length::mm(radii.1));
            let base = Outline::rounded_rectangle(width, height, radii).unwrap();
            prop_assert!(base.is_simple());
            prop_assert_eq!(base.size(), (width, height));
            prop_assert_eq!(base.edge_count(), 2);
            prop_assert!(base.offset_evenly(Length::mm(12)).is_ok());
            if let Ok(panel) = Outline::round_bottomed(width, height, radii.0) {
                prop_assert_eq!(panel.size(), (width, height));
                let curved = panel.edges().iter().filter(|edge| !Edge::is_straight(edge));
                prop_assert_eq!((panel.edge_count(), curved.count()), (6, 2));
                prop_assert!(panel.offset_evenly(Length::mm(12)).is_ok());
            }
        }
    }

    /// By angles or by eighths of a turn, a quarter of a circle is the same one.
    #[test]
    fn a_quarter_by_angles_is_the_one_by_eighths() {
        let (centre, radius) = (Point::new(inch(3.0), inch(2.0)), inch(5.0));
        let (start, by_angles) = arc_between(centre, radius, 0.0, PI / 2.0);
        let (same, by_eighths) = arc(centre, (radius, radius), 0, 2);
        assert_eq!(start, same);
        assert_eq!(by_angles.len(), by_eighths.len());
        for ((_, a), (_, b)) in by_angles.iter().zip(&by_eighths) {
            assert!(a.distance(*b) <= Length::nm(2));
        }
    }
}
