//! How lengths are written for a person: what is cut and marked, sizes, and what is bought.
//!
//! A number and its unit are separated by a plain space, fractions are written `1/2`, and sizes are
//! width × height with the multiplication sign. Whatever is written here `parse_length` reads back.

use crate::Length;
use crate::ruler::{Rounding, Ruler};
use crate::units::System;

/// The unit a length is written in.
///
/// In metric, what is cut and marked is written in millimetres, one unit for an 8 mm allowance and
/// a 533 mm panel alike, so that no one mistakes 1.5 for 15; centimetres are there for those who
/// prefer them, and metres for cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Style {
    /// Inches with a fraction, `4 1/2 in`.
    Inch,
    /// Yards with a fraction, `1 3/8 yd`.
    Yard,
    /// Millimetres, `114 mm`.
    Mm,
    /// Centimetres with a decimal where needed, `11.4 cm`.
    Cm,
    /// Metres with decimals where needed, `1.25 m`.
    Metre,
}

impl Style {
    /// One of the unit.
    pub const fn length(self) -> Length {
        match self {
            Self::Inch => Length::INCH,
            Self::Yard => Length::YARD,
            Self::Mm => Length::MM,
            Self::Cm => Length::mm(10),
            Self::Metre => Length::mm(1000),
        }
    }

    /// The unit as it is written behind a number.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Yard => "yd",
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::Metre => "m",
        }
    }

    /// The system it belongs to.
    pub const fn system(self) -> System {
        match self {
            Self::Inch | Self::Yard => System::Inch,
            Self::Mm | Self::Cm | Self::Metre => System::Metric,
        }
    }
}

/// The ruler on which a length is cut or marked.
///
/// Inches: eighths, or sixteenths when the length is on a sixteenth or an eighth would be off by
/// more than 1/32 in. Metric: whole millimetres, or halves when the length is exactly on a half.
pub fn cutting_ruler(length: Length, system: System) -> Ruler {
    match system {
        System::Inch => {
            let eighth = Ruler::EIGHTH_INCH.round(length, Rounding::Nearest);
            let is_near = (eighth - length).abs() <= Length::inch_frac(1, 32);
            if is_near { Ruler::EIGHTH_INCH } else { Ruler::SIXTEENTH_INCH }
        }
        System::Metric if Ruler::HALF_MM.is_on(length) => Ruler::HALF_MM,
        System::Metric => Ruler::MM,
    }
}

/// A length as it is cut or marked, with its unit: `4 1/2 in`, `114 mm` (see [`cutting_ruler`]).
pub fn show_length(length: Length, system: System) -> String {
    cutting_ruler(length, system).show(length)
}

/// A length as it is cut or marked, without its unit: `4 1/2`, `114`.
pub fn show_number(length: Length, system: System) -> String {
    cutting_ruler(length, system).show_number(length)
}

/// A width and a height as they are cut, the unit once: `21 × 17 in`, `533 × 432 mm`.
pub fn show_size(width: Length, height: Length, system: System) -> String {
    format!("{} × {}", show_number(width, system), show_length(height, system))
}

/// A length in both systems, the given one first: `4 1/2 in (114 mm)`.
pub fn show_both(length: Length, system: System) -> String {
    format!("{} ({})", show_length(length, system), show_length(length, system.other()))
}

/// A length of cloth as it is asked for in a shop: `1 3/8 yd`, `2/3 yd`, `0.9 m`, `1.25 m`.
///
/// Yards where the length is on a third, an eighth or a sixteenth of a yard. What is on none of
/// these is written in inches, and metres go to two decimals; both round up, so that nobody is
/// told to buy too little.
pub fn show_bought(length: Length, system: System) -> String {
    match system {
        System::Inch => {
            let sixteenth = Ruler::new(Length::nm(57_150_000), Style::Yard);
            for ruler in [Ruler::THIRD_YARD, Ruler::EIGHTH_YARD, sixteenth] {
                if ruler.is_on(length) {
                    return ruler.show(length);
                }
            }
            Ruler::EIGHTH_INCH.show(Ruler::EIGHTH_INCH.round(length, Rounding::Up))
        }
        System::Metric => {
            let ruler = Ruler::CM.with_style(Style::Metre);
            ruler.show(ruler.round(length, Rounding::Up))
        }
    }
}

/// `length` in `unit` as a whole number and a fraction in lowest terms.
pub(crate) fn show_fraction(length: Length, unit: Length) -> String {
    let (nm, unit) = (length.to_nm().unsigned_abs(), unit.to_nm().unsigned_abs());
    let sign = if length < Length::ZERO { "-" } else { "" };
    let (whole, over) = (nm / unit, nm % unit);
    let divisor = greatest_common_divisor(over, unit);
    let (over, under) = (over / divisor, unit / divisor);
    match (whole, over) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    }
}

/// `length` in the unit of `style` as a decimal, with as many places as it needs.
pub(crate) fn write_styled(length: Length, style: Style) -> String {
    let (nm, unit) = (length.to_nm().unsigned_abs(), style.length().to_nm().unsigned_abs());
    let sign = if length < Length::ZERO { "-" } else { "" };
    let places = unit.ilog10() as usize;
    let decimals = format!("{:0places$}", nm % unit);
    match decimals.trim_end_matches('0') {
        "" => format!("{sign}{}", nm / unit),
        decimals => format!("{sign}{}.{decimals}", nm / unit),
    }
}

/// Never zero, as `b` is not.
fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if a == 0 { b } else { greatest_common_divisor(b % a, a) }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Units, parse_length};

    #[test]
    fn inches_are_eighths_unless_a_sixteenth_is_nearer() {
        let shown = |over, under| show_length(Length::inch_frac(over, under), System::Inch);
        assert_eq!(shown(9, 2), "4 1/2 in");
        assert_eq!(shown(3, 4), "3/4 in");
        assert_eq!(shown(40, 1), "40 in");
        assert_eq!(shown(5, 16), "5/16 in");
        assert_eq!(shown(-1, 8), "-1/8 in");
        assert_eq!(shown(0, 1), "0 in");
        // 3/64 and 5/64 are nearest to 1/16; 5/32 is just as near to 1/8 and to 3/16.
        assert_eq!(shown(3, 64), "1/16 in");
        assert_eq!(shown(5, 64), "1/16 in");
        assert_eq!(shown(5, 32), "1/8 in");
    }

    #[test]
    fn millimetres_are_whole_unless_exactly_on_a_half() {
        let lengths = [114_000_000, 114_300_000, 12_500_000, 12_499_999, 1_250_000_000];
        let shown = lengths.map(|nm| show_length(Length::nm(nm), System::Metric));
        assert_eq!(shown, ["114 mm", "114 mm", "12.5 mm", "12 mm", "1250 mm"]);
    }

    #[test]
    fn sizes_and_pairs() {
        let (width, height) = (Length::inch(21), Length::inch(17));
        assert_eq!(show_size(width, height, System::Inch), "21 × 17 in");
        assert_eq!(show_size(width, height, System::Metric), "533 × 432 mm");
        assert_eq!(show_both(Length::inch_frac(9, 2), System::Inch), "4 1/2 in (114 mm)");
        assert_eq!(show_both(Length::mm(8), System::Metric), "8 mm (5/16 in)");
        assert_eq!(show_number(width, System::Inch), "21");
    }

    #[test]
    fn what_is_bought_is_never_understated() {
        let yards = |inches, under| show_bought(Length::inch_frac(inches, under), System::Inch);
        assert_eq!(yards(99, 2), "1 3/8 yd");
        assert_eq!(yards(24, 1), "2/3 yd");
        assert_eq!(yards(36, 1), "1 yd");
        assert_eq!(yards(10, 1), "10 in");
        assert_eq!(show_bought(Length::mm(900), System::Inch), "35 1/2 in");
        assert_eq!(show_bought(Length::mm(900), System::Metric), "0.9 m");
        assert_eq!(show_bought(Length::mm(1250), System::Metric), "1.25 m");
        // 1/2 yd is 45.72 cm (quiltingboard.com tutorial 280955).
        assert_eq!(show_bought(Length::inch(18), System::Metric), "0.46 m");
    }

    proptest! {
        #[test]
        fn what_is_shown_is_near_and_reads_back(nm in 0_i64..50_000_000_000) {
            let length = Length::nm(nm);
            for (system, off) in [
                (System::Inch, Length::inch_frac(1, 32)),
                (System::Metric, Length::nm(500_000)),
            ] {
                let read = parse_length(&show_length(length, system), Units::Cm).unwrap();
                prop_assert!((read - length).abs() <= off);
                prop_assert_eq!(show_length(read, system), show_length(length, system));
                let bought = parse_length(&show_bought(length, system), Units::Cm).unwrap();
                prop_assert!(bought >= length && bought - length <= Length::mm(10));
            }
        }
    }
}
