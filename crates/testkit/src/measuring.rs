//! Seeds faults into patterns, runs the checks, and counts what they catch.

use std::fmt::Write as _;

use bag::pattern::Pattern;
use bag::{Finding, Severity, checks};

use crate::Rng;
use crate::corpus::Sample;
use crate::faults::{self, Kind, Seeded};

/// What became of one kind of fault.
#[derive(Clone, Debug)]
pub struct Row {
    /// The kind.
    pub kind: &'static Kind,
    /// Seeded in all.
    pub seeded: usize,
    /// Harmless by the rule of the kind.
    pub harmless: usize,
    /// Of the harmful ones, caught.
    pub caught: usize,
    /// Of those, at the place at fault.
    pub placed: usize,
    /// The harmful ones that were not caught.
    pub missed: Vec<String>,
    /// The caught ones of which no finding names the place, with what was found.
    pub misplaced: Vec<String>,
}

/// All rows, and the errors on correct patterns.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// One for each kind.
    pub rows: Vec<Row>,
    /// Errors on correct patterns, each with the pattern's name.
    pub false_alarms: Vec<String>,
    /// How many correct patterns were checked.
    pub patterns: usize,
}

/// Seeds about `count` faults in all, as many of each kind, at random places of patterns taken in
/// turn. The same for the same seed.
pub fn measure(samples: &[Sample], count: usize, seed: u64) -> Table {
    let mut table = Table { patterns: samples.len(), ..Table::default() };
    let correct: Vec<Vec<Finding>> =
        samples.iter().map(|sample| checks::run(&sample.pattern)).collect();
    for (sample, findings) in samples.iter().zip(&correct) {
        let errors = findings.iter().filter(|finding| finding.severity == Severity::Error);
        table.false_alarms.extend(errors.map(|it| format!("{}: {}", sample.name, it.message)));
    }
    let kinds: Vec<&'static Kind> = faults::all().collect();
    let each = count.div_ceil(kinds.len().max(1));
    for (number, kind) in kinds.into_iter().enumerate() {
        let mut rng = Rng::new(seed ^ u64::try_from(number).unwrap_or(0).wrapping_mul(0x9e37));
        let mut row = Row::new(kind);
        // Kinds without a place in most patterns are tried in more of them.
        for round in 0..each * 20 + samples.len() * 3 {
            if row.seeded >= each {
                break;
            }
            let at = (number + round) % samples.len().max(1);
            let Some(sample) = samples.get(at) else { break };
            if let Some(seeded) = (kind.seed)(&sample.pattern, &mut rng) {
                row.add(sample, &seeded, &correct[at]);
            }
        }
        table.rows.push(row);
    }
    table
}

impl Row {
    fn new(kind: &'static Kind) -> Self {
        let (missed, misplaced) = (Vec::new(), Vec::new());
        Self { kind, seeded: 0, harmless: 0, caught: 0, placed: 0, missed, misplaced }
    }

    fn add(&mut self, sample: &Sample, seeded: &Seeded, correct: &[Finding]) {
        self.seeded += 1;
        if seeded.harmless {
            self.harmless += 1;
            return;
        }
        let found = new_findings(&seeded.pattern, correct, self.kind.caught_by);
        let named = format!("{}: {}", sample.name, seeded.what);
        let Some(first) = found.first() else {
            self.missed.push(named);
            return;
        };
        self.caught += 1;
        if found.iter().any(|finding| seeded.is_at(finding)) {
            self.placed += 1;
        } else {
            self.misplaced.push(format!("{named}: {:?} {}", first.place, first.message));
        }
    }

    /// Seeded and not harmless.
    pub fn harmful(&self) -> usize {
        self.seeded - self.harmless
    }
}

/// What is found in a pattern, as severe as that, and not in the correct one.
fn new_findings(pattern: &Pattern, correct: &[Finding], least: Severity) -> Vec<Finding> {
    let mut found = checks::run(pattern);
    found.retain(|finding| finding.severity >= least && !correct.contains(finding));
    found
}

impl Table {
    fn sum(&self, of: impl Fn(&Row) -> usize) -> usize {
        self.rows.iter().map(of).sum()
    }

    /// "faults: A seeded, B harmful, C caught, D at the right place, E false alarms".
    pub fn last_line(&self) -> String {
        format!(
            "faults: {} seeded, {} harmful, {} caught, {} at the right place, {} false alarms",
            self.sum(|row| row.seeded),
            self.sum(Row::harmful),
            self.sum(|row| row.caught),
            self.sum(|row| row.placed),
            self.false_alarms.len()
        )
    }

    /// Whether 99 % of the harmful faults are caught, 95 % at the right place, and no correct
    /// pattern has an error.
    pub fn holds(&self) -> bool {
        let harmful = self.sum(Row::harmful);
        let share = |of: usize, percent: usize| of * 100 >= harmful * percent;
        harmful > 0
            && share(self.sum(|row| row.caught), 99)
            && share(self.sum(|row| row.placed), 95)
            && self.false_alarms.is_empty()
    }

    /// The table as Markdown.
    pub fn markdown(&self) -> String {
        let mut text = String::from(
            "| fault | what it breaks | caught as | seeded | harmless | caught | at its place | \
             missed |\n|---|---|---|---:|---:|---:|---:|---:|\n",
        );
        for row in &self.rows {
            let _ = writeln!(
                text,
                "| `{}` | {} | {} | {} | {} | {} | {} | {} |",
                row.kind.name,
                row.kind.breaks,
                row.kind.caught_by.word(),
                row.seeded,
                row.harmless,
                row.caught,
                row.placed,
                row.missed.len()
            );
        }
        text
    }

    /// The rules by which faults are harmless, kind by kind, as a Markdown list.
    pub fn rules(&self) -> String {
        let mut text = String::new();
        for row in self.rows.iter().filter(|row| !row.kind.harmless.is_empty()) {
            let _ = writeln!(text, "- `{}`: harmless if {}.", row.kind.name, row.kind.harmless);
        }
        text
    }

    /// What slipped through, up to so many of each kind, as a Markdown list.
    pub fn slips(&self, most: usize) -> String {
        let mut text = String::new();
        for row in &self.rows {
            for missed in row.missed.iter().take(most) {
                let _ = writeln!(text, "- `{}` not caught: {missed}", row.kind.name);
            }
            for misplaced in row.misplaced.iter().take(most) {
                let _ = writeln!(text, "- `{}` caught elsewhere: {misplaced}", row.kind.name);
            }
        }
        for alarm in self.false_alarms.iter().take(most) {
            let _ = writeln!(text, "- false alarm: {alarm}");
        }
        text
    }
}
