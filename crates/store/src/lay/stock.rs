//! What the pieces of a cutting job are cut from: a bolt, or remnants.

use layout::{Shape, Stock};
use measure::{Increments, Length};
use serde_json::Value;

use super::fields::{self, Fields, Troubles};
use super::outline;

/// The bolt or the remnants.
pub(super) fn stock(value: &Value, troubles: &mut Troubles) -> Option<Stock> {
    const KNOWN: &[&str] = &["width", "fold", "increments", "repeat", "remnants"];
    let fields = Fields::new(value, "stock", KNOWN, troubles)?;
    if let Some(value) = fields.get("remnants") {
        for key in KNOWN.iter().filter(|&&key| key != "remnants" && fields.get(key).is_some()) {
            troubles.add(&format!("stock.{key}"), "is for a bolt; remnants have none");
        }
        return remnants(value, troubles);
    }
    let fold = fields.flag("fold", troubles) == Some(true);
    let repeat = match fields.get("repeat") {
        None => Some((Length::ZERO, Length::ZERO)),
        Some(Value::Array(two)) if two.len() == 2 => {
            let one = |at: usize, troubles: &mut Troubles| {
                fields::length(&two[at], &format!("stock.repeat[{at}]"), troubles)
            };
            one(0, troubles).zip(one(1, troubles))
        }
        Some(_) => {
            troubles.add("stock.repeat", "must be [across, along] in mm, 0 where nothing repeats");
            None
        }
    };
    let width = fields.size("width", troubles);
    let increments = match fields.get("increments") {
        None => {
            troubles.add("stock.increments", "is missing; give the lengths the shop sells, in mm");
            None
        }
        Some(Value::Array(steps)) => {
            let steps: Vec<_> = steps
                .iter()
                .enumerate()
                .filter_map(|(index, step)| {
                    fields::length(step, &format!("stock.increments[{index}]"), troubles)
                })
                .collect();
            Increments::new(steps)
                .map_err(|error| troubles.add("stock.increments", &error.to_string()))
                .ok()
        }
        Some(_) => {
            troubles.add("stock.increments", "must be a list of lengths in mm");
            None
        }
    };
    let mut stock = Stock::bolt(width?, increments?);
    if let Stock::Bolt { fold: lies_folded, repeat: repeats, .. } = &mut stock {
        *lies_folded = fold;
        *repeats = repeat?;
    }
    Some(stock)
}

/// Pieces of fabric that are there.
fn remnants(value: &Value, troubles: &mut Troubles) -> Option<Stock> {
    let Value::Array(all) = value else {
        troubles.add(
            "stock.remnants",
            "must be a list of {\"width\": …, \"length\": …} or {\"outline\": …}",
        );
        return None;
    };
    if all.is_empty() || all.len() > 1000 {
        troubles.add("stock.remnants", "must be 1 to 1000 pieces of fabric");
        return None;
    }
    let shapes: Vec<_> = all
        .iter()
        .enumerate()
        .filter_map(|(index, value)| remnant(value, &format!("stock.remnants[{index}]"), troubles))
        .collect();
    (shapes.len() == all.len()).then_some(Stock::Remnants(shapes))
}

fn remnant(value: &Value, at: &str, troubles: &mut Troubles) -> Option<Shape> {
    let fields = Fields::new(value, at, &["width", "length", "outline"], troubles)?;
    if let Some(value) = fields.get("outline") {
        for key in ["width", "length"].into_iter().filter(|key| fields.get(key).is_some()) {
            let what = "is for a rectangle; an \"outline\" tells its own size";
            troubles.add(&format!("{at}.{key}"), what);
        }
        return outline::read(value, &format!("{at}.outline"), troubles).map(Shape::Outline);
    }
    let (width, length) = (fields.size("width", troubles), fields.size("length", troubles));
    Some(Shape::Rect { width: width?, length: length? })
}
