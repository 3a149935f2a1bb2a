//! The booklet: everything a class works from, on A4 or Letter.
//!
//! This file says what the booklet contains, as data; `booklet.typ` says how it looks.

use std::collections::BTreeMap;

use bag::Severity;
use bag::pattern::{Chapter, HandleClaim, PocketClaim};
use drawing::key::{self, Entry};
use drawing::notes::MarkNotes;
use layout::Proof;
use measure::{Length, show_bought, show_length, show_size, show_volume};
use packet::{Packet, StepText};
use serde_json::{Value, json};

use crate::cautions::{self, Caution};
use crate::glossary;
use crate::legible::legible;
use crate::lists::{bought, cut_groups};
use crate::pictures::{Album, finished_scene, layout_scenes, piece_scenes, textures};
use crate::typeset::{Day, PaperError, to_pdf};

/// What the booklet is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PaperSize {
    /// ISO 216 A4, 210 × 297 mm.
    #[default]
    A4,
    /// 8 1/2 × 11 in.
    Letter,
}

impl PaperSize {
    /// The word for it in files and on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// What the typesetter calls it.
    const fn typeset_name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "us-letter",
        }
    }
}

/// How a booklet is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// The paper.
    pub paper: PaperSize,
    /// Print "not ready to cut" on every page. A packet with errors is always marked so.
    pub draft: bool,
}

/// The booklet of a packet as PDF (tagged, PDF/UA-1). The same packet gives the same bytes.
///
/// # Errors
/// Only for faults of the program itself: text from a design cannot cause one.
pub fn booklet(packet: &Packet, options: Options) -> Result<Vec<u8>, PaperError> {
    let date = Day::parse(&packet.pattern.edition.date);
    to_pdf(LOOK, files(packet, options), date)
}

/// How a booklet looks.
const LOOK: &str = include_str!("booklet.typ");

/// What a booklet is set from: its data and its pictures.
fn files(packet: &Packet, options: Options) -> BTreeMap<String, Vec<u8>> {
    let mut album = Album::default();
    let mut data = contents(packet, options, &mut album);
    make_legible(&mut data);
    let mut files = album.files;
    files.insert("data.json".to_owned(), data.to_string().into_bytes());
    files
}

/// Spells every text so that the typeface can show it.
fn make_legible(value: &mut Value) {
    match value {
        Value::String(text) => *text = legible(text),
        Value::Array(items) => items.iter_mut().for_each(make_legible),
        Value::Object(fields) => fields.values_mut().for_each(make_legible),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// All that the booklet says and shows.
fn contents(packet: &Packet, options: Options, album: &mut Album) -> Value {
    let pattern = &packet.pattern;
    let cover = finished_scene(packet);
    let mut data = json!({
        "paper": options.paper.typeset_name(),
        "draft": options.draft || packet.has_errors(),
        "errors": packet.has_errors(),
        "dated": Day::parse(&pattern.edition.date).is_some(),
        "title": pattern.title,
        "about": pattern.about,
        "words": words(packet),
        "edition": { "label": edition(packet), "changes": pattern.edition.changes },
        "cover": if cover.layers.is_empty() { Value::Null } else { album.keep(cover) },
        "cover_facts": cover_facts(packet),
        "findings": findings(packet),
        "glance": glance(packet),
        "materials": materials(packet),
        "need_lists": [
            { "title": "Notions", "items": pattern.notions },
            { "title": "Tools", "items": cautions::TOOLS },
        ],
        "widths": widths(packet),
        "key": [
            { "title": "Lines and marks", "items": samples(key::lines(), album) },
            { "title": "Fabrics", "items": samples(key::cloths(&textures(packet)), album) },
        ],
        "cut_list": cut_list(packet),
        "cautions": {
            "cutting": cautions_json(&cautions::CUTTING),
            "sewing": cautions_json(&cautions::SEWING),
        },
        "layouts": layouts(packet, album),
        "pieces": pieces(packet, album),
        "chapters": chapters(packet),
        "after": [{ "title": "Care and use", "items": cautions::CARE }],
    });
    let glossary: Vec<Value> = glossary::used_in(&data.to_string())
        .into_iter()
        .map(|(term, meaning)| json!({ "term": term, "meaning": meaning }))
        .collect();
    data["glossary"] = glossary.into();
    data
}

/// Headings and standing sentences.
fn words(packet: &Packet) -> Value {
    json!({
        "pattern": "Sewing pattern",
        "not_ready": "NOT READY TO CUT",
        "size_order": "Sizes are width × height.",
        "check": "Check:",
        "mind": "Mind:",
        "findings": "Before you cut",
        "draft_note": "This is a draft. What follows has to be put right before anything is cut.",
        "overview": "At a glance",
        "glance_headings": ["What", "How much"],
        "reading_note": packet.reading_note().unwrap_or_default(),
        "contents": "In this booklet",
        "need": "What you need",
        "need_intro": "Each line says how much the pieces use and how much to buy. The usable width \
            is what lies between the selvedges; measure yours before you cut.",
        "widths": "If your fabric has another width",
        "widths_intro": "What to buy by the width on the bolt, the length for each width.",
        "key": "How to read the drawings",
        "key_intro": "Lines and textures mean the same on every page, in black and white too.",
        "cut_list": "Cut list",
        "cut_intro": "Sizes are as cut, seam allowances included. Tick each piece when it is cut, \
            and pin a note with its name to it.",
        "cut_headings": ["", "Piece", "Cut", "Size", "Grain"],
        "layouts": "Cutting layouts",
        "pieces": "The pieces",
        "pieces_intro": "Each piece is seen from its right side. All marks are measured on the cut \
            piece.",
        "steps": "Step by step",
        "after": "When it is finished",
        "changes": "Changed since the last edition",
        "glossary": "Words used",
        "notes": "Notes",
    })
}

fn edition(packet: &Packet) -> String {
    const MONTHS: [&str; 12] = [
        "January", "February", "March", "April", "May", "June", "July", "August", "September",
        "October", "November", "December",
    ];
    let edition = &packet.pattern.edition;
    let month = |day: Day| MONTHS.get(usize::from(day.month).wrapping_sub(1)).copied();
    let date = match Day::parse(&edition.date) {
        Some(day) => month(day).map_or(String::new(), |name| format!("{} {name} {}", day.day, day.year)),
        None => edition.date.clone(),
    };
    let number = format!("Edition {}", edition.number);
    if date.is_empty() { number } else { format!("{number} · {date}") }
}

/// The measures on the cover: label and value.
fn cover_facts(packet: &Packet) -> Vec<[String; 2]> {
    let finished = &packet.finished;
    let show = |length| show_length(length, packet.system);
    let mut facts = vec![
        ["Width at the base".to_owned(), show(finished.width)],
        ["Height".to_owned(), show(finished.height)],
    ];
    if finished.depth.is_positive() {
        facts.push(["Depth".to_owned(), show(finished.depth)]);
        facts.push(["Holds".to_owned(), show_volume(finished.volume, packet.system)]);
    }
    facts
}

fn glance(packet: &Packet) -> Vec<[String; 2]> {
    let pattern = &packet.pattern;
    let finished = &packet.finished;
    let show = |length| show_length(length, packet.system);
    let mut rows = cover_facts(packet);
    if finished.top_width != finished.width {
        rows.push(["Width at the top, laid flat".to_owned(), show(finished.top_width)]);
    }
    let handles = alike(&pattern.claims.handles, |handle| handle_words(handle, packet));
    rows.extend(handles.into_iter().map(|(names, what)| [capital(&names), what]));
    let pockets = alike(&pattern.claims.pockets, |pocket| pocket_words(pocket, packet));
    rows.extend(pockets.into_iter().map(|(names, what)| [capital(&names), what]));
    rows.push(["Seam allowances".to_owned(), allowances(packet)]);
    let pieces: usize = pattern.copies.len();
    rows.push(["Pieces to cut".to_owned(), format!("{pieces}, and their interfacing")]);
    if !pattern.pieces.iter().any(|piece| piece.interfacing.is_some()) {
        rows.pop();
        rows.push(["Pieces to cut".to_owned(), pieces.to_string()]);
    }
    rows.push(["Steps".to_owned(), packet.steps.len().to_string()]);
    rows
}

/// Things that are described in the same words, under their names together.
fn alike<T: Named>(items: &[T], describe: impl Fn(&T) -> String) -> Vec<(String, String)> {
    let mut groups: Vec<(Vec<&str>, String)> = Vec::new();
    for item in items {
        let words = describe(item);
        match groups.iter_mut().find(|(_, known)| *known == words) {
            Some((names, _)) => names.push(item.name()),
            None => groups.push((vec![item.name()], words)),
        }
    }
    groups.into_iter().map(|(names, words)| (names.join(", "), words)).collect()
}

trait Named {
    fn name(&self) -> &str;
}

impl Named for HandleClaim {
    fn name(&self) -> &str {
        &self.name
    }
}

impl Named for PocketClaim {
    fn name(&self) -> &str {
        &self.name
    }
}

fn handle_words(handle: &HandleClaim, packet: &Packet) -> String {
    let show = |length| show_length(length, packet.system);
    format!(
        "{} wide, {} long above the rim, drop {} when pulled taut",
        show(handle.width),
        show(handle.free),
        show(handle.drop),
    )
}

fn pocket_words(pocket: &PocketClaim, packet: &Packet) -> String {
    let size = show_size(pocket.size.0, pocket.size.1, packet.system);
    let place = if pocket.inside { "inside" } else { "outside" };
    let mut words = format!("{size}, {place}");
    if pocket.true_depth != pocket.size.1 {
        words.push_str(&format!(", {} deep in use", show_length(pocket.true_depth, packet.system)));
    }
    if pocket.compartments.len() > 1 {
        let widths: Vec<String> =
            pocket.compartments.iter().map(|width| show_length(*width, packet.system)).collect();
        words.push_str(&format!(", {} compartments: {}", widths.len(), widths.join(", ")));
    }
    words
}

fn allowances(packet: &Packet) -> String {
    let mut all: Vec<Length> = packet
        .pattern
        .pieces
        .iter()
        .flat_map(|piece| piece.edges.iter().map(|edge| edge.allowance))
        .filter(|allowance| allowance.is_positive())
        .collect();
    all.sort_unstable();
    all.dedup();
    let shown: Vec<String> = all.into_iter().map(|a| show_length(a, packet.system)).collect();
    match shown.as_slice() {
        [] => "none".to_owned(),
        [one] => format!("{one}, included in every size"),
        many => format!("{}, as each step says; included in every size", many.join(", ")),
    }
}

fn findings(packet: &Packet) -> Vec<Value> {
    packet
        .findings
        .iter()
        .map(|finding| {
            let word = match finding.severity {
                Severity::Error => "Must be put right:",
                Severity::Warning => "Take care:",
                Severity::Note => "Good to know:",
            };
            json!({
                "word": word,
                "text": sentence(&finding.message),
                "cure": if finding.cure.is_empty() {
                    String::new()
                } else {
                    format!("What helps: {}", ended(&finding.cure))
                },
            })
        })
        .collect()
}

fn materials(packet: &Packet) -> Vec<Value> {
    let pattern = &packet.pattern;
    let show = |length| show_length(length, packet.system);
    let mut all: Vec<Value> = packet
        .cuts
        .iter()
        .filter(|cut| cut.is_bought())
        .map(|cut| {
            let material = pattern.material(cut.material);
            let mut facts = Vec::new();
            if let Some(cloth) = material.cloth() {
                facts.push(["On the bolt".to_owned(), format!("{} wide", show(cloth.bought_width))]);
                facts.push(["Usable width".to_owned(), show(cloth.usable_width)]);
            }
            let used = |layout: &layout::Layout| show(layout.length);
            let buy = |layout: &layout::Layout| bought(layout.bought, packet.system);
            let none = || "does not fit".to_owned();
            facts.push(["Used".to_owned(), cut.layout.as_ref().map_or_else(none, used)]);
            facts.push(["Buy".to_owned(), cut.layout.as_ref().map_or_else(none, buy)]);
            let why = sentence(&cut.why(pattern, packet.system));
            let narrow = cut.narrow(packet.system).map(|narrow| sentence(&narrow));
            let why: Vec<String> = std::iter::once(why).chain(narrow).collect();
            json!({ "name": capital(&material.name), "serves": material.serves, "facts": facts, "why": why })
        })
        .collect();
    for webbing in &packet.webbing {
        let material = pattern.material(webbing.material);
        all.push(json!({
            "name": capital(&material.name),
            "serves": material.serves,
            "facts": [
                ["Used", show(webbing.used)],
                ["Buy", bought(webbing.bought, packet.system)],
            ],
            "why": [],
        }));
    }
    all
}

fn widths(packet: &Packet) -> Vec<Value> {
    let table = &packet.widths;
    if table.rows.is_empty() || table.fabrics.is_empty() {
        return Vec::new();
    }
    let cell = |length: Option<Length>| {
        length.map_or("–".to_owned(), |length| show_bought(length, packet.system))
    };
    let labels: Vec<&str> = table.rows.iter().map(|row| row.label.as_str()).collect();
    let each: Vec<Value> = table
        .fabrics
        .iter()
        .enumerate()
        .map(|(index, id)| {
            let cells: Vec<String> =
                table.rows.iter().map(|row| cell(row.each.get(index).copied().flatten())).collect();
            json!({ "name": capital(&packet.pattern.material(*id).name), "cells": cells })
        })
        .collect();
    let one: Vec<String> = table.rows.iter().map(|row| cell(row.one_fabric)).collect();
    let note = |lacks: bool| if lacks { "– : some piece does not fit on this width." } else { "" };
    let each_note = note(table.rows.iter().flat_map(|row| &row.each).any(Option::is_none));
    let one_note = note(table.rows.iter().any(|row| row.one_fabric.is_none()));
    let mut tables =
        vec![json!({ "title": "A fabric for each part", "columns": labels, "rows": each, "note": each_note })];
    if table.fabrics.len() > 1 {
        let rows = [json!({ "name": "Everything", "cells": one })];
        tables.push(json!({
            "title": "One fabric for everything",
            "columns": labels,
            "rows": rows,
            "note": one_note,
        }));
    }
    tables
}

fn samples(entries: Vec<Entry>, album: &mut Album) -> Vec<Value> {
    entries
        .into_iter()
        .map(|entry| json!({ "text": entry.meaning, "picture": album.keep(entry.scene) }))
        .collect()
}

fn cut_list(packet: &Packet) -> Vec<Value> {
    cut_groups(packet)
        .into_iter()
        .map(|group| {
            let rows: Vec<Value> = group
                .rows
                .into_iter()
                .map(|row| {
                    json!({
                        "name": capital(&row.name),
                        "count": row.count,
                        "size": row.size,
                        "grain": row.grain,
                        "note": row.note,
                    })
                })
                .collect();
            json!({ "material": capital(&group.material), "rows": rows })
        })
        .collect()
}

fn layouts(packet: &Packet, album: &mut Album) -> Vec<Value> {
    let pattern = &packet.pattern;
    let scenes = layout_scenes(packet);
    packet
        .cuts
        .iter()
        .zip(scenes)
        .filter_map(|(cut, scene)| {
            let (scale, scene) = scene?;
            let proof = match cut.layout.as_ref()?.proof {
                Proof::Shortest => "No layout of these pieces is shorter.".to_owned(),
                Proof::NoShorterPurchase => "No shorter purchase is possible.".to_owned(),
                within @ Proof::Within(_) => {
                    format!("Its length is {within} of the shortest possible.")
                }
            };
            let caption = format!("{}. {proof}", capital(&scale.say()));
            Some(json!({
                "title": capital(&cut.title(pattern)),
                "picture": album.keep(scene),
                "caption": caption,
            }))
        })
        .collect()
}

fn pieces(packet: &Packet, album: &mut Album) -> Vec<Value> {
    let pattern = &packet.pattern;
    piece_scenes(packet)
        .into_iter()
        .map(|(id, scale, scene)| {
            let piece = pattern.piece(id);
            let (width, height) = piece.cut_size();
            let first = format!(
                "Cut {} from {}, {}. {}.",
                pattern.count(id),
                pattern.material(piece.material).name,
                show_size(width, height, packet.system),
                capital(&scale.say()),
            );
            let text: Vec<String> = std::iter::once(first)
                .chain(MarkNotes::new(piece, packet.system).sentences())
                .collect();
            json!({ "title": capital(&piece.name), "text": text, "picture": album.keep(scene) })
        })
        .collect()
}

fn chapters(packet: &Packet) -> Vec<Value> {
    let mut chapters: Vec<(Chapter, Vec<&StepText>)> = Vec::new();
    for step in &packet.steps {
        match chapters.last_mut() {
            Some((chapter, steps)) if *chapter == step.chapter => steps.push(step),
            _ => chapters.push((step.chapter, vec![step])),
        }
    }
    let cautions = cautions::by_chapter(&chapters);
    chapters
        .into_iter()
        .zip(cautions)
        .zip('A'..='Z')
        .map(|(((chapter, steps), cautions), letter)| {
            let steps: Vec<Value> = steps.into_iter().map(step).collect();
            json!({
                "letter": letter.to_string(),
                "title": chapter.title(),
                "cautions": cautions_json(&cautions),
                "steps": steps,
            })
        })
        .collect()
}

fn step(step: &StepText) -> Value {
    json!({
        "number": step.number,
        "text": step.text,
        "picture": null,
        "mind": step.mind.clone().unwrap_or_default(),
        "check": step.checkpoint.clone().unwrap_or_default(),
    })
}

fn cautions_json(cautions: &[Caution]) -> Vec<Value> {
    cautions.iter().map(|(word, text)| json!({ "word": word, "text": text })).collect()
}

/// With a capital at the start.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// With a full stop at the end, unless it ends in some stop of its own.
fn ended(text: &str) -> String {
    let text = text.trim_end();
    if text.is_empty() || text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// With a capital at the start and a full stop at the end.
fn sentence(text: &str) -> String {
    ended(&capital(text))
}

#[cfg(test)]
mod tests;
