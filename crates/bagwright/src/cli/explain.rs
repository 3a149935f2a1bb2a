//! `bagwright explain`: the pattern of a design, as a pattern file.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use super::read::Content;
use super::{Ruler, print, read, say};

/// Print the whole pattern of a design as a pattern file: pieces, edges, steps and promises.
///
/// What is printed can be changed by hand, and `check` and `make` take it as they take a design;
/// unchanged, it gives the same packet. Exit 1 if the design is impossible, 2 if the file is not
/// understood.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// The design file, or a pattern file.
    file: PathBuf,
    /// The edition for the other ruler, drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
}

impl Explain {
    /// Runs it.
    pub(super) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = read::file(&self.file)? else { return Ok(ExitCode::from(2)) };
        let pattern = match &file.content {
            Content::Pattern(pattern) => Some((**pattern).clone()),
            Content::Design(design) => {
                let drafted = bag::draft(&read::redrafted(design, self.units));
                for finding in drafted.findings.iter().filter(|_| drafted.pattern.is_none()) {
                    say(&read::tell(&file, finding));
                }
                drafted.pattern
            }
        };
        let Some(pattern) = pattern else {
            say(&format!("bagwright: {} cannot be made as it stands", file.name));
            return Ok(ExitCode::from(1));
        };
        print(&store::write_pattern(&pattern))?;
        Ok(ExitCode::SUCCESS)
    }
}
