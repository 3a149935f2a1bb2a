//! Seeds faults into correct patterns and says what the checks catch.

use anyhow::Result;

use crate::shell::testkit;

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str =
    "seed faults and count what the checks catch [--seed N] [--count N] [--examples N] [--write]";

/// Runs it.
///
/// # Errors
/// When it cannot be run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    testkit("faults", options)
}
