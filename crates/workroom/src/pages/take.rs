//! What can be taken away: booklet, templates, handout, lists, drawings, all of it in one file.

use std::io::{Cursor, Write};

use drawing::svg;
use maud::{Markup, html};
use measure::System;
use packet::{Packet, Reading};
use paper::{Options, PaperSize};
use zip::write::SimpleFileOptions;

use super::files::{self, File};
use super::shell::{not_yet, of_bag, way};
use super::{Ended, Page, templates};
use crate::ask::{Answer, Ask, file_name};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// What there is to take.
const FILES: [File; 9] = [
    (
        "booklet.pdf",
        "Booklet",
        "Everything to print: what to buy and cut, layouts, pieces, every step with its picture.",
    ),
    ("templates.pdf", "Templates", "The pieces true to size, on the paper that your printer has."),
    ("handout.html", "Handout", "The steps to tick off, in one file for a phone or a tablet."),
    ("shopping.txt", "Shopping list", "What to buy, and why so much."),
    ("cut-list.txt", "Cut list", "Every piece with its size, to tick off."),
    ("pictures.zip", "Pictures", "Pieces and layouts as drawings (SVG)."),
    ("dxf.zip", "For machines", "Pieces and layouts true to size (DXF)."),
    ("packet.json", "Data", "All results, for programs."),
    ("all.zip", "All of it", "Everything above in one file."),
];

/// The page.
pub(super) fn page(room: &Room, drawn: &Drawn) -> Page {
    let (id, opened) = (drawn.opened.id, &drawn.opened);
    let body = match &drawn.packet {
        None => html! {
            h1 { (drawn.design.title) } (not_yet(id, "packet"))
            p { a.button href={ (way(id, "design.toml")) } { "Save the design as a file" } }
        },
        Some(packet) => html! {
            h1 { (drawn.design.title) ": print and files" }
            @if packet.has_errors() { p.wrong { "Not ready to cut: see what was found in the design. Every page is marked so." } }
            ul.take {
                (files::offered(&FILES, |file| format!("{}/{file}", way(id, "take"))))
                li {
                    a.button href={ (way(id, "design.toml")) } download { "The design" }
                    p { "A few lines of text, to keep, to send to a colleague, or to make packets from in another place." span.says { " design.toml" } }
                }
            }
            h2 { "Print" }
            p { "Open the booklet or the templates and print from there; templates always at 100 %. The list for the shop prints from the page " a href=(way(id, "shopping")) { "Shopping" } "." }
            div.row {
                a.button href={ (way(id, "take")) "/booklet.pdf?look=yes" } { "Open the booklet" }
                a.button href={ (way(id, "take")) "/templates.pdf?look=yes" } { "Open the templates" }
                a.button href={ (way(id, "take")) "/handout.html?look=yes" } { "Open the handout" }
            }
            h2 { "For the class" }
            (sharing(room, id, opened.is_shared, opened.revision))
        },
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "take", &body)))
}

fn sharing(room: &Room, id: i64, is_shared: bool, revision: i64) -> Markup {
    html! {
        form.row method="post" action=(way(id, "share")) {
            (super::shell::hidden("revision", revision))
            (super::shell::hidden("share", if is_shared { "no" } else { "yes" }))
            button { @if is_shared { "No longer share the handout" } @else { "Share the handout with the class" } }
        }
        @match &room.class {
            Some(class) => p { "Tablets of the class open " strong { (class.address) } " and give the word " strong { (class.word) } ". They can read shared handouts, and nothing else." },
            None => p.help { "Shared handouts can be read on the class's tablets once bagwright is started with --listen; it then tells the address and a word of entry." },
        }
    }
}

/// A design's text as a file.
pub(super) fn toml(room: &Room, id: i64) -> Page {
    let opened = room.keep.bag(id)?;
    let title = store::read_design("", &opened.text).map_or("bag".to_owned(), |d| d.title);
    Ok(Answer::download(&format!("{title}.toml"), "application/toml", opened.text))
}

/// One of the files.
pub(super) fn file(room: &Room, ask: &Ask, drawn: &Drawn, file: &str) -> Page {
    files::known(&FILES, file)?;
    let packet = room.best(drawn).ok_or(Trouble::NotThere("packet"))?;
    let (media, bytes) = (files::media(file), make(ask, drawn, &packet, file)?);
    if ask.query.text("look") == "yes" {
        let policy = media.starts_with("text/html").then(handout_policy);
        return Ok(Answer { policy, ..Answer::of(media, bytes) });
    }
    Ok(Answer::download(&format!("{} {file}", drawn.design.title), media, bytes))
}

/// The handout brings its own style and script, and asks for nothing.
pub(crate) fn handout_policy() -> String {
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; \
     form-action 'none'; frame-ancestors 'none'"
        .to_owned()
}

fn make(ask: &Ask, drawn: &Drawn, packet: &Packet, file: &str) -> Result<Vec<u8>, Ended> {
    let broken = |error: &dyn std::fmt::Display| Trouble::Broken(error.to_string());
    Ok(match file {
        "booklet.pdf" => {
            let options = Options { paper: paper_size(packet.system), ..Options::default() };
            paper::booklet(packet, options).map_err(|e| broken(&e))?
        }
        "templates.pdf" => {
            let (_, options) = templates::options(ask, packet.system);
            paper::templates(packet, options, false).map_err(|e| broken(&e))?
        }
        "handout.html" => handout(drawn, packet)?.into_bytes(),
        "shopping.txt" => paper::shopping_text(packet).into_bytes(),
        "cut-list.txt" => paper::cut_list_text(packet).into_bytes(),
        "packet.json" => store::packet_json(packet).into_bytes(),
        "pictures.zip" => zipped(pictures(packet))?,
        "dxf.zip" => zipped(dxf(packet))?,
        _ => {
            let mut all = vec![("design.toml".to_owned(), drawn.opened.text.clone().into_bytes())];
            for (name, ..) in FILES {
                match name {
                    "pictures.zip" => all.extend(pictures(packet)),
                    "dxf.zip" => all.extend(dxf(packet)),
                    "all.zip" => {}
                    name => all.push((name.to_owned(), make(ask, drawn, packet, name)?)),
                }
            }
            zipped(all)?
        }
    })
}

/// The paper that is usual with a ruler.
pub(super) const fn paper_size(system: System) -> PaperSize {
    match system {
        System::Inch => PaperSize::Letter,
        System::Metric => PaperSize::A4,
    }
}

/// The handout on both rulers.
pub(crate) fn handout(drawn: &Drawn, packet: &Packet) -> Result<String, Trouble> {
    let other = match packet.system {
        System::Inch => System::Metric,
        System::Metric => System::Inch,
    };
    let converted = packet::build_for(&drawn.design, other, Reading::Converted);
    let converted = converted.packet.ok_or(Trouble::NotThere("handout"))?;
    Ok(paper::handout(packet, &converted))
}

type Files = Vec<(String, Vec<u8>)>;

fn pictures(packet: &Packet) -> Files {
    let pieces = paper::piece_scenes(packet).into_iter().map(|(id, _, scene)| {
        let name = format!("pieces/{}.svg", packet.pattern.piece(id).id);
        (name, svg::file(&scene).into_bytes())
    });
    let layouts = paper::layout_scenes(packet).into_iter().flatten().map(|(_, scene)| {
        let name = format!("layouts/{}.svg", scene.id.trim_start_matches("layout-"));
        (name, svg::file(&scene).into_bytes())
    });
    pieces.chain(layouts).collect()
}

fn dxf(packet: &Packet) -> Files {
    let pattern = &packet.pattern;
    let cut = pattern.piece_ids().filter(|id| pattern.count(*id) > 0);
    let pieces = cut.map(|id| {
        let name = format!("dxf/piece-{}.dxf", pattern.piece(id).id);
        (name, drawing::dxf::piece(pattern, id).file().into_bytes())
    });
    let layouts = packet.cuts.iter().enumerate().filter_map(|(index, cut)| {
        let layout = cut.layout.as_ref()?;
        let material = &pattern.material(cut.material).id;
        let name = format!("dxf/layout-{}-{material}.dxf", index + 1);
        Some((name, drawing::dxf::layout(&cut.sheet.problem, layout).file().into_bytes()))
    });
    pieces.chain(layouts).collect()
}

/// Files in one; their names come from ids of the pattern and are made safe once more.
fn zipped(files: Files) -> Result<Vec<u8>, Trouble> {
    let broken = |error: &dyn std::fmt::Display| Trouble::Broken(error.to_string());
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Stored)
        .last_modified_time(zip::DateTime::default());
    for (name, bytes) in files {
        let parts: Vec<String> = name.split('/').map(file_name).collect();
        zip.start_file(parts.join("/"), options).map_err(|error| broken(&error))?;
        zip.write_all(&bytes).map_err(|error| broken(&error))?;
    }
    Ok(zip.finish().map_err(|error| broken(&error))?.into_inner())
}
