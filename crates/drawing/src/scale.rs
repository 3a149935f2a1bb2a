//! Scales of reduction, `1 : n`, as they are printed beside a drawing.

use kurbo::{Affine, Point};
use measure::Length;

/// What `n` may be: the series of ISO 5455 (1, 2, 5 and their tens), and between its steps those
/// that a ruler divided in quarters or twelfths reads easily (own choice).
const SERIES: [u32; 18] = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200, 500];

/// A scale of reduction: 1 mm on paper is `n` mm of cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scale(u32);

impl Scale {
    /// True to size.
    pub const TRUE: Self = Self(1);

    /// The largest picture of `width` × `height` of cloth that fits within the `room` on paper
    /// (width × height in mm). What fits at no scale of the series gets its last one.
    pub fn fitting(width: Length, height: Length, room: (f64, f64)) -> Self {
        let fits = |n: &u32| {
            width.to_mm() <= room.0 * f64::from(*n) && height.to_mm() <= room.1 * f64::from(*n)
        };
        Self(SERIES.into_iter().find(fits).unwrap_or(SERIES[SERIES.len() - 1]))
    }

    /// On paper, in mm.
    pub fn of(self, length: Length) -> f64 {
        length.to_mm() / f64::from(self.0)
    }

    /// Maps exact points of a pattern (y up) to paper (y down).
    pub fn point(self, point: measure::Point) -> Point {
        Point::new(self.of(point.x), -self.of(point.y))
    }

    /// Maps millimetres of a pattern (y up) to paper (y down).
    pub fn affine(self) -> Affine {
        let factor = 1.0 / f64::from(self.0);
        Affine::new([factor, 0.0, 0.0, -factor, 0.0, 0.0])
    }

    /// As printed: `1 : 5`.
    pub fn show(self) -> String {
        format!("1 : {}", self.0)
    }

    /// As said: "drawn at 1 : 5" or "drawn true to size".
    pub fn say(self) -> String {
        if self == Self::TRUE {
            "drawn true to size".to_owned()
        } else {
            format!("drawn at {}", self.show())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_picture_that_fits() {
        let (wide, high) = (Length::inch(21), Length::inch(17));
        // 533.4 mm in 110 mm needs 1 : 5 (106.7 mm); 431.8 mm in 80 mm needs 1 : 6 (72.0 mm).
        assert_eq!(Scale::fitting(wide, high, (110.0, 100.0)).show(), "1 : 5");
        assert_eq!(Scale::fitting(wide, high, (110.0, 80.0)).show(), "1 : 6");
        assert_eq!(Scale::fitting(Length::mm(90), Length::mm(5), (90.0, 5.0)), Scale::TRUE);
        assert_eq!(Scale::fitting(Length::mm(900_000), high, (100.0, 80.0)).show(), "1 : 500");
    }

    #[test]
    fn up_in_the_pattern_is_up_on_paper() {
        let point = measure::Point::new(Length::mm(50), Length::mm(20));
        let scale = Scale::fitting(Length::mm(50), Length::mm(20), (10.0, 10.0));
        assert_eq!(scale.point(point), Point::new(10.0, -4.0));
        assert_eq!(scale.affine() * Point::new(50.0, 20.0), Point::new(10.0, -4.0));
    }
}
