//! The one pure call: a design becomes a pattern, is sewn in the abstract and checked, laid out
//! on fabric, and told in words. The same design gives the same packet, whoever asks.

pub mod audit;
mod build;
mod compare;
mod cut;
pub mod earns;
mod finished;
pub mod kit;
pub mod largest;
mod problems;
pub mod shelf;
pub mod takes;
mod telling;
mod widths;

pub use build::{Built, build, build_for, from_pattern, refine};
pub use compare::{Comparison, compare};
pub use cut::{
    Cut, CutItem, Source, Webbing, show_asked_for, show_bolt, show_needed, show_there_is,
};
pub use finished::Finished;
pub use problems::{LaidPiece, Sheet};
pub use telling::StepText;
pub use widths::{WidthRow, WidthTable};

use bag::{Finding, Pattern, Severity};
use measure::System;

/// All results for one design: what she hands to her class.
#[derive(Clone, Debug)]
pub struct Packet {
    /// The pattern that everything is computed from.
    pub pattern: Pattern,
    /// The ruler of the reader.
    pub system: System,
    /// How the measures came to this ruler.
    pub reading: Reading,
    /// What the finished bag measures, computed back from the pieces.
    pub finished: Finished,
    /// Layouts and purchases, a fused block before the fabric that it is cut from.
    pub cuts: Vec<Cut>,
    /// Webbing to buy.
    pub webbing: Vec<Webbing>,
    /// Yardage at the usual bought widths.
    pub widths: WidthTable,
    /// The steps in words.
    pub steps: Vec<StepText>,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
}

/// How the measures of a packet came to the reader's ruler.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// Drafted on it.
    Own,
    /// Drafted anew on it from a design in the other system, with round sizes and allowances.
    Redrafted,
    /// Drafted on the other ruler; each measure is read off this one.
    Converted,
}

impl Packet {
    /// Whether anything forbids cutting.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// A sentence on how the measures came to this ruler; nothing for a bag drafted on it.
    pub fn reading_note(&self) -> Option<&'static str> {
        match self.reading {
            Reading::Own => None,
            Reading::Redrafted => Some(
                "Drafted anew for this ruler: sizes and seam allowances are round here, and differ \
                 a little from the other edition. Do not mix pieces of both.",
            ),
            Reading::Converted => Some(
                "Converted measure by measure from the other ruler, each to the nearest mark: use \
                 this edition to read along, and cut by one edition only.",
            ),
        }
    }
}
