//! Seeds faults into correct patterns and says what the checks catch.

use anyhow::Result;

use crate::shell::cargo;

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str =
    "seed faults and count what the checks catch [--seed N] [--count N] [--examples N] [--write]";

/// Runs the program of the crate `testkit`, whose last line is the sum of its table. It ends with
/// a failure of its own when too much slips through, so that nothing follows that line.
///
/// # Errors
/// When it cannot be run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    let mut faults =
        cargo(&["run", "--quiet", "--release", "--package", "testkit", "--bin", "faults", "--"]);
    let status = faults.args(options).status()?;
    if !status.success() {
        std::process::exit(1);
    }
    Ok(())
}
