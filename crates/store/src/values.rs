//! One value of a design file, read as its parameter asks, and the words for what it may be.

use bag::kinds::{Param, Quantity, Value};
use measure::{Length, MassPerArea, Rounding, Ruler, Style, Units, fits, parse_length};
use toml::de::DeValue;

use crate::nearest;

/// The most characters of a free text.
const LONGEST_TEXT: usize = 200;

/// What is wrong with a value, and what would be right.
pub(crate) struct Fault {
    pub(crate) message: String,
    pub(crate) hint: String,
}

/// Reads the value of `param`. Without `units` (the file gives none that is known) a number
/// without a unit is not held against its range.
///
/// # Errors
/// What is wrong with it and what would be right.
pub(crate) fn read(
    units: Option<Units>,
    param: &Param,
    value: &DeValue<'_>,
) -> Result<Value, Fault> {
    let fault = |message: String| {
        let hint = format!("`{}` takes {}", param.key, range(param, units.unwrap_or(Units::Inch)));
        Fault { message, hint }
    };
    let wrong_type =
        || fault(format!("`{}` should be {}, not {}", param.key, sort(param), found(value)));
    match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            let text = number_or_text(value).ok_or_else(wrong_type)?;
            let length = parse_length(text, units.unwrap_or(Units::Inch))
                .map_err(|error| fault(error.to_string()))?;
            let is_known = units.is_some() || text.chars().any(char::is_alphabetic);
            if is_known && !(least..=most).contains(&length) {
                let much = if length < least { "little" } else { "much" };
                return Err(fault(format!("`{}` is too {much} for `{}`", text.trim(), param.key)));
            }
            Ok(Value::Length(length))
        }
        Quantity::Count { least, most, .. } => {
            let DeValue::Integer(number) = value else { return Err(wrong_type()) };
            let count = plain_number(number.as_str()).parse().ok();
            let count =
                count.filter(|count| number.radix() == 10 && (least..=most).contains(count));
            let count = count.ok_or_else(|| {
                fault(format!("`{number}` is not among the numbers that `{}` takes", param.key))
            })?;
            Ok(Value::Count(count))
        }
        Quantity::Choice { .. } | Quantity::Thing { .. } => {
            let DeValue::String(word) = value else { return Err(wrong_type()) };
            let words = words(param).into_iter().map(|(word, _)| word);
            match words.clone().find(|known| known == word) {
                Some(word) => Ok(Value::Choice(word)),
                None => {
                    let hint = nearest::hint(word, words, &format!("`{}` is one of", param.key));
                    let message = format!("`{}` has no choice `{}`", param.key, shown(word));
                    Err(Fault { message, hint })
                }
            }
        }
        Quantity::Flag { .. } => match value {
            DeValue::Boolean(flag) => Ok(Value::Flag(*flag)),
            _ => Err(wrong_type()),
        },
        Quantity::Text { .. } => {
            let DeValue::String(text) = value else { return Err(wrong_type()) };
            clean_text(text, LONGEST_TEXT).map(Value::Text).map_err(fault)
        }
        Quantity::Percent { most, .. } => {
            let text = number_or_text(value).ok_or_else(wrong_type)?;
            let share =
                percent(text).map_err(|reason| fault(format!("`{}` {reason}", shown(text))))?;
            if share > most {
                return Err(fault(format!("`{}` is too much for `{}`", shown(text), param.key)));
            }
            Ok(Value::Percent(share))
        }
        Quantity::Weight => {
            let DeValue::String(text) = value else { return Err(wrong_type()) };
            MassPerArea::parse(text).map(Value::Weight).map_err(|error| fault(error.to_string()))
        }
    }
}

/// A number as the file spells it, or a string: both are read by the same rules, so that `4.1` is
/// exactly 4.1.
fn number_or_text<'a>(value: &'a DeValue<'_>) -> Option<&'a str> {
    match value {
        DeValue::Integer(number) if number.radix() == 10 => Some(plain_number(number.as_str())),
        DeValue::Float(number) => Some(plain_number(number.as_str())),
        DeValue::String(text) => Some(text),
        _ => None,
    }
}

/// TOML lets a number start with a plus sign.
pub(crate) fn plain_number(text: &str) -> &str {
    text.strip_prefix('+').unwrap_or(text)
}

/// Hundredths of a percent from `3`, `2.5` or `2.5 %`.
fn percent(text: &str) -> Result<u32, &'static str> {
    const ADVICE: &str = "is no share; write a percentage with at most two decimals, as in `2.5`";
    let number = text.trim();
    let number = number.strip_suffix('%').unwrap_or(number).trim_end();
    let (whole, decimals) = number.split_once('.').unwrap_or((number, "0"));
    let all_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !all_digits(whole) || !all_digits(decimals) || decimals.len() > 2 || whole.len() > 4 {
        return Err(ADVICE);
    }
    format!("{whole}{decimals:0<2}").parse().map_err(|_| ADVICE)
}

/// A text of one line without control characters; line ends become spaces.
///
/// # Errors
/// When it is longer than `longest`, or holds a control character.
pub(crate) fn clean_text(text: &str, longest: usize) -> Result<String, String> {
    let text = text.trim().replace("\r\n", " ").replace('\n', " ");
    let length = text.chars().count();
    if length > longest {
        return Err(format!("the text has {length} characters; at most {longest} are taken"));
    }
    if let Some(c) = text.chars().find(|c| c.is_control()) {
        return Err(format!("the text holds the control character U+{:04X}", u32::from(c)));
    }
    Ok(text)
}

/// What sort of value a parameter takes, for "should be …".
fn sort(param: &Param) -> &'static str {
    match param.quantity {
        Quantity::Length { .. } | Quantity::OptionalLength { .. } => "a length",
        Quantity::Count { .. } => "a whole number",
        Quantity::Choice { .. } | Quantity::Thing { .. } => "a word in quotes",
        Quantity::Flag { .. } => "true or false without quotes",
        Quantity::Text { .. } => "a text in quotes",
        Quantity::Percent { .. } => "a percentage",
        Quantity::Weight => "a text in quotes",
    }
}

/// What a value is instead, for "…, not …".
pub(crate) fn found(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text in quotes",
        DeValue::Integer(number) if number.radix() != 10 => "a number that is not decimal",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with decimals",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// What a parameter takes, with its range in the unit of the design.
pub(crate) fn range(param: &Param, units: Units) -> String {
    match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            format!("a length from {}", range_shown(least, most, units))
        }
        Quantity::Count { least, most, .. } => format!("a whole number from {least} to {most}"),
        Quantity::Choice { .. } | Quantity::Thing { .. } => {
            format!("one of {}", nearest::list(words(param).into_iter().map(|(word, _)| word)))
        }
        Quantity::Flag { .. } => "true or false".to_owned(),
        Quantity::Text { .. } => format!("a text of at most {LONGEST_TEXT} characters"),
        Quantity::Percent { most, .. } => format!("a percentage from 0 to {}", percent_shown(most)),
        Quantity::Weight => "a weight for an area, as in `8 oz/yd²` or `270 g/m²`".to_owned(),
    }
}

/// The words that a parameter chooses from, each with its meaning; none for other parameters.
pub(crate) fn words(param: &Param) -> Vec<(&'static str, String)> {
    match param.quantity {
        Quantity::Choice { options, .. } => {
            options.iter().map(|(word, meaning)| (*word, (*meaning).to_owned())).collect()
        }
        Quantity::Thing { .. } => fits().iter().map(|fit| (fit.id, fit.title.to_owned())).collect(),
        _ => Vec::new(),
    }
}

/// Both ends of a range of lengths, rounded inwards, so that what is shown is itself allowed.
pub(crate) fn range_shown(least: Length, most: Length, units: Units) -> String {
    // A range that starts within 2 mm is that of a stitch or a thickness, which everyone measures
    // in millimetres and tenths.
    let is_fine = least.is_positive() && least < Length::mm(2);
    let ruler = match units {
        _ if is_fine => Ruler::new(Length::nm(100_000), Style::Mm),
        Units::Inch => Ruler::SIXTEENTH_INCH,
        Units::Cm => Ruler::MM.with_style(Style::Cm),
        Units::Mm => Ruler::MM,
    };
    let [least, most] =
        [(least, Rounding::Up), (most, Rounding::Down)].map(|(end, way)| ruler.round(end, way));
    format!("{} to {}", ruler.show(least), ruler.show(most))
}

/// Hundredths of a percent as a person writes them, without the sign.
pub(crate) fn percent_shown(share: u32) -> String {
    match (share / 100, share % 100) {
        (whole, 0) => whole.to_string(),
        (whole, part) if part % 10 == 0 => format!("{whole}.{}", part / 10),
        (whole, part) => format!("{whole}.{part:02}"),
    }
}

/// A piece of the file's text inside a message.
pub(crate) fn shown(text: &str) -> String {
    let mut shown: String =
        text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(40).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_are_exact() {
        for (text, expected) in [("3", 300), ("2.5", 250), ("2.05 %", 205), ("0", 0), ("25%", 2500)]
        {
            assert_eq!(percent(text), Ok(expected), "{text}");
            let again = percent(&percent_shown(expected));
            assert_eq!(again, Ok(expected));
        }
        for text in ["", "-1", "1.234", "a", "%", "1.", ".5", "99999", "1e2", "٣"] {
            assert!(percent(text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_range_shown_lies_within_the_range() {
        let (fine, usual) = (Length::nm(250_000), Length::mm(3));
        for (least, units, expected) in [
            (usual, Units::Inch, "1/8 in to 1 9/16 in"),
            (usual, Units::Cm, "0.3 cm to 4 cm"),
            (usual, Units::Mm, "3 mm to 40 mm"),
            (Length::ZERO, Units::Inch, "0 in to 1 9/16 in"),
            (fine, Units::Inch, "0.3 mm to 40 mm"),
            (fine, Units::Cm, "0.3 mm to 40 mm"),
        ] {
            let most = Length::mm(40);
            let shown = range_shown(least, most, units);
            assert_eq!(shown, expected);
            for text in shown.split(" to ") {
                let length = parse_length(text, units).expect("it is a length");
                assert!((least..=most).contains(&length), "{text}");
            }
        }
    }

    #[test]
    fn texts_are_one_clean_line() {
        assert_eq!(clean_text(" a\nb ", 10), Ok("a b".to_owned()));
        assert!(clean_text("a\u{7}b", 10).is_err_and(|e| e.ends_with("U+0007")));
        assert!(clean_text("abcd", 3).is_err_and(|e| e.contains("4 characters")));
    }
}
