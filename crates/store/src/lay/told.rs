//! Layouts of cutting jobs, written as JSON.

use layout::{CutKind, CutLine, Fault, Layout, Off, Part, Problem};
use measure::Length;
use serde::Serialize;

use crate::json::pretty;

#[derive(Serialize)]
struct LayoutJson<'a> {
    length: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fits: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fits_proven: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    left_over: Option<Vec<LeftOverJson<'a>>>,
    bought: Option<f64>,
    bound: Option<f64>,
    proof: Option<&'static str>,
    gap_percent: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seconds: Option<f64>,
    placements: Vec<PlacementJson<'a>>,
    joins: Vec<JoinedJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cuts: Vec<CutJson<'a>>,
    remnant: Option<[f64; 2]>,
    remnant_at: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    remnant_stock: Option<usize>,
}

#[derive(Serialize)]
struct LeftOverJson<'a> {
    piece: &'a str,
    copy: u32,
}

#[derive(Serialize)]
struct CutJson<'a> {
    number: usize,
    kind: &'static str,
    stock: usize,
    of: [f64; 4],
    from: [f64; 2],
    to: [f64; 2],
    layers: u32,
    length: f64,
    off: SideJson<'a>,
    left: SideJson<'a>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum SideJson<'a> {
    Piece { piece: &'a str, copy: u32, part: u32 },
    Part { cut_on: [f64; 4] },
    Waste { waste: [f64; 4] },
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
    // With remnants nothing is bought, and there is no length.
    let is_bolt = layout.fit.is_none();
    let mm = |length: Length| is_bolt.then(|| length.to_mm());
    let left_over = |fit: &layout::Fit| {
        let one = |&(piece, copy): &(usize, u32)| LeftOverJson { piece: name(piece), copy };
        fit.left_over.iter().map(one).collect()
    };
    pretty(&LayoutJson {
        length: mm(layout.length),
        fits: layout.fit.as_ref().map(|fit| fit.left_over.is_empty()),
        fits_proven: layout.fit.as_ref().map(|fit| fit.is_proven),
        left_over: layout.fit.as_ref().map(left_over),
        bought: mm(layout.bought),
        bound: mm(layout.bound),
        proof: is_bolt.then_some(layout.proof.word()),
        gap_percent: is_bolt.then(|| layout.gap_percent()),
        seconds,
        placements: placements.collect(),
        joins: joins.collect(),
        cuts: cuts(problem, layout),
        remnant: layout.remnant.map(|rest| [rest.width.to_mm(), rest.length.to_mm()]),
        remnant_at: layout.remnant.map(|rest| [rest.x.to_mm(), rest.y.to_mm()]),
        remnant_stock: layout.remnant.filter(|_| !is_bolt).map(|rest| rest.stock),
    })
}

/// The cuts in order, numbered from one.
fn cuts<'a>(problem: &'a Problem, layout: &Layout) -> Vec<CutJson<'a>> {
    let place =
        |part: Part| [part.x.to_mm(), part.y.to_mm(), part.width.to_mm(), part.length.to_mm()];
    let side = |side: Off| match side {
        Off::Part(part) => SideJson::Part { cut_on: place(part) },
        Off::Waste(part) => SideJson::Waste { waste: place(part) },
        Off::Piece(at) => {
            let one = layout.placements.get(at);
            let item = one.and_then(|one| problem.pieces.get(one.piece));
            SideJson::Piece {
                piece: item.map_or("", |item| item.name.as_str()),
                copy: one.map_or(0, |one| one.copy),
                part: one.map_or(0, |one| one.part),
            }
        }
    };
    let point = |(x, y): (Length, Length)| [x.to_mm(), y.to_mm()];
    let cut = |(number, cut): (usize, &CutLine)| CutJson {
        number,
        kind: kind(cut.kind),
        stock: cut.part.stock,
        of: place(cut.part),
        from: point(cut.from),
        to: point(cut.to),
        layers: cut.layers,
        length: cut.length().to_mm(),
        off: side(cut.off),
        left: side(cut.left),
    };
    (1..).zip(&layout.cuts).map(cut).collect()
}

/// The word for a kind of cut.
pub(crate) const fn kind(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Divide => "divide",
        CutKind::Strip => "strip",
        CutKind::Cross => "cross",
        CutKind::Trim => "trim",
    }
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
