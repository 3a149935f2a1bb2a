//! Layouts of cutting jobs, read back to be verified: what they claim, taken at its word.

use layout::{Fit, Joined, Layout, Placement, Problem, Proof, Remnant, Rotation, Stock, Stretch};
use measure::Length;
use serde_json::Value;

use super::cuts;
use super::fields::{self, Fields, Troubles};

/// Reads a layout of a problem, as [`super::layout_json`] writes it. The sizes of placements, joins
/// and the place of the remnant may be left out.
///
/// # Errors
/// Everything that keeps it from being read, each with its field. Whether the layout is right is
/// for the verifier to say.
pub fn read_layout(problem: &Problem, text: &str) -> Result<Layout, Vec<String>> {
    let mut troubles = Troubles::default();
    let value = fields::value(text, &mut troubles)?;
    let layout = claim(problem, &value, &mut troubles);
    match layout {
        Some(layout) if troubles.is_empty() => Ok(layout),
        _ => Err(troubles.all(text)),
    }
}

fn claim(problem: &Problem, value: &Value, troubles: &mut Troubles) -> Option<Layout> {
    const KNOWN: &[&str] = &[
        "length",
        "bought",
        "bound",
        "proof",
        "gap_percent",
        "seconds",
        "placements",
        "joins",
        "cuts",
        "remnant",
        "remnant_at",
        "remnant_stock",
        "fits",
        "fits_proven",
        "left_over",
    ];
    let fields = Fields::new(value, "", KNOWN, troubles)?;
    let placements = list(&fields, "placements", troubles, |value, at, troubles| {
        placement(problem, value, at, troubles)
    });
    let joins = list(&fields, "joins", troubles, |value, at, troubles| {
        joined(problem, value, at, troubles)
    });
    let bought = problem.stock.width().unwrap_or(Length::ZERO);
    let width = problem.shrinkage.width_after_washing(bought);
    let mut layout = Layout::claiming(placements, joins, width);
    layout.cuts = list(&fields, "cuts", troubles, |value, at, troubles| {
        cuts::cut(problem, &layout.placements, value, at, troubles)
    });
    if matches!(problem.stock, Stock::Remnants(_)) {
        layout.fit = fit(problem, &fields, troubles);
        layout.remnant = remnant(&fields, troubles);
        return Some(layout);
    }
    for (key, to) in [
        ("length", &mut layout.length),
        ("bought", &mut layout.bought),
        ("bound", &mut layout.bound),
    ] {
        match fields.get(key) {
            Some(value) => *to = fields::laid(value, key, troubles).unwrap_or(Length::ZERO),
            None => troubles.add(key, "is missing; give a length in mm"),
        }
    }
    if layout.length.is_positive() {
        layout.needed = problem.shrinkage.before_washing(layout.length + problem.squaring);
    }
    layout.proof = proof(&fields, troubles)?;
    layout.remnant = remnant(&fields, troubles);
    Some(layout)
}

/// What is left over, when its place is told as well.
fn remnant(fields: &Fields<'_>, troubles: &mut Troubles) -> Option<Remnant> {
    let two = |key: &str, troubles: &mut Troubles| match fields.get(key) {
        Some(Value::Array(two)) if two.len() == 2 => {
            let one = fields::laid(&two[0], key, troubles);
            one.zip(fields::laid(&two[1], key, troubles))
        }
        _ => None,
    };
    let (size, place) = (two("remnant", troubles), two("remnant_at", troubles));
    let stock = fields.index("remnant_stock", troubles).unwrap_or(0) as usize;
    let both = size.zip(place);
    both.map(|((width, length), (x, y))| Remnant { stock, x, y, width, length })
}

/// Whether everything is said to fit on remnants.
fn fit(problem: &Problem, fields: &Fields<'_>, troubles: &mut Troubles) -> Option<Fit> {
    let fits = fields.flag("fits", troubles);
    let left_over = list(fields, "left_over", troubles, |value, at, troubles| {
        let fields = Fields::new(value, at, &["piece", "copy"], troubles)?;
        let piece = named(problem, &fields, at, troubles)?;
        Some((piece, fields.index("copy", troubles).unwrap_or(0)))
    });
    if fits.is_none() {
        troubles.add("fits", "is missing; say true or false");
    }
    if fits == Some(!left_over.is_empty()) {
        troubles.add("fits", "does not agree with what is left over");
    }
    let is_proven = fields.flag("fits_proven", troubles) == Some(true);
    Some(Fit { left_over, is_proven })
}

#[expect(clippy::cast_possible_truncation, reason = "bounded above; casts of floats saturate")]
#[expect(clippy::cast_sign_loss, reason = "not below zero")]
fn proof(fields: &Fields<'_>, troubles: &mut Troubles) -> Option<Proof> {
    match fields.text("proof", troubles) {
        Some("shortest") => Some(Proof::Shortest),
        Some("no-shorter-purchase") => Some(Proof::NoShorterPurchase),
        Some("within") => {
            let percent = fields.get("gap_percent").and_then(Value::as_f64);
            let percent = percent.filter(|percent| (0.0..=1e9).contains(percent));
            if percent.is_none() {
                troubles
                    .add("gap_percent", "must be a number, 0 or more, for the proof \"within\"");
            }
            percent.map(|percent| Proof::Within((percent * 1e4).round() as u64))
        }
        _ => {
            let what = "must be \"shortest\", \"no-shorter-purchase\" or \"within\"";
            troubles.add("proof", what);
            None
        }
    }
}

/// A list of things; none when it is left out.
fn list<T>(
    fields: &Fields<'_>,
    key: &str,
    troubles: &mut Troubles,
    read: impl Fn(&Value, &str, &mut Troubles) -> Option<T>,
) -> Vec<T> {
    match fields.get(key) {
        None => Vec::new(),
        Some(Value::Array(all)) => all
            .iter()
            .enumerate()
            .filter_map(|(index, value)| read(value, &format!("{key}[{index}]"), troubles))
            .collect(),
        Some(_) => {
            troubles.add(key, "must be a list");
            Vec::new()
        }
    }
}

pub(super) fn named(
    problem: &Problem,
    fields: &Fields<'_>,
    at: &str,
    troubles: &mut Troubles,
) -> Option<usize> {
    let name = fields.text("piece", troubles)?;
    let piece = problem.pieces.iter().position(|item| item.name == name);
    if piece.is_none() {
        troubles.add(&format!("{at}.piece"), &format!("the job has no piece called \"{name}\""));
    }
    piece
}

fn placement(
    problem: &Problem,
    value: &Value,
    at: &str,
    troubles: &mut Troubles,
) -> Option<Placement> {
    const KNOWN: &[&str] =
        &["piece", "copy", "part", "stock", "rotation", "mirrored", "x", "y", "width", "length"];
    let fields = Fields::new(value, at, KNOWN, troubles)?;
    let piece = named(problem, &fields, at, troubles);
    let degrees = fields.index("rotation", troubles).unwrap_or(0);
    let rotation = Rotation::ALL.into_iter().find(|turn| u32::from(turn.degrees()) == degrees);
    if rotation.is_none() {
        troubles.add(&format!("{at}.rotation"), "must be 0, 90, 180 or 270");
    }
    let place = |key: &str, troubles: &mut Troubles| {
        if fields.get(key).is_none() {
            troubles.add(&format!("{at}.{key}"), "is missing; give a length in mm");
        }
        fields.laid(key, troubles)
    };
    let corner = place("x", troubles).zip(place("y", troubles));
    let (piece, rotation) = (piece?, rotation?);
    let (width, length) = problem.pieces[piece].shape.size();
    let own = if rotation.is_crosswise() { (length, width) } else { (width, length) };
    let size = (
        fields.laid("width", troubles).unwrap_or(own.0),
        fields.laid("length", troubles).unwrap_or(own.1),
    );
    let copy = fields.index("copy", troubles).unwrap_or(0);
    let mut one = Placement::new(piece, copy, corner?, size);
    one.part = fields.index("part", troubles).unwrap_or(0);
    one.stock = fields.index("stock", troubles).unwrap_or(0) as usize;
    one.rotation = rotation;
    one.mirrored = fields.flag("mirrored", troubles) == Some(true);
    Some(one)
}

fn joined(problem: &Problem, value: &Value, at: &str, troubles: &mut Troubles) -> Option<Joined> {
    let fields = Fields::new(value, at, &["piece", "copy", "stretches"], troubles)?;
    let piece = named(problem, &fields, at, troubles)?;
    let stretches = list(&fields, "stretches", troubles, |value, _, troubles| {
        let at = format!("{at}.stretches");
        let fields = Fields::new(value, &at, &["part", "from", "length"], troubles)?;
        Some(Stretch {
            part: fields.index("part", troubles)?,
            from: fields.laid("from", troubles)?,
            length: fields.size("length", troubles)?,
        })
    });
    Some(Joined::new(piece, fields.index("copy", troubles).unwrap_or(0), stretches))
}
