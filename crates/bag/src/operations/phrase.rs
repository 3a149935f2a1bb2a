//! Words with measures in them, worded late: the reader's ruler decides how a length reads.

use measure::Length;

use super::Telling;

/// A run of words and lengths.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Phrase(Vec<Part>);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Part {
    Words(String),
    Length(Length),
}

impl Phrase {
    /// Words only.
    pub fn new(words: impl Into<String>) -> Self {
        Self(vec![Part::Words(words.into())])
    }

    /// The same, and then more words.
    #[must_use]
    pub fn say(mut self, words: impl Into<String>) -> Self {
        match self.0.last_mut() {
            Some(Part::Words(before)) => before.push_str(&words.into()),
            _ => self.0.push(Part::Words(words.into())),
        }
        self
    }

    /// The same, and then a length.
    #[must_use]
    pub fn len(mut self, length: Length) -> Self {
        self.0.push(Part::Length(length));
        self
    }

    /// The lengths in it, in order: what a picture of the step should show.
    pub fn lengths(&self) -> impl Iterator<Item = Length> + '_ {
        self.0.iter().filter_map(|part| match part {
            Part::Length(length) => Some(*length),
            Part::Words(_) => None,
        })
    }

    /// With each length spelled in braces, as a pattern file has it; a brace itself is doubled.
    pub(crate) fn spelled(&self, spell: impl Fn(Length) -> String) -> String {
        let part = |part: &Part| match part {
            Part::Words(words) => words.replace('{', "{{").replace('}', "}}"),
            Part::Length(length) => format!("{{{}}}", spell(*length)),
        };
        self.0.iter().map(part).collect()
    }

    /// In the reader's words.
    pub fn tell(&self, t: &Telling<'_>) -> String {
        self.0
            .iter()
            .map(|part| match part {
                Part::Words(words) => words.clone(),
                Part::Length(length) => t.len(*length),
            })
            .collect()
    }
}

impl From<&str> for Phrase {
    fn from(words: &str) -> Self {
        Self::new(words)
    }
}
