//! The rules of the repository as code. Each rule is a file that turns what it reads into faults.

mod code;
mod layers;
mod licences;
mod modules;
mod purity;
mod text;

use std::fmt;
use std::fs;

use anyhow::{Context, Result, bail};

use crate::browser;
use crate::shell::{self, command};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "check the rules of the repository that no compiler knows";

/// A rule broken at a place: a file from the root (with a line, when there is one) or a manifest.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Fault {
    place: String,
    message: String,
}

impl Fault {
    fn new(place: impl Into<String>, message: impl Into<String>) -> Self {
        Self { place: place.into(), message: message.into() }
    }

    /// A fault at a line of a file, where `line` counts from 0.
    fn at(path: &str, line: usize, message: impl Into<String>) -> Self {
        Self::new(format!("{path}:{}", line + 1), message)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place, self.message)
    }
}

/// A file of the repository as the rules see it.
struct File {
    /// From the root, with `/` between folders.
    path: String,
    bytes: Vec<u8>,
}

impl File {
    /// The file as text; nothing when it is not UTF-8 (a picture, for example).
    fn text(&self) -> Option<&str> {
        std::str::from_utf8(&self.bytes).ok()
    }

    /// The text, when this is a Rust file.
    fn rust(&self) -> Option<&str> {
        self.path.ends_with(".rs").then(|| self.text()).flatten()
    }
}

/// Applies every rule and prints every fault.
///
/// # Errors
/// When a rule is broken, or `git` or `cargo metadata` fail.
pub(crate) fn run(_options: &[String]) -> Result<()> {
    let files = files()?;
    let mut faults = Vec::new();
    faults.extend(layers::check(&shell::output(&mut layers::metadata())?)?);
    for manifest in ["Cargo.toml", browser::MANIFEST] {
        faults.extend(licences::check(&shell::output(&mut licences::metadata(manifest)?)?)?);
    }
    faults.extend(modules::check(&files));
    faults.extend(files.iter().flat_map(purity::check));
    faults.extend(files.iter().flat_map(text::check));
    faults.sort();
    for fault in &faults {
        println!("{fault}");
    }
    match faults.len() {
        0 => {
            println!("{} files, and every rule is kept", files.len());
            Ok(())
        }
        1 => bail!("1 fault"),
        n => bail!("{n} faults"),
    }
}

/// Every file that is, or could be, committed: what git tracks and what it does not ignore.
fn files() -> Result<Vec<File>> {
    let mut git = command("git");
    git.args(["ls-files", "-z", "--cached", "--others", "--exclude-standard"]);
    let list = shell::output(&mut git)?;
    let mut files = Vec::new();
    for path in list.split('\0').filter(|path| !path.is_empty()) {
        let full = shell::root().join(path);
        // A tracked file that was deleted but not yet committed has nothing to say.
        if full.is_file() {
            let bytes = fs::read(&full).with_context(|| format!("cannot read {path}"))?;
            files.push(File { path: path.to_owned(), bytes });
        }
    }
    files.dedup_by(|a, b| a.path == b.path);
    Ok(files)
}
