//! `bagwright new`: a commented design to start from.

use std::process::ExitCode;

use bag::bodies;
use clap::Args;
use measure::Units;

use super::{Ruler, print, say};

/// Print a design to start from, with every parameter explained.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// The body: see `bagwright kinds`.
    body: String,
    /// The ruler that it is drafted on.
    #[arg(long, value_enum, default_value = "inch")]
    units: Ruler,
}

impl New {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let units = match self.units {
            Ruler::Inch => Units::Inch,
            Ruler::Metric => Units::Mm,
        };
        if let Some(text) = store::starter(&self.body, units) {
            print(&text)?;
            return Ok(ExitCode::SUCCESS);
        }
        let names: Vec<&str> = bodies::ALL.iter().map(|body| body.name()).collect();
        say(&format!(
            "bagwright: no body is called `{}`; there are: {}",
            self.body,
            names.join(", ")
        ));
        Ok(ExitCode::from(2))
    }
}
