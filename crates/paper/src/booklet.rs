//! The booklet: everything a class works from, on A4 or Letter.
//!
//! This file says what the booklet contains, as data; `booklet.typ` says how it looks.

mod both;
mod effort;
mod needs;
mod overview;
mod words;

use bag::operations::sentence as capital;
use std::collections::BTreeMap;

use bag::Severity;
use bag::pattern::{Look, PieceId};
use drawing::Scene;
use drawing::key::{self, Entry};
use drawing::notes::MarkNotes;
use measure::show_size;
use packet::{Packet, StepText};
use serde_json::{Value, json};

use crate::cautions::{self, Caution};
use crate::glossary;
use crate::legible::make_legible;
use crate::lists::{cut_groups, notions_and_tools};
use crate::pictures::{
    Album, finished_scene, finished_views, layout_scenes, piece_scenes, textures,
};
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
    pub(crate) const fn typeset_name(self) -> &'static str {
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
    /// Large letters, and pictures below their words.
    pub large: bool,
}

/// The booklet of a packet as PDF (tagged, PDF/UA-1). The same packet gives the same bytes.
///
/// # Errors
/// Only for faults of the program itself: text from a design cannot cause one.
pub fn booklet(packet: &Packet, options: Options) -> Result<Vec<u8>, PaperError> {
    let date = Day::parse(&packet.pattern.edition.date);
    to_pdf(LOOK, files(packet, None, options), date)
}

/// The same for both rulers: each measure of `own`, and behind it that of `other`, a packet of the same
/// pieces read on the other ruler. Pictures have the measures of `own`.
///
/// # Errors
/// As [`booklet`].
pub fn booklet_for_both(
    own: &Packet,
    other: &Packet,
    options: Options,
) -> Result<Vec<u8>, PaperError> {
    let date = Day::parse(&own.pattern.edition.date);
    to_pdf(LOOK, files(own, Some(other), options), date)
}

/// How a booklet looks.
const LOOK: &str = include_str!("booklet.typ");

/// What a booklet is set from: its data and its pictures.
fn files(packet: &Packet, other: Option<&Packet>, options: Options) -> BTreeMap<String, Vec<u8>> {
    let mut album = Album::default();
    let mut data = contents(packet, options, &mut album);
    if let Some(other) = other {
        data = both::merged(&data, &contents(other, options, &mut Album::default()));
    }
    make_legible(&mut data);
    let mut files = album.files;
    files.insert("data.json".to_owned(), data.to_string().into_bytes());
    files
}

/// All that the booklet says and shows.
fn contents(packet: &Packet, options: Options, album: &mut Album) -> Value {
    let pattern = &packet.pattern;
    let cover = cover(packet);
    let mut data = json!({
        "paper": options.paper.typeset_name(),
        "large": options.large,
        "draft": options.draft || packet.has_errors(),
        "errors": packet.has_errors(),
        "dated": Day::parse(&pattern.edition.date).is_some(),
        "title": pattern.title,
        "about": pattern.about,
        "words": words::words(packet),
        "edition": { "label": edition(packet), "changes": pattern.edition.changes },
        "cover": cover.map_or(Value::Null, |scene| album.keep(scene)),
        "cover_facts": overview::cover_facts(packet),
        "findings": findings(packet),
        "views": views(packet, album),
        "glance": overview::glance(packet),
        "materials": needs::materials(packet),
        "need_lists": [
            { "title": "Notions and tools", "items": notions_and_tools(packet) },
        ],
        "widths": needs::widths(packet),
        "key": [
            { "title": "Lines and marks", "items": samples(key::lines(), album) },
            { "title": "Pictures of the steps", "items": samples(key::signs(), album) },
            { "title": "Fabrics", "items": samples(key::cloths(&textures(packet)), album) },
        ],
        "cut_list": cut_list(packet),
        "cautions": {
            "cutting": cautions_json(&cautions::cutting(packet)),
            "sewing": cautions_json(&cautions::SEWING),
        },
        "layouts": layouts(packet, album),
        "pieces": pieces(packet, album),
        "chapters": chapters(packet, album),
        "after": [{ "title": "Care and use", "items": cautions::care(packet) }],
    });
    let glossary: Vec<Value> = glossary::used_in(&said(&data))
        .into_iter()
        .map(|(term, meaning)| json!({ "term": term, "meaning": meaning }))
        .collect();
    data["glossary"] = glossary.into();
    data
}

/// The finished bag; where its panels do not fold to one, its largest piece.
fn cover(packet: &Packet) -> Option<Scene> {
    let bag = finished_scene(packet);
    if !bag.layers.is_empty() {
        return Some(bag);
    }
    let area = |id: PieceId| packet.pattern.piece(id).net.area();
    piece_scenes(packet).into_iter().max_by_key(|(id, ..)| area(*id)).map(|(_, _, scene)| scene)
}

/// Further views of the finished bag, with their words.
fn views(packet: &Packet, album: &mut Album) -> Vec<Value> {
    finished_views(packet)
        .into_iter()
        .map(|(words, scene)| json!({ "text": capital(&words), "picture": album.keep(scene) }))
        .collect()
}

/// What the booklet tells a reader to do, as one text: the headings, the keys of its data and the
/// key to the drawings, which explains itself, are no reason to explain a word.
fn said(data: &Value) -> String {
    const PARTS: [&str; 9] = [
        "findings",
        "glance",
        "materials",
        "need_lists",
        "cut_list",
        "cautions",
        "pieces",
        "chapters",
        "after",
    ];
    fn collect(value: &Value, text: &mut String) {
        match value {
            Value::String(words) => {
                text.push_str(words);
                text.push('\n');
            }
            Value::Array(items) => items.iter().for_each(|item| collect(item, text)),
            Value::Object(fields) => fields
                .iter()
                .filter(|(key, _)| *key != "picture")
                .for_each(|(_, field)| collect(field, text)),
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }
    let mut text = String::new();
    PARTS.iter().filter_map(|part| data.get(part)).for_each(|part| collect(part, &mut text));
    text
}

pub(crate) fn edition(packet: &Packet) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let edition = &packet.pattern.edition;
    let month = |day: Day| MONTHS.get(usize::from(day.month).wrapping_sub(1)).copied();
    let date = match Day::parse(&edition.date) {
        Some(day) => {
            month(day).map_or(String::new(), |name| format!("{} {name} {}", day.day, day.year))
        }
        None => edition.date.clone(),
    };
    let number = format!("Edition {}", edition.number);
    if date.is_empty() { number } else { format!("{number} · {date}") }
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
        .map(|(cut, scene)| {
            let title = capital(&cut.title(pattern));
            let (Some((scale, scene)), Some(layout)) = (scene, &cut.layout) else {
                let why = sentence(&cut.why(pattern, packet.system));
                return json!({ "title": title, "picture": null, "caption": why, "cuts": [] });
            };
            let proof = cut.certificate().map_or_else(String::new, |proof| sentence(&proof));
            let caption = format!("{}. {proof}", capital(&scale.say()));
            let cuts = layout.cuts_in_words(&cut.sheet.problem, packet.system);
            json!({ "title": title, "picture": album.keep(scene), "caption": caption, "cuts": cuts })
        })
        .collect()
}

fn pieces(packet: &Packet, album: &mut Album) -> Vec<Value> {
    let pattern = &packet.pattern;
    // A length of webbing without a mark needs no drawing: the cut list says it all.
    let is_told = |id: PieceId| {
        let piece = pattern.piece(id);
        pattern.material(piece.material).look != Look::Webbing || !piece.marks.is_empty()
    };
    piece_scenes(packet)
        .into_iter()
        .filter(|(id, ..)| is_told(*id))
        .map(|(id, scale, scene)| {
            let piece = pattern.piece(id);
            let (width, height) = piece.cut_size();
            let first = format!(
                "Cut {} from {}, {}. {}{}.",
                pattern.count(id),
                pattern.material(piece.material).name,
                show_size(width, height, packet.system),
                capital(&scale.say()),
                if drawing::pieces::is_lying(piece) {
                    ", lying on its side, its lower edge at the left"
                } else {
                    ""
                },
            );
            let text: Vec<String> = std::iter::once(first)
                .chain(MarkNotes::new(piece, packet.system).sentences())
                .collect();
            json!({ "title": capital(&piece.name), "text": text, "picture": album.keep(scene) })
        })
        .collect()
}

fn chapters(packet: &Packet, album: &mut Album) -> Vec<Value> {
    let pictures = drawing::steps::draw_all(&packet.pattern, packet.system);
    let mut pictures: BTreeMap<String, Scene> =
        packet.steps.iter().map(|step| step.id.clone()).zip(pictures).collect();
    let chapters = cautions::chapters(packet);
    let cautions = cautions::by_chapter(&chapters);
    chapters
        .into_iter()
        .zip(cautions)
        .zip('A'..='Z')
        .map(|(((chapter, steps), cautions), letter)| {
            let steps: Vec<Value> = steps
                .into_iter()
                .map(|step| step_json(step, pictures.remove(&step.id), album))
                .collect();
            json!({
                "letter": letter.to_string(),
                "title": chapter.title(),
                "cautions": cautions_json(&cautions),
                "steps": steps,
            })
        })
        .collect()
}

/// The widest picture that stands beside its words, in mm; its column takes a few less, and it is drawn
/// that much smaller.
const BESIDE: f64 = drawing::steps::WIDTH + 5.0;

/// A step with its picture, which stands beside the words unless it is wider than usual.
fn step_json(step: &StepText, picture: Option<Scene>, album: &mut Album) -> Value {
    let wide = picture.as_ref().is_some_and(|scene| scene.bounds().width() > BESIDE);
    json!({
        "number": step.number,
        "text": step.text,
        "picture": picture.map_or(Value::Null, |scene| album.keep(scene)),
        "wide": wide,
        "mind": step.mind.clone().unwrap_or_default(),
        "check": step.checkpoint.clone().unwrap_or_default(),
    })
}

fn cautions_json(cautions: &[Caution]) -> Vec<Value> {
    cautions.iter().map(|(word, text)| json!({ "word": word, "text": text })).collect()
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
