//! The pages in `docs/` that are written from the code, so that they cannot disagree with it.
//!
//! The test target `pages` of the crate `store` compares each page with what the code says now,
//! so `cargo test` finds a page that is out of date; with `UPDATE_EXPECT` it writes them instead.

use anyhow::{Result, bail};

use crate::shell::{self, cargo};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "write the generated pages [--check: only say which are out of date]";

/// Writes every page, or with `--check` fails when one differs.
///
/// # Errors
/// When the pages cannot be written, one is out of date, or an option is unknown.
pub(crate) fn run(options: &[String]) -> Result<()> {
    let mut pages = cargo(&["test", "--quiet", "--package", "store", "--test", "pages"]);
    match options {
        [] => shell::run(pages.env("UPDATE_EXPECT", "1")),
        [option] if option == "--check" => shell::run(pages.env_remove("UPDATE_EXPECT")),
        _ => bail!("the only option is --check"),
    }
}
