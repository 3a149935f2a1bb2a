//! An exact length: a whole number of nanometres, in which inch and metric meet without drift.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// An exact length, an integer count of nanometres.
///
/// 1/64 in is 396 875 nm exactly and 1 mm is 1 000 000 nm exactly (international inch of 25.4 mm).
/// The range of `i64` reaches ±9.2 million kilometres, so sums of pieces cannot overflow; products
/// with counts are made through [`Length::times`], which saturates.
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);
    /// One inch, 25.4 mm.
    pub const INCH: Self = Self(25_400_000);
    /// One yard, 36 in.
    pub const YARD: Self = Self(914_400_000);
    /// One millimetre.
    pub const MM: Self = Self(1_000_000);

    /// A length of `nm` nanometres.
    pub const fn nm(nm: i64) -> Self {
        Self(nm)
    }

    /// A length of whole millimetres.
    pub const fn mm(mm: i64) -> Self {
        Self(mm * 1_000_000)
    }

    /// A length of whole inches.
    pub const fn inch(inches: i64) -> Self {
        Self(inches * 25_400_000)
    }

    /// `numerator / denominator` inches; exact for every denominator a ruler has (2, 4 … 64).
    pub const fn inch_frac(numerator: i64, denominator: i64) -> Self {
        Self(numerator * 25_400_000 / denominator)
    }

    /// The nearest length to `mm` millimetres, for results of curved or sloped geometry.
    /// Not-a-number becomes zero; what is out of range is clamped.
    #[allow(clippy::cast_possible_truncation, reason = "`as` saturates, which is what is promised")]
    pub fn from_mm_f64(mm: f64) -> Self {
        Self((mm * 1e6).round() as i64)
    }

    /// The count of nanometres.
    pub const fn to_nm(self) -> i64 {
        self.0
    }

    /// In millimetres, for geometry and drawing; never for what a person reads.
    pub fn to_mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// In inches, for geometry and drawing; never for what a person reads.
    pub fn to_inch(self) -> f64 {
        self.0 as f64 / 25.4e6
    }

    /// The size without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// `count` of this length laid end to end (saturating).
    #[must_use]
    pub const fn times(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count))
    }

    /// Half of this length (rounded towards zero by at most one nanometre).
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0 / 2)
    }

    /// Whether this is more than nothing.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.to_mm())
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        self.times(count)
    }
}

impl Div<i64> for Length {
    type Output = Self;
    fn div(self, count: i64) -> Self {
        Self(self.0 / count)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}
