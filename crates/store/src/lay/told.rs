//! Layouts of cutting jobs, written as JSON.

use layout::{Fault, Layout, Problem, Proof};
use serde::Serialize;

use crate::json::pretty;

#[derive(Serialize)]
struct LayoutJson<'a> {
    length: f64,
    bought: f64,
    bound: f64,
    proof: &'static str,
    gap_percent: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    placements: Vec<PlacementJson<'a>>,
    joins: Vec<JoinedJson<'a>>,
    remnant: Option<[f64; 2]>,
    remnant_at: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct PlacementJson<'a> {
    piece: &'a str,
    copy: u32,
    part: u32,
    stock: usize,
    rotation: u16,
    mirrored: bool,
    x: f64,
    y: f64,
    width: f64,
    length: f64,
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
    from: f64,
    length: f64,
}

/// A layout of a problem. `seconds` is left out where equal input has to give equal bytes.
pub fn layout_json(problem: &Problem, layout: &Layout, seconds: Option<f64>) -> String {
    let name = |piece: usize| problem.pieces.get(piece).map_or("", |item| item.name.as_str());
    let placements = layout.placements.iter().map(|one| PlacementJson {
        piece: name(one.piece),
        copy: one.copy,
        part: one.part,
        stock: one.stock,
        rotation: one.rotation.degrees(),
        mirrored: one.mirrored,
        x: one.x.to_mm(),
        y: one.y.to_mm(),
        width: one.width.to_mm(),
        length: one.length.to_mm(),
    });
    let joins = layout.joins.iter().map(|joined| JoinedJson {
        piece: name(joined.piece),
        copy: joined.copy,
        stretches: joined
            .stretches
            .iter()
            .map(|one| StretchJson {
                part: one.part,
                from: one.from.to_mm(),
                length: one.length.to_mm(),
            })
            .collect(),
    });
    pretty(&LayoutJson {
        length: layout.length.to_mm(),
        bought: layout.bought.to_mm(),
        bound: layout.bound.to_mm(),
        proof: match layout.proof {
            Proof::Shortest => "shortest",
            Proof::NoShorterPurchase => "no-shorter-purchase",
            Proof::Within(_) => "within",
        },
        gap_percent: gap_percent(layout),
        seconds,
        placements: placements.collect(),
        joins: joins.collect(),
        remnant: layout.remnant.map(|rest| [rest.width.to_mm(), rest.length.to_mm()]),
        remnant_at: layout.remnant.map(|rest| [rest.x.to_mm(), rest.y.to_mm()]),
    })
}

/// How much longer than the bound the layout is, rounded up to a ten-thousandth of a per cent.
#[expect(clippy::cast_precision_loss, reason = "parts per million of a length that can be bought")]
fn gap_percent(layout: &Layout) -> f64 {
    let over = i128::from((layout.length - layout.bound).to_nm().max(0)) * 1_000_000;
    let bound = i128::from(layout.bound.to_nm().max(1));
    ((over + bound - 1) / bound) as f64 / 1e4
}

#[derive(Serialize)]
struct VerdictJson {
    right: bool,
    faults: Vec<String>,
}

/// What the verifier says of a layout.
pub fn verdict_json(faults: &[Fault]) -> String {
    let right = faults.is_empty();
    pretty(&VerdictJson { right, faults: faults.iter().map(ToString::to_string).collect() })
}
