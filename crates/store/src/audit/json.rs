//! What came of an audit, for other programs.

use packet::audit::{Audit, Claims, LaidFabric};
use serde::Serialize;

use crate::packet_json::findings::{self, FindingJson};

#[derive(Serialize)]
struct AuditJson<'a> {
    format: &'static str,
    version: u32,
    title: &'a str,
    can_be: bool,
    findings: Vec<FindingJson<'a>>,
    fine: Vec<FineJson<'a>>,
    layouts: Vec<LaidJson<'a>>,
}

#[derive(Serialize)]
struct FineJson<'a> {
    check: &'static str,
    parameter: Option<&'a str>,
    message: &'a str,
}

#[derive(Serialize)]
struct LaidJson<'a> {
    fabric: &'a str,
    usable_width_mm: f64,
    given_mm: Option<f64>,
    used_mm: Option<f64>,
    bought_mm: Option<f64>,
    bound_mm: Option<f64>,
    proof: Option<String>,
    placements: Vec<PlacementJson<'a>>,
}

#[derive(Serialize)]
struct PlacementJson<'a> {
    piece: &'a str,
    copy: u32,
    part: u32,
    turned_degrees: u16,
    x_mm: f64,
    y_mm: f64,
    width_mm: f64,
    length_mm: f64,
}

/// The version of the format; it is counted up when a field changes so that a reader could be
/// misled.
const VERSION: u32 = 1;

/// What came of an audit, as JSON: `findings` as in `packet.json`, `fine` (the claims that were
/// checked and are fine) and `layouts` (of each fabric the shortest layout that was found, with
/// the bound below which there is none). Lengths are in millimetres.
pub fn audit_json(claims: &Claims, audit: &Audit) -> String {
    let fine = audit.fine.iter().map(|fine| FineJson {
        check: fine.check,
        parameter: fine.place.parameter.as_deref(),
        message: &fine.message,
    });
    crate::json::pretty(&AuditJson {
        format: "bagwright audit",
        version: VERSION,
        title: &claims.title,
        can_be: audit.is_clean(),
        findings: findings::all(&audit.findings),
        fine: fine.collect(),
        layouts: audit.laid.iter().map(|laid| self::laid(claims, laid)).collect(),
    })
}

fn laid<'a>(claims: &'a Claims, laid: &'a LaidFabric) -> LaidJson<'a> {
    let fabric = claims.fabrics.get(laid.fabric);
    let layout = laid.layout.as_ref();
    let placements = layout.map_or(&[][..], |layout| layout.placements.as_slice());
    let placements = placements.iter().map(|one| PlacementJson {
        piece: laid.problem.pieces.get(one.piece).map_or("", |piece| piece.name.as_str()),
        copy: one.copy,
        part: one.part,
        turned_degrees: one.rotation.degrees(),
        x_mm: one.x.to_mm(),
        y_mm: one.y.to_mm(),
        width_mm: one.width.to_mm(),
        length_mm: one.length.to_mm(),
    });
    LaidJson {
        fabric: fabric.map_or("", |fabric| &fabric.name),
        usable_width_mm: fabric.map_or(0.0, |fabric| fabric.usable_width.to_mm()),
        given_mm: laid.given.map(measure::Length::to_mm),
        used_mm: layout.map(|layout| layout.length.to_mm()),
        bought_mm: layout.map(|layout| layout.bought.to_mm()),
        bound_mm: layout.map(|layout| layout.bound.to_mm()),
        proof: layout.map(|layout| layout.proof.to_string()),
        placements: placements.collect(),
    }
}
