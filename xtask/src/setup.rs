//! Installs what the outside references need: Debian packages and a Python environment.
//!
//! Only tests need any of this; nobody who uses the program does. What is already there is left
//! alone, so that a second call takes no time and needs no network.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::shell::{self, command};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "install what the outside references of the tests need";

/// A program that tests ask for an answer, and the Debian package that brings it.
struct Tool {
    program: &'static str,
    package: &'static str,
    purpose: &'static str,
}

const TOOLS: &[Tool] = &[
    Tool { program: "units", package: "units", purpose: "conversion factors (GNU units)" },
    Tool { program: "pdftotext", package: "poppler-utils", purpose: "what a PDF says and shows" },
    Tool { program: "chromium", package: "chromium", purpose: "a browser for pages" },
    Tool { program: "chromedriver", package: "chromium-driver", purpose: "to drive the browser" },
    Tool { program: "qpdf", package: "qpdf", purpose: "whether a PDF is well formed" },
];

/// The pinned Python packages, from the root.
const REQUIREMENTS: &str = "tests/outside/requirements.txt";

/// Pinned packages of which only the files are wanted, and nothing that they would bring along:
/// the accessibility rules come inside a package for another way of driving browsers.
const ALONE: &str = "tests/outside/requirements-alone.txt";

/// Installs whatever is missing.
///
/// # Errors
/// When something is missing and cannot be installed here; the message says what to install.
pub(crate) fn run(_options: &[String]) -> Result<()> {
    let missing: Vec<&Tool> =
        TOOLS.iter().filter(|tool| shell::find(tool.program).is_none()).collect();
    for tool in TOOLS {
        let state = if shell::find(tool.program).is_some() { "present" } else { "missing" };
        println!("{:10} {state}: {}", tool.program, tool.purpose);
    }
    let mut packages: Vec<&str> = missing.iter().map(|tool| tool.package).collect();
    if !is_current() && python().is_none() {
        println!("python3    missing, or without its venv module");
        packages.push("python3-venv");
    }
    if !packages.is_empty() {
        install(&packages)?;
    }
    for tool in missing {
        if shell::find(tool.program).is_none() {
            bail!("`{}` is still missing after installing {}", tool.program, tool.package);
        }
    }
    make_venv()
}

/// The Python of the environment that the scripts in `tests/outside` run with.
pub(crate) fn venv_python() -> PathBuf {
    venv().join("bin/python")
}

fn venv() -> PathBuf {
    shell::root().join("target/outside-venv")
}

/// Installs Debian packages, or says which ones a person must install.
fn install(packages: &[&str]) -> Result<()> {
    let list = packages.join(" ");
    if shell::find("apt-get").is_none() || !is_root() {
        bail!(
            "these Debian packages (or your system's equal of them) are missing: {list}\n\
             Install them, for example with `sudo apt-get install {list}`, and start again; or run \
             `cargo xtask test --no-outside` to leave out the comparisons that need them."
        );
    }
    println!("installing {list}");
    apt(&["update"]).or_else(|_| apt(&["update"]))?;
    let mut arguments = vec!["install", "--yes", "--no-install-recommends"];
    arguments.extend(packages);
    apt(&arguments).or_else(|_| apt(&arguments))
}

fn apt(arguments: &[&str]) -> Result<()> {
    let mut apt = command("apt-get");
    apt.env("DEBIAN_FRONTEND", "noninteractive");
    apt.args(["-q", "-o", "DPkg::Lock::Timeout=300", "-o", "Acquire::Retries=3"]);
    shell::run(apt.args(arguments))
}

fn is_root() -> bool {
    shell::output(command("id").arg("-u")).is_ok_and(|user| user.trim() == "0")
}

/// A Python 3 that can make environments.
fn python() -> Option<&'static str> {
    let able = |python: &&str| shell::works(*python, &["-c", "import venv, ensurepip"]);
    ["python3", "/usr/bin/python3"].into_iter().find(able)
}

/// Makes the Python environment with exactly the pinned packages, unless it is there already.
fn make_venv() -> Result<()> {
    if is_current() {
        println!("python     the environment in target/outside-venv is current");
        return Ok(());
    }
    let python = python().context("no python3 with its venv module, even after installing it")?;
    println!("python     making target/outside-venv with {REQUIREMENTS}");
    let venv = venv();
    shell::run(command(python).args(["-m", "venv", "--clear"]).arg(&venv))?;
    let mut pip = command(venv_python());
    pip.args(["-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]);
    shell::run(pip.args(["--only-binary", ":all:", "--requirement", REQUIREMENTS]))?;
    let mut pip = command(venv_python());
    pip.args(["-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]);
    shell::run(pip.args(["--only-binary", ":all:", "--no-deps", "--requirement", ALONE]))?;
    fs::write(stamp(), requirements()?).context("cannot write the environment's stamp")
}

/// Whether the environment was completed with the requirements as they are now.
fn is_current() -> bool {
    let made_with = fs::read_to_string(stamp()).ok();
    made_with.is_some() && made_with == requirements().ok() && venv_python().is_file()
}

/// Holds the requirements that the environment was made with; written last.
fn stamp() -> PathBuf {
    venv().join("made-with.txt")
}

fn requirements() -> Result<String> {
    let mut all = String::new();
    for file in [REQUIREMENTS, ALONE] {
        let path: &Path = &shell::root().join(file);
        all += &fs::read_to_string(path).with_context(|| format!("cannot read {file}"))?;
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_python_package_is_pinned() {
        let text = requirements().expect("the file is in the repository");
        let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
        assert!(!lines.is_empty());
        for line in lines {
            let version = line.split_once("==").map(|(_, version)| version);
            assert!(version.is_some_and(|v| v.starts_with(|c: char| c.is_ascii_digit())), "{line}");
        }
    }
}
