//! A point of the drawing plane in exact lengths.

use std::ops::{Add, Neg, Sub};

use crate::Length;

/// A point, or the step from one point to another; x to the right, y up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Point {
    /// To the right.
    pub x: Length,
    /// Up.
    pub y: Length,
}

impl Point {
    /// Where both axes start.
    pub const ORIGIN: Self = Self::new(Length::ZERO, Length::ZERO);

    /// The point at `x` to the right and `y` up.
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// The nearest point to one in millimetres.
    pub fn from_mm(point: kurbo::Point) -> Self {
        Self::new(Length::from_mm_f64(point.x), Length::from_mm_f64(point.y))
    }

    /// In millimetres, for geometry and drawing.
    pub fn to_mm(self) -> kurbo::Point {
        kurbo::Point::new(self.x.to_mm(), self.y.to_mm())
    }

    /// The distance to `other`, to the nearest nanometre by integer arithmetic.
    pub fn distance(self, other: Self) -> Length {
        let square = |a: Length, b: Length| {
            let difference = i128::from(a.to_nm()) - i128::from(b.to_nm());
            difference.unsigned_abs().saturating_pow(2)
        };
        let sum = square(self.x, other.x).saturating_add(square(self.y, other.y));
        let root = sum.isqrt();
        // (root + 1/2)² = root² + root + 1/4, so beyond root² + root the next one is nearer.
        let nearest = if sum - root * root > root { root + 1 } else { root };
        Length::nm(i64::try_from(nearest).unwrap_or(i64::MAX))
    }

    /// The point `over / under` of the way to `other`, to the nearest nanometre in each direction.
    /// `under` must not be zero; where it is, the answer is this point.
    #[must_use]
    pub fn towards(self, other: Self, over: Length, under: Length) -> Self {
        if under == Length::ZERO {
            return self;
        }
        let (over, under) = (i128::from(over.to_nm()), i128::from(under.to_nm()));
        let part = |a: Length, b: Length| {
            let whole = i128::from(b.to_nm()) - i128::from(a.to_nm());
            let product = whole.saturating_mul(over);
            let sign = product.signum() * under.signum();
            let nearest = sign * ((product.abs() + under.abs() / 2) / under.abs());
            a + Length::nm(i64::try_from(nearest).unwrap_or(0))
        };
        Self::new(part(self.x, other.x), part(self.y, other.y))
    }

    /// Halfway to `other`.
    #[must_use]
    pub fn middle(self, other: Self) -> Self {
        self.towards(other, Length::nm(1), Length::nm(2))
    }

    /// Turned about the origin by quarter turns, counter-clockwise.
    #[must_use]
    pub fn rotated_quarter(self, quarters: i32) -> Self {
        match quarters.rem_euclid(4) {
            0 => self,
            1 => Self::new(-self.y, self.x),
            2 => -self,
            _ => Self::new(self.y, -self.x),
        }
    }
}

/// Twice the area of the triangle a, b, c, in square nanometres: positive when it turns left.
pub(crate) fn turn(a: Point, b: Point, c: Point) -> i128 {
    let (ab, ac) = (b - a, c - a);
    let nm = |length: Length| i128::from(length.to_nm());
    nm(ab.x) * nm(ac.y) - nm(ab.y) * nm(ac.x)
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

impl Neg for Point {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn distances_are_exact() {
        let at = |x, y| Point::new(Length::nm(x), Length::nm(y));
        assert_eq!(at(3, 4).distance(Point::ORIGIN), Length::nm(5));
        // √2 = 1.41421356237309504880…, so a million nanometres square gives 1 414 213.56.
        assert_eq!(at(1_000_000, 1_000_000).distance(Point::ORIGIN), Length::nm(1_414_214));
        assert_eq!(at(1, 1).distance(at(0, 0)), Length::nm(1));
        assert_eq!(at(i64::MAX, 0).distance(at(i64::MIN, 0)), Length::nm(i64::MAX));
    }

    #[test]
    fn quarter_turns_go_counter_clockwise() {
        let point = Point::new(Length::mm(2), Length::mm(1));
        assert_eq!(point.rotated_quarter(1), Point::new(Length::mm(-1), Length::mm(2)));
        assert_eq!(point.rotated_quarter(-1), point.rotated_quarter(3));
        assert_eq!(point.rotated_quarter(2), -point);
        assert_eq!(turn(Point::ORIGIN, point, point.rotated_quarter(1)), 5_000_000_000_000);
    }

    proptest! {
        #[test]
        fn middle_and_distance_agree(
            coordinates in prop::array::uniform4(-1_000_000_000_i64..1_000_000_000),
        ) {
            let [ax, ay, bx, by] = coordinates.map(Length::nm);
            let (a, b) = (Point::new(ax, ay), Point::new(bx, by));
            prop_assert_eq!(a.distance(b), b.distance(a));
            let middle = a.middle(b);
            let off = (a.distance(middle) + middle.distance(b) - a.distance(b)).abs();
            prop_assert!(off <= Length::nm(3));
            prop_assert_eq!(a.towards(b, Length::nm(7), Length::nm(7)), b);
        }
    }
}
