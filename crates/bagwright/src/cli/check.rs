//! `bagwright check`: everything that is found about a design.

use std::path::PathBuf;
use std::process::ExitCode;

use bag::Severity;
use clap::Args;

use super::{Ruler, print, read};

/// Check a design: sew it in the abstract and tell what would go wrong.
///
/// Exit 0 if it can be cut, 1 if anything is an error, 2 if the file is not understood.
#[derive(Debug, Args)]
pub struct Check {
    /// The design file.
    file: PathBuf,
    /// Findings as JSON on standard output.
    #[arg(long)]
    json: bool,
    /// Check the edition for the other ruler, drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
}

impl Check {
    /// Runs it.
    pub fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = read::design(&self.file)? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.design, self.units, false);
        if self.json {
            print(&store::findings_json(&built.findings))?;
        } else {
            for finding in &built.findings {
                print(&format!("{}\n", read::tell(&file, finding)))?;
            }
            let count = |severity| built.findings.iter().filter(|f| f.severity == severity).count();
            let [errors, warnings, notes] =
                [Severity::Error, Severity::Warning, Severity::Note].map(count);
            let verdict = if errors > 0 { "not ready to cut" } else { "ready to cut" };
            let summary = format!(
                "{}: {verdict}: {}, {}, {}\n",
                file.name,
                counted(errors, "error"),
                counted(warnings, "warning"),
                counted(notes, "note")
            );
            print(&summary)?;
        }
        let failed = built.findings.iter().any(|f| f.severity == Severity::Error);
        Ok(if failed { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}
