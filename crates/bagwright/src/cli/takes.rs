//! `bagwright takes`: thread, time and evenings for a bag, and what it weighs.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use packet::takes::{CLEARING, Pace, Takes};

use super::read::Named;
use super::{Ruler, earns, print, read};

/// Tell what a bag takes: time for each kind of work, thread by colour and in spools, evenings; and
/// what the finished bag weighs and holds.
///
/// Times are estimates for somebody who has sewn some bags: set your pace once you have made one.
#[derive(Debug, Args)]
pub(crate) struct TakesOf {
    #[command(flatten)]
    bag: Named,
    /// So many bags: thread is told for all of them.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=500))]
    bags: u32,
    /// Your pace in percent of the usual time: 200 takes twice as long, as beginners do.
    #[arg(long, value_parser = clap::value_parser!(u32).range(10..=2_000))]
    pace: Option<u32>,
    /// Your workshop file: its pace, or the one that its logged sessions tell.
    #[arg(short, long, value_name = "FILE")]
    workshop: Option<PathBuf>,
    /// Plan evenings of so many minutes: each ends where the work can be laid down. The workshop
    /// file's `evening` if left out.
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(20..=1_440))]
    evening: Option<u32>,
    /// Minutes of each evening for setting up and clearing away; 20 if neither this nor the workshop
    /// file says it.
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(0..=240))]
    clearing: Option<u32>,
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
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, self.units, false);
        let Some((packet, _)) = read::ready(&file, built, false) else {
            return Ok(ExitCode::from(1));
        };
        let workshop = match &self.workshop {
            Some(path) => match earns::workshop(path)? {
                Some(workshop) => Some((workshop, path)),
                None => return Ok(ExitCode::from(2)),
            },
            None => None,
        };
        let pace = match &workshop {
            Some((workshop, path)) => earns::pace(workshop, path)?,
            None => Pace::USUAL,
        };
        let pace = self.pace.map_or(pace, |said| pace.times(said));
        let takes = Takes::of(&packet, pace);
        let said = workshop.as_ref().map(|(workshop, _)| workshop);
        let clearing = self.clearing.or(said.and_then(|it| it.clearing)).unwrap_or(CLEARING);
        let room = match self.evening.or(said.and_then(|it| it.evening)) {
            Some(minutes) if minutes <= clearing => {
                anyhow::bail!(
                    "an evening of {minutes} min leaves nothing beside {clearing} min of clearing"
                );
            }
            Some(minutes) => Some(u64::from(minutes - clearing) * 60),
            None => None,
        };
        let plan = room.map(|room| takes.evenings(room)).unwrap_or_default();
        print(&if self.json {
            store::takes_json(&packet, &takes, self.bags, &plan)
        } else {
            let evenings = room.map(|room| (room, plan.as_slice()));
            paper::takes_text(&packet, &takes, self.bags, evenings)
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
