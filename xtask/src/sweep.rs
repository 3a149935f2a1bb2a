//! Goes through every combination of kinds, and through random designs.

use anyhow::Result;

use crate::shell::cargo;

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "build every combination of kinds and random designs [--seed N] \
     [--random N] [--combinations N] [--show N] [--reasons]";

/// Runs the program of the crate `testkit`, whose last line is the sum. It ends with a failure of
/// its own when a design fails, so that nothing follows that line.
///
/// # Errors
/// When it cannot be run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    let mut sweep =
        cargo(&["run", "--quiet", "--release", "--package", "testkit", "--bin", "sweep", "--"]);
    let status = sweep.args(options).status()?;
    if !status.success() {
        std::process::exit(1);
    }
    Ok(())
}
