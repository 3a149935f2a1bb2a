//! `bagwright earns`: what a bag costs to make, and what it has to be sold for.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;
use clap::Args;
use packet::earns::{Earns, Rates, earns};
use packet::kit::Kit;
use packet::takes::{NotTold, Pace, told};
use store::{Session, Workshop};

use super::read::Named;
use super::{counted, print, read, say};

/// Reckon what a bag costs to make and has to be sold for: materials, work, overhead, fees, margin;
/// wholesale, retail and as a kit; and how many earn back what a batch costs.
///
/// The workshop file says what you are paid and what things cost; every `[scenario.NAME]` in it
/// stands beside the rest. Exit code 1 when a price is below cost.
#[derive(Debug, Args)]
pub(crate) struct EarnsOf {
    #[command(flatten)]
    bag: Named,
    /// The workshop file: rates, prices, scenarios, logged sessions.
    #[arg(short, long, value_name = "FILE")]
    workshop: PathBuf,
    /// So many bags are made at once: materials are bought for all of them. The workshop file's
    /// `bags`, or one, if left out.
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=500))]
    bags: Option<u32>,
    /// As comma-separated values, for a spreadsheet.
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

impl EarnsOf {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(workshop) = workshop(&self.workshop)? else { return Ok(ExitCode::from(2)) };
        let rates = rates(&workshop, &self.workshop)?;
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, None, false);
        let Some((packet, _)) = read::ready(&file, built, false) else {
            return Ok(ExitCode::from(1));
        };
        let pace = pace(&workshop, &self.workshop)?;
        let title = packet.pattern.title.clone();
        let kit = Kit::of(vec![(packet, self.bags.or(workshop.bags).unwrap_or(1))], 0, 0);
        let first = (String::new(), earns(&kit, rates, pace));
        let others = workshop.scenarios.iter();
        let others = others.map(|(name, rates)| (name.clone(), earns(&kit, rates, pace)));
        let all: Vec<(String, Earns)> = std::iter::once(first).chain(others).collect();
        print(&if self.json {
            store::earns_json(&title, &all)
        } else if self.csv {
            paper::earns_table(&all).csv()
        } else {
            paper::earns_text(&title, &all, pace)
        })?;
        let below = all.iter().any(|(_, earns)| earns.one.is_below_cost());
        Ok(if below { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }
}

/// Reads a workshop file, or tells everything that is wrong with it.
pub(super) fn workshop(path: &Path) -> anyhow::Result<Option<Workshop>> {
    let (name, text) = read::text(path)?;
    match store::read_workshop(&name, &text) {
        Ok(workshop) => Ok(Some(workshop)),
        Err(problems) => {
            problems.iter().for_each(|problem| say(&problem.to_string()));
            say(&format!("bagwright: {name} has {}", counted(problems.len(), "problem")));
            Ok(None)
        }
    }
}

/// The rates of a workshop, which have to be there.
fn rates<'w>(workshop: &'w Workshop, path: &Path) -> anyhow::Result<&'w Rates> {
    workshop.rates.as_ref().with_context(|| {
        let name = path.display();
        format!(
            "{name} has no `hour`: say what an hour of work is paid, as in `hour = \"18.00 USD\"`"
        )
    })
}

/// Rates and pace of a workshop file; or tells everything that is wrong with it.
pub(super) fn rated(path: &Path) -> anyhow::Result<Option<(Rates, Pace)>> {
    let Some(workshop) = workshop(path)? else { return Ok(None) };
    let rates = rates(&workshop, path)?.clone();
    Ok(Some((rates, pace(&workshop, path)?)))
}

/// The pace that a workshop says, or that its sessions tell.
pub(super) fn pace(workshop: &Workshop, path: &Path) -> anyhow::Result<Pace> {
    let usual = Pace::at(workshop.stitches);
    if let Some(said) = workshop.pace {
        return Ok(usual.times(said));
    }
    let folder = path.parent().unwrap_or(Path::new(""));
    let sessions: Vec<(u64, u64)> = workshop
        .sessions
        .iter()
        .map(|session| Ok((seconds_told(session, folder, usual)?, session.took)))
        .collect::<anyhow::Result<_>>()?;
    Ok(usual.learnt_from(&sessions))
}

/// The seconds that the steps of a session take at the usual pace.
fn seconds_told(session: &Session, folder: &Path, pace: Pace) -> anyhow::Result<u64> {
    let path = folder.join(&session.design);
    let (name, text) = read::text(&path).context("a logged session cannot be counted")?;
    let design = store::read_design(&name, &text).map_err(|problems| {
        anyhow::anyhow!("{name}, of a logged session, has {}", counted(problems.len(), "problem"))
    })?;
    let packet = packet::build(&design).packet;
    let packet = packet.with_context(|| format!("{name}, of a logged session, cannot be made"))?;
    let one =
        told(&packet, (session.from.as_deref(), session.to.as_deref()), pace).map_err(|why| {
            match why {
                NotTold::NoStep(id) => {
                    anyhow::anyhow!("{name} has no step `{id}`, which a logged session names")
                }
                NotTold::Backwards => {
                    anyhow::anyhow!("a logged session of {name} ends before it begins")
                }
            }
        })?;
    Ok(one * u64::from(session.bags))
}
