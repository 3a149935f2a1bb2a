//! `bagwright sizes`: the sizes and options of a design side by side.

use std::path::PathBuf;
use std::process::ExitCode;

use bag::{Design, Severity};
use clap::Args;
use measure::System;
use packet::takes::Pace;
use packet::{Built, Packet};

use super::{Ruler, counted, earns, print, read, say};

/// Put the sizes and options of a design side by side: finished size, pieces, what to buy of each fabric.
///
/// A design says what differs under [size.NAME] and [option.NAME].
#[derive(Debug, Args)]
pub(crate) struct Sizes {
    /// The design file.
    file: PathBuf,
    /// As comma-separated values, for a spreadsheet.
    #[arg(long)]
    csv: bool,
    /// Your workshop file: its pace, and its prices for one more column.
    #[arg(short, long, value_name = "FILE")]
    workshop: Option<PathBuf>,
    /// The reader's ruler. On the other ruler each bag is drafted anew, with round sizes there.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
}

impl Sizes {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let workshop = match &self.workshop {
            Some(path) => match earns::workshop(path)? {
                Some(workshop) => Some(workshop),
                None => return Ok(ExitCode::from(2)),
            },
            None => None,
        };
        let (name, text) = read::text(&self.file)?;
        if !store::is_design(&text) {
            anyhow::bail!("{name} is no design file: only designs have sizes");
        }
        let members = match store::read_family(&name, &text) {
            Ok(members) => members,
            Err(problems) => {
                problems.iter().for_each(|problem| say(&problem.to_string()));
                say(&format!("bagwright: {name} has {}", counted(problems.len(), "problem")));
                return Ok(ExitCode::from(2));
            }
        };
        let system = match (self.units, members.first()) {
            (Some(ruler), _) => System::from(ruler),
            (None, Some(member)) => member.design.system(),
            (None, None) => System::Inch,
        };
        let built: Vec<Result<Packet, String>> =
            members.iter().map(|member| packet_of(&member.design, self.units)).collect();
        let name_of = |name: &Option<String>| name.clone().unwrap_or_else(|| "as it stands".into());
        let bags: Vec<_> = members
            .iter()
            .zip(&built)
            .map(|(member, built)| {
                let names = vec![name_of(&member.size), name_of(&member.option)];
                (names, built.as_ref().map_err(Clone::clone))
            })
            .collect();
        let pace = match (&workshop, &self.workshop) {
            (Some(workshop), Some(path)) => earns::pace(workshop, path)?,
            _ => Pace::USUAL,
        };
        let rates = workshop.as_ref().and_then(|workshop| workshop.rates.as_ref());
        let table = paper::sizes_table(&bags, system, pace, rates);
        if self.csv {
            print(&table.csv())?;
        } else {
            let rows: Vec<_> = std::iter::once(table.headings).chain(table.rows).collect();
            print(&paper::columns(&rows))?;
        }
        let failed = built.iter().any(Result::is_err);
        Ok(if failed { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }
}

/// The packet of a design, or the first reason why there can be none.
fn packet_of(design: &Design, ruler: Option<Ruler>) -> Result<Packet, String> {
    let Built { packet, findings, .. } = packet::build(&read::redrafted(design, ruler));
    match findings.into_iter().find(|finding| finding.severity == Severity::Error) {
        Some(error) => Err(error.message),
        None => packet.ok_or_else(|| "it cannot be made".to_owned()),
    }
}
