//! Seeds faults into correct patterns and says what the checks catch: `cargo xtask faults`.

#![allow(clippy::print_stdout, reason = "a command talks to the person who runs it")]

use std::process::ExitCode;

use anyhow::{Context, Result, bail};
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

/// What is asked for on the command line.
struct Asked {
    seed: u64,
    count: usize,
    write: bool,
    most: usize,
}

fn asked() -> Result<Asked> {
    let mut asked = Asked { seed: 1, count: 4_000, write: false, most: 1 };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number = || -> Result<u64> {
            let text = words.next().with_context(|| format!("{word} takes a number"))?;
            text.parse().with_context(|| format!("`{text}` is no number"))
        };
        match word.as_str() {
            "--seed" => asked.seed = number()?,
            "--count" => asked.count = usize::try_from(number()?)?,
            "--examples" => asked.most = usize::try_from(number()?)?,
            "--write" => asked.write = true,
            _ => {
                bail!("`{word}` is no option; there are --seed N, --count N, --examples N, --write")
            }
        }
    }
    Ok(asked)
}

fn run() -> Result<bool> {
    let asked = asked()?;
    let mut samples = corpus::examples()?;
    samples.extend(corpus::combinations(144, asked.seed));
    let table = testkit::measure(&samples, asked.count, asked.seed);
    println!("{}\n{}", table.markdown(), table.slips(asked.most));
    if asked.write {
        let path = corpus::root().join("docs/faults.md");
        std::fs::write(&path, testkit::page(&table, asked.seed))?;
        println!("written to docs/faults.md\n");
    }
    println!("{}", table.last_line());
    Ok(table.holds())
}
