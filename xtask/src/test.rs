//! The one test command: everything that must hold before a change is taken.

use anyhow::{Result, bail};

use crate::shell::{self, Stages, cargo};
use crate::{outside, setup, tidy};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "run every check there is [--no-outside: without outside references]";

/// Where proptest reads the seed of its values.
const SEED: &str = "PROPTEST_RNG_SEED";

/// Runs all stages and stops at the first that fails.
///
/// # Errors
/// When a stage fails, or an option is unknown.
pub(crate) fn run(options: &[String]) -> Result<()> {
    let mut with_outside = true;
    for option in options {
        match option.as_str() {
            "--no-outside" => with_outside = false,
            _ => bail!("`{option}` is no option; there is --no-outside"),
        }
    }
    let mut stages = Stages::default();
    if with_outside {
        stages.run("setup", || setup::run(&[]))?;
    }
    stages.run("format", || shell::run(&mut cargo(&["fmt", "--all", "--", "--check"])))?;
    stages.run("tidy", || tidy::run(&[]))?;
    stages.run("clippy", || {
        let lint = ["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"];
        shell::run(&mut cargo(&lint))
    })?;
    stages.run("build", || shell::run(&mut cargo(&["build", "--package", "bagwright"])))?;
    stages.run("tests", || {
        // Expectations, the generated pages among them, are compared and never accepted here.
        // Properties draw the same values in every run, so that a change is judged by itself; a
        // plain `cargo test` draws new ones.
        let mut tests = cargo(&["test", "--workspace"]);
        tests.env_remove("UPDATE_EXPECT");
        if std::env::var_os(SEED).is_none() {
            tests.env(SEED, "2026");
        }
        shell::run(&mut tests)
    })?;
    stages.run("documentation", || {
        let mut doc = cargo(&["doc", "--workspace", "--no-deps"]);
        shell::run(doc.env("RUSTDOCFLAGS", "-D warnings"))
    })?;
    if with_outside {
        stages.run("outside references", || outside::run(&[]))?;
    }
    stages.summary();
    if !with_outside {
        println!("the outside references were left out, as asked");
    }
    Ok(())
}
