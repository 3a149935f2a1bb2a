//! `bagwright make`: a design in, the packet out.

use std::path::PathBuf;
use std::process::ExitCode;

use bag::Severity;
use clap::{Args, ValueEnum};
use drawing::templates::TemplateOptions;
use measure::System;
use packet::Packet;
use paper::{Options, PaperSize};

use super::folder::Folder;
use super::progress::Progress;
use super::read::{self, BagFile, Named};
use super::{Ruler, print, say};

/// Make the packet of a design or a pattern file: booklet, lists, templates, drawings and packet.json.
///
/// With an error among the findings nothing is written, and the exit code is 1.
#[derive(Debug, Args)]
pub(crate) struct Make {
    #[command(flatten)]
    bag: Named,
    /// The folder to write; whole or not at all.
    #[arg(short, long, value_name = "DIR")]
    output: PathBuf,
    /// Replace a packet that is there already.
    #[arg(long)]
    replace: bool,
    /// The reader's ruler. On the other ruler the bag is drafted anew, with round sizes there.
    #[arg(long, value_enum)]
    units: Option<Ruler>,
    /// With --units: keep the pieces as they are, and convert each measure.
    #[arg(long, requires = "units")]
    converted: bool,
    /// Paper of booklet and templates; Letter for inches and A4 for metric if left out.
    #[arg(long, value_enum)]
    paper: Option<Sheet>,
    /// Write each measure in the booklet on both rulers, the reader's own first.
    #[arg(long)]
    both: bool,
    /// Large letters in the booklet, for those who would rather not reach for their glasses.
    #[arg(long)]
    large_print: bool,
    /// Make only these, and packet.json, by which a packet is known.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "PARTS")]
    only: Vec<Part>,
    /// Write it in spite of errors, with "not ready to cut" on each page.
    #[arg(long)]
    draft: bool,
    /// How long to look for layouts that take less fabric; 0 takes the first ones.
    #[arg(long, default_value_t = 200, value_parser = clap::value_parser!(u32).range(0..=100_000))]
    rounds: u32,
    /// Also print packet.json on standard output.
    #[arg(long)]
    json: bool,
}

/// Paper for the booklet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Sheet {
    /// 210 × 297 mm.
    A4,
    /// 8 1/2 × 11 in.
    Letter,
}

/// A part of the packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Part {
    /// booklet.pdf: everything, to print.
    Booklet,
    /// shopping.txt and cut-list.txt.
    Lists,
    /// finished.png and finished.svg, pieces/ and layouts/: pictures.
    Drawings,
    /// templates.pdf: the pieces true to size.
    Templates,
    /// handout.html: the steps for a phone or a tablet, to tick off.
    Handout,
    /// dxf/: pieces and layouts true to size, for machines.
    Dxf,
}

impl Make {
    /// Whether a part is wanted; all are if none is named.
    fn wants(&self, part: Part) -> bool {
        self.only.is_empty() || self.only.contains(&part)
    }

    /// Runs it.
    pub(crate) fn run(&self) -> anyhow::Result<ExitCode> {
        let Some(file) = self.bag.read()? else { return Ok(ExitCode::from(2)) };
        let mut progress = Progress::begin();
        progress.now("Drafting and checking");
        let built = read::build(&file.content, self.units, self.converted);
        let errors = built.findings.iter().any(|finding| finding.severity == Severity::Error);
        for finding in &built.findings {
            if finding.severity != Severity::Note || errors {
                progress.done();
                say(&read::tell(&file, finding));
            }
        }
        let packet = match built.packet {
            Some(packet) if !errors || self.draft => packet,
            _ => {
                progress.done();
                say(&self.refusal(&file));
                return Ok(ExitCode::from(1));
            }
        };
        let folder = Folder::begin(&self.output, self.replace)?;
        progress.now("Laying out the pieces");
        let packet = packet::refine(&packet, self.rounds);
        let json = store::packet_json(&packet);
        self.fill(&folder, &file, &packet, &json, &mut progress)?;
        folder.finish()?;
        progress.done();
        if self.json {
            print(&json)?;
        } else {
            print(&self.summary(&packet))?;
        }
        Ok(if errors { ExitCode::from(1) } else { ExitCode::SUCCESS })
    }

    fn fill(
        &self,
        folder: &Folder,
        file: &BagFile,
        packet: &Packet,
        json: &str,
        progress: &mut Progress,
    ) -> anyhow::Result<()> {
        folder.write("packet.json", json.as_bytes())?;
        if self.wants(Part::Lists) {
            folder.write("cut-list.txt", paper::cut_list_text(packet).as_bytes())?;
            folder.write("shopping.txt", paper::shopping_text(packet).as_bytes())?;
        }
        if self.wants(Part::Drawings) {
            progress.now("Drawing pieces and layouts");
            drawings(folder, packet)?;
        }
        if self.wants(Part::Dxf) {
            dxf(folder, packet)?;
        }
        if self.wants(Part::Templates) {
            progress.now("Drawing the templates");
            let word = self.paper.map(|sheet| match sheet {
                Sheet::A4 => "a4",
                Sheet::Letter => "letter",
            });
            let stock = super::templates::stock(word, packet.system);
            let options = TemplateOptions { system: packet.system, stock, rectangles: false };
            folder.write("templates.pdf", &paper::templates(packet, options, self.draft)?)?;
        }
        if self.wants(Part::Handout) {
            let page = super::handout::page(file, packet, self.units.filter(|_| !self.converted))?;
            folder.write("handout.html", page.as_bytes())?;
        }
        if !self.wants(Part::Booklet) {
            return Ok(());
        }
        progress.now("Typesetting the booklet");
        let paper = match (self.paper, packet.system) {
            (Some(Sheet::A4), _) | (None, System::Metric) => PaperSize::A4,
            (Some(Sheet::Letter), _) | (None, System::Inch) => PaperSize::Letter,
        };
        let options = Options { paper, draft: self.draft, large: self.large_print };
        let booklet = if self.both {
            let units = self.units.filter(|_| !self.converted);
            let other = read::other_ruler(&file.content, packet, units)?;
            let other = packet::refine(&other, self.rounds);
            paper::booklet_for_both(packet, &other, options)?
        } else {
            paper::booklet(packet, options)?
        };
        folder.write("booklet.pdf", &booklet)
    }

    fn refusal(&self, file: &BagFile) -> String {
        format!(
            "bagwright: {} is not ready to cut, so nothing was written; mend the errors{}",
            file.name,
            if self.draft { "" } else { ", or look at it with --draft" }
        )
    }

    fn summary(&self, packet: &Packet) -> String {
        let place = self.output.display();
        let mut lines = vec![format!(
            "{}: {} steps, {} pieces to cut",
            packet.pattern.title,
            packet.steps.len(),
            packet.pattern.copies.len(),
        )];
        let parts = [
            (Part::Booklet, "booklet.pdf    everything, to print"),
            (Part::Lists, "shopping.txt   what to buy"),
            (Part::Lists, "cut-list.txt   what to cut"),
            (Part::Templates, "templates.pdf  what no ruler measures out, true to size"),
            (Part::Handout, "handout.html   the steps for a phone or a tablet"),
            (Part::Drawings, "finished.png   the bag; pieces, layouts: pictures of each"),
            (Part::Dxf, "dxf            the same for machines"),
        ];
        let wanted = parts.iter().filter(|(part, _)| self.wants(*part));
        lines.extend(wanted.map(|(_, what)| format!("  {place}/{what}")));
        lines.push(format!("  {place}/packet.json\n"));
        lines.join("\n")
    }
}

/// Pixels to the mm of finished.png: 254 to the inch.
const PIXELS: f64 = 10.0;

fn drawings(folder: &Folder, packet: &Packet) -> anyhow::Result<()> {
    let finished = paper::finished_scene(packet);
    if !finished.layers.is_empty() {
        folder.write("finished.svg", drawing::svg::file(&finished).as_bytes())?;
        folder.write("finished.png", &paper::png(&finished, PIXELS)?)?;
    }
    for (id, _, scene) in paper::piece_scenes(packet) {
        let name = format!("pieces/{}.svg", packet.pattern.piece(id).id);
        folder.write(&name, drawing::svg::file(&scene).as_bytes())?;
    }
    for (_, scene) in paper::layout_scenes(packet).into_iter().flatten() {
        let name = scene.id.trim_start_matches("layout-");
        let svg = drawing::svg::file(&scene);
        folder.write(&format!("layouts/{name}.svg"), svg.as_bytes())?;
    }
    Ok(())
}

/// One file for each piece and for each layout.
fn dxf(folder: &Folder, packet: &Packet) -> anyhow::Result<()> {
    let pattern = &packet.pattern;
    for id in pattern.piece_ids().filter(|id| pattern.count(*id) > 0) {
        let name = format!("dxf/piece-{}.dxf", pattern.piece(id).id);
        folder.write(&name, drawing::dxf::piece(pattern, id).file().as_bytes())?;
    }
    for (index, cut) in packet.cuts.iter().enumerate() {
        let Some(layout) = &cut.layout else { continue };
        let material = &pattern.material(cut.material).id;
        let name = format!("dxf/layout-{}-{material}.dxf", index + 1);
        let drawing = drawing::dxf::layout(&cut.sheet.problem, layout);
        folder.write(&name, drawing.file().as_bytes())?;
    }
    Ok(())
}
