//! The benchmarks, in the release profile.

use anyhow::Result;

use crate::browser;
use crate::shell::{self, cargo};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str =
    "measure speed; further words go to `cargo bench` [browser: only what a browser sees]";

/// Runs every benchmark of the workspace, or those that `options` name; then what a browser sees of the
/// release build, which the word `browser` asks for alone.
///
/// # Errors
/// When a benchmark does not build or run.
pub(crate) fn run(options: &[String]) -> Result<()> {
    if let Some((word, rest)) = options.split_first()
        && word == "browser"
    {
        return browser::bench(rest);
    }
    shell::run(cargo(&["bench", "--workspace"]).args(options))?;
    if options.is_empty() { browser::bench(&[]) } else { Ok(()) }
}
