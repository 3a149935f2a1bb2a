//! `bagwright remnants`: which bags can be cut from the pieces of fabric that there are.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::Context;
use bag::draft::usual_usable;
use clap::Args;
use layout::Shape;
use measure::{Area, Length, Outline, Point, System, Units, show_area, show_size};
use packet::Packet;
use packet::largest::Given;
use packet::shelf::{FromShelf, NotFromShelf, Remnant, from_shelf};

use super::folder::Folder;
use super::progress::Progress;
use super::{print, read};

/// Find out which bags can be cut from the pieces of fabric that there are, on which of them, and
/// what is left: the bag that leaves the largest piece comes first.
///
/// Interfacing and webbing are taken to be there. Exit code 1 when none can be cut. With -o a folder
/// is written with a picture of each piece of fabric and what is cut from it.
#[derive(Debug, Args)]
pub(crate) struct Remnants {
    /// Design or pattern files.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// A piece that there is: "1 yd of 54 in", "22 x 18 in" (width × length), "fat quarter"; with a
    /// corner cut away "22 x 18 in less 8 x 6 in" (the upper right one, right side up); for one fabric
    /// alone "linen canvas: 22 x 18 in". May be given several times.
    #[arg(long = "piece", required = true, value_name = "[NAME:]FABRIC")]
    pieces: Vec<String>,
    /// A folder for the pictures, as SVG and PNG.
    #[arg(short, long, value_name = "DIR")]
    output: Option<PathBuf>,
    /// Replace pictures that are there.
    #[arg(long, requires = "output")]
    replace: bool,
    /// Print it as JSON.
    #[arg(long)]
    json: bool,
}

/// Pixels for each mm of a picture.
const PIXELS: f64 = 8.0;

impl Remnants {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let mut progress = Progress::begin();
        let mut tried: Vec<(Packet, Result<FromShelf, NotFromShelf>)> = Vec::new();
        let folder = match &self.output {
            Some(place) => Some(Folder::begin(place, self.replace)?),
            None => None,
        };
        for path in &self.files {
            progress.now(&format!("Laying out {}", path.display()));
            let Some(file) = read::file(path)? else { return Ok(ExitCode::from(2)) };
            let built = read::build(&file.content, None, false);
            let Some((packet, _)) = read::ready(&file, built, false) else {
                return Ok(ExitCode::from(1));
            };
            let found = from_shelf(&packet, &self.shelf(packet.system)?);
            if let (Some(folder), Ok(found)) = (&folder, &found) {
                pictures(folder, path, &packet, found)?;
            }
            tried.push((packet, found));
        }
        tried.sort_by_key(|(_, found)| {
            std::cmp::Reverse(found.as_ref().map_or(-1, |found| found.best_rest().to_nm2()))
        });
        let json = store::remnants_json(&tried);
        if let Some(folder) = folder {
            folder.write("remnants.json", json.as_bytes())?;
            folder.finish()?;
        }
        progress.done();
        print(&if self.json {
            json
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
            let parse = |text: &str| {
                let given = Given::parse(text.trim(), units);
                given.map_err(|error| anyhow::anyhow!("--piece: {error}"))
            };
            let (whole, less) = match what.split_once(" less ") {
                Some((whole, less)) => (parse(whole)?, Some(parse(less)?)),
                None => (parse(what)?, None),
            };
            let width = whole.usable.unwrap_or(usual_usable(whole.width, system));
            let length = whole.length;
            if !width.is_positive() || !length.is_positive() {
                anyhow::bail!("--piece: `{text}` is no piece: it has no width or no length");
            }
            let Some(less) = less else { return Ok(Remnant::rectangle(name, width, length)) };
            let shape = less_a_corner((width, length), (less.width, less.length));
            let shape = shape.with_context(|| {
                format!(
                    "--piece: `{text}` is no piece: its corner is as large as itself, or nothing"
                )
            })?;
            Ok(Remnant { name, shape })
        };
        self.pieces.iter().map(read).collect()
    }
}

/// A rectangle without its upper right corner; none when nothing is cut away, or nothing is left.
fn less_a_corner(whole: (Length, Length), corner: (Length, Length)) -> Option<Shape> {
    let (x, y) = (whole.0 - corner.0, whole.1 - corner.1);
    let is_corner = [x, y, corner.0, corner.1].iter().all(|length| length.is_positive());
    let zero = Length::ZERO;
    let corners =
        [(zero, zero), (whole.0, zero), (whole.0, y), (x, y), (x, whole.1), (zero, whole.1)];
    let outline = Outline::polygon(corners.map(|(x, y)| Point::new(x, y))).ok();
    outline.filter(|_| is_corner).map(Shape::Outline)
}

/// A picture of each piece of fabric that is cut, with what comes from it.
fn pictures(
    folder: &Folder,
    design: &Path,
    packet: &Packet,
    found: &FromShelf,
) -> anyhow::Result<()> {
    let stem = design.file_stem().map_or_else(String::new, |it| it.to_string_lossy().into_owned());
    for (piece, scene) in paper::remnant_scenes(packet, found) {
        let name = format!("{stem}-from-piece-{}", piece + 1);
        folder.write(&format!("{name}.svg"), drawing::svg::file(&scene).as_bytes())?;
        folder.write(&format!("{name}.png"), &paper::png(&scene, PIXELS)?)?;
    }
    Ok(())
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
