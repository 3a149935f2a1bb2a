//! The pictures of a packet, at the sizes at which they are printed.

use std::collections::BTreeMap;

use bag::pattern::{Look, PieceId};
use drawing::finished::{self, Beside, FinishedOptions, Showing, View};
use drawing::layouts::{self, LayoutOptions, On};
use drawing::pieces::{self, PieceOptions};
use drawing::{Cloth, Item, Scale, Scene, svg};
use measure::{Length, System};
use packet::shelf::FromShelf;
use packet::{Packet, Source};
use serde_json::{Value, json};

use crate::legible::legible;

/// Room for the drawing of a piece, width × height in mm, without sizes and names around it.
const PIECE_ROOM: (f64, f64) = (118.0, 88.0);
/// Room for a strip, which is drawn lying.
const STRIP_ROOM: (f64, f64) = (138.0, 40.0);
/// Room for a layout: two go on a page.
const LAYOUT_ROOM: (f64, f64) = (132.0, 76.0);
/// Room for the finished bag on the cover.
const COVER_ROOM: (f64, f64) = (160.0, 150.0);

/// Each piece that is cut, with the picture that shows it. All pieces but strips are drawn to one
/// scale, so that they can be compared.
pub fn piece_scenes(packet: &Packet) -> Vec<(PieceId, Scale, Scene)> {
    let pattern = &packet.pattern;
    let cut: Vec<PieceId> = pattern.piece_ids().filter(|id| pattern.count(*id) > 0).collect();
    let common = cut
        .iter()
        .map(|id| pattern.piece(*id))
        .filter(|piece| !pieces::is_strip(piece))
        .map(|piece| pieces::scale_for(piece, PIECE_ROOM))
        .max()
        .unwrap_or(Scale::TRUE);
    cut.into_iter()
        .map(|id| {
            let piece = pattern.piece(id);
            let scale =
                if pieces::is_strip(piece) { pieces::scale_for(piece, STRIP_ROOM) } else { common };
            let options = PieceOptions { system: packet.system, scale };
            (id, scale, pieces::draw(pattern, id, options))
        })
        .collect()
}

/// The layout of each cut of the packet, in its order; nothing where the pieces do not fit.
pub fn layout_scenes(packet: &Packet) -> Vec<Option<(Scale, Scene)>> {
    let pattern = &packet.pattern;
    let draw = |(index, cut): (usize, &packet::Cut)| {
        let material = pattern.material(cut.material);
        let layout = cut.layout.as_ref()?;
        let block = if matches!(cut.source, Source::Block(_)) { "block-" } else { "" };
        let title = cut.title(pattern);
        let (scene, scale) = layouts::draw(
            &cut.sheet.problem,
            layout,
            LayoutOptions {
                id: &format!("{}-{block}{}", index + 1, material.id),
                fabric: &title,
                cloth: if cut.source == Source::Interfacing {
                    Cloth::Interfacing
                } else {
                    pieces::cloth(material.look)
                },
                one_way: material.cloth().is_some_and(|cloth| cloth.one_way),
                on: if block.is_empty() { On::Bolt } else { On::Block },
                system: packet.system,
                room: LAYOUT_ROOM,
            },
        );
        Some((scale, scene))
    };
    packet.cuts.iter().enumerate().map(draw).collect()
}

/// Each remnant from which a bag is cut, by its index, with the pieces that come from it.
pub fn remnant_scenes(packet: &Packet, found: &FromShelf) -> Vec<(usize, Scene)> {
    let mut scenes = Vec::new();
    for cloth in &found.cloths {
        let material = packet.pattern.material(cloth.material);
        for (stock, remnant) in cloth.on.iter().enumerate() {
            if cloth.layout.placements.iter().all(|one| one.stock != stock) {
                continue;
            }
            let options = LayoutOptions {
                id: &format!("remnant-{}", remnant + 1),
                fabric: &material.name,
                cloth: pieces::cloth(material.look),
                one_way: material.cloth().is_some_and(|cloth| cloth.one_way),
                on: On::Remnant(stock),
                system: packet.system,
                room: LAYOUT_ROOM,
            };
            scenes.push((*remnant, layouts::draw(&cloth.problem, &cloth.layout, options).0));
        }
    }
    scenes.sort_by_key(|(remnant, _)| *remnant);
    scenes
}

/// The finished bag, with its measures.
pub fn finished_scene(packet: &Packet) -> Scene {
    let options =
        FinishedOptions { measures: true, ..FinishedOptions::new(packet.system, COVER_ROOM) };
    finished::draw(&packet.pattern, options)
}

/// Room for a further view of the finished bag: three stand side by side.
const VIEW_ROOM: (f64, f64) = (50.0, 50.0);
/// A person of about the mean height of adults, 168 cm or 5 ft 6 in (from memory).
const fn person(system: System) -> Length {
    match system {
        System::Inch => Length::inch(66),
        System::Metric => Length::mm(1680),
    }
}

/// Further views of the finished bag that show what the first does not, each with a few words: from
/// behind, open, inside, and carried by a person.
pub fn finished_views(packet: &Packet) -> Vec<(String, Scene)> {
    let pattern = &packet.pattern;
    let plain = FinishedOptions::new(packet.system, VIEW_ROOM);
    let mut views: Vec<(String, FinishedOptions)> = Vec::new();
    let usual = finished::usual_view(pattern, Showing::Closed);
    if finished::has_a_back(pattern) {
        let view = Some(View { turn: usual.turn + 180.0, ..usual });
        views.push(("from behind".to_owned(), FinishedOptions { view, ..plain }));
    }
    if pattern.claims.closures.iter().any(|it| !it.shows.is_empty() || it.meets.is_empty()) {
        let open = FinishedOptions { showing: Showing::Open, ..plain };
        views.push(("open".to_owned(), open));
    }
    if finished::has_an_inside(pattern) {
        let inside = FinishedOptions { showing: Showing::Inside, ..plain };
        views.push(("inside, the near side cut away".to_owned(), inside));
    }
    let height = person(packet.system);
    let carried = FinishedOptions { beside: Some(Beside::Person(height)), ..plain };
    let height_words = finished::show_height(height, packet.system);
    let how = if pattern.claims.handles.is_empty() { "beside" } else { "carried by" };
    let words = format!("{how} a person {height_words} tall");
    views.push((words, carried));
    views
        .into_iter()
        .enumerate()
        .map(|(index, (words, options))| {
            let mut scene = finished::draw(pattern, options);
            scene.id = format!("view-{}", index + 1);
            (words, scene)
        })
        .filter(|(_, scene)| !scene.layers.is_empty())
        .collect()
}

/// The textures that a packet's drawings use, for the key.
pub(crate) fn textures(packet: &Packet) -> Vec<drawing::Texture> {
    let mut looks: Vec<Look> = packet.pattern.materials.iter().map(|m| m.look).collect();
    looks.sort_unstable();
    looks.dedup();
    let cloths: Vec<Cloth> = looks.iter().map(|look| pieces::cloth(*look)).collect();
    let has_sides = |cloth: &Cloth| !matches!(cloth, Cloth::Interfacing | Cloth::Webbing);
    let mut textures: Vec<drawing::Texture> = Vec::new();
    for cloth in cloths {
        textures.push(drawing::Texture::right(cloth));
        // Pictures of steps show cloth from both sides.
        if has_sides(&cloth) {
            textures.push(drawing::Texture::wrong(cloth));
        }
    }
    textures.push(drawing::Texture::right(Cloth::Waste));
    textures
}

/// Pictures on their way into a document: files by name.
#[derive(Debug, Default)]
pub(crate) struct Album {
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Album {
    /// Keeps a picture; returns what the document needs to show it.
    pub(crate) fn keep(&mut self, mut scene: Scene) -> Value {
        for item in scene.layers.iter_mut().flat_map(|layer| &mut layer.items) {
            if let Item::Text(text) = item {
                text.content = legible(&text.content);
            }
        }
        let file = format!("picture-{}.svg", self.files.len() + 1);
        let picture = json!({
            "file": file,
            "alt": format!("{}. {}", scene.title, scene.description),
            "width_mm": scene.bounds().width(),
        });
        self.files.insert(file, svg::file(&scene).into_bytes());
        picture
    }
}
