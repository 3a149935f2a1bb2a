//! `bagwright lay`: any rectangles on any bolt.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use anyhow::{Context, bail};
use clap::Args;
use layout::{Layout, Problem, Search, verify};
use measure::{System, show_bought, show_length};

use super::{print, say};

/// Largest file that is read.
const LARGEST: u64 = 20_000_000;
/// How many rounds are searched between two looks at the clock.
const AT_A_TIME: u32 = 16;

/// Lay rectangles on a bolt so that the least is bought, with a proof; or verify such a layout.
///
/// The job is a JSON file; `docs/cutting-jobs.md` tells its fields. Exit 0 if there is a layout (or
/// the one that is verified is right), 1 if not, 2 if a file is not understood.
#[derive(Debug, Args)]
pub(crate) struct Lay {
    /// The cutting job, a JSON file.
    file: PathBuf,
    /// Search for so many rounds: equal rounds and seed give equal bytes.
    #[arg(long, conflicts_with = "seconds", default_value_t = 1000,
          value_parser = clap::value_parser!(u32).range(0..=10_000_000))]
    rounds: u32,
    /// Search for so many seconds, or until nothing shorter can exist.
    #[arg(long, value_parser = seconds)]
    seconds: Option<f64>,
    /// Where the search begins.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The layout as JSON on standard output.
    #[arg(long)]
    json: bool,
    /// Do not lay: verify this layout of the job, a JSON file as `--json` gives it. The rules are
    /// checked by the verifier alone; the bound is checked against the layout, not proven anew.
    #[arg(long, value_name = "LAYOUT", conflicts_with_all = ["rounds", "seconds", "seed"])]
    verify: Option<PathBuf>,
}

/// A time to search.
fn seconds(text: &str) -> Result<f64, String> {
    let seconds = text.parse::<f64>().ok().filter(|seconds| (0.0..=86_400.0).contains(seconds));
    seconds.ok_or_else(|| "give seconds from 0 to 86400".to_owned())
}

impl Lay {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let job = match store::read_job(&text(&self.file)?) {
            Ok(job) => job,
            Err(troubles) => return Ok(refused(&self.file, &troubles)),
        };
        if let Some(file) = &self.verify {
            return match store::read_layout(&job, &text(file)?) {
                Ok(layout) => self.verified(&job, &layout),
                Err(troubles) => Ok(refused(file, &troubles)),
            };
        }
        let start = Instant::now();
        let mut search = match Search::begin(&job, self.seed) {
            Ok(search) => search,
            Err(none) => {
                say(&format!("bagwright: {}", none.describe(System::Metric)));
                return Ok(ExitCode::from(1));
            }
        };
        let limit = self.seconds.map(Duration::from_secs_f64);
        match limit {
            None => {
                search.step(self.rounds);
            }
            Some(limit) => {
                while !search.is_done() && start.elapsed() < limit {
                    search.step(AT_A_TIME);
                }
            }
        }
        let layout = search.best();
        if self.json {
            let seconds = limit.map(|_| start.elapsed().as_secs_f64());
            print(&store::layout_json(&job, layout, seconds))?;
        } else {
            print(&told(layout))?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn verified(&self, job: &Problem, layout: &Layout) -> anyhow::Result<ExitCode> {
        let faults = verify(job, layout).err().unwrap_or_default();
        if self.json {
            print(&store::verdict_json(&faults))?;
        } else if faults.is_empty() {
            print("the layout is right\n")?;
        } else {
            for fault in &faults {
                print(&format!("{fault}\n"))?;
            }
        }
        Ok(if faults.is_empty() { ExitCode::SUCCESS } else { ExitCode::from(1) })
    }
}

/// A layout in a sentence.
fn told(layout: &Layout) -> String {
    let system = System::Metric;
    format!(
        "uses {}, buy {}: {}\n",
        show_length(layout.length, system),
        show_bought(layout.bought, system),
        layout.proof
    )
}

fn text(path: &Path) -> anyhow::Result<String> {
    let name = path.display();
    let size = fs::metadata(path).with_context(|| format!("{name} cannot be read"))?;
    if size.len() > LARGEST {
        bail!("{name} is larger than 20 MB");
    }
    fs::read_to_string(path).with_context(|| format!("{name} cannot be read as text"))
}

/// Tells what is wrong with a file.
fn refused(path: &Path, troubles: &[String]) -> ExitCode {
    let name = path.display();
    for trouble in troubles {
        say(&format!("{name}: {trouble}"));
    }
    ExitCode::from(2)
}
