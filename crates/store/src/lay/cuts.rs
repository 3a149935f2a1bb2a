//! The cuts of a layout, read back.

use layout::{CutKind, CutLine, Off, Part, Placement, Problem};
use measure::Length;
use serde_json::Value;

use super::claim::named;
use super::fields::{self, Fields, Troubles};
use super::told::kind;

/// One cut; its number and its length follow from the rest and are not read.
pub(super) fn cut(
    problem: &Problem,
    placements: &[Placement],
    value: &Value,
    at: &str,
    troubles: &mut Troubles,
) -> Option<CutLine> {
    const KNOWN: &[&str] =
        &["number", "kind", "stock", "of", "from", "to", "layers", "length", "off", "left"];
    let fields = Fields::new(value, at, KNOWN, troubles)?;
    let stock = fields.index("stock", troubles).unwrap_or(0) as usize;
    let name = fields.text("kind", troubles);
    let all = [CutKind::Divide, CutKind::Strip, CutKind::Cross, CutKind::Trim];
    let kind = all.into_iter().find(|&one| Some(kind(one)) == name);
    if kind.is_none() {
        let what = "must be \"divide\", \"strip\", \"cross\" or \"trim\"";
        troubles.add(&format!("{at}.kind"), what);
    }
    let part = part(fields.get("of"), stock, &format!("{at}.of"), troubles);
    let from = numbers(fields.get("from"), &format!("{at}.from"), troubles);
    let to = numbers(fields.get("to"), &format!("{at}.to"), troubles);
    let mut sides = ["off", "left"].map(|key| {
        let at = format!("{at}.{key}");
        side(problem, placements, stock, fields.get(key), &at, troubles)
    });
    let layers = fields.count("layers", 1_000_000, troubles).unwrap_or(1);
    let ([from_x, from_y], [to_x, to_y]) = (from?, to?);
    Some(CutLine {
        kind: kind?,
        part: part?,
        from: (from_x, from_y),
        to: (to_x, to_y),
        layers,
        off: sides[0].take()?,
        left: sides[1].take()?,
    })
}

/// A list of just so many lengths.
fn numbers<const N: usize>(
    value: Option<&Value>,
    at: &str,
    troubles: &mut Troubles,
) -> Option<[Length; N]> {
    let all: Option<Vec<_>> = match value {
        Some(Value::Array(all)) if all.len() == N => {
            all.iter().map(|one| fields::laid(one, at, troubles)).collect()
        }
        _ => {
            troubles.add(at, &format!("must be a list of {N} lengths in mm"));
            None
        }
    };
    all.and_then(|all| all.try_into().ok())
}

fn part(value: Option<&Value>, stock: usize, at: &str, troubles: &mut Troubles) -> Option<Part> {
    let [x, y, width, length] = numbers(value, at, troubles)?;
    Some(Part { stock, x, y, width, length })
}

fn side(
    problem: &Problem,
    placements: &[Placement],
    stock: usize,
    value: Option<&Value>,
    at: &str,
    troubles: &mut Troubles,
) -> Option<Off> {
    let known = &["piece", "copy", "part", "cut_on", "waste"];
    let fields = Fields::new(value.unwrap_or(&Value::Null), at, known, troubles)?;
    if let Some(place) = fields.get("cut_on") {
        return part(Some(place), stock, &format!("{at}.cut_on"), troubles).map(Off::Part);
    }
    if let Some(place) = fields.get("waste") {
        return part(Some(place), stock, &format!("{at}.waste"), troubles).map(Off::Waste);
    }
    if fields.get("piece").is_none() {
        troubles.add(at, "must say a \"piece\", a part to \"cut_on\", or \"waste\"");
    }
    let piece = named(problem, &fields, at, troubles)?;
    let copy = fields.index("copy", troubles).unwrap_or(0);
    let part = fields.index("part", troubles).unwrap_or(0);
    let is_it = |one: &Placement| (one.piece, one.copy, one.part) == (piece, copy, part);
    let index = placements.iter().position(is_it);
    if index.is_none() {
        troubles.add(at, "is a piece that is not placed");
    }
    index.map(Off::Piece)
}
