//! `bagwright handout`: the steps on one page for a phone or a tablet.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;
use clap::Args;
use packet::Packet;

use super::read::{self, BagFile, Named};
use super::{Ruler, print};

/// Write the handout of a design or a pattern file: one HTML file with steps to tick off, for a phone or a tablet.
///
/// With an error among the findings nothing is written, and the exit code is 1.
#[derive(Debug, Args)]
pub(crate) struct Handout {
    #[command(flatten)]
    bag: Named,
    /// The HTML file to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// The ruler that is shown first; the reader may change it. On the other ruler than the file's
    /// the bag is drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
}

impl Handout {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, self.units, false);
        let Some((packet, _)) = read::ready(&file, built, false) else {
            return Ok(ExitCode::from(1));
        };
        let page = page(&file, &packet, self.units)?;
        super::folder::write_file(&self.output, page.as_bytes())
            .with_context(|| format!("{} cannot be written", self.output.display()))?;
        print(&format!("{}: handout in {}\n", packet.pattern.title, self.output.display()))?;
        Ok(ExitCode::SUCCESS)
    }
}

/// The handout of a packet: the same pieces are read on the other ruler, too.
pub(crate) fn page(
    file: &BagFile,
    packet: &Packet,
    units: Option<Ruler>,
) -> anyhow::Result<String> {
    let converted = read::other_ruler(&file.content, packet, units)?;
    Ok(paper::handout(packet, &converted))
}
