//! The outermost layer of a file: its size and its TOML, with problems told in words that help a
//! person who does not know TOML.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, Error};

use crate::problem::{Problem, Source};

/// The largest file that is read, in bytes; a design has a few thousand.
const LARGEST: usize = 1_000_000;

/// The most problems with the TOML itself that are told at once: one slip may cause many.
const MOST: usize = 8;

/// The tables of the file, with the problems that do not keep the rest from being read: values
/// that lack their quotes.
///
/// # Errors
/// When the file is too large, or its TOML cannot be followed.
pub(crate) fn parse(
    source: Source<'_>,
) -> Result<(Spanned<DeTable<'_>>, Vec<Problem>), Vec<Problem>> {
    if source.text.len() > LARGEST {
        let message = format!("the file has {} bytes", source.text.len());
        let hint = format!("a design file has at most {LARGEST}; is this the right file?");
        return Err(vec![source.problem(0..0, message, hint)]);
    }
    let (tables, errors) = DeTable::parse_recoverable(source.text);
    let bare = |error: &Error| bare_value(source, error.span().unwrap_or_default().start);
    let is_minor = errors.iter().all(|error| bare(error).is_some());
    let problems = errors.iter().take(MOST).map(|error| match bare(error) {
        Some(span) => unquoted(source, span),
        None => other(source, error),
    });
    let mut problems: Vec<Problem> = problems.collect();
    problems.sort_by_key(|problem| (problem.line, problem.column));
    if is_minor { Ok((tables, problems)) } else { Err(problems) }
}

/// The value on the line of `at`, when the line is a key with a value that starts as no TOML
/// value with brackets or quotes does. Whatever is wrong there, quotes are what it lacks.
fn bare_value(source: Source<'_>, at: usize) -> Option<Range<usize>> {
    let start = source.text.get(..at)?.rfind('\n').map_or(0, |newline| newline + 1);
    let line = source.text[start..].split(['\n', '\r']).next()?;
    let (key, value) = line.split_once('=')?;
    let is_key = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    if key.trim().is_empty() || !key.trim().chars().all(is_key) {
        return None;
    }
    let value = value.split('#').next()?;
    if value.trim().is_empty() || value.trim_start().starts_with(['"', '\'', '[', '{']) {
        return None;
    }
    let indent = value.len() - value.trim_start().len();
    let start = start + key.len() + 1 + indent;
    (at >= start).then(|| start..start + value.trim().len())
}

/// The problem of a value without quotes that needs them.
fn unquoted(source: Source<'_>, span: Range<usize>) -> Problem {
    let text = source.slice(span.clone());
    let hint = match text.to_lowercase().as_str() {
        "yes" | "true" | "on" => "write `true` for yes".to_owned(),
        "no" | "false" | "off" => "write `false` for no".to_owned(),
        // A quote inside is the sign for inches; single quotes around keep it as it is.
        _ if text.contains('"') => format!("put it in quotes: '{text}'"),
        _ => format!("put it in quotes: \"{text}\""),
    };
    source.problem(span, "a value that is no plain number stands in quotes", hint)
}

/// Any other problem with the TOML.
fn other(source: Source<'_>, error: &Error) -> Problem {
    let span = error.span().unwrap_or_default();
    let message = error.message();
    if message.starts_with("duplicate key") {
        let message = format!("`{}` is given twice", source.slice(span.clone()));
        return source.problem(span, message, "leave one of them out");
    }
    let before = source.text.get(..span.start).unwrap_or_default();
    if before.trim_end_matches(' ').ends_with('=') && source.slice(span.clone()).is_empty() {
        let hint = "write the value behind the `=`, or leave the line out";
        return source.problem(span, "this key has no value", hint);
    }
    let hint = "each line is `key = value`, `[section]` or `# a remark`; words stand in quotes";
    source.problem(span, format!("the file cannot be read here: {message}"), hint)
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::{Expect, expect};

    fn check(text: &str, expected: Expect) {
        let source = Source { file: "a.toml", text };
        let problems = match parse(source) {
            Ok((_, problems)) | Err(problems) => problems,
        };
        let shown: Vec<String> = problems.iter().map(ToString::to_string).collect();
        expected.assert_eq(&shown.join("\n"));
    }

    #[test]
    fn a_fraction_without_quotes_is_explained_and_hides_nothing() {
        let text =
            "width = 4 1/2 # in\nheight = 12in\nbase = 5\"\nkind = boxed\nx = yes\ny = 4,5\nz = .5";
        let source = Source { file: "a.toml", text };
        assert!(parse(source).is_ok());
        check(
            text,
            expect![[r#"
                a.toml:1:9: a value that is no plain number stands in quotes
                  1 | width = 4 1/2 # in
                    |         ^^^^^
                    = put it in quotes: "4 1/2"
                a.toml:2:10: a value that is no plain number stands in quotes
                  2 | height = 12in
                    |          ^^^^
                    = put it in quotes: "12in"
                a.toml:3:8: a value that is no plain number stands in quotes
                  3 | base = 5"
                    |        ^^
                    = put it in quotes: '5"'
                a.toml:4:8: a value that is no plain number stands in quotes
                  4 | kind = boxed
                    |        ^^^^^
                    = put it in quotes: "boxed"
                a.toml:5:5: a value that is no plain number stands in quotes
                  5 | x = yes
                    |     ^^^
                    = write `true` for yes
                a.toml:6:5: a value that is no plain number stands in quotes
                  6 | y = 4,5
                    |     ^^^
                    = put it in quotes: "4,5"
                a.toml:7:5: a value that is no plain number stands in quotes
                  7 | z = .5
                    |     ^^
                    = put it in quotes: ".5""#]],
        );
    }

    #[test]
    fn broken_toml_is_explained() {
        check(
            "width =\n[body\ntitle = \"x\n",
            expect![[r#"
                a.toml:1:8: this key has no value
                  1 | width =
                    |        ^
                    = write the value behind the `=`, or leave the line out
                a.toml:2:6: the file cannot be read here: unclosed table, expected `]`
                  2 | [body
                    |      ^
                    = each line is `key = value`, `[section]` or `# a remark`; words stand in quotes"#]],
        );
        check(
            "width = 1\nwidth = 2\n[body]\n[body]\n",
            expect![[r#"
                a.toml:2:1: `width` is given twice
                  2 | width = 2
                    | ^^^^^
                    = leave one of them out
                a.toml:4:2: `body` is given twice
                  4 | [body]
                    |  ^^^^
                    = leave one of them out"#]],
        );
    }

    #[test]
    fn a_giant_is_refused_before_it_is_read() {
        let text = "#".repeat(LARGEST + 1);
        check(
            &text,
            expect![[r#"
            a.toml:1:1: the file has 1000001 bytes
              1 | ####################################################################################################
                | ^
                = a design file has at most 1000000; is this the right file?"#]],
        );
    }

    #[test]
    fn deep_nesting_is_harmless() {
        for text in ["a.".repeat(400_000) + "a = 1", "a = ".to_owned() + &"[".repeat(900_000)] {
            assert!(parse(Source { file: "a.toml", text: &text }).is_err());
        }
        let braces = "a = ".to_owned() + &"{ a = ".repeat(100_000);
        assert!(parse(Source { file: "a.toml", text: &braces }).is_err());
        let header = format!("[{}a]", "a.".repeat(400_000));
        assert!(parse(Source { file: "a.toml", text: &header }).is_err());
    }
}
