//! The one binary: designs in, packets out.
//!
//! Exit 0: done. Exit 1: the input was understood and has faults. Exit 2: it could not be
//! understood, or the work could not be done.

mod cli;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let cli = cli::Cli::parse();
    match cli.run() {
        Ok(code) => code,
        Err(error) => {
            cli::say(&format!("bagwright: {error:#}"));
            ExitCode::from(2)
        }
    }
}
