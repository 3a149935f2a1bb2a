//! The benchmarks, in the release profile.

use anyhow::Result;

use crate::shell::{self, cargo};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "measure speed; further words go to `cargo bench`";

/// Runs every benchmark of the workspace, or those that `options` name.
///
/// # Errors
/// When a benchmark does not build or run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    shell::run(cargo(&["bench", "--workspace"]).args(options))
}
