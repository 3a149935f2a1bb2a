//! Rulers: the steps a person measures in, and rounding a length to one of them.

use crate::Length;
use crate::show::{Style, show_fraction, write_styled};
use crate::units::System;

/// Which way a length goes that lies between two marks of a ruler.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// To the nearest mark; halfway, away from zero.
    Nearest,
    /// To the next mark that is not less (towards +∞), for what is bought.
    Up,
    /// To the next mark that is not more (towards −∞), for what must still fit.
    Down,
}

/// The marks a person measures with: a step, and the style in which a length on it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ruler {
    step: Length,
    style: Style,
}

impl Ruler {
    /// Whole inches.
    pub const INCH: Self = Self::new(Length::INCH, Style::Inch);
    /// Half inches.
    pub const HALF_INCH: Self = Self::new(Length::inch_frac(1, 2), Style::Inch);
    /// Quarter inches.
    pub const QUARTER_INCH: Self = Self::new(Length::inch_frac(1, 4), Style::Inch);
    /// Eighths of an inch, the usual ruler.
    pub const EIGHTH_INCH: Self = Self::new(Length::inch_frac(1, 8), Style::Inch);
    /// Sixteenths of an inch.
    pub const SIXTEENTH_INCH: Self = Self::new(Length::inch_frac(1, 16), Style::Inch);
    /// Half millimetres.
    pub const HALF_MM: Self = Self::new(Length::nm(500_000), Style::Mm);
    /// Whole millimetres, the usual ruler.
    pub const MM: Self = Self::new(Length::MM, Style::Mm);
    /// Five millimetres, to which metric sizes are drafted.
    pub const FIVE_MM: Self = Self::new(Length::mm(5), Style::Mm);
    /// Whole centimetres.
    pub const CM: Self = Self::new(Length::mm(10), Style::Cm);
    /// Ten centimetres, in which cloth is sold by the metre.
    pub const TEN_CM: Self = Self::new(Length::mm(100), Style::Metre);
    /// Eighths of a yard.
    pub const EIGHTH_YARD: Self = Self::new(Length::nm(114_300_000), Style::Yard);
    /// Quarters of a yard.
    pub const QUARTER_YARD: Self = Self::new(Length::nm(228_600_000), Style::Yard);
    /// Thirds of a yard, 12 in.
    pub const THIRD_YARD: Self = Self::new(Length::inch(12), Style::Yard);

    /// A ruler of one's own. A step that is not positive counts as one nanometre.
    pub const fn new(step: Length, style: Style) -> Self {
        let step = if step.is_positive() { step } else { Length::nm(1) };
        Self { step, style }
    }

    /// The ruler that small measures are drafted to in a system: 1/8 in or 5 mm.
    pub const fn drafting(system: System) -> Self {
        match system {
            System::Inch => Self::EIGHTH_INCH,
            System::Metric => Self::FIVE_MM,
        }
    }

    /// The distance between two marks.
    pub const fn step(self) -> Length {
        self.step
    }

    /// How a length on this ruler is written.
    pub const fn style(self) -> Style {
        self.style
    }

    /// The same marks, written in another style (5 mm steps in centimetres, say).
    #[must_use]
    pub const fn with_style(self, style: Style) -> Self {
        Self { step: self.step, style }
    }

    /// The system this ruler belongs to.
    pub const fn system(self) -> System {
        self.style.system()
    }

    /// Brings a length onto a mark.
    #[must_use]
    pub fn round(self, length: Length, rounding: Rounding) -> Length {
        let (step, nm) = (i128::from(self.step.to_nm()), i128::from(length.to_nm()));
        let marks = match rounding {
            Rounding::Down => nm.div_euclid(step),
            Rounding::Up => -(-nm).div_euclid(step),
            Rounding::Nearest => nm.signum() * ((2 * nm.abs() + step) / (2 * step)),
        };
        let nearest = marks * step;
        let bounded = nearest.clamp(i128::from(i64::MIN), i128::from(i64::MAX));
        Length::nm(i64::try_from(bounded).unwrap_or(i64::MAX))
    }

    /// Whether a length lies on a mark.
    pub const fn is_on(self, length: Length) -> bool {
        length.to_nm() % self.step.to_nm() == 0
    }

    /// The nearest mark, written with its unit: `4 1/2 in`, `114 mm`, `2/3 yd`, `0.9 m`.
    pub fn show(self, length: Length) -> String {
        let number = self.show_number(length);
        format!("{number} {}", self.style.symbol())
    }

    /// The nearest mark, written without its unit.
    pub fn show_number(self, length: Length) -> String {
        let rounded = self.round(length, Rounding::Nearest);
        match self.style {
            Style::Inch | Style::Yard => show_fraction(rounded, self.style.length()),
            Style::Mm | Style::Cm | Style::Metre => write_styled(rounded, self.style),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const ALL: [Ruler; 13] = [
        Ruler::INCH,
        Ruler::HALF_INCH,
        Ruler::QUARTER_INCH,
        Ruler::EIGHTH_INCH,
        Ruler::SIXTEENTH_INCH,
        Ruler::HALF_MM,
        Ruler::MM,
        Ruler::FIVE_MM,
        Ruler::CM,
        Ruler::TEN_CM,
        Ruler::EIGHTH_YARD,
        Ruler::QUARTER_YARD,
        Ruler::THIRD_YARD,
    ];

    #[test]
    fn lengths_are_written_as_on_the_ruler() {
        let half = Length::inch_frac(9, 2);
        let shown = [
            Ruler::EIGHTH_INCH.show(half),
            Ruler::EIGHTH_INCH.show(Length::inch_frac(3, 4)),
            Ruler::EIGHTH_INCH.show(Length::inch(40)),
            Ruler::SIXTEENTH_INCH.show(Length::inch_frac(-5, 16)),
            Ruler::MM.show(half),
            Ruler::HALF_MM.show(half),
            Ruler::FIVE_MM.with_style(Style::Cm).show(half),
            Ruler::CM.show(half),
            Ruler::TEN_CM.show(Length::mm(940)),
            Ruler::EIGHTH_YARD.show(Length::inch(50)),
            Ruler::THIRD_YARD.show(Length::inch(24)),
            Ruler::MM.show(Length::ZERO),
        ];
        let expected = [
            "4 1/2 in", "3/4 in", "40 in", "-5/16 in", "114 mm", "114.5 mm", "11.5 cm", "11 cm",
            "0.9 m", "1 3/8 yd", "2/3 yd", "0 mm",
        ];
        assert_eq!(shown, expected);
    }

    #[test]
    fn each_rounding_goes_its_way() {
        let ruler = Ruler::EIGHTH_INCH;
        let sixteenth = Length::inch_frac(1, 16);
        assert_eq!(ruler.round(sixteenth, Rounding::Nearest), Length::inch_frac(1, 8));
        assert_eq!(ruler.round(-sixteenth, Rounding::Nearest), Length::inch_frac(-1, 8));
        assert_eq!(ruler.round(sixteenth, Rounding::Down), Length::ZERO);
        assert_eq!(ruler.round(-sixteenth, Rounding::Down), Length::inch_frac(-1, 8));
        assert_eq!(ruler.round(sixteenth, Rounding::Up), Length::inch_frac(1, 8));
        assert_eq!(ruler.round(-sixteenth, Rounding::Up), Length::ZERO);
    }

    #[test]
    fn the_ends_of_the_range_do_not_overflow() {
        for rounding in [Rounding::Nearest, Rounding::Up, Rounding::Down] {
            let top = Ruler::THIRD_YARD.round(Length::nm(i64::MAX), rounding);
            let bottom = Ruler::THIRD_YARD.round(Length::nm(i64::MIN), rounding);
            assert!(top > Length::ZERO && bottom < Length::ZERO);
        }
    }

    proptest! {
        #[test]
        fn rounded_lengths_are_on_a_mark_and_near(
            nm in -10_000_000_000_i64..10_000_000_000,
            index in 0..ALL.len(),
        ) {
            let (ruler, length) = (ALL[index], Length::nm(nm));
            let [down, near, up] = [Rounding::Down, Rounding::Nearest, Rounding::Up]
                .map(|rounding| ruler.round(length, rounding));
            for mark in [down, near, up] {
                prop_assert!(ruler.is_on(mark));
                prop_assert_eq!(ruler.round(mark, Rounding::Nearest), mark);
            }
            prop_assert!(down <= length && length <= up && up - down <= ruler.step());
            prop_assert!((near - length).abs().times(2) <= ruler.step());
            prop_assert_eq!(down == up, ruler.is_on(length));
        }
    }
}
