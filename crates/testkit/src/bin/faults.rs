//! Seeds faults into correct patterns and says what the checks catch: `cargo xtask faults`.

#![allow(clippy::print_stdout, reason = "a command talks to the person who runs it")]

use std::process::ExitCode;

use anyhow::Result;
use clap::Parser;
use testkit::corpus;

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            println!("faults: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Seeds faults into correct patterns and says what the checks catch.
#[derive(Debug, Parser)]
#[command(bin_name = "cargo xtask faults")]
struct Asked {
    /// Which random numbers are drawn.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many faults are seeded.
    #[arg(long, default_value_t = 4_000)]
    count: usize,
    /// How many of those that slip through are shown of each sort.
    #[arg(long, default_value_t = 1)]
    examples: usize,
    /// Write docs/faults.md.
    #[arg(long)]
    write: bool,
}

fn run() -> Result<bool> {
    let asked = Asked::parse();
    let mut samples = corpus::examples()?;
    samples.extend(corpus::combinations(144, asked.seed));
    let table = testkit::measure(&samples, asked.count, asked.seed);
    println!("{}\n{}", table.markdown(), table.slips(asked.examples));
    if asked.write {
        let path = corpus::root().join("docs/faults.md");
        std::fs::write(&path, testkit::page(&table, asked.seed))?;
        println!("written to docs/faults.md\n");
    }
    println!("{}", table.last_line());
    Ok(table.holds())
}
