//! One value as a person types it into a field, by the same rules as a design file, and the words
//! that a form needs around it.

use bag::kinds::{Param, Quantity, Value};
use measure::Units;
use toml::de::DeValue;

use crate::values;
use crate::write::literal;

/// Why a typed value is not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong, one sentence.
    pub message: String,
    /// What would be right; may be empty.
    pub hint: String,
}

/// Reads what was typed for a parameter: `4 1/2`, `11.4cm`, `3 %`, a word of its list, `yes`. An
/// empty field leaves out a length that may be left out.
///
/// # Errors
/// What is wrong with it and what would be right.
pub fn typed_value(param: &Param, typed: &str, units: Units) -> Result<Value, Refused> {
    let typed = typed.trim();
    let refused = |message: String| {
        let hint = format!("it takes {}", values::range(param, units));
        Refused { message, hint }
    };
    match param.quantity {
        Quantity::OptionalLength { .. } | Quantity::Weight if typed.is_empty() => {
            return Ok(Value::Absent);
        }
        Quantity::Flag { .. } => {
            return match typed {
                "yes" | "true" | "on" => Ok(Value::Flag(true)),
                "no" | "false" | "off" | "" => Ok(Value::Flag(false)),
                _ => Err(refused(format!("“{typed}” is neither yes nor no"))),
            };
        }
        Quantity::Count { least, most, .. } => {
            let is_count = typed.bytes().all(|byte| byte.is_ascii_digit());
            let count = typed.parse().ok().filter(|count| (least..=most).contains(count));
            return count.filter(|_| is_count).map(Value::Count).ok_or_else(|| {
                refused(format!("“{}” is not among the numbers it takes", values::shown(typed)))
            });
        }
        _ if typed.is_empty() && !matches!(param.quantity, Quantity::Text { .. }) => {
            return Err(refused("the field is empty".to_owned()));
        }
        _ => {}
    }
    values::read(Some(units), param, &DeValue::String(typed.into()))
        .map_err(|fault| Refused { message: fault.message, hint: fault.hint })
}

/// A value as a person would type it; empty for a length that is left out.
pub fn shown_value(value: &Value, units: Units) -> String {
    match value {
        Value::Text(text) => text.clone(),
        Value::Choice(word) => (*word).to_owned(),
        Value::Flag(true) => "yes".to_owned(),
        Value::Flag(false) => "no".to_owned(),
        value => literal(value, units).unwrap_or_default().trim_matches('"').to_owned(),
    }
}

/// What a parameter takes, with its range in the unit of the design: "a length from 2 in to 40 in".
pub fn value_range(param: &Param, units: Units) -> String {
    values::range(param, units)
}

/// The words that a parameter chooses from, each with its meaning; none for other parameters.
pub fn value_words(param: &Param) -> Vec<(&'static str, String)> {
    values::words(param)
}

#[cfg(test)]
mod tests {
    use super::*;
    use bag::kinds::{choice, length, optional};
    use measure::Length;

    const WIDTH: Param = length(
        "width",
        "width",
        "",
        [Length::inch(1), Length::inch(40), Length::inch(9), Length::mm(200)],
    );

    #[test]
    fn lengths_are_taken_as_she_types_them_and_shown_so_again() {
        for (typed, length, shown) in [
            ("4 1/2", Length::inch_frac(9, 2), "4 1/2"),
            (" 4½\" ", Length::inch_frac(9, 2), "4 1/2"),
            ("11.4cm", Length::mm(114), "114 mm"),
            ("12", Length::inch(12), "12"),
        ] {
            let value = typed_value(&WIDTH, typed, Units::Inch).expect("it is a length");
            assert_eq!(value, Value::Length(length), "{typed}");
            assert_eq!(shown_value(&value, Units::Inch), shown);
        }
    }

    #[test]
    fn what_is_not_taken_says_why_and_what_would_be() {
        let refused = |typed| typed_value(&WIDTH, typed, Units::Inch).expect_err("it is wrong");
        assert!(refused("").message.contains("empty"));
        assert!(refused("50").message.contains("too much"));
        assert!(refused("50").hint.contains("1 in to 40 in"), "{:?}", refused("50"));
        assert!(refused("wide").hint.contains("a length"));
    }

    #[test]
    fn the_other_sorts_of_values() {
        let units = Units::Cm;
        let top = choice("top", "top", "", &[("hem", "folded"), ("lined", "with a lining")]);
        assert_eq!(typed_value(&top, "lined", units), Ok(Value::Choice("lined")));
        assert!(typed_value(&top, "lines", units).is_err());
        let ease = optional("usable", "usable", "", [Length::mm(1), Length::mm(900)]);
        assert_eq!(typed_value(&ease, " ", units), Ok(Value::Absent));
        let count = Param { quantity: Quantity::Count { least: 1, most: 4, default: 1 }, ..ease };
        assert_eq!(typed_value(&count, "3", units), Ok(Value::Count(3)));
        for wrong in ["", "+3", "0", "5", "x", "99999999999"] {
            assert!(typed_value(&count, wrong, units).is_err(), "{wrong}");
        }
        let flag = Param { quantity: Quantity::Flag { default: false }, ..ease };
        assert_eq!(typed_value(&flag, "yes", units), Ok(Value::Flag(true)));
        let share = Param { quantity: Quantity::Percent { most: 2500, default: 0 }, ..ease };
        assert_eq!(typed_value(&share, "2.5 %", units), Ok(Value::Percent(250)));
    }
}
