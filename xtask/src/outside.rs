//! Compares the program with references that share no code with it.
//!
//! Two kinds: the Rust test target `outside` asks Debian's programs (GNU units) about the numbers
//! of `measure`; the scripts in `tests/outside` read finished output with Python's libraries. They
//! are kept out of `cargo test`, because they need what `cargo xtask setup` installs.

use anyhow::Result;

use crate::setup;
use crate::shell::{self, cargo, command};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "compare with outside references (needs `cargo xtask setup`)";

/// Scripts below `tests/outside`, each with its arguments. A script exits 0 when all agrees.
const SCRIPTS: &[&[&str]] = &[];

/// Runs every comparison.
///
/// # Errors
/// When what they need is missing, or one does not agree.
pub(crate) fn run(_options: &[String]) -> Result<()> {
    setup::run(&[])?;
    shell::run(&mut cargo(&[
        "clippy",
        "--package",
        "xtask",
        "--test",
        "outside",
        "--",
        "-D",
        "warnings",
    ]))?;
    shell::run(&mut cargo(&["test", "--package", "xtask", "--test", "outside"]))?;
    for script in SCRIPTS {
        let (file, arguments) = script.split_first().unwrap_or((&"", &[]));
        let file = format!("tests/outside/{file}");
        shell::run(command(setup::venv_python()).arg(file).args(arguments))?;
    }
    Ok(())
}
