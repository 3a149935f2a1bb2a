//! `bagwright lay`: any rectangles on any bolt, or on remnants.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use anyhow::{Context, bail};
use clap::Args;
use layout::{Cutting, Fit, Layout, Problem, Search, verify};
use measure::{System, show_bought, show_length};

use super::{print, say};

/// Largest file that is read.
const LARGEST: u64 = 20_000_000;
/// How many rounds are searched between two looks at the clock.
const AT_A_TIME: u32 = 16;

/// Lay pieces on a bolt so that the least is bought, with a proof, or on remnants; or verify such a
/// layout.
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
            print(&told(&job, layout))?;
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

/// A layout in a sentence, and the cuts in order, strips first.
fn told(job: &Problem, layout: &Layout) -> String {
    let system = System::Metric;
    let mut text = match &layout.fit {
        Some(fit) => told_of_remnants(job, layout, fit),
        None => format!(
            "uses {}, buy {}: {}\n",
            show_length(layout.length, system),
            show_bought(layout.bought, system),
            match job.cutting {
                Cutting::Free => layout.proof.to_string(),
                _ => format!("{}, strips first", layout.proof),
            }
        ),
    };
    for line in layout.cuts_in_words(job, system) {
        text.push_str(&line);
        text.push('\n');
    }
    text
}

/// Whether everything fits on the remnants.
fn told_of_remnants(job: &Problem, layout: &Layout, fit: &Fit) -> String {
    let used: BTreeSet<_> = layout.placements.iter().map(|one| one.stock).collect();
    if fit.left_over.is_empty() {
        return match used.len() {
            1 => "everything fits on one remnant\n".to_owned(),
            used => format!("everything fits on {used} remnants\n"),
        };
    }
    let names = fit.left_over.iter().map(|&(piece, _)| job.pieces[piece].name.as_str());
    let names: BTreeSet<_> = names.collect();
    let names: Vec<_> = names.into_iter().collect();
    let how = if fit.is_proven {
        "not everything fits, however it is laid"
    } else {
        "no way was found in which everything fits"
    };
    format!("{how}; left over: {}\n", names.join(", "))
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
