//! `bagwright draw`: one picture alone.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail};
use bag::Severity;
use clap::{Args, ValueEnum};
use drawing::Scene;
use drawing::finished::{self, Beside, FinishedOptions, Showing, View};
use measure::{Length, Units, parse_length};
use packet::Packet;

use super::read::Named;
use super::{Ruler, print, read, say};

/// Draw one picture of a design or a pattern file: the finished bag, a piece, a layout or a step.
///
/// The ending of the file says how it is written: .svg or .png. A bag with errors is drawn too;
/// they are told, and the exit code is 1.
#[derive(Debug, Args)]
pub(crate) struct Draw {
    #[command(flatten)]
    bag: Named,
    /// The file to write, FILE.svg or FILE.png.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// What is drawn.
    #[arg(long, value_enum, default_value_t = What::Bag)]
    what: What,
    /// Which piece (its name), layout or step (its number); all pieces, layouts and steps are named
    /// if there is none of that name.
    #[arg(long, value_name = "NAME")]
    which: Option<String>,
    /// From how far to the right of the front the bag is seen, in degrees: 90 is its right side,
    /// 180 its back.
    #[arg(long, allow_negative_numbers = true, value_name = "DEGREES", value_parser = degrees)]
    turn: Option<f64>,
    /// From how far above, in degrees: 90 is straight above, a negative number from below.
    #[arg(long, allow_negative_numbers = true, value_name = "DEGREES", value_parser = degrees)]
    rise: Option<f64>,
    /// Handles that hang down, and do not stand up.
    #[arg(long)]
    hanging: bool,
    /// A person who carries the bag, this tall: "168 cm", "5 ft 6 in".
    #[arg(long, value_name = "HEIGHT", conflicts_with = "sheet")]
    person: Option<String>,
    /// A sheet of paper beside the bag, A4 or Letter.
    #[arg(long)]
    sheet: bool,
    /// The bag without its measures.
    #[arg(long)]
    plain: bool,
    /// Width of a PNG, in pixels.
    #[arg(long, default_value_t = 1600, value_parser = clap::value_parser!(u32).range(100..=8000))]
    pixels: u32,
    /// The reader's ruler. On the other ruler than the file's the bag is drafted anew.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// With --units: keep the pieces as they are, and convert each measure.
    #[arg(long, requires = "units")]
    converted: bool,
}

/// What can be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum What {
    /// The finished bag, closed.
    Bag,
    /// The finished bag, open.
    Open,
    /// The finished bag with its near side cut away.
    Inside,
    /// One piece with its sizes and marks; --which says which.
    Piece,
    /// One cutting layout; --which gives its number.
    Layout,
    /// One step; --which gives its number.
    Step,
}

/// How a picture is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Svg,
    Png,
}

/// An angle, as people write it.
fn degrees(text: &str) -> Result<f64, String> {
    let number: f64 = text
        .trim()
        .trim_end_matches('°')
        .parse()
        .map_err(|_| "an angle is a number of degrees, such as 30".to_owned())?;
    let within = number.is_finite() && number.abs() <= 360.0;
    within.then_some(number).ok_or_else(|| "an angle lies between -360 and 360 degrees".to_owned())
}

/// Room for the finished bag, width × height in mm.
const ROOM: (f64, f64) = (160.0, 150.0);

impl Draw {
    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let ending = ending(&self.output)?;
        let height = self.person.as_deref().map(person).transpose()?;
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let built = read::build(&file.content, self.units, self.converted);
        let errors = built.findings.iter().any(|finding| finding.severity == Severity::Error);
        if errors {
            built.findings.iter().for_each(|finding| say(&read::tell(&file, finding)));
        }
        let Some(packet) = built.packet else {
            say(&format!("bagwright: {} cannot be made, so nothing was drawn", file.name));
            return Ok(ExitCode::from(1));
        };
        let scene = self.scene(&packet, height)?;
        let bytes = match ending {
            Ending::Svg => drawing::svg::file(&scene).into_bytes(),
            Ending::Png => paper::png(&scene, f64::from(self.pixels) / scene.bounds().width())?,
        };
        super::folder::write_file(&self.output, &bytes)
            .with_context(|| format!("{} cannot be written", self.output.display()))?;
        print(&format!("{} in {}\n", scene.title, self.output.display()))?;
        Ok(if errors { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }

    fn scene(&self, packet: &Packet, height: Option<Length>) -> anyhow::Result<Scene> {
        let pattern = &packet.pattern;
        match self.what {
            What::Bag => self.bag(packet, Showing::Closed, height),
            What::Open => self.bag(packet, Showing::Open, height),
            What::Inside => self.bag(packet, Showing::Inside, height),
            What::Piece => {
                let scenes = paper::piece_scenes(packet);
                let names = |id| (pattern.piece(id).id.clone(), pattern.piece(id).name.clone());
                let known: Vec<String> = scenes.iter().map(|(id, ..)| names(*id).1).collect();
                let wanted = self.wanted("piece", &known)?;
                let found = scenes.into_iter().find(|(id, ..)| {
                    let (id, name) = names(*id);
                    id.eq_ignore_ascii_case(wanted) || name.eq_ignore_ascii_case(wanted)
                });
                found.map(|(_, _, scene)| scene).with_context(|| none("piece", wanted, &known))
            }
            What::Layout => {
                let scenes = paper::layout_scenes(packet);
                let titles: Vec<String> = packet
                    .cuts
                    .iter()
                    .enumerate()
                    .map(|(index, cut)| format!("{} ({})", index + 1, cut.title(pattern)))
                    .collect();
                let wanted = self.wanted("layout", &titles)?;
                let number = wanted.parse::<usize>().ok().and_then(|it| it.checked_sub(1));
                let found = number.and_then(|index| scenes.into_iter().nth(index));
                let found = found.with_context(|| none("layout", wanted, &titles))?;
                found.map(|(_, scene)| scene).context("its pieces do not fit on the fabric")
            }
            What::Step => {
                let scenes = drawing::steps::draw_all(pattern, packet.system);
                let known = [format!("1 to {}", scenes.len())];
                let wanted = self.wanted("step", &known)?;
                let number = wanted.parse::<usize>().ok().and_then(|it| it.checked_sub(1));
                let by_name = || pattern.steps.iter().position(|step| step.id == wanted);
                let found = number.or_else(by_name).and_then(|at| scenes.into_iter().nth(at));
                found.with_context(|| none("step", wanted, &known))
            }
        }
    }

    /// The name that was asked for.
    fn wanted(&self, what: &str, known: &[String]) -> anyhow::Result<&str> {
        let list = known.join(", ");
        self.which
            .as_deref()
            .map(str::trim)
            .with_context(|| format!("say which {what} with --which: {list}"))
    }

    fn bag(
        &self,
        packet: &Packet,
        showing: Showing,
        height: Option<Length>,
    ) -> anyhow::Result<Scene> {
        let pattern = &packet.pattern;
        let usual = finished::usual_view(pattern, showing);
        let view = View {
            turn: self.turn.unwrap_or(usual.turn),
            rise: self.rise.unwrap_or(usual.rise).clamp(-90.0, 90.0),
        };
        let beside = match height {
            Some(height) => Some(Beside::Person(height)),
            None => self.sheet.then_some(Beside::Sheet),
        };
        let options = FinishedOptions {
            view: Some(view),
            measures: !self.plain && showing == Showing::Closed,
            showing,
            hanging: self.hanging,
            beside,
            ..FinishedOptions::new(packet.system, ROOM)
        };
        let scene = finished::draw(pattern, options);
        if scene.layers.is_empty() {
            bail!(
                "the panels of {} do not fold to a bag of its finished size: its hinges are missing \
                 or wrong, so there is no picture of it",
                pattern.title
            );
        }
        Ok(scene)
    }
}

/// What to say of a name that there is not.
fn none(what: &str, wanted: &str, known: &[String]) -> String {
    format!("there is no {what} `{wanted}`; there is {}", known.join(", "))
}

fn ending(path: &Path) -> anyhow::Result<Ending> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("svg") => Ok(Ending::Svg),
        Some("png") => Ok(Ending::Png),
        _ => bail!("{}: name a file that ends in .svg or .png", path.display()),
    }
}

/// The height of a person.
fn person(text: &str) -> anyhow::Result<Length> {
    let height = parse_length(text, Units::Mm)
        .map_err(|error| anyhow::anyhow!("--person {text}: {error}; write 168 cm or 5 ft 6 in"))?;
    if height < Length::mm(500) || height > Length::mm(2500) {
        bail!("--person {text}: a person is between 50 cm and 250 cm tall");
    }
    Ok(height)
}
