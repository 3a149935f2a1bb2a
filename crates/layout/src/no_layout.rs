//! Why there is no layout, as data and in plain words.

use std::error::Error;
use std::fmt;

use measure::{Length, System, show_length, show_size};

/// Why there is no layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoLayout {
    /// These pieces do not fit across the usable width.
    TooWide(Vec<TooWide>),
    /// The problem makes no sense; what is wrong, and what would be right.
    Nonsense(String),
    /// With strips first, this piece needs a longer cut than there may be.
    LongCut(LongCut),
    /// The problem makes sense, but no solver is there for what it asks; what that is, and what
    /// can be solved instead.
    Unsolved(String),
}

/// A piece that does not fit across the usable width however it may be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct TooWide {
    /// Which of the problem's pieces.
    pub piece: usize,
    /// Its name.
    pub name: String,
    /// Its own width, before any turn.
    pub width: Length,
    /// Its own length.
    pub length: Length,
    /// The usable width there is, after washing.
    pub usable: Length,
    /// Whether it would fit if a quarter turn were allowed.
    pub turn: bool,
    /// With how many joins in each it would fit, if joins anywhere were allowed (or more of them).
    pub joins: Option<u32>,
    /// The least usable width, after washing, on which it fits as it may be laid now.
    pub wide_enough: Length,
}

/// A piece that cannot be cut out without a longer cut than there may be.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct LongCut {
    /// Which of the problem's pieces.
    pub piece: usize,
    /// Its name.
    pub name: String,
    /// The longest cut it needs, lying as it may.
    pub needs: Length,
    /// The longest cut there may be.
    pub longest: Length,
}

impl LongCut {
    /// In plain words: what cannot be cut, and what would help.
    pub fn describe(&self, system: System) -> String {
        let needs = show_length(self.needs, system);
        format!(
            "{} needs a cut of {needs} through its strip, and no cut may be longer than {}; take a \
             longer ruler, allow the piece to be turned, or cut in any order",
            self.name,
            show_length(self.longest, system),
        )
    }
}

impl TooWide {
    /// In plain words: what does not fit, and what would help.
    pub fn describe(&self, system: System) -> String {
        let mut helps = Vec::new();
        if self.turn {
            helps.push("allow it to be turned".to_owned());
        }
        match self.joins {
            Some(1) => helps.push("allow one join in each, wherever it falls".to_owned()),
            Some(joins) => helps.push(format!("allow {joins} joins in each, wherever they fall")),
            None => {}
        }
        let wide = show_length(self.wide_enough, system);
        helps.push(format!("take fabric with at least {wide} of usable width"));
        format!(
            "{} ({}) does not fit across {} of usable fabric; {}",
            self.name,
            show_size(self.width, self.length, system),
            show_length(self.usable, system),
            helps.join(", or ")
        )
    }
}

impl NoLayout {
    /// In plain words, a line for each piece.
    pub fn describe(&self, system: System) -> String {
        match self {
            Self::TooWide(pieces) => {
                let lines: Vec<_> = pieces.iter().map(|piece| piece.describe(system)).collect();
                lines.join("\n")
            }
            Self::LongCut(cut) => cut.describe(system),
            Self::Nonsense(what) | Self::Unsolved(what) => what.clone(),
        }
    }
}

impl fmt::Display for NoLayout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.describe(System::Inch))
    }
}

impl Error for NoLayout {}
