//! A real browser at work in the workroom: a package beside the workspace, for the reason that its
//! manifest gives.

use std::process::Command;

use anyhow::Result;

use crate::setup;
use crate::shell::{self, cargo};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "work in the workroom with a real browser [words go to its tests]";

/// The manifest, from the root.
pub(crate) const MANIFEST: &str = "tests/browser/Cargo.toml";

/// Tries the program as it is built for tests.
///
/// # Errors
/// When something is missing, or a flow fails.
pub(crate) fn run(options: &[String]) -> Result<()> {
    setup::run(&[])?;
    shell::run(&mut cargo(&["build", "--quiet", "--package", "bagwright"]))?;
    shell::run(&mut beside(&["fmt", "--check"], "debug"))?;
    let mut lints = beside(&["clippy", "--quiet", "--all-targets"], "debug");
    shell::run(lints.args(["--", "-D", "warnings"]))?;
    let mut test = beside(&["test", "--test", "workroom"], "debug");
    shell::run(test.arg("--").args(options))
}

/// Measures the release build; `options` name some of the numbers.
///
/// # Errors
/// When it does not build, or a number cannot be taken.
pub(crate) fn bench(options: &[String]) -> Result<()> {
    setup::run(&[])?;
    shell::run(&mut cargo(&["build", "--quiet", "--release", "--package", "bagwright"]))?;
    // What is measured is another process; the bench itself need not be built twice.
    let bench = ["bench", "--profile", "dev", "--bench", "numbers"];
    shell::run(beside(&bench, "release").arg("--").args(options))
}

/// A call of cargo for the package, told which build of the program to try.
fn beside(arguments: &[&str], profile: &str) -> Command {
    let mut command = cargo(&arguments[..1]);
    command.args(["--manifest-path", MANIFEST]).args(&arguments[1..]);
    command.env("CARGO_TARGET_DIR", shell::target().join("browser"));
    // A flow says what went wrong by itself.
    command.env("RUST_BACKTRACE", "0");
    command.env("BAGWRIGHT_PROGRAM", shell::program(profile));
    command
}
