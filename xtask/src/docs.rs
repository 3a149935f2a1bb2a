//! The pages in `docs/` that the program writes itself, so that they cannot disagree with it.

use std::fs;

use anyhow::{Context, Result, bail};

use crate::shell::{self, cargo};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "write the generated pages [--check: only say which are out of date]";

/// All generated pages: the file, from the root, and what to ask the program for it.
const PAGES: &[(&str, &[&str])] = &[];

/// Writes every page, or with `--check` fails when one differs from what is committed.
///
/// # Errors
/// When the program fails, a file cannot be written, or a page is out of date.
pub(crate) fn run(options: &[String]) -> Result<()> {
    let check = match options {
        [] => false,
        [option] if option == "--check" => true,
        _ => bail!("the only option is --check"),
    };
    let mut stale = Vec::new();
    for (file, arguments) in PAGES {
        let mut program = cargo(&["run", "--quiet", "--package", "bagwright", "--"]);
        let fresh = shell::output(program.args(*arguments))?;
        let path = shell::root().join(file);
        if fs::read_to_string(&path).is_ok_and(|old| old == fresh) {
            println!("{file} is current");
        } else if check {
            stale.push(*file);
        } else {
            fs::write(&path, fresh).with_context(|| format!("cannot write {file}"))?;
            println!("{file} is written anew");
        }
    }
    if stale.is_empty() {
        return Ok(());
    }
    bail!("out of date: {}; run `cargo xtask docs` and commit the result", stale.join(", "))
}
