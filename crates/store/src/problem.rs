//! What is wrong with a file, where, and what would be right: shown as a compiler shows it.

use std::fmt;
use std::ops::Range;

/// How many characters of a line a message shows at most.
const SHOWN: usize = 100;

/// How many characters of the offending text a problem keeps at most.
const KEPT: usize = 60;

/// One thing that is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file as the person named it.
    pub file: String,
    /// The line, counted from 1.
    pub line: usize,
    /// The column in characters, counted from 1.
    pub column: usize,
    /// The offending text, cut short when it is long.
    pub text: String,
    /// What is wrong, one sentence.
    pub message: String,
    /// What would be right; may be empty.
    pub hint: String,
    /// The line (or the part of it around the column), with the column inside it.
    excerpt: Excerpt,
}

/// The part of a line that a message shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Excerpt {
    text: String,
    /// Characters before the marked ones.
    before: usize,
    /// How many are marked.
    marked: usize,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { file, line, column, message, hint, excerpt, .. } = self;
        write!(f, "{file}:{line}:{column}: {message}")?;
        let gutter = line.to_string().len();
        if !excerpt.text.trim().is_empty() {
            let (before, marks) = (" ".repeat(excerpt.before), "^".repeat(excerpt.marked));
            write!(f, "\n  {line} | {}", excerpt.text)?;
            write!(f, "\n  {:gutter$} | {before}{marks}", "")?;
        }
        if !hint.is_empty() {
            write!(f, "\n  {:gutter$} = {hint}", "")?;
        }
        Ok(())
    }
}

/// A file's name and text, from which problems take their place.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) file: &'a str,
    pub(crate) text: &'a str,
}

impl<'a> Source<'a> {
    /// The problem at `span`, a range of bytes; a span outside of the text is brought inside.
    pub(crate) fn problem(
        self,
        span: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Problem {
        let start = self.boundary(span.start);
        let end = self.boundary(span.end.max(start));
        let before = &self.text[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line_end = self.text[start..].find('\n').map_or(self.text.len(), |at| start + at);
        let line = &self.text[line_start..line_end];
        let column = self.text[line_start..start].chars().count();
        let marked = self.text[start..end.min(line_end)].chars().count();
        let quoted = self.text[start..end].chars().take(KEPT);
        Problem {
            file: self.file.to_owned(),
            line: before.matches('\n').count() + 1,
            column: column + 1,
            text: quoted.map(plain).collect(),
            message: message.into(),
            hint: hint.into(),
            excerpt: Excerpt::new(line, column, marked),
        }
    }

    /// The text at `span`, or nothing when the span is not within the text.
    pub(crate) fn slice(self, span: Range<usize>) -> &'a str {
        self.text.get(span).unwrap_or_default()
    }

    /// The nearest place at or before `at` where a character starts.
    fn boundary(self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}

impl Excerpt {
    fn new(line: &str, column: usize, marked: usize) -> Self {
        // A long line is shown from a little before the place.
        let skipped = if column < SHOWN * 3 / 4 { 0 } else { column - SHOWN / 4 };
        let shown = line.trim_end().chars().skip(skipped).take(SHOWN);
        let text: String = shown.map(plain).collect();
        let before = column - skipped;
        let room = text.chars().count().saturating_sub(before);
        Self { text, before, marked: marked.min(room).max(1) }
    }
}

/// Control characters could move the cursor of a terminal; they are shown as spaces.
fn plain(c: char) -> char {
    if c.is_control() { ' ' } else { c }
}

#[cfg(test)]
mod tests {
    use super::*;
    use expect_test::expect;

    #[test]
    fn a_problem_reads_like_a_compiler_message() {
        let text = "title = \"x\"\n[body]\nwidht = 16 # wide\n";
        let source = Source { file: "tote.toml", text };
        let problem = source.problem(19..24, "[body] has no key `widht`", "did you mean `width`?");
        assert_eq!(problem.text, "widht");
        expect![[r#"
            tote.toml:3:1: [body] has no key `widht`
              3 | widht = 16 # wide
                | ^^^^^
                = did you mean `width`?"#]]
        .assert_eq(&problem.to_string());
    }

    #[test]
    fn columns_are_characters_and_long_lines_are_cut() {
        let text = format!("{}½ = 3", "é".repeat(200));
        let source = Source { file: "a", text: &text };
        let problem = source.problem(400..402, "no", "");
        assert_eq!((problem.line, problem.column, problem.text.as_str()), (1, 201, "½"));
        let shown = problem.to_string();
        let lines: Vec<&str> = shown.lines().collect();
        let caret = lines[2].chars().position(|c| c == '^').expect("there is a caret");
        assert_eq!(lines[1].chars().nth(caret), Some('½'));
    }

    #[test]
    fn spans_outside_or_within_a_character_do_no_harm() {
        let source = Source { file: "a", text: "½" };
        for span in [1..1, 1..2, 0..9, 7..9] {
            let problem = source.problem(span, "no", "");
            assert_eq!(problem.line, 1);
        }
        let empty = Source { file: "a", text: "" };
        assert_eq!(empty.problem(0..0, "is empty", "").to_string(), "a:1:1: is empty");
    }

    #[test]
    fn control_characters_do_not_reach_the_terminal() {
        let source = Source { file: "a", text: "x = \"\u{1b}[2J\tb\"" };
        let shown = source.problem(4..9, "no", "").to_string();
        assert!(shown.chars().all(|c| c == '\n' || !c.is_control()), "{shown:?}");
    }
}
