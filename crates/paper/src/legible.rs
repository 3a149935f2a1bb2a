//! Text that every face can show. A title may hold any letter of the world; what the typeface lacks
//! would be printed as an empty box (and is forbidden in accessible PDF), so it is spelled otherwise.

use serde_json::Value;

use crate::fonts::has_glyph;

/// How characters that the typeface lacks are spelled with those that it has.
const SPELLINGS: [(char, &str); 16] = [
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('→', "–"),
    ('←', "–"),
    ('′', "'"),
    ('″', "\""),
    ('☐', "[ ]"),
    ('☑', "[x]"),
    ('✓', "yes"),
    ('\u{2009}', " "),
    ('\u{200b}', ""),
    ('\u{2011}', "-"),
];

/// `text` with every character that some face lacks spelled otherwise, or as a question mark where
/// there is no other spelling. Line breaks and tabs become spaces.
pub(crate) fn legible(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter.is_whitespace() && letter != '\u{a0}' {
            out.push(' ');
        } else if has_glyph(letter) {
            out.push(letter);
        } else if let Some((_, spelling)) = SPELLINGS.iter().find(|(lacking, _)| *lacking == letter)
        {
            out.push_str(spelling);
        } else if !letter.is_control() {
            out.push('?');
        }
    }
    out
}

/// Spells every text so that the typeface can show it.
pub(crate) fn make_legible(value: &mut Value) {
    match value {
        Value::String(text) => *text = legible(text),
        Value::Array(items) => items.iter_mut().for_each(make_legible),
        Value::Object(fields) => fields.values_mut().for_each(make_legible),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_typeface_has_stays() {
        let text = "Café “Ærø” – 4 1/2 × 17½ in, 30 °C, 14.7 L · niño ß";
        assert_eq!(legible(text), text);
    }

    #[test]
    fn what_it_lacks_is_spelled_otherwise() {
        assert_eq!(legible("⅞ in → 鞄\n☐\u{7}"), "7/8 in – ? [ ]");
        for (_, spelling) in SPELLINGS {
            assert!(spelling.chars().all(has_glyph), "{spelling}");
        }
    }
}
