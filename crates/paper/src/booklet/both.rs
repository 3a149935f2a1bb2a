//! An edition for both rulers: whatever the one edition says, with the measures of the other in
//! brackets behind each.
//!
//! Both editions are of the same pieces, told by the same program, so their sentences differ in
//! measures alone; the measures are found as what differs.

use serde_json::Value;

/// Everything that the first says, and behind each measure that of the second. Pictures stay those of
/// the first.
pub(super) fn merged(own: &Value, other: &Value) -> Value {
    match (own, other) {
        (Value::String(own), Value::String(other)) => Value::String(beside(own, other)),
        (Value::Array(own), Value::Array(other)) if own.len() == other.len() => {
            own.iter().zip(other).map(|(own, other)| merged(own, other)).collect()
        }
        (Value::Object(own), Value::Object(other)) => own
            .iter()
            .map(|(key, value)| {
                let pair = other.get(key).filter(|_| !KEPT.contains(&key.as_str()));
                (key.clone(), pair.map_or_else(|| value.clone(), |it| merged(value, it)))
            })
            .collect(),
        _ => own.clone(),
    }
}

/// What is the first edition's alone: files, and what a word stands for.
const KEPT: [&str; 4] = ["file", "paper", "title", "label"];

/// What is no longer than this is a measure and no sentence.
const SHORT: usize = 30;

/// A sentence with the measures of another behind its own.
fn beside(own: &str, other: &str) -> String {
    if own == other {
        return own.to_owned();
    }
    let (own_parts, other_parts) = (parts(own), parts(other));
    let (Some(own_parts), Some(other_parts)) = (own_parts, other_parts) else {
        return own.to_owned();
    };
    if own_parts.len() != other_parts.len() {
        // What is bought is told in other words on the other ruler: both stand side by side.
        let starts = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        let short = own.len() < SHORT && other.len() < SHORT && starts(own) && starts(other);
        return if short { format!("{own} · {other}") } else { own.to_owned() };
    }
    let mut text = String::new();
    for (own, other) in own_parts.iter().zip(&other_parts) {
        match (own, other) {
            (Part::Measure(own), Part::Measure(other)) if own == other => text.push_str(own),
            (Part::Measure(own), Part::Measure(other)) => {
                text.push_str(&format!("{own} ({other})"));
            }
            (Part::Words(own), Part::Words(_)) => text.push_str(own),
            // They tell it differently: the first is the one that is told.
            _ => return whole(&own_parts),
        }
    }
    text
}

fn whole(parts: &[Part<'_>]) -> String {
    parts
        .iter()
        .map(|part| match part {
            Part::Measure(it) | Part::Words(it) => *it,
        })
        .collect()
}

/// A part of a sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part<'a> {
    /// "4 1/2 in", "21 × 17 in", "1.25 m".
    Measure(&'a str),
    /// Whatever is between two of them.
    Words(&'a str),
}

const UNITS: [&str; 12] = ["in", "mm", "cm", "m", "yd", "ft", "L", "ml", "lb", "oz", "kg", "g"];

/// A sentence in its parts, words and measures in turn.
fn parts(text: &str) -> Option<Vec<Part<'_>>> {
    let mut parts = Vec::new();
    let mut from = 0;
    let mut at = 0;
    while at < text.len() {
        let starts =
            text[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric() && c != '.');
        match measure_at(&text[at..]).filter(|_| starts) {
            Some(long) => {
                parts.push(Part::Words(&text[from..at]));
                parts.push(Part::Measure(&text[at..at + long]));
                at += long;
                from = at;
            }
            None => at += text[at..].chars().next()?.len_utf8(),
        }
    }
    parts.push(Part::Words(&text[from..]));
    Some(parts)
}

/// How long the measure is that begins here: numbers, with a fraction or × between them, and a unit.
fn measure_at(text: &str) -> Option<usize> {
    let number = |text: &str| {
        let long =
            text.find(|c: char| !c.is_ascii_digit() && !"./,".contains(c)).unwrap_or(text.len());
        let long = text[..long].trim_end_matches(['.', ',', '/']).len();
        (long > 0 && text.starts_with(|c: char| c.is_ascii_digit())).then_some(long)
    };
    let mut at = number(text)?;
    loop {
        let rest = text[at..].strip_prefix(' ')?;
        if let Some(more) = number(rest) {
            at += 1 + more;
            continue;
        }
        if let Some(after) = rest.strip_prefix("× ") {
            at += 1 + "× ".len() + number(after)?;
            continue;
        }
        let unit = rest.split(|c: char| !c.is_alphabetic()).next().unwrap_or_default();
        return UNITS.contains(&unit).then_some(at + 1 + unit.len());
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn each_measure_has_the_other_behind_it() {
        let cases = [
            (
                "Sew 1/2 in from the edge.",
                "Sew 13 mm from the edge.",
                "Sew 1/2 in (13 mm) from the edge.",
            ),
            (
                "cut 21 × 17 in, twice",
                "cut 533 × 432 mm, twice",
                "cut 21 × 17 in (533 × 432 mm), twice",
            ),
            ("Buy 1 3/8 yd.", "Buy 1.25 m.", "Buy 1 3/8 yd (1.25 m)."),
            ("Pin both sides.", "Pin both sides.", "Pin both sides."),
            ("3 pieces, 4 in", "3 pieces, 102 mm", "3 pieces, 4 in (102 mm)"),
            ("It is 4 in.", "Nothing is said.", "It is 4 in."),
            ("1/4 yd (9 in)", "0.25 m", "1/4 yd (9 in) · 0.25 m"),
        ];
        for (own, other, both) in cases {
            assert_eq!(beside(own, other), both);
        }
    }

    #[test]
    fn files_and_numbers_stay() {
        let own = json!({ "file": "a 4 in", "steps": [{ "text": "4 in", "number": 1 }] });
        let other = json!({ "file": "a 102 mm", "steps": [{ "text": "102 mm", "number": 1 }] });
        let both = json!({ "file": "a 4 in", "steps": [{ "text": "4 in (102 mm)", "number": 1 }] });
        assert_eq!(merged(&own, &other), both);
    }
}
