//! `bagwright shopping`: one list for several bags, by the counters of the shop.

use std::process::ExitCode;

use clap::Args;
use packet::kit::Kit;

use super::progress::Progress;
use super::{Ruler, kit, print};

/// Print one shopping list for several bags, counter by counter, each thing rounded as it is sold:
/// never more than the lists of the bags by themselves.
#[derive(Debug, Args)]
pub(crate) struct Shopping {
    /// Design files, each with how many bags: bag.toml:12; with a size or an option of it,
    /// bag.toml:small:6. One bag if no number is given.
    #[arg(required = true, value_name = "FILE[:SIZE][:COUNT]")]
    bags: Vec<String>,
    /// So many more of each to cut, in percent, rounded up to a whole bag.
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=100))]
    spare: u32,
    /// The ruler of the list. Designs on the other ruler are drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// Rounds in which each layout is improved.
    #[arg(long, default_value_t = 60, value_parser = clap::value_parser!(u32).range(0..=100_000))]
    rounds: u32,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

impl Shopping {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let mut progress = Progress::begin();
        let (bags, system) = match kit::bags(&self.bags, self.units, &mut progress)? {
            Ok(read) => read,
            Err(code) => {
                progress.done();
                return Ok(code);
            }
        };
        progress.now("Laying out all bags together");
        let kit = Kit::of(bags, self.spare, self.rounds);
        progress.done();
        print(&if self.json {
            store::kit_json(&kit, None)
        } else {
            paper::counters_text(&kit, system)
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
