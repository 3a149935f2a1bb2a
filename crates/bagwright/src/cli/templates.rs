//! `bagwright templates`: pieces true to size, to print.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context;
use clap::Args;
use drawing::templates::{Stock, TemplateOptions};
use measure::System;

use super::progress::Progress;
use super::read;
use super::read::Named;
use super::{Ruler, print};

/// Print the pieces of a design or a pattern file true to size, over as many sheets as they need.
///
/// With an error among the findings nothing is written, and the exit code is 1.
#[derive(Debug, Args)]
pub(crate) struct Templates {
    #[command(flatten)]
    bag: Named,
    /// The PDF to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// What they are printed on; Letter for inches and A4 for metric if left out.
    #[arg(long, value_parser = paper_words())]
    paper: Option<String>,
    /// Leave rectangles out; they are listed with their sizes, to be cut by measure.
    #[arg(long)]
    no_rectangles: bool,
    /// The reader's ruler. On the other ruler the bag is drafted anew, with round sizes there.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// With --units: keep the pieces as they are, and convert each measure.
    #[arg(long, requires = "units")]
    converted: bool,
    /// Print them in spite of errors, marked "not ready to cut".
    #[arg(long)]
    draft: bool,
}

/// The papers that there are.
pub(crate) fn paper_words() -> clap::builder::PossibleValuesParser {
    Stock::words().map(|(word, _)| word).collect::<Vec<_>>().into()
}

/// The paper of that word, or the usual one for a ruler.
pub(crate) fn stock(word: Option<&str>, system: System) -> Stock {
    let usual = match system {
        System::Inch => "letter",
        System::Metric => "a4",
    };
    let sheet = || Stock::Sheets(&measure::SHEETS[0]);
    word.and_then(Stock::find).or_else(|| Stock::find(usual)).unwrap_or_else(sheet)
}

impl Templates {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let mut progress = Progress::begin();
        progress.now("Drafting and checking");
        let built = read::build(&file.content, self.units, self.converted);
        progress.done();
        let Some((packet, errors)) = read::ready(&file, built, self.draft) else {
            return Ok(ExitCode::from(1));
        };
        progress.now("Drawing the templates");
        let options = TemplateOptions {
            system: packet.system,
            stock: stock(self.paper.as_deref(), packet.system),
            rectangles: !self.no_rectangles,
        };
        let pdf = paper::templates(&packet, options, self.draft)?;
        super::folder::write_file(&self.output, &pdf)
            .with_context(|| format!("{} cannot be written", self.output.display()))?;
        progress.done();
        print(&format!(
            "{}: templates on {} in {}\n",
            packet.pattern.title,
            options.stock.title(),
            self.output.display()
        ))?;
        Ok(if errors { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }
}
