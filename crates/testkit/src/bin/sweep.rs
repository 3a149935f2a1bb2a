//! Every combination of kinds, and random designs: `cargo xtask sweep`.

#![allow(clippy::print_stdout, reason = "a command talks to the person who runs it")]

use std::process::ExitCode;

use anyhow::{Context, Result, bail};
use testkit::sweep::{self, Tally};

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            println!("sweep: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// What is asked for on the command line.
struct Asked {
    seed: u64,
    random: usize,
    combinations: Option<usize>,
    reasons: bool,
    show: usize,
}

fn asked() -> Result<Asked> {
    let mut asked = Asked { seed: 1, random: 20_000, combinations: None, reasons: false, show: 3 };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number = || -> Result<u64> {
            let text = words.next().with_context(|| format!("{word} takes a number"))?;
            text.parse().with_context(|| format!("`{text}` is no number"))
        };
        match word.as_str() {
            "--seed" => asked.seed = number()?,
            "--random" => asked.random = usize::try_from(number()?)?,
            "--combinations" => asked.combinations = Some(usize::try_from(number()?)?),
            "--show" => asked.show = usize::try_from(number()?)?,
            "--reasons" => asked.reasons = true,
            _ => bail!(
                "`{word}` is no option; there are --seed N, --random N, --combinations N, --show N, \
                 --reasons"
            ),
        }
    }
    Ok(asked)
}

fn run() -> Result<bool> {
    let asked = asked()?;
    // A panic is counted and shown with its design; it need not be printed while others run.
    std::panic::set_hook(Box::new(|_| {}));
    let numbers = match asked.combinations {
        Some(count) => sweep::sample(count, asked.seed),
        None => (0..sweep::combination_count()).collect(),
    };
    let mut all = sweep::combinations(&numbers);
    println!("combinations: {}", all.line());
    tell(&all, &asked);
    let random = sweep::random_designs(asked.random, asked.seed);
    println!("random designs: {}", random.line());
    tell(&random, &asked);
    all.join(random);
    println!("sweep: {}", all.line());
    Ok(all.failed.is_empty())
}

fn tell(tally: &Tally, asked: &Asked) {
    for (design, why) in tally.failed.iter().take(asked.show) {
        println!("failed: {why}\n{design}");
    }
    if asked.reasons {
        println!("{}", tally.told_reasons());
    }
}
