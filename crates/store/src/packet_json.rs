//! `packet.json`: everything in a packet, for other programs.
//!
//! The structs here are the file's format and nothing else; the packet's own types stay free of
//! it. `packet_json/page.rs` documents every field, and a test holds the two together. Whoever
//! changes a field so that a reader could be misled counts [`VERSION`] up.

pub(crate) mod findings;
mod layouts;
mod page;
mod pieces;

use bag::pattern::{Form, Material, MaterialId, Notion, Pattern};
use measure::{Length, System, Units};
use packet::takes::{Pace, Takes, ThreadNeed};
use packet::{Packet, Reading};
use serde::Serialize;

pub use findings::{findings_json, problems_json};
pub use page::packet_page;

/// The version of the format.
pub const VERSION: u32 = 2;

/// The text of `packet.json`.
pub fn packet_json(packet: &Packet) -> String {
    crate::json::pretty(&PacketJson::of(packet))
}

#[derive(Serialize)]
struct PacketJson<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    about: &'a str,
    edition: EditionJson<'a>,
    drafted_in: &'static str,
    read_in: &'static str,
    reading: &'static str,
    ready_to_cut: bool,
    finished: FinishedJson,
    materials: Vec<MaterialJson<'a>>,
    pieces: Vec<pieces::PieceJson<'a>>,
    yardage: Vec<layouts::YardageJson<'a>>,
    widths: Vec<layouts::WidthJson<'a>>,
    layouts: Vec<layouts::LayoutJson<'a>>,
    notions: Vec<NotionJson<'a>>,
    tools: &'a [String],
    thread: Vec<ThreadJson<'a>>,
    steps: Vec<StepJson<'a>>,
    findings: Vec<findings::FindingJson<'a>>,
}

#[derive(Serialize)]
struct EditionJson<'a> {
    number: u32,
    date: &'a str,
    changes: &'a [String],
}

#[derive(Serialize)]
struct FinishedJson {
    width_mm: f64,
    height_mm: f64,
    depth_mm: f64,
    top_width_mm: f64,
    volume_l: f64,
}

#[derive(Serialize)]
struct MaterialJson<'a> {
    id: &'a str,
    name: &'a str,
    serves: &'a str,
    form: &'static str,
    bought_width_mm: f64,
    usable_width_mm: f64,
    one_way: bool,
    turnable: bool,
    shrinks_in_length_percent: f64,
    shrinks_in_width_percent: f64,
}

#[derive(Serialize)]
struct NotionJson<'a> {
    text: String,
    kind: &'static str,
    count: u32,
    width_mm: Option<f64>,
    length_mm: Option<f64>,
    thickness_mm: Option<f64>,
    serves: &'a str,
    mass_g: Option<f64>,
    mass_from: &'static str,
}

#[derive(Serialize)]
struct ThreadJson<'a> {
    material: &'a str,
    length_mm: f64,
}

#[derive(Serialize)]
struct StepJson<'a> {
    id: &'a str,
    chapter: &'static str,
    text: &'a str,
    caution: Option<&'a str>,
    checkpoint: Option<&'a str>,
    seconds: u64,
}

impl<'a> PacketJson<'a> {
    fn of(packet: &'a Packet) -> Self {
        let pattern = &packet.pattern;
        let takes = Takes::of(packet, Pace::USUAL);
        Self {
            format: "bagwright packet",
            version: VERSION,
            title: &pattern.title,
            about: &pattern.about,
            edition: EditionJson {
                number: pattern.edition.number,
                date: &pattern.edition.date,
                changes: &pattern.edition.changes,
            },
            drafted_in: units(pattern.units),
            read_in: system(packet.system),
            reading: match packet.reading {
                Reading::Own => "own",
                Reading::Redrafted => "redrafted",
                Reading::Converted => "converted",
            },
            ready_to_cut: !packet.has_errors(),
            finished: FinishedJson {
                width_mm: packet.finished.width.to_mm(),
                height_mm: packet.finished.height.to_mm(),
                depth_mm: packet.finished.depth.to_mm(),
                top_width_mm: packet.finished.top_width.to_mm(),
                volume_l: packet.finished.volume.to_litres(),
            },
            materials: pattern.materials.iter().map(material).collect(),
            pieces: pieces::all(pattern),
            yardage: layouts::yardage(packet),
            widths: layouts::widths(packet),
            layouts: layouts::all(packet),
            notions: pattern.notions.iter().map(|it| notion(it, packet.system)).collect(),
            tools: &pattern.tools,
            thread: takes.threads.iter().map(|need| thread(packet, need)).collect(),
            steps: packet
                .steps
                .iter()
                .zip(&takes.steps)
                .map(|(text, spent)| step(text, spent.seconds()))
                .collect(),
            findings: findings::all(&packet.findings),
        }
    }
}

fn material(material: &Material) -> MaterialJson<'_> {
    let form = match material.form {
        Form::Fabric(_) => "fabric",
        Form::Interfacing(_) => "interfacing",
        Form::Webbing { .. } => "webbing",
    };
    let (bought, usable) = match &material.form {
        Form::Fabric(cloth) | Form::Interfacing(cloth) => (cloth.bought_width, cloth.usable_width),
        Form::Webbing { width, .. } => (*width, *width),
    };
    let cloth = material.cloth();
    // Parts per million, as the pattern keeps them.
    let percent = |share: Option<u32>| f64::from(share.unwrap_or(0)) / 10_000.0;
    MaterialJson {
        id: &material.id,
        name: &material.name,
        serves: &material.serves,
        form,
        bought_width_mm: bought.to_mm(),
        usable_width_mm: usable.to_mm(),
        one_way: cloth.is_some_and(|cloth| cloth.one_way),
        turnable: cloth.is_some_and(|cloth| cloth.turnable),
        shrinks_in_length_percent: percent(cloth.map(|cloth| cloth.shrinks_in_length)),
        shrinks_in_width_percent: percent(cloth.map(|cloth| cloth.shrinks_in_width)),
    }
}

fn notion(notion: &Notion, system: System) -> NotionJson<'_> {
    let mass = notion.mass();
    NotionJson {
        text: notion.describe(system),
        kind: notion.kind.key,
        count: notion.count,
        width_mm: mm(notion.width),
        length_mm: mm(notion.length),
        thickness_mm: mm(notion.thickness),
        serves: &notion.serves,
        mass_g: mass.map(|(mass, _)| mass.to_grams()),
        mass_from: match mass {
            Some((_, true)) => "given",
            Some((_, false)) => notion.kind.source,
            None => "unknown",
        },
    }
}

fn thread<'a>(packet: &'a Packet, need: &ThreadNeed) -> ThreadJson<'a> {
    ThreadJson {
        material: material_id(&packet.pattern, need.matches),
        length_mm: need.length.to_mm(),
    }
}

fn step(step: &packet::StepText, seconds: u64) -> StepJson<'_> {
    StepJson {
        seconds,
        id: &step.id,
        chapter: step.chapter.title(),
        text: &step.text,
        caution: step.mind.as_deref(),
        checkpoint: step.checkpoint.as_deref(),
    }
}

/// The id by which the file refers to a material.
fn material_id(pattern: &Pattern, id: MaterialId) -> &str {
    &pattern.material(id).id
}

fn mm(length: Option<Length>) -> Option<f64> {
    length.map(Length::to_mm)
}

fn units(units: Units) -> &'static str {
    match units {
        Units::Inch => "inch",
        Units::Cm => "cm",
        Units::Mm => "mm",
    }
}

fn system(system: System) -> &'static str {
    system.name()
}
