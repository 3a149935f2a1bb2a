//! Faults to seed into correct patterns, each a slip that a person could make when writing one.
//!
//! A kind of fault is an entry in its group's list: what it is called, what it breaks, when it is
//! harmless, and how it is seeded. "Harmless" is a rule about sewing, decided when the fault is
//! seeded and never by whether it is caught.

mod allowances;
mod boxing;
mod cutting;
mod edit;
mod finishing;
mod independence;
mod lining;
mod openings;
mod order;
mod pockets;
mod promises;
mod seams;
mod straps;

use bag::pattern::{CopyId, Pattern};
use bag::{Finding, Severity};

use crate::Rng;

/// A kind of fault.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    /// Kebab-case name.
    pub name: &'static str,
    /// What it breaks, one sentence.
    pub breaks: &'static str,
    /// When it is harmless, and why; empty if it never is.
    pub harmless: &'static str,
    /// The least severity that counts as caught: a warning only where the bag can be sewn, but
    /// disappoints.
    pub caught_by: Severity,
    /// Seeds one at a random place; nothing if the pattern has no place for it.
    pub seed: fn(&Pattern, &mut Rng) -> Option<Seeded>,
}

/// A pattern with a fault in it.
#[derive(Clone, Debug)]
pub struct Seeded {
    /// The pattern.
    pub pattern: Pattern,
    /// What is at fault: a finding at any of these is at the right place.
    pub sites: Vec<Site>,
    /// Which words tell this fault from others of its kind: "`hem-rim` dropped".
    pub what: String,
    /// Whether it is harmless, by the rule of its kind.
    pub harmless: bool,
}

/// Where a fault sits, as a finding may name it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Site {
    /// A step, by its id.
    Step(String),
    /// A copy, by its name, or its piece's.
    Copy(CopyId),
    /// A parameter that a promise follows.
    Parameter(&'static str),
}

impl Kind {
    const fn new(
        name: &'static str,
        breaks: &'static str,
        seed: fn(&Pattern, &mut Rng) -> Option<Seeded>,
    ) -> Self {
        Self { name, breaks, harmless: "", caught_by: Severity::Error, seed }
    }

    const fn harmless_if(mut self, rule: &'static str) -> Self {
        self.harmless = rule;
        self
    }

    const fn warned(mut self) -> Self {
        self.caught_by = Severity::Warning;
        self
    }
}

impl Seeded {
    fn new(pattern: Pattern, what: impl Into<String>, sites: Vec<Site>) -> Self {
        Self { pattern, sites, what: what.into(), harmless: false }
    }

    fn harmless_if(mut self, harmless: bool) -> Self {
        self.harmless = harmless;
        self
    }

    /// Whether a finding is at one of the places at fault.
    pub fn is_at(&self, finding: &Finding) -> bool {
        let place = &finding.place;
        self.sites.iter().any(|site| match site {
            Site::Step(id) => place.step.as_deref() == Some(id.as_str()),
            Site::Parameter(path) => place.parameter.as_deref() == Some(path),
            Site::Copy(copy) => place.piece.as_deref().is_some_and(|named| {
                let named = named.strip_prefix("interfacing of the ").unwrap_or(named);
                named == self.pattern.copy(*copy).name || named == self.pattern.piece_of(*copy).name
            }),
        })
    }
}

/// Every kind, group by group.
pub fn all() -> impl Iterator<Item = &'static Kind> {
    [
        order::KINDS,
        openings::KINDS,
        cutting::KINDS,
        allowances::KINDS,
        seams::KINDS,
        straps::KINDS,
        pockets::KINDS,
        boxing::KINDS,
        lining::KINDS,
        finishing::KINDS,
        promises::KINDS,
    ]
    .into_iter()
    .flatten()
}
