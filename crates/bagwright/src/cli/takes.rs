//! `bagwright takes`: thread, time and evenings for a bag, and what it weighs.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use packet::takes::{Pace, Takes, evenings};

use super::{Ruler, earns, print, read};

/// Tell what a bag takes: time for each kind of work, thread by colour and in spools, evenings; and
/// what the finished bag weighs and holds.
///
/// Times are estimates for somebody who has sewn some bags: set your pace once you have made one.
#[derive(Debug, Args)]
pub(crate) struct TakesOf {
    /// The design or pattern file.
    file: PathBuf,
    /// One size of the design.
    #[arg(long)]
    size: Option<String>,
    /// One option of the design.
    #[arg(long)]
    option: Option<String>,
    /// So many bags: thread is told for all of them.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=500))]
    bags: u32,
    /// Your pace in percent of the usual time: 200 takes twice as long, as beginners do.
    #[arg(long, value_parser = clap::value_parser!(u32).range(10..=2_000))]
    pace: Option<u32>,
    /// Your workshop file: its pace, or the one that its logged sessions tell.
    #[arg(short, long, value_name = "FILE")]
    workshop: Option<PathBuf>,
    /// Plan evenings of so many minutes: each ends where the work can be laid down.
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(20..=1_440))]
    evening: Option<u32>,
    /// Minutes of each evening for setting up and clearing away.
    #[arg(long, value_name = "MINUTES", default_value_t = 20, value_parser = clap::value_parser!(u32).range(0..=240))]
    clearing: u32,
    /// The reader's ruler. On the other ruler the bag is drafted anew, with round sizes there.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

impl TakesOf {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(mut file) = read::file(&self.file)? else { return Ok(ExitCode::from(2)) };
        if self.size.is_some() || self.option.is_some() {
            let member = (self.size.as_deref(), self.option.as_deref());
            file.content = read::member(&file, member)?;
        }
        let built = read::build(&file.content, self.units, false);
        let Some((packet, _)) = read::ready(&file, built, false) else {
            return Ok(ExitCode::from(1));
        };
        let pace = match &self.workshop {
            Some(path) => {
                let Some(workshop) = earns::workshop(path)? else { return Ok(ExitCode::from(2)) };
                earns::pace(&workshop, path)?
            }
            None => Pace::USUAL,
        };
        let pace = self.pace.map_or(pace, |said| pace.times(said));
        let takes = Takes::of(&packet, pace);
        let room = match self.evening {
            Some(minutes) if minutes <= self.clearing => {
                anyhow::bail!(
                    "an evening of {minutes} min leaves nothing beside {} min of clearing",
                    self.clearing
                );
            }
            Some(minutes) => Some(u64::from(minutes - self.clearing) * 60),
            None => None,
        };
        let steps: Vec<(u64, bool)> = takes
            .steps
            .iter()
            .zip(&takes.rests)
            .map(|(spent, rests)| (spent.seconds(), *rests))
            .collect();
        let plan = room.map(|room| evenings(&steps, room)).unwrap_or_default();
        print(&if self.json {
            store::takes_json(&packet, &takes, self.bags, &plan)
        } else {
            let evenings = room.map(|room| (room, plan.as_slice()));
            paper::takes_text(&packet, &takes, self.bags, evenings)
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
