//! Compares the program with references that share no code with it.
//!
//! Two kinds: the Rust test target `outside` asks Debian's programs (GNU units) about the numbers
//! of `measure`; the scripts in `tests/outside` read finished packets with Python's libraries. They
//! are kept out of `cargo test`, because they need what `cargo xtask setup` installs.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};

use crate::shell::{self, cargo, command};
use crate::{browser, setup};

/// The line in `cargo xtask help`.
pub(crate) const HELP: &str = "compare with outside references (sets up what they need)";

/// The scripts that read finished packets; each exits 0 when all agrees.
const SCRIPTS: &[&str] = &["tests/outside/packet_check.py", "tests/outside/templates_check.py"];
/// The script that opens handouts in a browser.
const HANDOUTS: &str = "tests/outside/handout_check.py";
/// The script that recomputes what the surfaces of sewn bodies are.
const SURFACES: &str = "tests/outside/surface_check.py";
/// The script that measures curved outlines and their cutting lines.
const CURVES: &str = "tests/outside/curve_check.py";
/// The scripts that make cutting jobs, and prove anew what is claimed of their layouts, with the
/// folders in which they do so.
const LAYOUTS: &[(&str, &str)] = &[
    ("tests/outside/layout_check.py", "target/outside/layouts"),
    ("tests/outside/strips_check.py", "target/outside/strips"),
];
/// The script that makes jobs with outlines, folds and prints, and checks their layouts with
/// another library.
const OUTLINES: &str = "tests/outside/outline_check.py";

/// Runs every comparison.
///
/// # Errors
/// When what they need is missing, or one does not agree.
pub(crate) fn run(_options: &[String]) -> Result<()> {
    setup::run(&[])?;
    let test = ["--package", "xtask", "--test", "outside"];
    shell::run(cargo(&["clippy"]).args(test).args(["--", "-D", "warnings"]))?;
    shell::run(cargo(&["test"]).args(test))?;
    dumped("surfaces", SURFACES)?;
    dumped("curves", CURVES)?;
    for (script, folder) in LAYOUTS {
        layouts(script, folder)?;
    }
    outlines()?;
    let packets = packets()?;
    for script in SCRIPTS {
        shell::run(command(setup::venv_python()).arg(script).args(&packets))?;
    }
    // A browser takes its time; every fourth handout shows what all of them have.
    let some = packets.iter().step_by(4);
    shell::run(command(setup::venv_python()).arg(HANDOUTS).args(some))?;
    browser::run(&[])
}

/// Lays cutting jobs and lets another solver prove anew what is claimed of them.
fn layouts(check: &str, folder: &str) -> Result<()> {
    let folder = shell::root().join(folder);
    let script = |what: &str| {
        let mut call = command(setup::venv_python());
        call.arg(check).arg(what).arg(&folder);
        call
    };
    shell::run(&mut script("jobs"))?;
    lay(&folder, &["--rounds", "600"])?;
    shell::run(&mut script("check"))
}

/// Lays cutting jobs with outlines and lets another library say whether pieces overlap. (How dense
/// they lie beside a peer is measured by hand, with a release build: the script says how.)
fn outlines() -> Result<()> {
    let folder = shell::root().join("target/outside/outlines");
    let script = |what: &str| {
        let mut call = command(setup::venv_python());
        call.arg(OUTLINES).arg(what).arg(&folder);
        call
    };
    shell::run(&mut script("jobs"))?;
    lay(&folder, &["--rounds", "150"])?;
    shell::run(&mut script("check"))
}

/// Lays every job of a folder and writes the layouts beside them. A job that is left from another
/// run is laid too.
fn lay(folder: &Path, effort: &[&str]) -> Result<()> {
    for job in fs::read_dir(folder)? {
        let job = job?.path();
        let name = job.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let Some(stem) = name.strip_suffix(".json").filter(|stem| !stem.contains('.')) else {
            continue;
        };
        let lay = ["run", "--quiet", "--package", "bagwright", "--", "lay"];
        let mut lay = cargo(&lay);
        lay.arg(&job).args(effort).args(["--seed", "1", "--json"]);
        fs::write(folder.join(format!("{stem}.layout.json")), shell::output(&mut lay)?)?;
    }
    Ok(())
}

/// Writes what a program of `testkit` computes, and lets a script judge it with general libraries:
/// what surfaces sewn bodies are; how long curves and their cutting lines are.
fn dumped(what: &str, script: &str) -> Result<()> {
    let dump = ["run", "--quiet", "--package", "testkit", "--bin", what];
    let text = shell::output(&mut cargo(&dump))?;
    let folder = shell::root().join("target/outside");
    fs::create_dir_all(&folder)?;
    let file = folder.join(format!("{what}.json"));
    fs::write(&file, text)?;
    shell::run(command(setup::venv_python()).arg(script).arg(&file))
}

/// Makes the packet of every example, on one ruler and the other in turn, and names their folders.
/// As many are made at once as there are cores.
fn packets() -> Result<Vec<PathBuf>> {
    let examples = fs::read_dir(shell::root().join("examples")).context("no examples")?;
    let mut examples: Vec<PathBuf> =
        examples.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    examples.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    examples.sort();
    ensure!(!examples.is_empty(), "there is no example to make a packet of");
    shell::run(&mut cargo(&["build", "--quiet", "--package", "bagwright"]))?;
    let jobs: Vec<(PathBuf, &str, PathBuf)> = examples
        .into_iter()
        .enumerate()
        .map(|(index, example)| {
            let stem = example.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let units = ["inch", "metric"][index % 2];
            (example, units, PathBuf::from(format!("target/outside/{stem}-{units}")))
        })
        .collect();
    let lanes = std::thread::available_parallelism().map_or(1, usize::from).min(jobs.len());
    std::thread::scope(|scope| {
        let jobs = &jobs;
        let started: Vec<_> = (0..lanes)
            .map(|lane| {
                scope.spawn(move || {
                    let mut own = jobs.iter().skip(lane).step_by(lanes);
                    own.try_for_each(|(example, units, folder)| packet(example, units, folder))
                })
            })
            .collect();
        started.into_iter().try_for_each(|lane| match lane.join() {
            Ok(done) => done,
            Err(_) => anyhow::bail!("a packet could not be made"),
        })
    })?;
    Ok(jobs.into_iter().map(|(_, _, folder)| folder).collect())
}

/// The packet of one example, and templates of all its pieces.
fn packet(example: &Path, units: &str, folder: &Path) -> Result<()> {
    let program = shell::program("debug");
    let mut make = command(&program);
    make.arg("make").arg(example);
    make.args(["--rounds", "20", "--replace", "--units", units, "--output"]);
    shell::run(make.arg(folder))?;
    let mut templates = command(&program);
    templates.arg("templates").arg(example).args(["--units", units, "--output"]);
    shell::run(templates.arg(folder.join("templates-all.pdf")))
}
