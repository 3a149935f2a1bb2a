//! `bagwright kit`: bags for a class or a batch, cut together.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail};
use clap::Args;
use measure::System;
use packet::earns::kit_price;
use packet::kit::Kit;
use packet::{Built, Packet};
use paper::PaperSize;

use super::folder::Folder;
use super::make::Sheet;
use super::progress::Progress;
use super::read::{self, BagFile};
use super::{Ruler, earns, print, say};

/// Most bags of one design.
const MOST: u32 = 500;

/// Put together a kit for a class or a batch: what to buy for all bags, how to cut them together,
/// bundles, labels, and the list of the class.
///
/// With an error in a design nothing is written, and the exit code is 1.
#[derive(Debug, Args)]
pub(crate) struct MakeKit {
    /// Design files, each with how many bags: bag.toml:12; with a size or an option of it,
    /// bag.toml:small:6. One bag if no number is given.
    #[arg(required = true, value_name = "FILE[:SIZE][:COUNT]")]
    bags: Vec<String>,
    /// The folder to write.
    #[arg(short, long, value_name = "DIR")]
    output: PathBuf,
    /// So many more of each to cut, in percent, rounded up to a whole bag.
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=100))]
    spare: u32,
    /// Rounds in which each layout is improved.
    #[arg(long, default_value_t = 60, value_parser = clap::value_parser!(u32).range(0..=100_000))]
    rounds: u32,
    /// The ruler of the kit. Designs on the other ruler are drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// What it is printed on; Letter for inches and A4 for metric if left out.
    #[arg(long, value_enum)]
    paper: Option<Sheet>,
    /// Your workshop file: its rates and prices tell what the kit costs and what each student pays.
    #[arg(short, long, value_name = "FILE")]
    workshop: Option<PathBuf>,
    /// Replace a kit that is there.
    #[arg(long)]
    replace: bool,
    /// Print the kit as JSON.
    #[arg(long)]
    json: bool,
}

impl MakeKit {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let rated = match &self.workshop {
            Some(path) => match earns::rated(path)? {
                Some(rated) => Some(rated),
                None => return Ok(ExitCode::from(2)),
            },
            None => None,
        };
        let mut progress = Progress::begin();
        let (bags, system) = match bags(&self.bags, self.units, &mut progress)? {
            Ok(read) => read,
            Err(code) => {
                progress.done();
                say("bagwright: no kit was written");
                return Ok(code);
            }
        };
        let folder = Folder::begin(&self.output, self.replace)?;
        progress.now("Laying out all bags together");
        let kit = Kit::of(bags, self.spare, self.rounds);
        let paper = match (self.paper, system) {
            (Some(Sheet::A4), _) | (None, System::Metric) => PaperSize::A4,
            (Some(Sheet::Letter), _) | (None, System::Inch) => PaperSize::Letter,
        };
        let price = rated.map(|(rates, pace)| kit_price(&kit, &rates, pace));
        let json = store::kit_json(&kit, price.as_ref());
        let costs = price.as_ref().map(|price| paper::kit_price_text(&kit, price));
        let shopping = paper::kit_shopping_text(&kit, system);
        progress.now("Typesetting the kit");
        folder.write("kit.json", json.as_bytes())?;
        folder.write("shopping.txt", shopping.as_bytes())?;
        folder.write("kit.pdf", &paper::kit(&kit, price.as_ref(), paper, system)?)?;
        folder.write("labels.pdf", &paper::kit_labels(&kit, paper)?)?;
        if let Some(costs) = &costs {
            folder.write("price.txt", costs.as_bytes())?;
        }
        folder.finish()?;
        progress.done();
        if self.json {
            print(&json)?;
            return Ok(ExitCode::SUCCESS);
        }
        let place = self.output.display();
        let (costs, file) = match costs {
            Some(costs) => (
                format!("\n{costs}"),
                format!("\n  {place}/price.txt     what it costs, and what each student pays"),
            ),
            None => (String::new(), String::new()),
        };
        print(&format!(
            "{shopping}{costs}\n  {place}/kit.pdf       purchase, cutting, bundles, the class\n  \
             {place}/labels.pdf    a label for each bundle\n  {place}/shopping.txt  what to \
             buy{file}\n  {place}/kit.json\n"
        ))?;
        Ok(ExitCode::SUCCESS)
    }
}

/// Packets with how many of each, and the ruler of all of them.
pub(super) type Bags = (Vec<(Packet, u32)>, System);

/// The bags that are named, on one ruler; or the exit code, when one of them cannot be read or is not
/// ready to cut, which has been told.
pub(super) fn bags(
    named: &[String],
    units: Option<Ruler>,
    progress: &mut Progress,
) -> anyhow::Result<Result<Bags, ExitCode>> {
    let mut bags = Vec::new();
    let mut system = None;
    for named in named {
        let (path, member, count) = parts(named)?;
        progress.now(&format!("Drafting and checking {}", path.display()));
        let Some(mut file) = read::file(&path)? else { return Ok(Err(ExitCode::from(2))) };
        if let Some(member) = member {
            file.content = one_of(&file, member)?;
        }
        let built = read::build(&file.content, units, false);
        let Some(packet) = sound(&file, built) else { return Ok(Err(ExitCode::from(1))) };
        if *system.get_or_insert(packet.system) != packet.system {
            bail!(
                "some of these designs are in inches and some are metric, and a kit has one ruler; \
                 with `--units inch` or `--units metric` all of them are drafted on that one"
            );
        }
        bags.push((packet, count));
    }
    Ok(Ok((bags, system.unwrap_or(System::Inch))))
}

/// File, size or option, and count.
fn parts(named: &str) -> anyhow::Result<(PathBuf, Option<&str>, u32)> {
    let (rest, count) = match named.rsplit_once(':') {
        Some((rest, number)) if number.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
            let count: u32 =
                number.parse().ok().filter(|count| (1..=MOST).contains(count)).with_context(
                    || format!("{named}: `{number}` is not a number of bags from 1 to {MOST}"),
                )?;
            (rest, count)
        }
        _ => (named, 1),
    };
    match rest.rsplit_once(':') {
        Some((path, member)) if !Path::new(rest).exists() => {
            Ok((PathBuf::from(path), Some(member), count))
        }
        _ => Ok((PathBuf::from(rest), None, count)),
    }
}

/// The size of that name, or else the option.
fn one_of(file: &BagFile, name: &str) -> anyhow::Result<read::Content> {
    read::member(file, (Some(name), None)).or_else(|_| read::member(file, (None, Some(name))))
}

/// The packet, unless it has errors, which are told.
fn sound(file: &BagFile, built: Built) -> Option<Packet> {
    let (packet, _) = read::ready(file, built, false)?;
    Some(packet)
}
