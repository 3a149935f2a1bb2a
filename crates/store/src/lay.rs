//! Cutting jobs as JSON: read strictly, with every problem named by its field; layouts written and
//! read back. All lengths are millimetres, across the width first.

mod claim;
mod cuts;
mod fields;
mod outline;
mod place;
mod stock;
mod told;

use layout::{
    Cutting, Item, Join, JoinAngle, JoinPlace, Problem, Rotation, Rotations, Shape, Shrinkage,
    Stock,
};
use measure::Length;
use serde_json::Value;

use self::fields::{Fields, Troubles};

pub use claim::read_layout;
pub(crate) use told::kind as cut_kind;
pub use told::{layout_json, verdict_json};

/// The most pieces of one name.
const MOST_COUNT: u64 = 20_000;

/// Reads a cutting job.
///
/// # Errors
/// Everything that is wrong, each with the field it is about and what would be right; among it all
/// that is asked for and not offered.
pub fn read_job(text: &str) -> Result<Problem, Vec<String>> {
    let mut troubles = Troubles::default();
    let value = fields::value(text, &mut troubles)?;
    let problem = job(&value, &mut troubles);
    match problem {
        Some(problem) if troubles.is_empty() => Ok(problem),
        _ => Err(troubles.all(text)),
    }
}

fn job(value: &Value, troubles: &mut Troubles) -> Option<Problem> {
    const KNOWN: &[&str] = &[
        "units",
        "stock",
        "cutting",
        "longest_cut",
        "gap",
        "copies",
        "squaring",
        "shrinkage",
        "pieces",
    ];
    let fields = Fields::new(value, "", KNOWN, troubles)?;
    if fields.text("units", troubles).is_some_and(|units| units != "mm") {
        troubles.add("units", "only \"mm\" is read");
    }
    let cutting = cutting(&fields, troubles);
    let stock = match fields.get("stock") {
        Some(value) => stock::stock(value, troubles),
        None => {
            let what =
                "is missing; give {\"width\": …, \"increments\": […]} or {\"remnants\": […]}";
            troubles.add("stock", what);
            None
        }
    };
    let gap = fields.length("gap", troubles);
    let copies = fields.count("copies", MOST_COUNT, troubles);
    let squaring = fields.length("squaring", troubles);
    let shrinkage = shrinkage(fields.get("shrinkage"), troubles);
    let mut items: Vec<Item> = Vec::new();
    match fields.get("pieces") {
        Some(Value::Array(pieces)) if !pieces.is_empty() => {
            for (index, value) in pieces.iter().enumerate() {
                let at = format!("pieces[{index}]");
                let Some(item) = piece(value, &at, troubles) else { continue };
                if items.iter().any(|known| known.name == item.name) {
                    troubles.add(&format!("{at}.name"), "is the name of another piece already");
                }
                items.push(item);
            }
        }
        _ => troubles.add("pieces", "must be a list of at least one piece"),
    }
    let has_outline = matches!(&stock, Some(Stock::Remnants(all))
        if all.iter().any(|one| matches!(one, Shape::Outline(_))));
    if has_outline && cutting != Cutting::Free {
        let what = "\"strips-first\" is for rectangles: give the rectangle that each remnant is \
                    squared to, or \"free\"";
        troubles.add("cutting", what);
    }
    if matches!(stock, Some(Stock::Remnants(_))) {
        // What is there is as long as it is, and washed.
        for key in ["squaring", "shrinkage"].into_iter().filter(|key| fields.get(key).is_some()) {
            troubles.add(key, "is for a bolt; remnants are measured as they lie there");
        }
    }
    let mut problem = Problem::new(stock?, items);
    problem.squaring = squaring.unwrap_or(Length::ZERO);
    problem.shrinkage = shrinkage.unwrap_or(Shrinkage::NONE);
    problem.cutting = cutting;
    problem.gap = gap.unwrap_or(Length::ZERO);
    problem.copies = copies.unwrap_or(1);
    Some(problem)
}

/// How much of the bolt is lost in the wash: per cent across the width and along the length.
fn shrinkage(value: Option<&Value>, troubles: &mut Troubles) -> Option<Shrinkage> {
    let share = |value: &Value| {
        let most = f64::from(Shrinkage::MOST) / 1e4;
        let percent = value.as_f64().filter(|percent| (0.0..=most).contains(percent))?;
        #[expect(clippy::cast_possible_truncation, reason = "at most half a million")]
        #[expect(clippy::cast_sign_loss, reason = "not below zero")]
        Some((percent * 1e4).round() as u32)
    };
    let read = match value {
        None => return None,
        Some(Value::Array(two)) if two.len() == 2 => share(&two[0]).zip(share(&two[1])),
        Some(_) => None,
    };
    if read.is_none() {
        troubles.add("shrinkage", "must be [across, along] in per cent, each from 0 to 50");
    }
    read.map(|(crosswise, lengthwise)| Shrinkage { lengthwise, crosswise })
}

/// How pieces are cut apart. The longest cut says something about strips only.
fn cutting(fields: &Fields<'_>, troubles: &mut Troubles) -> Cutting {
    let longest_cut = match fields.get("longest_cut") {
        None | Some(Value::Null) => None,
        Some(value) => fields::size(value, "longest_cut", troubles),
    };
    match fields.text("cutting", troubles) {
        Some("strips-first") => return Cutting::StripsFirst { longest_cut },
        None | Some("free") => {}
        Some(_) => troubles.add("cutting", "must be \"free\" or \"strips-first\""),
    }
    Cutting::Free
}

fn piece(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Item> {
    const KNOWN: &[&str] =
        &["name", "rect", "outline", "count", "rotations", "mirror", "on_fold", "match", "join"];
    let fields = Fields::new(value, at, KNOWN, troubles)?;
    let name = fields.text("name", troubles).map(str::to_owned);
    if name.is_none() && fields.get("name").is_none() {
        troubles.add(&format!("{at}.name"), "is missing");
    }
    if name.as_ref().is_some_and(|name| name.trim().is_empty()) {
        troubles.add(&format!("{at}.name"), "is empty; give each piece a name of its own");
    }
    let shape = match (fields.get("rect"), fields.get("outline")) {
        (Some(_), Some(_)) => {
            troubles.add(at, "give a \"rect\" or an \"outline\", not both");
            None
        }
        (None, Some(outline)) => {
            outline::read(outline, &format!("{at}.outline"), troubles).map(Shape::Outline)
        }
        (rect, None) => rectangle(rect, &format!("{at}.rect"), troubles),
    };
    let count = fields.count("count", MOST_COUNT, troubles).unwrap_or(1);
    let rotations = rotations(fields.get("rotations"), &format!("{at}.rotations"), troubles);
    let mut item = Item::new(name?, shape?, count, rotations?);
    item.on_fold = fields.flag("on_fold", troubles) == Some(true);
    item.group = match fields.get("match") {
        None | Some(Value::Null) => None,
        Some(_) => fields.text("match", troubles).map(str::to_owned),
    };
    item.mirror = fields.flag("mirror", troubles) == Some(true);
    item.join = match fields.get("join") {
        None | Some(Value::Null) => None,
        Some(value) => Some(join(value, &format!("{at}.join"), troubles)?),
    };
    Some(item)
}

/// A rectangle, by its width and length.
fn rectangle(value: Option<&Value>, at: &str, troubles: &mut Troubles) -> Option<Shape> {
    match value {
        Some(Value::Array(two)) if two.len() == 2 => {
            let side = |index: usize, troubles: &mut Troubles| {
                fields::size(&two[index], &format!("{at}[{index}]"), troubles)
            };
            let (width, length) = side(0, troubles).zip(side(1, troubles))?;
            Some(Shape::Rect { width, length })
        }
        _ => {
            troubles.add(at, "must be [width, length] in mm; or give an \"outline\"");
            None
        }
    }
}

/// Whole quarter turns in degrees, counter-clockwise; as drawn when nothing is said.
fn rotations(value: Option<&Value>, at: &str, troubles: &mut Troubles) -> Option<Rotations> {
    let Some(value) = value else { return Some(Rotations::one_way()) };
    let turn = |value: &Value| {
        Rotation::ALL.into_iter().find(|turn| value.as_u64() == Some(u64::from(turn.degrees())))
    };
    let turns: Option<Vec<_>> = match value {
        Value::Array(turns) if !turns.is_empty() => turns.iter().map(turn).collect(),
        _ => None,
    };
    if turns.is_none() {
        troubles.add(at, "must be a list of turns out of 0, 90, 180 and 270");
    }
    turns.map(Rotations::of)
}

fn join(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Join> {
    let fields = Fields::new(value, at, &["most", "allowance", "angle", "where"], troubles)?;
    let most = fields.count("most", 100, troubles).unwrap_or(1);
    let allowance = fields.length("allowance", troubles).unwrap_or(Length::ZERO);
    let angle = match fields.get("angle").map(Value::as_u64) {
        None | Some(Some(90)) => Some(JoinAngle::Straight),
        Some(Some(45)) => Some(JoinAngle::Diagonal),
        Some(_) => {
            troubles.add(&format!("{at}.angle"), "must be 90 (straight) or 45");
            None
        }
    };
    let place = match fields.text("where", troubles) {
        None | Some("anywhere") => Some(JoinPlace::Anywhere),
        Some("centre") => Some(JoinPlace::Centre),
        Some(_) => {
            troubles.add(&format!("{at}.where"), "must be \"centre\" or \"anywhere\"");
            None
        }
    };
    Some(Join { most, allowance, angle: angle?, place: place? })
}

#[cfg(test)]
mod tests;
