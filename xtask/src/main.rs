//! Every automation of the repository as a named function: `cargo xtask NAME`.
//!
//! `cargo xtask test` is the one command that tells whether the repository is in order; it is what
//! a person runs before a commit and what `.ci/run` runs.

#![allow(clippy::print_stdout, reason = "a task talks to the person who runs it")]

mod bench;
mod browser;
mod docs;
mod faults;
mod outside;
mod setup;
mod shell;
mod sweep;
mod test;
mod tidy;

use std::process::ExitCode;

use anyhow::{Result, bail};

/// One task: its name on the command line, one line of help, and what it does with its options.
struct Task {
    name: &'static str,
    help: &'static str,
    run: fn(&[String]) -> Result<()>,
}

/// All tasks, in the order of the help text.
const TASKS: &[Task] = &[
    Task { name: "test", help: test::HELP, run: test::run },
    Task { name: "setup", help: setup::HELP, run: setup::run },
    Task { name: "tidy", help: tidy::HELP, run: tidy::run },
    Task { name: "docs", help: docs::HELP, run: docs::run },
    Task { name: "faults", help: faults::HELP, run: faults::run },
    Task { name: "sweep", help: sweep::HELP, run: sweep::run },
    Task { name: "outside", help: outside::HELP, run: outside::run },
    Task { name: "browser", help: browser::HELP, run: browser::run },
    Task { name: "bench", help: bench::HELP, run: bench::run },
];

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let name = arguments.next().unwrap_or_default();
    let options: Vec<String> = arguments.collect();
    match dispatch(&name, &options) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("\nxtask {name}: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Runs the task called `name`, or lists all of them.
fn dispatch(name: &str, options: &[String]) -> Result<()> {
    if let Some(task) = TASKS.iter().find(|task| task.name == name) {
        return (task.run)(options);
    }
    println!("cargo xtask TASK, where TASK is one of:");
    for task in TASKS {
        println!("  {:8} {}", task.name, task.help);
    }
    match name {
        "" | "help" | "--help" | "-h" => Ok(()),
        _ => bail!("there is no task of this name"),
    }
}
