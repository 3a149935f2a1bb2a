//! Reads a length as people write it: `4 1/2 in`, `4½"`, `11,4 cm`, `5' 2"`, `1 7/8 yards`.
//!
//! The arithmetic is in whole numbers throughout. The text is cut into tokens and read as one or
//! more parts, a number and its unit each.

use std::error::Error;
use std::fmt;

use crate::number::{Token, number, rounded, shorten, spell_out, tokens};
use crate::{Length, Units};

/// The longest length accepted, 100 m: a whole bolt, and far below what could overflow.
const LONGEST: Length = Length::mm(100_000);

/// What is accepted as a unit, with the one spelling that messages use, the longest unit first.
const UNITS: [(&str, Length, &[&str]); 6] = [
    ("m", Length::mm(1000), &["m", "metre", "metres", "meter", "meters"]),
    ("yd", Length::YARD, &["yd", "yds", "yard", "yards"]),
    ("ft", Length::inch(12), &["ft", "foot", "feet", "'"]),
    ("in", Length::INCH, &["in", "ins", "inch", "inches", "\""]),
    ("cm", Length::mm(10), &["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
    ("mm", Length::MM, &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
];

/// What to write instead, the end of most messages.
const ADVICE: &str = "write in, cm, mm, yd, ft or m, as in `4 1/2 in`";

/// Why a text is not a length. Shown, it names the text and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LengthError {
    text: String,
    reason: String,
}

impl LengthError {
    fn new(text: &str, reason: impl Into<String>) -> Self {
        Self { text: shorten(text), reason: reason.into() }
    }

    /// The text that was read (cut short when it is very long).
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What is wrong and what would be right, without the text itself.
    pub fn reason(&self) -> &str {
        &self.reason
    }
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`: {}", self.text, self.reason)
    }
}

impl Error for LengthError {}

/// Reads a length; a number without a unit is taken in `default`.
///
/// Accepted are whole numbers, decimals (point or comma, up to 9 places), fractions and mixed
/// numbers (`4 1/2`, `4-1/2`, `4½`), and compounds such as `5' 2"` or `1 yd 4 in`. The result is
/// exact where the value is a whole number of nanometres and otherwise the nearest nanometre,
/// halves away from zero.
///
/// # Errors
/// Anything else: no number, a negative or ambiguous one (`1,234`), a zero denominator, an unknown
/// unit, or a length above 100 m.
pub fn parse_length(text: &str, default: Units) -> Result<Length, LengthError> {
    let fail = |reason: String| LengthError::new(text, reason);
    let tokens = tokens(&spell_out(text), ADVICE).map_err(fail)?;
    let parts = parts(&tokens).map_err(fail)?;
    let length = total(&parts, default).map_err(fail)?;
    if length > LONGEST {
        return Err(fail("is longer than 100 m, the longest length accepted".into()));
    }
    Ok(length)
}

/// A number as an exact fraction, and the unit behind it.
struct Part {
    numerator: i128,
    denominator: i128,
    unit: Option<(&'static str, Length)>,
}

fn parts(tokens: &[Token]) -> Result<Vec<Part>, String> {
    let mut rest = tokens;
    let mut parts = Vec::new();
    while !rest.is_empty() {
        let (numerator, denominator, behind) = number(rest, ADVICE)?;
        let (unit, behind) = match behind {
            [Token::Word(word), Token::Number(_) | Token::Dash, ..] if word == "e" => {
                return Err("write the number out, without an exponent".into());
            }
            [Token::Word(word), behind @ ..] => (Some(unit(word)?), behind),
            behind => (None, behind),
        };
        parts.push(Part { numerator, denominator, unit });
        rest = behind;
    }
    if parts.is_empty() {
        return Err(format!("has no number; {ADVICE}"));
    }
    Ok(parts)
}

fn unit(word: &str) -> Result<(&'static str, Length), String> {
    if let Some(&(name, length, _)) = UNITS.iter().find(|unit| unit.2.contains(&word)) {
        return Ok((name, length));
    }
    let shown = shorten(word);
    // Far-off or very long words get no guess.
    let reach = if word.chars().count() <= 3 { 1 } else { 2 };
    let nearest = UNITS
        .iter()
        .flat_map(|&(name, _, spellings)| spellings.iter().map(move |spelling| (name, *spelling)))
        .filter(|(_, spelling)| spelling.len() > 1 && word.len() <= 20)
        .map(|(name, spelling)| (strsim::osa_distance(word, spelling), name))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, _)| *distance <= reach);
    Err(match nearest {
        Some((_, name)) => {
            format!("`{shown}` is not a unit; did you mean `{name}`? Otherwise {ADVICE}")
        }
        None => format!("`{shown}` is not a unit; {ADVICE}"),
    })
}

/// Adds the parts up, from the longest unit to the shortest.
fn total(parts: &[Part], default: Units) -> Result<Length, String> {
    let mut total = Length::ZERO;
    let mut previous: Option<(&str, Length)> = None;
    for (index, part) in parts.iter().enumerate() {
        let is_last = index + 1 == parts.len();
        let unit = match part.unit {
            Some(unit) => unit,
            None if parts.len() == 1 => (default.symbol(), default.length()),
            None => return Err(format!("has a number without its unit; {ADVICE}")),
        };
        if let Some((before, longer)) = previous {
            let same_system = (longer.to_nm() % Length::INCH.to_nm() == 0)
                == (unit.1.to_nm() % Length::INCH.to_nm() == 0);
            if unit.1 >= longer || !same_system {
                let name = unit.0;
                return Err(format!(
                    "has {name} behind {before}; write one length, as in `62 in` or `5 ft 2 in`"
                ));
            }
        }
        if !is_last && part.denominator != 1 {
            return Err("only the last number of a length in two units may have a fraction".into());
        }
        total += scaled(part.numerator, part.denominator, unit.1)?;
        previous = Some(unit);
    }
    Ok(total)
}

/// `numerator / denominator` of `unit`, to the nearest nanometre, halves away from zero.
fn scaled(numerator: i128, denominator: i128, unit: Length) -> Result<Length, String> {
    // Numerators stay below 10^19 and denominators below 10^10, so nothing here overflows.
    let nm = rounded(numerator * i128::from(unit.to_nm()), denominator);
    if nm > i128::from(LONGEST.to_nm()) {
        return Err("is longer than 100 m, the longest length accepted".into());
    }
    i64::try_from(nm).map(Length::nm).map_err(|_| "is far too long".into())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::System;

    #[track_caller]
    fn reads(text: &str, default: Units, nm: i64) {
        assert_eq!(parse_length(text, default).map(Length::to_nm), Ok(nm), "{text}");
    }

    #[track_caller]
    fn refuses(text: &str, reason: &str) {
        let error = parse_length(text, Units::Inch).expect_err(text).to_string();
        assert_eq!(error, reason);
    }

    #[test]
    fn every_spelling_of_four_and_a_half_inches() {
        // 4 1/2 in = 114.3 mm (GNU units 2.22).
        for text in [
            "4 1/2 in",
            "4½\"",
            "4½",
            "4.5in",
            "4-1/2\"",
            "4 1/2",
            "4 ½ inches",
            "4 1⁄2 in",
            "4½″",
            "4\u{a0}1/2\u{202f}in.",
            " 4 1/2  IN ",
            "4,5 in",
            "4-½”",
            "4¹⁄₂ in",
            "9/2 in",
            "4½''",
            "4.50 Inch",
            "04 2/4 in",
            "4 – 1/2 in",
        ] {
            reads(text, Units::Inch, 114_300_000);
        }
    }

    #[test]
    fn other_units_compounds_and_defaults() {
        for (text, nm) in [
            ("11.4 cm", 114_000_000),
            ("11,4 cm", 114_000_000),
            ("114 mm", 114_000_000),
            ("0.114 m", 114_000_000),
            ("0,114 m", 114_000_000),
            ("2 ft", 609_600_000),
            ("2'", 609_600_000),
            ("5' 2\"", 1_574_800_000),
            ("5′2″", 1_574_800_000),
            ("5ft 2 1/2in", 1_587_500_000),
            ("1 yd 4 in", 1_016_000_000),
            ("1 m 20 cm", 1_200_000_000),
            (".5 in", 12_700_000),
            ("⅟16 in", 1_587_500),
            ("0 in", 0),
            ("1.234 m", 1_234_000_000),
            ("100 m", 100_000_000_000),
        ] {
            reads(text, Units::Inch, nm);
        }
        reads("11,4", Units::Cm, 114_000_000);
        reads("114", Units::Mm, 114_000_000);
        reads("1/2", Units::Cm, 5_000_000);
    }

    #[test]
    fn fractions_of_a_yard_agree_with_published_inches() {
        // quiltingboard.com tutorial 280955 and scissortailquilting.com, inches per yard fraction.
        for (yards, inches) in [
            ("1/8", "4.5"),
            ("1/4", "9"),
            ("1/3", "12"),
            ("3/8", "13.5"),
            ("1/2", "18"),
            ("5/8", "22.5"),
            ("2/3", "24"),
            ("3/4", "27"),
            ("7/8", "31.5"),
            ("1", "36"),
            ("1 7/8", "67 1/2"),
        ] {
            let yards = parse_length(&format!("{yards} yd"), Units::Inch);
            assert_eq!(yards, parse_length(inches, Units::Inch));
            assert!(yards.is_ok());
        }
    }

    #[test]
    fn what_is_no_whole_nanometre_goes_to_the_nearest() {
        reads("1/3 in", Units::Inch, 8_466_667);
        reads("0.0000005 mm", Units::Inch, 1);
        reads("0.0000004 mm", Units::Inch, 0);
    }

    #[test]
    fn refusals_show_the_text_and_what_would_be_right() {
        refuses(
            "4 1/2 incs",
            "`4 1/2 incs`: `incs` is not a unit; did you mean `in`? Otherwise write in, cm, mm, yd, \
             ft or m, as in `4 1/2 in`",
        );
        refuses(
            "4 furlongs",
            "`4 furlongs`: `furlongs` is not a unit; write in, cm, mm, yd, ft or m, as in `4 1/2 in`",
        );
        refuses("", "``: has no number; write in, cm, mm, yd, ft or m, as in `4 1/2 in`");
        refuses("-4 in", "`-4 in`: cannot be negative");
        refuses("4 1/0 in", "`4 1/0 in`: `1/0` divides by zero");
        refuses("1,234 mm", "`1,234 mm`: `1,234` may mean 1234 or 1.234; write one of these");
        refuses("101 m", "`101 m`: is longer than 100 m, the longest length accepted");
        refuses("1e3 mm", "`1e3 mm`: write the number out, without an exponent");
        refuses(
            "NaN",
            "`NaN`: has `nan` where a number should be; write in, cm, mm, yd, ft or m, as in \
             `4 1/2 in`",
        );
        refuses(
            "4 in 5 cm",
            "`4 in 5 cm`: has cm behind in; write one length, as in `62 in` or `5 ft 2 in`",
        );
    }

    #[test]
    fn whatever_is_not_a_length_is_refused() {
        for text in [
            "inf",
            "4 4 in",
            "4.5 1/2 in",
            "1/2/3",
            "1//2",
            "4 9/2",
            "4-",
            "4.",
            ".",
            "1.2.3",
            "1,234.5",
            "5' 2",
            "2 in 5 ft",
            "1/2 ft 2 in",
            "4 in x 5 in",
            "4%",
            "½½",
            "99999999999 mm",
            "/2",
            "0.1234567890 in",
            "4 -",
            "4 in -1",
            "+4",
            "1 yd 1 yd",
            "٤ in",
        ] {
            let error = parse_length(text, Units::Inch);
            assert!(error.is_err(), "{text} was read as {error:?}");
        }
    }

    proptest! {
        #[test]
        fn never_panics(text in any::<String>(), likely in "[0-9./,½ '\"inchmydft⅟¹₂e+-]{0,24}") {
            for text in [text, likely] {
                if let Ok(length) = parse_length(&text, Units::Cm) {
                    prop_assert!(length >= Length::ZERO && length <= LONGEST);
                }
            }
        }

        #[test]
        fn mixed_numbers_are_exact(whole in 0_i64..1000, over in 0_i64..64) {
            let text = format!("{whole} {over}/64");
            prop_assert_eq!(
                parse_length(&text, Units::Inch),
                Ok(Length::inch_frac(whole * 64 + over, 64))
            );
        }

        #[test]
        fn printing_then_parsing_returns_the_same(steps in 0_i64..100_000, whole_mm in 0_i64..90_000) {
            let length = Length::inch_frac(steps % 50_000, 16);
            let shown = crate::show_length(length, System::Inch);
            prop_assert_eq!(parse_length(&shown, Units::Mm), Ok(length));
            let length = Length::mm(whole_mm);
            let shown = crate::show_length(length, System::Metric);
            prop_assert_eq!(parse_length(&shown, Units::Inch), Ok(length));
        }
    }
}
