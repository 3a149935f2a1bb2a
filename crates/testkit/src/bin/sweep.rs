//! Every combination of kinds, and random designs: `cargo xtask sweep`.

#![allow(clippy::print_stdout, reason = "a command talks to the person who runs it")]

use std::process::ExitCode;

use anyhow::Result;
use clap::Parser;
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

/// Drafts and sews every combination of kinds, and random designs.
#[derive(Debug, Parser)]
#[command(bin_name = "cargo xtask sweep")]
struct Asked {
    /// Which random numbers are drawn.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many random designs.
    #[arg(long, default_value_t = 20_000)]
    random: usize,
    /// How many combinations, drawn at random; all of them if left out.
    #[arg(long)]
    combinations: Option<usize>,
    /// How many of those that fail are shown.
    #[arg(long, default_value_t = 3)]
    show: usize,
    /// List the reasons of refusals.
    #[arg(long)]
    reasons: bool,
    /// With each reason the first design that was refused for it.
    #[arg(long)]
    examples: bool,
}

fn run() -> Result<bool> {
    let asked = Asked::parse();
    // A panic is counted and shown with its design; it need not be printed while others run.
    std::panic::set_hook(Box::new(|_| {}));
    let numbers = match asked.combinations {
        Some(count) => sweep::sample(count, asked.seed),
        None => (0..sweep::combination_count()).collect(),
    };
    let mut all = sweep::combinations(&numbers);
    println!("combinations: {}", all.line());
    tell(&all, &asked);
    let extras = sweep::with_extras(&numbers);
    println!("of those built, with an extra: {}", extras.line());
    tell(&extras, &asked);
    all.join(extras);
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
    if asked.examples {
        println!("{}", tally.told_with_examples());
    } else if asked.reasons {
        println!("{}", tally.told_reasons());
    }
}
