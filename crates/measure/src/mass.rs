//! How heavy cloth is for its area, and how heavy a piece of it is.
//!
//! Shops weigh cloth in three ways: ounces per square yard, grams per square metre, and ounces per
//! linear yard, which says nothing until the width is known. A bare "ounces" is therefore refused.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use crate::number::{Token, number, rounded, spell_out, tokens};
use crate::{Area, Length, QuantityError, System, Units, parse_length};

/// One ounce in nanograms: 28.349523125 g exactly (international avoirdupois ounce).
const OUNCE_NG: i128 = 28_349_523_125;

/// What to write instead.
const ADVICE: &str = "write it as in `5 oz/yd²`, `170 g/m²` or `7 oz per linear yard at 68 in`";

/// The heaviest cloth accepted, in mg/m²: 10 kg/m², ten times the heaviest duck.
const HEAVIEST: i128 = 10_000_000;

/// A mass in whole milligrams.
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mass(i64);

impl Mass {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// A mass of `mg` milligrams.
    pub const fn mg(mg: i64) -> Self {
        Self(mg)
    }

    /// The count of milligrams.
    pub const fn to_mg(self) -> i64 {
        self.0
    }

    /// In grams.
    pub fn to_grams(self) -> f64 {
        self.0 as f64 / 1e3
    }

    /// In ounces.
    pub fn to_ounces(self) -> f64 {
        self.0 as f64 * 1e6 / OUNCE_NG as f64
    }

    /// `count` of this mass (saturating).
    #[must_use]
    pub const fn times(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count))
    }
}

/// A mass as a person reads it: whole grams (`420 g`, `1.25 kg`), or ounces (`14.8 oz`,
/// `2 lb 12 oz`).
pub fn show_mass(mass: Mass, system: System) -> String {
    match system {
        System::Inch if mass.to_ounces() < 15.95 => format!("{:.1} oz", mass.to_ounces()),
        System::Inch => {
            let ounces = rounded(i128::from(mass.0) * 1_000_000, OUNCE_NG);
            match ounces % 16 {
                0 => format!("{} lb", ounces / 16),
                rest => format!("{} lb {rest} oz", ounces / 16),
            }
        }
        System::Metric if mass.0 < 999_500 => format!("{:.0} g", mass.to_grams()),
        System::Metric => format!("{:.2} kg", mass.to_grams() / 1e3),
    }
}

/// The mass of cloth per area, in whole milligrams per square metre.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MassPerArea(i64);

impl MassPerArea {
    /// `grams` per square metre, the "gsm" of shops.
    pub const fn gsm(grams: i64) -> Self {
        Self(grams.saturating_mul(1000))
    }

    /// `mg` milligrams per square metre.
    pub const fn mg_per_m2(mg: i64) -> Self {
        Self(mg)
    }

    /// The count of milligrams per square metre.
    pub const fn to_mg_per_m2(self) -> i64 {
        self.0
    }

    /// In grams per square metre.
    pub fn to_gsm(self) -> f64 {
        self.0 as f64 / 1e3
    }

    /// In ounces per square yard.
    pub fn to_oz_per_yd2(self) -> f64 {
        self.to_gsm() / 33.905_747_474_937_2
    }

    /// The mass of so much of this cloth, to the nearest milligram.
    pub fn of(self, area: Area) -> Mass {
        let mg = rounded(area.to_nm2().saturating_mul(i128::from(self.0)), 10_i128.pow(18));
        Mass(i64::try_from(mg).unwrap_or(i64::MAX))
    }

    /// Reads the mass of cloth: `5 oz/yd²`, `170 gsm`, `170 g/m2`, `4 1/2 oz per square yard`,
    /// `7 oz per linear yard at 68 in`, `300 g per linear metre at 150 cm`.
    ///
    /// # Errors
    /// Anything else, above all ounces without an area or a width.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(text).map_err(|reason| QuantityError::new(text, reason))
    }
}

/// The mass of cloth as a person reads it: `5 oz/yd²`, `170 g/m²`.
pub fn show_mass_per_area(mass: MassPerArea, system: System) -> String {
    match system {
        System::Inch => {
            let ounces = format!("{:.1}", mass.to_oz_per_yd2());
            format!("{} oz/yd²", ounces.strip_suffix(".0").unwrap_or(&ounces))
        }
        System::Metric => format!("{:.0} g/m²", mass.to_gsm()),
    }
}

/// What the mass is given for.
enum Per {
    /// One square of this length.
    Square(Length),
    /// This length of the cloth as it comes from the bolt.
    Linear(Length),
}

fn read(text: &str) -> Result<MassPerArea, String> {
    let plain = spell_out(&text.to_lowercase().replace('^', ""));
    let (mass, width) = match plain.split_once(" at ").or_else(|| plain.split_once('@')) {
        Some((mass, width)) => (mass, Some(width)),
        None => (plain.as_str(), None),
    };
    let tokens = tokens(mass, ADVICE)?;
    let (numerator, denominator, behind) = number(&tokens, ADVICE)?;
    let words: Vec<_> = behind.iter().map(word).collect();
    let (one_ng, per) = unit(&words)?;
    let nanograms = numerator
        .checked_mul(one_ng)
        .filter(|_| numerator / denominator < 1_000_000)
        .ok_or("is heavier than any cloth")?;
    let (across, along) = match (per, width) {
        (Per::Square(side), None) => (side, side),
        (Per::Square(_), Some(_)) => {
            return Err("gives a width, which a mass per square does not need; leave it out".into());
        }
        (Per::Linear(_), None) => {
            return Err("is a mass per length, which needs the width of the cloth; \
                        write it as in `7 oz per linear yard at 68 in`"
                .into());
        }
        (Per::Linear(along), Some(width)) => (width_of(width)?, along),
    };
    // ng/nm² × 10^12 = mg/m²; the nanograms stay below 10^26, as the number is below 10^15.
    let area = i128::from(across.to_nm()) * i128::from(along.to_nm());
    let mg = rounded(nanograms * 10_i128.pow(12), area * denominator);
    match i64::try_from(mg) {
        Ok(mg @ 1..) if i128::from(mg) <= HEAVIEST => Ok(MassPerArea(mg)),
        Ok(..=0) => Err(format!("is no mass at all; {ADVICE}")),
        _ => Err(format!("is more than 10 kg/m², heavier than any cloth; {ADVICE}")),
    }
}

/// The width behind "at", which must carry its unit.
fn width_of(text: &str) -> Result<Length, String> {
    let text = text.trim().trim_end_matches("wide");
    if !text.trim_end().ends_with(|last: char| last.is_alphabetic() || last == '"' || last == '.') {
        return Err(
            "has a width without its unit; write it as in `7 oz per linear yard at 68 in`".into()
        );
    }
    match parse_length(text, Units::Inch) {
        Ok(width) if width.is_positive() => Ok(width),
        Ok(_) => Err("has a width of nothing".into()),
        Err(error) => Err(format!("has a width that is none: {error}")),
    }
}

fn word(token: &Token) -> &str {
    match token {
        Token::Slash => "per",
        Token::Dash => "-",
        Token::Number(digits) => digits,
        Token::Word(word) => match word.as_str() {
            "ounce" | "ounces" => "oz",
            "gram" | "grams" | "gr" => "g",
            "yard" | "yards" | "yds" => "yd",
            "metre" | "metres" | "meter" | "meters" => "m",
            "square" => "sq",
            "linear" | "lin" | "running" => "linear",
            other => other,
        },
    }
}

/// The mass unit in nanograms, and what it is given for.
fn unit(words: &[&str]) -> Result<(i128, Per), String> {
    const GRAM: i128 = 1_000_000_000;
    let metre = Length::mm(1000);
    Ok(match words {
        ["oz", "per", "yd", "2"] | ["oz", "per", "sq", "yd"] => {
            (OUNCE_NG, Per::Square(Length::YARD))
        }
        ["oz", "per", "linear", "yd"] => (OUNCE_NG, Per::Linear(Length::YARD)),
        ["gsm"] | ["g", "per", "m", "2"] | ["g", "per", "sq", "m"] => (GRAM, Per::Square(metre)),
        ["g", "per", "linear", "m"] => (GRAM, Per::Linear(metre)),
        ["oz"] => {
            return Err(
                "ounces of cloth may be per square yard or per linear yard, which differ; \
                        write `oz/yd²`, or `oz per linear yard` with the width, as in \
                        `7 oz per linear yard at 68 in`"
                    .into(),
            );
        }
        ["oz", "per", "yd"] | ["g", "per", "m"] => {
            return Err(format!("may be meant per square or per length of cloth; {ADVICE}"));
        }
        [] => return Err(format!("has no unit; {ADVICE}")),
        _ => return Err(format!("is not a mass of cloth; {ADVICE}")),
    })
}

impl fmt::Debug for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g", self.to_grams())
    }
}

impl fmt::Debug for MassPerArea {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g/m²", self.to_gsm())
    }
}

impl Add for Mass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sum for Mass {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        masses.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn mg(text: &str) -> i64 {
        MassPerArea::parse(text).unwrap_or_else(|error| panic!("{error}")).to_mg_per_m2()
    }

    fn refusal(text: &str) -> String {
        MassPerArea::parse(text).expect_err(text).to_string()
    }

    #[test]
    fn ounces_per_square_yard_follow_the_published_factor() {
        // GNU units 2.22: 28.349523125 g / 0.83612736 m² = 33.9057474749 g/m².
        assert_eq!(mg("1 oz/yd2"), 33_906);
        assert_eq!(mg("100 oz/yd²"), 3_390_575);
        // The same source, to a tenth of a gram: 4 oz = 135.6 g/m², 5 = 169.5, 8 = 271.2,
        // 10 = 339.1, 12 = 406.9, 14 = 474.7.
        let published = [(4, 1356), (5, 1695), (8, 2712), (10, 3391), (12, 4069), (14, 4747)];
        for (ounces, tenths) in published {
            assert_eq!((mg(&format!("{ounces} oz/yd2")) + 50) / 100, tenths, "{ounces} oz");
        }
    }

    #[test]
    fn ounces_per_linear_yard_need_the_width() {
        // undershirtguy.com, worked conversion: 7 oz per linear yard, 68 in wide, is 3.706 oz/yd²
        // or 125.65 g/m².
        let jersey = mg("7 oz per linear yard at 68 in");
        assert_eq!((jersey + 5) / 10, 12_565);
        assert!((MassPerArea(jersey).to_oz_per_yd2() - 3.706).abs() < 5e-4);
        // At 36 in the linear yard is a square yard.
        assert_eq!(mg("7 oz/lin. yd at 36 in wide"), mg("7 oz/yd²"));
        assert_eq!(mg("300 g per linear metre at 150 cm"), 200_000);
    }

    #[test]
    fn numbered_duck_by_its_definition() {
        // Number n weighs 19 − n ounces in a piece of 36 × 22 in (sizes.com "duck"; US National
        // Bureau of Standards): number 8 is 18.00 oz/yd², number 10 14.73, number 12 11.45.
        for (number, hundredths) in [(8, 1800.0_f64), (10, 1473.0), (12, 1145.0)] {
            let text = format!("{} oz per linear yard at 22 in", 19 - number);
            let per_yard = MassPerArea(mg(&text)).to_oz_per_yd2();
            assert!((per_yard * 100.0 - hundredths).abs() < 0.51, "number {number}: {per_yard}");
        }
    }

    #[test]
    fn other_spellings() {
        for text in ["170 gsm", "170 g/m2", "170 g/m²", "170 g/m^2", "170,0 grams per square metre"]
        {
            assert_eq!(mg(text), 170_000, "{text}");
        }
        for text in ["4 1/2 oz/yd²", "4½ oz per sq. yd", "4.5 Ounces / Square Yard"] {
            assert_eq!(mg(text), 152_576, "{text}");
        }
    }

    #[test]
    fn an_unlabelled_ounce_is_refused_and_explained() {
        assert_eq!(
            refusal("7 oz"),
            "`7 oz`: ounces of cloth may be per square yard or per linear yard, which differ; write \
             `oz/yd²`, or `oz per linear yard` with the width, as in `7 oz per linear yard at 68 in`"
        );
        assert!(refusal("7 oz/yd").contains("per square or per length"));
        assert!(refusal("7 oz per linear yard").contains("needs the width"));
        assert!(refusal("7 oz per linear yard at 68").contains("width without its unit"));
        assert!(refusal("7 oz per linear yard at 0 in").contains("width of nothing"));
        assert!(refusal("5 oz/yd² at 68 in").contains("leave it out"));
        assert!(refusal("170").contains("has no unit"));
        assert!(refusal("0 gsm").contains("no mass at all"));
        assert!(refusal("20000 gsm").contains("heavier than any cloth"));
        assert!(refusal("170 kg").contains("is not a mass of cloth"));
    }

    #[test]
    fn the_mass_of_a_piece() {
        // Common practice, no source: a square yard of 10 oz/yd² cloth weighs ten ounces.
        let duck = MassPerArea::parse("10 oz/yd²").unwrap();
        let yard = duck.of(Area::rectangle(Length::YARD, Length::YARD));
        assert_eq!(show_mass(yard, System::Inch), "10.0 oz");
        assert_eq!(show_mass(yard, System::Metric), "283 g");
        assert_eq!(show_mass(yard.times(4), System::Inch), "2 lb 8 oz");
        assert_eq!(show_mass(yard.times(4), System::Metric), "1.13 kg");
        assert_eq!(show_mass(Mass::mg(453_592), System::Inch), "1 lb");
        assert_eq!(show_mass_per_area(duck, System::Inch), "10 oz/yd²");
        assert_eq!(show_mass_per_area(duck, System::Metric), "339 g/m²");
    }

    proptest! {
        #[test]
        fn never_panics(text in any::<String>(), likely in "[0-9.,/ ]{0,12}(oz|g|gsm|yd|m|at|in|2| ){0,9}") {
            for text in [text, likely] {
                if let Ok(mass) = MassPerArea::parse(&text) {
                    prop_assert!(mass.to_mg_per_m2() > 0);
                }
            }
        }

        #[test]
        fn what_is_shown_reads_back(mg in 10_000_i64..2_000_000) {
            let mass = MassPerArea(mg);
            for (system, off) in [(System::Inch, 1_700), (System::Metric, 501)] {
                let read = MassPerArea::parse(&show_mass_per_area(mass, system)).unwrap();
                prop_assert!((read.0 - mg).abs() <= off);
            }
        }
    }
}
