//! Purchases and cutting layouts, as `packet.json` tells them.

use bag::pattern::Pattern;
use layout::{Layout, Proof};
use packet::{Cut, LaidPiece, Packet, Source};
use serde::Serialize;

use super::{material_id, mm};

#[derive(Serialize)]
pub(super) struct YardageJson<'a> {
    material: &'a str,
    bought_width_mm: f64,
    usable_width_mm: f64,
    used_mm: Option<f64>,
    squaring_mm: f64,
    needed_mm: Option<f64>,
    bought_mm: Option<f64>,
    why: String,
    proof: Option<String>,
    serves_down_to_mm: Option<f64>,
    below_that_mm: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct WidthJson<'a> {
    label: &'a str,
    bought_width_mm: f64,
    one_fabric_mm: Option<f64>,
    each: Vec<EachJson<'a>>,
}

#[derive(Serialize)]
struct EachJson<'a> {
    material: &'a str,
    bought_mm: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct LayoutJson<'a> {
    material: &'a str,
    fused_to: Option<&'a str>,
    width_mm: f64,
    length_mm: f64,
    bound_mm: f64,
    placements: Vec<PlacementJson<'a>>,
    joins: Vec<JoinedJson<'a>>,
    remnant: Option<RemnantJson>,
}

#[derive(Serialize)]
struct PlacementJson<'a> {
    piece: &'a str,
    is_interfacing: bool,
    copy: u32,
    part: u32,
    turned_degrees: u16,
    mirrored: bool,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
}

#[derive(Serialize)]
struct JoinedJson<'a> {
    piece: &'a str,
    copy: u32,
    stretches: Vec<StretchJson>,
}

#[derive(Serialize)]
struct StretchJson {
    part: u32,
    from_mm: f64,
    length_mm: f64,
}

#[derive(Serialize)]
struct RemnantJson {
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
}

/// What is bought: cloths in the order of the cuts, then webbing.
pub(super) fn yardage(packet: &Packet) -> Vec<YardageJson<'_>> {
    let pattern = &packet.pattern;
    let cloths = packet.cuts.iter().filter(|cut| cut.is_bought()).filter_map(|cut| {
        let cloth = pattern.material(cut.material).cloth()?;
        let layout = cut.layout.as_ref();
        Some(YardageJson {
            material: material_id(pattern, cut.material),
            bought_width_mm: cloth.bought_width.to_mm(),
            usable_width_mm: cloth.usable_width.to_mm(),
            used_mm: mm(layout.map(|layout| layout.length)),
            squaring_mm: cut.sheet.problem.squaring.to_mm(),
            needed_mm: mm(layout.map(|layout| layout.needed)),
            bought_mm: mm(layout.map(|layout| layout.bought)),
            why: cut.why(pattern, packet.system),
            proof: layout.map(|layout| proof(layout.proof)),
            serves_down_to_mm: mm(cut.narrowest.as_ref().map(|narrowest| narrowest.width)),
            below_that_mm: mm(cut.narrowest.as_ref().and_then(|narrowest| narrowest.below)),
        })
    });
    cloths.chain(packet.webbing.iter().map(|webbing| self::webbing(packet, webbing))).collect()
}

fn webbing<'a>(packet: &'a Packet, webbing: &packet::Webbing) -> YardageJson<'a> {
    let material = packet.pattern.material(webbing.material);
    let width = match material.form {
        bag::pattern::Form::Webbing { width } => width,
        _ => measure::Length::ZERO,
    };
    YardageJson {
        material: &material.id,
        bought_width_mm: width.to_mm(),
        usable_width_mm: width.to_mm(),
        used_mm: Some(webbing.used.to_mm()),
        squaring_mm: 0.0,
        needed_mm: Some(webbing.used.to_mm()),
        bought_mm: Some(webbing.bought.to_mm()),
        why: format!("the lengths take {}", measure::show_length(webbing.used, packet.system)),
        proof: None,
        serves_down_to_mm: None,
        below_that_mm: None,
    }
}

pub(super) fn widths(packet: &Packet) -> Vec<WidthJson<'_>> {
    let table = &packet.widths;
    let row = |row: &'_ packet::WidthRow| -> Vec<EachJson<'_>> {
        let each = table.fabrics.iter().zip(&row.each);
        each.map(|(fabric, bought)| EachJson {
            material: material_id(&packet.pattern, *fabric),
            bought_mm: mm(*bought),
        })
        .collect()
    };
    let rows = table.rows.iter().map(|line| WidthJson {
        label: &line.label,
        bought_width_mm: line.bought.to_mm(),
        one_fabric_mm: mm(line.one_fabric),
        each: row(line),
    });
    rows.collect()
}

pub(super) fn all(packet: &Packet) -> Vec<LayoutJson<'_>> {
    let laid = packet.cuts.iter().filter_map(|cut| Some((cut, cut.layout.as_ref()?)));
    laid.map(|(cut, layout)| sheet(&packet.pattern, cut, layout)).collect()
}

fn sheet<'a>(pattern: &'a Pattern, cut: &'a Cut, layout: &Layout) -> LayoutJson<'a> {
    let name = |piece: usize| cut.sheet.problem.pieces.get(piece).map_or("", |item| &*item.name);
    let is_interfacing =
        |piece: usize| matches!(cut.sheet.pieces.get(piece), Some(LaidPiece::Interfacing(_)));
    let placements = layout.placements.iter().map(|placed| PlacementJson {
        piece: name(placed.piece),
        is_interfacing: is_interfacing(placed.piece),
        copy: placed.copy,
        part: placed.part,
        turned_degrees: placed.rotation.degrees(),
        mirrored: placed.mirrored,
        x_mm: placed.x.to_mm(),
        y_mm: placed.y.to_mm(),
        width_mm: placed.width.to_mm(),
        length_mm: placed.length.to_mm(),
    });
    let joins = layout.joins.iter().map(|joined| JoinedJson {
        piece: name(joined.piece),
        copy: joined.copy,
        stretches: joined
            .stretches
            .iter()
            .map(|stretch| StretchJson {
                part: stretch.part,
                from_mm: stretch.from.to_mm(),
                length_mm: stretch.length.to_mm(),
            })
            .collect(),
    });
    LayoutJson {
        material: material_id(pattern, cut.material),
        fused_to: match cut.source {
            Source::Block(interfacing) => Some(material_id(pattern, interfacing)),
            Source::Fabric | Source::Interfacing => None,
        },
        width_mm: layout.width.to_mm(),
        length_mm: layout.length.to_mm(),
        bound_mm: layout.bound.to_mm(),
        placements: placements.collect(),
        joins: joins.collect(),
        remnant: layout.remnant.map(|left| RemnantJson {
            x_mm: left.x.to_mm(),
            y_mm: left.y.to_mm(),
            width_mm: left.width.to_mm(),
            length_mm: left.length.to_mm(),
        }),
    }
}

fn proof(proof: Proof) -> String {
    proof.to_string()
}
