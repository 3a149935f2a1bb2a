//! Reads numbers as people write them, exactly: `4`, `4.5`, `4,5`, `1/2`, `4 1/2`, `4-1/2`, `4½`.
//!
//! The text is first brought to plain characters (`spell_out`), then cut into tokens, from which
//! numbers are taken as fractions of whole numbers. What is wrong is said in a sentence that goes
//! on from the text itself ("`4 in -1`: has a dash where none belongs"), without a full stop.

/// The text to quote in a message: the first sixty characters, control characters as spaces.
pub(crate) fn shorten(text: &str) -> String {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let text = text.trim();
    let mut quoted: String = text.chars().take(60).map(plain).collect();
    if text.chars().nth(60).is_some() {
        quoted.push('…');
    }
    quoted
}

/// Brings typographic characters to plain ones: `4½″` becomes `4 1/2"`.
pub(crate) fn spell_out(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut raised = false;
    for c in text.chars() {
        let was_raised = std::mem::replace(&mut raised, false);
        if let Some(fraction) = vulgar_fraction(c) {
            if !plain.ends_with('-') {
                plain.push(' ');
            }
            plain.push_str(fraction);
        } else if let Some(digit) = "⁰¹²³⁴⁵⁶⁷⁸⁹".chars().position(|raised| raised == c)
        {
            // A raised numerator starts a fraction of its own: `4¹⁄₂` is four and a half.
            if !was_raised && plain.ends_with(|last: char| last.is_ascii_digit()) {
                plain.push(' ');
            }
            raised = true;
            plain.push_str(&digit.to_string());
        } else if let Some(digit) = "₀₁₂₃₄₅₆₇₈₉".chars().position(|lowered| lowered == c)
        {
            plain.push_str(&digit.to_string());
        } else {
            plain.push(match c {
                '⁄' | '∕' | '／' => '/',
                '″' | '”' | '“' | '＂' => '"',
                '′' | '’' | '‘' => '\'',
                '‐' | '‑' | '–' | '—' | '−' => '-',
                c if c.is_whitespace() || c == '\u{200b}' || c == '\u{feff}' => ' ',
                c => c,
            });
        }
    }
    plain.replace("''", "\"")
}

/// A single-character fraction in plain characters.
fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅐' => "1/7",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        '⅑' => "1/9",
        '⅒' => "1/10",
        '⅟' => "1/",
        _ => return None,
    })
}

/// One word of the text, spaces left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Token {
    /// Digits, with points and commas as written.
    Number(String),
    Slash,
    Dash,
    /// A unit, lower case, without a full stop behind it; `'` and `"` are units too.
    Word(String),
}

/// Cuts plain text into tokens; `advice` says what to write instead.
pub(crate) fn tokens(plain: &str, advice: &str) -> Result<Vec<Token>, String> {
    let is_number = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let mut tokens = Vec::new();
    let mut rest = plain.trim();
    while let Some(first) = rest.chars().next() {
        let length = |belongs: fn(char) -> bool| rest.find(|c| !belongs(c)).unwrap_or(rest.len());
        let end = match first {
            '/' | '-' | '\'' | '"' => 1,
            c if is_number(c) => length(|c| c.is_ascii_digit() || c == '.' || c == ','),
            c if c.is_alphabetic() => length(char::is_alphabetic),
            '+' => return Err(format!("leave out the `+`; {advice}")),
            c => return Err(format!("`{c}` does not belong here; {advice}")),
        };
        let (word, behind) = rest.split_at(end);
        tokens.push(match first {
            '/' => Token::Slash,
            '-' => Token::Dash,
            c if is_number(c) => Token::Number(word.to_owned()),
            _ => Token::Word(word.to_lowercase()),
        });
        // The full stop of `in.` belongs to the abbreviation, unless a decimal starts there.
        let after_stop = behind.strip_prefix('.').filter(|after| {
            first.is_alphabetic() && !after.starts_with(|c: char| c.is_ascii_digit())
        });
        rest = after_stop.unwrap_or(behind).trim_start();
    }
    Ok(tokens)
}

/// Reads `4`, `4.5`, `1/2`, `4 1/2` or `4-1/2` from the front: numerator, denominator, the rest.
pub(crate) fn number<'a>(
    tokens: &'a [Token],
    advice: &str,
) -> Result<(i128, i128, &'a [Token]), String> {
    use Token::{Dash, Number, Slash, Word};
    match tokens {
        [Dash, ..] => Err("cannot be negative".into()),
        [Word(word), ..] => {
            Err(format!("has `{}` where a number should be; {advice}", shorten(word)))
        }
        [Slash, ..] => Err("has a fraction without its upper number; write it as in `1/2`".into()),
        [Number(over), Slash, Number(under), rest @ ..] => {
            let (numerator, denominator) = fraction(over, under)?;
            Ok((numerator, denominator, rest))
        }
        [Number(whole), Number(over), Slash, Number(under), rest @ ..]
        | [Number(whole), Dash, Number(over), Slash, Number(under), rest @ ..] => {
            let (numerator, denominator) = fraction(over, under)?;
            if numerator >= denominator {
                let shown = format!("{over}/{under}");
                return Err(format!("`{shown}` behind a whole number should be less than one"));
            }
            Ok((digits(whole)? * denominator + numerator, denominator, rest))
        }
        [Number(_), Slash, ..] => {
            Err("has a fraction without its lower number; write it as in `1/2`".into())
        }
        [Number(_), Dash, ..] => {
            Err("has a dash where none belongs; write a mixed number as in `4 1/2` or `4-1/2`"
                .into())
        }
        [Number(_), Number(_), ..] => {
            Err("has two numbers side by side; write a mixed number as in `4 1/2`".into())
        }
        [Number(number), rest @ ..] => {
            let (numerator, denominator) = decimal(number)?;
            Ok((numerator, denominator, rest))
        }
        [] => Err(format!("has no number; {advice}")),
    }
}

fn fraction(over: &str, under: &str) -> Result<(i128, i128), String> {
    let denominator = digits(under)?;
    if denominator == 0 {
        return Err(format!("`{over}/{under}` divides by zero"));
    }
    Ok((digits(over)?, denominator))
}

/// A whole number of at most nine digits.
pub(crate) fn digits(number: &str) -> Result<i128, String> {
    if !number.chars().all(|c| c.is_ascii_digit()) || number.is_empty() {
        return Err(format!(
            "`{}` stands where a whole number should; use a decimal or a fraction, not both",
            shorten(number)
        ));
    }
    let number = number.trim_start_matches('0');
    if number.len() > 9 {
        return Err("has a number of more than nine digits".into());
    }
    Ok(number.bytes().fold(0, |sum, digit| sum * 10 + i128::from(digit - b'0')))
}

/// A whole number or a decimal, with a point or a comma.
pub(crate) fn decimal(number: &str) -> Result<(i128, i128), String> {
    let Some((whole, places)) = number.split_once(['.', ',']) else {
        return Ok((digits(number)?, 1));
    };
    let shown = shorten(number);
    if places.contains(['.', ',']) {
        return Err(format!("`{shown}` has more than one point or comma; write it as in `1234.5`"));
    }
    let grouped = places.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if number.contains(',') && grouped {
        return Err(format!(
            "`{shown}` may mean {whole}{places} or {whole}.{places}; write one of these"
        ));
    }
    if places.is_empty() {
        return Err(format!("`{shown}` ends in a point; write the number without it, or go on"));
    }
    if places.len() > 9 {
        return Err(format!("`{shown}` has more than nine decimal places; round it"));
    }
    let denominator = places.bytes().fold(1, |power, _| power * 10);
    let whole = if whole.is_empty() { 0 } else { digits(whole)? };
    Ok((whole * denominator + digits(places)?, denominator))
}

/// `numerator / denominator` to the nearest whole number, halves away from zero. The denominator
/// must be positive.
pub(crate) fn rounded(numerator: i128, denominator: i128) -> i128 {
    let (whole, rest) = (numerator / denominator, numerator % denominator);
    // Compared with what is missing, as twice the rest might overflow.
    if rest.abs() >= denominator - rest.abs() { whole + numerator.signum() } else { whole }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn halves_go_away_from_zero() {
        let rounded = [(5, 2), (-5, 2), (7, 3), (-7, 3), (8, 3), (0, 5), (i128::MAX, i128::MAX)]
            .map(|(over, under)| rounded(over, under));
        assert_eq!(rounded, [3, -3, 2, -2, 3, 0, 1]);
    }

    #[test]
    fn typographic_characters_become_plain() {
        assert_eq!(spell_out("4½″"), "4 1/2\"");
        assert_eq!(spell_out("4-½ in"), "4-1/2 in");
        assert_eq!(spell_out("4¹⁄₁₆"), "4 1/16");
        assert_eq!(spell_out("5′\u{a0}2’’"), "5' 2\"");
        assert_eq!(spell_out("170 g/m²"), "170 g/m2");
    }

    #[test]
    fn long_texts_are_quoted_short() {
        assert_eq!(shorten(&"x".repeat(100)), format!("{}…", "x".repeat(60)));
        assert_eq!(shorten(" a\tb\n"), "a b");
    }

    proptest! {
        #[test]
        fn decimals_are_exact(whole in 0_i128..1_000_000, places in 0_i128..1000) {
            let (numerator, denominator) = decimal(&format!("{whole}.{places:03}")).unwrap();
            prop_assert_eq!(numerator * 1000, (whole * 1000 + places) * denominator);
        }
    }
}
