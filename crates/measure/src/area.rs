//! An exact area, a whole number of square nanometres.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};

use crate::{Length, System};

/// An exact area in square nanometres; the product of two lengths always fits.
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Area(i128);

impl Area {
    /// No area at all.
    pub const ZERO: Self = Self(0);

    /// An area of `nm2` square nanometres.
    pub const fn nm2(nm2: i128) -> Self {
        Self(nm2)
    }

    /// The area of a rectangle.
    pub fn rectangle(width: Length, height: Length) -> Self {
        Self(i128::from(width.to_nm()) * i128::from(height.to_nm()))
    }

    /// The count of square nanometres.
    pub const fn to_nm2(self) -> i128 {
        self.0
    }

    /// In square metres, for estimates.
    pub fn to_m2(self) -> f64 {
        self.0 as f64 / 1e18
    }

    /// In square inches, for estimates.
    pub fn to_in2(self) -> f64 {
        self.0 as f64 / (25.4e6 * 25.4e6)
    }

    /// In square millimetres, for geometry.
    pub fn to_mm2(self) -> f64 {
        self.0 as f64 / 1e12
    }

    /// `count` such areas (saturating).
    #[must_use]
    pub const fn times(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count as i128))
    }

    /// How many times `other` goes into this area, for percentages; zero when `other` is nothing.
    pub fn ratio(self, other: Self) -> f64 {
        if other.0 == 0 { 0.0 } else { self.0 as f64 / other.0 as f64 }
    }
}

/// An area as a person reads it: whole square inches, or square metres to two decimals.
pub fn show_area(area: Area, system: System) -> String {
    match system {
        System::Inch => format!("{:.0} sq in", area.to_in2()),
        System::Metric => format!("{:.2} m²", area.to_m2()),
    }
}

impl fmt::Debug for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm²", self.to_mm2())
    }
}

impl Add for Area {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Area {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Self>>(areas: I) -> Self {
        areas.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fat_quarter_is_a_quarter() {
        // allpeoplequilt.com, fat quarters 2017: 18 × 22 in and 9 × 44 in, both 396 sq in.
        let fat = Area::rectangle(Length::inch(18), Length::inch(22));
        assert_eq!(fat, Area::rectangle(Length::inch(9), Length::inch(44)));
        assert_eq!(show_area(fat, System::Inch), "396 sq in");
        // The fat eighth, 9 × 22 in, is half of it.
        assert_eq!(fat, Area::rectangle(Length::inch(9), Length::inch(22)).times(2));
    }

    #[test]
    fn a_square_yard_in_square_metres() {
        // 1 sq yd = 0.83612736 m² exactly (GNU units 2.22).
        let yard = Area::rectangle(Length::YARD, Length::YARD);
        assert_eq!(yard, Area::nm2(836_127_360_000_000_000));
        assert_eq!(show_area(yard, System::Metric), "0.84 m²");
        // The published square-inch content of 2 1/2 yd of 36 in cloth ("It's sew mathematical",
        // 2014) is 3240.
        let cloth = Area::rectangle(Length::YARD * 5 / 2, Length::inch(36));
        assert_eq!(show_area(cloth, System::Inch), "3240 sq in");
        assert!((cloth.ratio(yard) - 2.5).abs() < 1e-12);
    }

    #[test]
    fn the_same_area_of_another_width_is_another_length() {
        // Published lengths of equal area ("It's sew mathematical", 2014): yards of a first width
        // in inches, as yards of a second width.
        let pairs = [
            (8, 45, 54, 3.33),
            (8, 54, 45, 4.80),
            (10, 54, 60, 4.50),
            (16, 44, 108, 3.26),
            (6, 60, 45, 4.00),
            (5, 36, 60, 1.50),
        ];
        for (half_yards, first, second, published) in pairs {
            let cloth = Area::rectangle(Length::YARD * half_yards / 2, Length::inch(first));
            let yards = cloth.ratio(Area::rectangle(Length::YARD, Length::inch(second)));
            assert!((yards - published).abs() < 0.01, "{first} to {second}: {yards}");
        }
    }

    #[test]
    fn the_largest_lengths_do_not_overflow() {
        let most = Area::rectangle(Length::nm(i64::MAX), Length::nm(i64::MAX));
        assert!(most > Area::ZERO && most.times(i64::MAX) >= most + most);
    }
}
