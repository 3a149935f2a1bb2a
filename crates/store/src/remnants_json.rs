//! What can be cut from remnants, for other programs.

use layout::Rotation;
use packet::Packet;
use packet::shelf::{FromShelf, NotFromShelf};
use serde::Serialize;

#[derive(Serialize)]
struct RemnantsJson<'a> {
    format: &'static str,
    /// The bag that leaves the largest piece first.
    bags: Vec<BagJson<'a>>,
}

#[derive(Serialize)]
struct BagJson<'a> {
    title: &'a str,
    /// "yes", "no" (proven: too little) or "not-found".
    cut: &'static str,
    /// The fabric for which there is too little, or no layout.
    lacks: Option<&'a str>,
    placements: Vec<PlacementJson<'a>>,
    /// Width and length of the largest rectangle that is left of each remnant.
    rest_mm: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct PlacementJson<'a> {
    fabric: &'a str,
    piece: usize,
    remnant: usize,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
    turned_degrees: u32,
}

/// The answer as JSON, remnants counted from 0 as they were given.
pub fn remnants_json(tried: &[(Packet, Result<FromShelf, NotFromShelf>)]) -> String {
    let bags = tried.iter().map(|(packet, found)| bag(packet, found)).collect();
    crate::json::pretty(&RemnantsJson { format: "bagwright remnants", bags })
}

fn bag<'a>(packet: &'a Packet, found: &'a Result<FromShelf, NotFromShelf>) -> BagJson<'a> {
    let title = packet.pattern.title.as_str();
    let none = |cut, lacks| BagJson {
        title,
        cut,
        lacks: Some(lacks),
        placements: Vec::new(),
        rest_mm: Vec::new(),
    };
    let found = match found {
        Ok(found) => found,
        Err(NotFromShelf::TooLittle(name)) => return none("no", name.as_str()),
        Err(NotFromShelf::NotFound(name)) => return none("not-found", name.as_str()),
    };
    let placements = found.cloths.iter().flat_map(|cloth| {
        let fabric = packet.pattern.material(cloth.material).name.as_str();
        cloth.layout.placements.iter().map(move |it| PlacementJson {
            fabric,
            piece: it.piece,
            remnant: cloth.on[it.stock],
            x_mm: it.x.to_mm(),
            y_mm: it.y.to_mm(),
            width_mm: it.width.to_mm(),
            length_mm: it.length.to_mm(),
            turned_degrees: match it.rotation {
                Rotation::None => 0,
                Rotation::Quarter => 90,
                Rotation::Half => 180,
                Rotation::ThreeQuarters => 270,
            },
        })
    });
    BagJson {
        title,
        cut: "yes",
        lacks: None,
        placements: placements.collect(),
        rest_mm: found.rest.iter().map(|(w, l)| [w.to_mm(), l.to_mm()]).collect(),
    }
}
