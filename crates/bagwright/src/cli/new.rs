//! `bagwright new`: a commented design to start from.

use std::process::ExitCode;

use bag::bodies;
use clap::Args;
use measure::Units;
use store::{Starter, starter};

use super::{Ruler, print, say};

/// Print a design to start from, with each parameter explained.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// The body: see `bagwright kinds`.
    body: Option<String>,
    /// The ruler that it is drafted on.
    #[arg(long, value_enum, default_value = "inch")]
    units: Ruler,
    /// With every kind of pocket and extra, and what each kind is.
    #[arg(long)]
    whole: bool,
}

impl New {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let units = match self.units {
            Ruler::Inch => Units::Inch,
            Ruler::Metric => Units::Mm,
        };
        let extent = if self.whole { Starter::Whole } else { Starter::Short };
        if let Some(text) = self.body.as_ref().and_then(|body| starter(body, units, extent)) {
            print(&text)?;
            return Ok(ExitCode::SUCCESS);
        }
        let names: Vec<String> = bodies::ALL
            .iter()
            .map(|body| format!("\n  bagwright new {}   {}", body.name(), body.title()))
            .collect();
        let what = match &self.body {
            Some(body) => format!("no body is called `{body}`; there are:"),
            None => "say which body to start from:".to_owned(),
        };
        say(&format!("bagwright: {what}{}", names.concat()));
        Ok(ExitCode::from(2))
    }
}
