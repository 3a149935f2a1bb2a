//! The error of texts that are no mass of cloth or no price.

use std::error::Error;
use std::fmt;

use crate::number::shorten;

/// Why a text is not the quantity it should be. Shown, it names the text and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    text: String,
    reason: String,
}

impl QuantityError {
    pub(crate) fn new(text: &str, reason: impl Into<String>) -> Self {
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

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`: {}", self.text, self.reason)
    }
}

impl Error for QuantityError {}
