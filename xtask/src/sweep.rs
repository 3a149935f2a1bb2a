//! Goes through every combination of kinds, and through random designs.

use anyhow::Result;

use crate::shell::testkit;

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "build every combination of kinds and random designs [--seed N] \
     [--random N] [--combinations N] [--show N] [--reasons]";

/// Runs it.
///
/// # Errors
/// When it cannot be run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    testkit("sweep", options)
}
