//! `bagwright remnants`: which bags can be cut from the pieces of fabric that there are.

use std::path::PathBuf;
use std::process::ExitCode;

use bag::draft::usual_usable;
use clap::Args;
use measure::{Area, System, Units, show_area, show_size};
use packet::Packet;
use packet::largest::Given;
use packet::shelf::{FromShelf, NotFromShelf, Remnant, from_shelf};

use super::progress::Progress;
use super::{print, read};

/// Find out which bags can be cut from the pieces of fabric that there are, on which of them, and
/// what is left: the bag that leaves the largest piece comes first.
///
/// Interfacing and webbing are taken to be there. Exit code 1 when none can be cut.
#[derive(Debug, Args)]
pub(crate) struct Remnants {
    /// Design or pattern files.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// A piece that there is: "1 yd of 54 in", "22 x 18 in" (width × length), "fat quarter"; for one
    /// fabric alone "linen canvas: 22 x 18 in". May be given several times.
    #[arg(long = "piece", required = true, value_name = "[NAME:]FABRIC")]
    pieces: Vec<String>,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

impl Remnants {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let mut progress = Progress::begin();
        let mut tried: Vec<(Packet, Result<FromShelf, NotFromShelf>)> = Vec::new();
        for path in &self.files {
            progress.now(&format!("Laying out {}", path.display()));
            let Some(file) = read::file(path)? else { return Ok(ExitCode::from(2)) };
            let built = read::build(&file.content, None, false);
            let Some((packet, _)) = read::ready(&file, built, false) else {
                return Ok(ExitCode::from(1));
            };
            let found = from_shelf(&packet, &self.shelf(packet.system)?);
            tried.push((packet, found));
        }
        progress.done();
        tried.sort_by_key(|(_, found)| {
            std::cmp::Reverse(found.as_ref().map_or(-1, |found| found.best_rest().to_nm2()))
        });
        print(&if self.json {
            store::remnants_json(&tried)
        } else {
            tried.iter().map(|(packet, found)| tell(packet, found, &self.pieces)).collect()
        })?;
        let any = tried.iter().any(|(_, found)| found.is_ok());
        Ok(if any { ExitCode::SUCCESS } else { ExitCode::from(1) })
    }

    fn shelf(&self, system: System) -> anyhow::Result<Vec<Remnant>> {
        let units = match system {
            System::Inch => Units::Inch,
            System::Metric => Units::Mm,
        };
        let read = |text: &String| {
            let (name, what) = match text.rsplit_once(':') {
                Some((name, what)) => (Some(name.trim().to_owned()), what),
                None => (None, text.as_str()),
            };
            let given =
                Given::parse(what, units).map_err(|error| anyhow::anyhow!("--piece: {error}"))?;
            let width = given.usable.unwrap_or(usual_usable(given.width, system));
            if !width.is_positive() || !given.length.is_positive() {
                anyhow::bail!("--piece: `{text}` is no piece: it has no width or no length");
            }
            Ok(Remnant { name, width, length: given.length })
        };
        self.pieces.iter().map(read).collect()
    }
}

/// What became of one bag, in words.
fn tell(packet: &Packet, found: &Result<FromShelf, NotFromShelf>, pieces: &[String]) -> String {
    let (title, system) = (&packet.pattern.title, packet.system);
    let found = match found {
        Ok(found) => found,
        Err(NotFromShelf::TooLittle(name)) => {
            return format!("{title}: no; there is too little for the {name}\n");
        }
        Err(NotFromShelf::NotFound(name)) => {
            return format!(
                "{title}: no layout of the {name} was found; it is not proven that there is none\n"
            );
        }
    };
    let mut text = format!("{title}: yes\n");
    for cloth in &found.cloths {
        let mut on: Vec<usize> =
            cloth.layout.placements.iter().map(|placement| cloth.on[placement.stock]).collect();
        on.sort_unstable();
        on.dedup();
        let on: Vec<&str> = on.into_iter().map(|at| pieces[at].as_str()).collect();
        let name = &packet.pattern.material(cloth.material).name;
        text.push_str(&format!("  {name}: from {}\n", on.join(" and ")));
    }
    for (at, (width, length)) in found.rest.iter().enumerate() {
        let left = if found.whole.contains(&at) {
            "not touched".to_owned()
        } else if width.is_positive() && length.is_positive() {
            format!(
                "leaves {} in one piece ({})",
                show_size(*width, *length, system),
                show_area(Area::rectangle(*width, *length), system)
            )
        } else {
            "is used up".to_owned()
        };
        text.push_str(&format!("  {}: {left}\n", pieces[at]));
    }
    text
}
