//! Purchases and cutting layouts, as `packet.json` tells them.

use layout::{Layout, Off};
use packet::{Cut, LaidPiece, Packet, Source};
use serde::Serialize;

use super::{material_id, mm};
use crate::lay::cut_kind;

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
    proof: &'static str,
    gap_percent: f64,
    placements: Vec<PlacementJson<'a>>,
    joins: Vec<JoinedJson<'a>>,
    cuts: Vec<CutLineJson<'a>>,
    cutting_order: Vec<String>,
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
struct CutLineJson<'a> {
    number: usize,
    kind: &'static str,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
    from_x_mm: f64,
    from_y_mm: f64,
    to_x_mm: f64,
    to_y_mm: f64,
    layers: u32,
    on_table_mm: f64,
    finishes: Vec<FinishedJson<'a>>,
}

#[derive(Serialize)]
struct FinishedJson<'a> {
    piece: &'a str,
    is_interfacing: bool,
    copy: u32,
    part: u32,
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
            proof: cut.certificate(),
            serves_down_to_mm: mm(cut.narrowest.as_ref().map(|narrowest| narrowest.width)),
            below_that_mm: mm(cut.narrowest.as_ref().and_then(|narrowest| narrowest.below)),
        })
    });
    cloths.chain(packet.webbing.iter().map(|webbing| self::webbing(packet, webbing))).collect()
}

fn webbing<'a>(packet: &'a Packet, webbing: &packet::Webbing) -> YardageJson<'a> {
    let material = packet.pattern.material(webbing.material);
    let width = match material.form {
        bag::pattern::Form::Webbing { width, .. } => width,
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
    laid.map(|(cut, layout)| sheet(packet, cut, layout)).collect()
}

fn sheet<'a>(packet: &'a Packet, cut: &'a Cut, layout: &Layout) -> LayoutJson<'a> {
    let (pattern, system) = (&packet.pattern, packet.system);
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
    let finished = |side: Off| match side {
        Off::Piece(at) => layout.placements.get(at).map(|one| FinishedJson {
            piece: name(one.piece),
            is_interfacing: is_interfacing(one.piece),
            copy: one.copy,
            part: one.part,
        }),
        Off::Part(_) | Off::Waste(_) => None,
    };
    let cuts = (1..).zip(&layout.cuts).map(|(number, cut)| CutLineJson {
        number,
        kind: cut_kind(cut.kind),
        x_mm: cut.part.x.to_mm(),
        y_mm: cut.part.y.to_mm(),
        width_mm: cut.part.width.to_mm(),
        length_mm: cut.part.length.to_mm(),
        from_x_mm: cut.from.0.to_mm(),
        from_y_mm: cut.from.1.to_mm(),
        to_x_mm: cut.to.0.to_mm(),
        to_y_mm: cut.to.1.to_mm(),
        layers: cut.layers,
        on_table_mm: cut.length().to_mm(),
        finishes: [cut.off, cut.left].into_iter().filter_map(finished).collect(),
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
        proof: layout.proof.word(),
        gap_percent: layout.gap_percent(),
        placements: placements.collect(),
        joins: joins.collect(),
        cuts: cuts.collect(),
        cutting_order: layout.cuts_in_words(&cut.sheet.problem, system),
        remnant: layout.remnant.map(|left| RemnantJson {
            x_mm: left.x.to_mm(),
            y_mm: left.y.to_mm(),
            width_mm: left.width.to_mm(),
            length_mm: left.length.to_mm(),
        }),
    }
}
