//! `bagwright kinds`: what there is to choose from.

use std::process::ExitCode;

use bag::kinds::{Kind, Param};
use bag::{bodies, checks, closures, extras, handles, linings, pockets};
use clap::Args;

use super::{print, say};

/// List bodies, pockets, handles, closures, linings, extras and checks, with their parameters.
#[derive(Debug, Args)]
pub(crate) struct Kinds {
    /// As JSON on standard output.
    #[arg(long)]
    json: bool,
}

/// Prints a page of the documentation that is generated from the kinds.
#[derive(Debug, Args)]
pub(crate) struct Docs {
    /// Which page.
    page: String,
}

impl Kinds {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        if self.json {
            print(&store::kinds_json())?;
            return Ok(ExitCode::SUCCESS);
        }
        let mut text = String::new();
        let mut list = |heading: &str, kinds: Vec<&dyn Kind>| {
            text.push_str(&format!("{heading}\n"));
            for kind in kinds {
                text.push_str(&format!("  {}: {}. {}\n", kind.name(), kind.title(), kind.help()));
                for Param { key, help, .. } in kind.params() {
                    text.push_str(&format!("      {key}: {help}\n"));
                }
            }
            text.push('\n');
        };
        list("Bodies", bodies::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        list("Pockets", pockets::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        list("Handles", handles::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        list("Closures", closures::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        list("Linings", linings::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        list("Extras", extras::ALL.iter().map(|kind| *kind as &dyn Kind).collect());
        text.push_str("Checks\n");
        for check in checks::ALL {
            text.push_str(&format!("  {}: {}; {}.\n", check.name, check.looks_for, check.why));
        }
        print(&text)?;
        Ok(ExitCode::SUCCESS)
    }
}

impl Docs {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        match self.page.as_str() {
            "design-file" => print(&store::guide())?,
            "pattern-file" => print(&store::pattern_page())?,
            page => {
                say(&format!("bagwright: no page is called `{page}`"));
                return Ok(ExitCode::from(2));
            }
        }
        Ok(ExitCode::SUCCESS)
    }
}
